"""Impact tests: the thickness that a procedure coupon covers."""

from __future__ import annotations

from dossier.calc.guards import positive
from dossier.codes.asme_b31_3.common import clause
from dossier.records.verdicts import Range

IMPACT = clause("Table 323.3.1, A-5(a)", "read")


def impact_tested_range(coupon_mm: float) -> Range:
    """Thickness that an impact-tested procedure coupon covers, in mm: T/2 to T + 6 mm.

    It binds together with Section IX: both must be met (Interpretation 25-29, read).

    Source: ASME B31.3, Table 323.3.1, A-5(a) (read, 2016). Raises InputError: coupon_mm <= 0.

    >>> str(impact_tested_range(10.0))
    '5 to 16 mm'
    """
    t = positive("coupon_mm", coupon_mm)
    return Range(t / 2, t + 6, IMPACT)
