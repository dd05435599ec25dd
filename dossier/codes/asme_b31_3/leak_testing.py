"""Leak test pressures and durations.

A pneumatic test stores far more energy than water does and can kill at a distance: it is for
competent people under the local code, with barriers and a written procedure.
"""

from __future__ import annotations

from math import inf

from dossier.calc.guards import positive
from dossier.codes.asme_b31_3.common import CATEGORY_D, clause
from dossier.records.verdicts import Range

HYDROSTATIC = clause("345.4.2", "read")
PNEUMATIC = clause("345.5.4", "memory")
RELIEF = clause("345.5.2", "read")
DURATION = clause("345.2.2")
INITIAL_SERVICE = clause("345.1, 345.7")


def hydrostatic_pressure_mpa(design_mpa: float, st_mpa: float, s_mpa: float) -> float:
    """Least hydrostatic test pressure, in MPa: 1.5 P ST/S, the ratio from 1 to 6.5.

    `st_mpa` is the allowable stress at test temperature, `s_mpa` at design temperature. The
    stress at test pressure must be checked against yield apart.

    Source: ASME B31.3, 345.4.2 (1.5 read, 2016; ratio secondary; its cap memory).
    Raises InputError: an argument that is not more than 0.

    >>> round(hydrostatic_pressure_mpa(2.0, 138.0, 115.0), 3)
    3.6
    """
    ratio = positive("st_mpa", st_mpa) / positive("s_mpa", s_mpa)
    return 1.5 * positive("design_mpa", design_mpa) * min(max(ratio, 1.0), 6.5)


def pneumatic_pressure_range(design_mpa: float) -> Range:
    """Pneumatic test pressure in MPa: 1.1 to 1.33 times design; 90 % of yield may bind first.

    Source: ASME B31.3, 345.5.4 (memory). Raises InputError: design_mpa <= 0.

    >>> str(pneumatic_pressure_range(1.0))
    '1.1 to 1.33 MPa'
    """
    p = positive("design_mpa", design_mpa)
    return Range(1.1 * p, 1.33 * p, PNEUMATIC, "MPa")


def relief_setting_range(test_kpa: float) -> Range:
    """Set pressure of the relief device in a pneumatic test, in kPa.

    At most the test pressure plus the lesser of 345 kPa and 10 % of it.

    Source: ASME B31.3, 345.5.2 (read, 2016). Raises InputError: test_kpa <= 0.

    >>> str(relief_setting_range(1100.0))
    'up to 1210 kPa'
    """
    p = positive("test_kpa", test_kpa)
    return Range(0, p + min(345.0, 0.1 * p), RELIEF, "kPa")


def duration_range() -> Range:
    """Time at test pressure before the joints are looked at, in minutes.

    Source: ASME B31.3, 345.2.2 (secondary, 1999).

    >>> str(duration_range())
    'from 10 min'
    """
    return Range(10, inf, DURATION, "min")


def initial_service_test_allowed(service: str) -> bool:
    """An initial service leak test may stand in: only Category D, at the owner's option.

    Source: ASME B31.3, 345.1, 345.7 (secondary).

    >>> initial_service_test_allowed("normal")
    False
    """
    return service == CATEGORY_D
