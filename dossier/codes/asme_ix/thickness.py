"""Thicknesses that a procedure test qualifies: base metal and deposit.

Every limit is given twice, in mm and in inches: the two columns of the tables are not exact
conversions, and a record is judged by one of them throughout (choice "ix units").
"""

from __future__ import annotations

from dataclasses import replace
from math import inf

from dossier.calc.guards import positive
from dossier.codes.asme_ix.common import clause, passes_over, reaches, size
from dossier.codes.asme_ix.variables import process_name
from dossier.records.verdicts import Range

BASE = clause("QW-403.8, QW-451.1", "read")
LONGITUDINAL = clause("QW-451.2", "read")
TOUGHNESS = clause("QW-403.6, QW-451.1")
THICK_PASS = clause("QW-403.9", "memory")
SHORT_ARC = clause("QW-403.10", "memory")
UPPER_TRANSFORMATION = clause("QW-407.4")
DEPOSIT = clause("QW-404.30, QW-451.1", "read")
SHORT_ARC_DEPOSIT = clause("QW-404.32", "memory")
THICK_MEMBER = clause("QW-202.4")
LENT = clause("QW-200.4(b)", "memory")

# Note 3 of the table; flux-cored arc counts with gas metal-arc (Interpretation IX-78-16).
_ARC = frozenset({"SMAW", "SAW", "GMAW", "FCAW", "PAW", "LLBW", "GTAW"})


def base_metal_range(coupon_mm: float, process: str = "111", units: str = "SI") -> Range:
    """Base metal thickness that a groove test on `coupon_mm` qualifies, in mm; no toughness.

    Source: Section IX, QW-451.1 with note 3 (read). Raises InputError: coupon_mm <= 0.

    >>> str(base_metal_range(12.7)), str(base_metal_range(38.0))
    ('5 to 25.4 mm', '5 to 200 mm')
    """
    t = positive("coupon_mm", coupon_mm)
    floor = size(1.5, 1 / 16, units)
    if not reaches(t, floor):
        low = t
    elif not passes_over(t, size(10, 3 / 8, units)):
        low = floor
    else:
        low = size(5, 3 / 16, units)
    return Range(low, _ceiling(t, process, units), BASE)


def _ceiling(t: float, process: str, units: str) -> float:
    if process_name(process) not in _ARC or not reaches(t, size(38, 1.5, units)):
        return 2 * t
    return 1.33 * t if passes_over(t, size(150, 6, units)) else size(200, 8, units)


def longitudinal_bend_range(coupon_mm: float, units: str = "SI") -> Range:
    """Base metal thickness of a groove test with longitudinal bends, in mm: twice T, no upper row.

    Source: Section IX, QW-451.2 (row over 10 mm read; the others as QW-451.1, memory).
    Raises InputError: coupon_mm <= 0.

    >>> str(longitudinal_bend_range(12.0))
    '5 to 24 mm'
    """
    low = base_metal_range(coupon_mm, units=units).low
    return Range(low, 2 * coupon_mm, LONGITUDINAL)


def toughness_range(plain: Range, coupon_mm: float, units: str = "SI") -> Range:
    """`plain` with the minimum that toughness asks: T or 16 mm, half T up to 6 mm.

    The minimum never falls below that of `plain`. Texts quoted before 2017 read "less than
    6 mm". Not to be asked for a test heat-treated above the upper transformation temperature.

    Source: Section IX, QW-403.6 (secondary).

    >>> str(toughness_range(base_metal_range(25.0), 25.0))
    '16 to 50 mm'
    """
    thin = not passes_over(coupon_mm, size(6, 1 / 4, units))
    least = coupon_mm / 2 if thin else min(coupon_mm, size(16, 5 / 8, units))
    return replace(plain, low=max(plain.low, least), basis=TOUGHNESS)


def thick_pass_range(
    plain: Range, coupon_mm: float, thickest_pass_mm: float, units: str = "SI"
) -> Range:
    """`plain` cut to 1.1 times the coupon where a pass was thicker than 13 mm.

    Source: Section IX, QW-403.9 (memory).

    >>> str(thick_pass_range(base_metal_range(30.0), 30.0, 13.1))
    '5 to 33 mm'
    """
    if not passes_over(thickest_pass_mm, size(13, 1 / 2, units)):
        return plain
    return replace(plain, high=min(plain.high, 1.1 * coupon_mm), basis=THICK_PASS)


def short_arc_range(plain: Range, coupon_mm: float, units: str = "SI") -> Range:
    """`plain` cut to 1.1 times a coupon under 13 mm, for the short-circuiting mode.

    Source: Section IX, QW-403.10 (memory).

    >>> str(short_arc_range(base_metal_range(10.0), 10.0))
    '1.5 to 11 mm'
    """
    if reaches(coupon_mm, size(13, 1 / 2, units)):
        return plain
    return replace(plain, high=min(plain.high, 1.1 * coupon_mm), basis=SHORT_ARC)


def upper_transformation_range(plain: Range, coupon_mm: float, p_number: str) -> Range:
    """`plain` cut to 1.1 T for a ferritic test treated above the upper transformation.

    For editions that still list QW-407.4; it stands in none from 2017 on (tables read).

    Source: Section IX, 2008, QW-407.4 (secondary).

    >>> str(upper_transformation_range(base_metal_range(30.0), 30.0, "1"))
    '5 to 33 mm'
    """
    if p_number in ("7", "8", "45"):
        return plain
    return replace(plain, high=min(plain.high, 1.1 * coupon_mm), basis=UPPER_TRANSFORMATION)


def deposit_range(
    deposit_mm: float, coupon_mm: float, process: str = "111", units: str = "SI"
) -> Range:
    """Deposited thickness that a groove test qualifies for one process, in mm; no minimum.

    Twice t; from 19 mm of deposit the maximum of the base metal.

    Source: Section IX, QW-404.30, QW-451.1 (read). Raises InputError: deposit_mm <= 0.

    >>> str(deposit_range(3.0, 12.7)), str(deposit_range(19.0, 40.0))
    ('up to 6 mm', 'up to 200 mm')
    """
    positive("deposit_mm", deposit_mm)
    if not reaches(deposit_mm, size(19, 3 / 4, units)):
        return Range(0, 2 * deposit_mm, DEPOSIT)
    return Range(0, _ceiling(positive("coupon_mm", coupon_mm), process, units), DEPOSIT)


def short_arc_deposit(plain: Range, deposit_mm: float, units: str = "SI") -> Range:
    """`plain` cut to 1.1 t where less than 13 mm was deposited short-circuiting.

    Binds procedures and welders alike. Source: Section IX, QW-404.32 (memory).

    >>> str(short_arc_deposit(Range(0, 16.0, DEPOSIT), 8.0))
    'up to 8.8 mm'
    """
    if reaches(deposit_mm, size(13, 1 / 2, units)):
        return plain
    return replace(plain, high=min(plain.high, 1.1 * deposit_mm), basis=SHORT_ARC_DEPOSIT)


def root_may_be_lent(coupon_mm: float, units: str = "SI") -> bool:
    """A test on this coupon may lend its process for root layers to any thicker base metal.

    Source: Section IX, QW-200.4(b) (memory).

    >>> root_may_be_lent(12.9), root_may_be_lent(12.7, "US customary")
    (False, True)
    """
    return reaches(coupon_mm, size(13, 1 / 2, units))


_FREE_FROM_6 = frozenset({"8", *(str(n) for n in range(41, 50)), "51", "52", "53", "61", "62"})


def thick_member_range(plain: Range, coupon_mm: float, p_number: str, units: str = "SI") -> Range:
    """Thickness of the thicker of two members of one P-Number; the thinner stays in `plain`.

    No upper end where the coupon was 38 mm or more; for P-No. 8 and the nickel, titanium and
    zirconium numbers (the list is memory) from 6 mm.

    Source: Section IX, 2013, QW-202.4 (secondary).

    >>> str(thick_member_range(base_metal_range(38.0), 38.0, "1"))
    'from 5 mm'
    """
    from_6 = p_number in _FREE_FROM_6
    enough = size(6, 1 / 4, units) if from_6 else size(38, 1.5, units)
    if not reaches(coupon_mm, enough):
        return plain
    return replace(plain, high=inf, basis=THICK_MEMBER)
