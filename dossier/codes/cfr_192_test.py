"""49 CFR 192.503 to 192.507, 192.619: pressure tests of gas lines, and the pressure they allow.

Pressurized lines can kill: test to the operator's procedure and local law, under people qualified
for it.
"""

from __future__ import annotations

from datetime import date
from types import MappingProxyType

from dossier.errors import InputError
from dossier.records.verdicts import CLEAR, NONCONFORMITY, Basis, Reason

STANDARD = "49 CFR 192"
MEDIUM = Basis(STANDARD, "2025", "192.503(c)", "read")
STRENGTH = Basis(STANDARD, "2011", "192.505(c)", "read")
SHORT_SECTION = Basis(STANDARD, "2011", "192.505(d)", "memory")
BUILDING = Basis(STANDARD, "2011", "192.505(a)", "read")
LEAK = Basis(STANDARD, "2011", "192.507(c)", "read")
MAOP = Basis(STANDARD, "2019", "192.619(a)(2)(ii)", "memory")

# Class location: greatest hoop stress in % of SMYS while testing with natural gas, air or inert.
_GAS_MEDIA = MappingProxyType(
    {
        "natural_gas": MappingProxyType({1: 80, 2: 30, 3: 30, 4: 30}),
        "air_or_inert": MappingProxyType({1: 80, 2: 75, 3: 50, 4: 40}),
    }
)
_FEET_300 = 91.44
_BEFORE_CODE = date(1970, 11, 12)  # older lines have a factor of their own
_CLASS_1_CHANGE = date(2020, 7, 1)


def _class(class_location: int) -> int:
    if class_location not in (1, 2, 3, 4):
        raise InputError("class_location", found=class_location, expected="1, 2, 3 or 4")
    return class_location


def greatest_hoop_stress_percent(medium: str, class_location: int) -> int:
    """Greatest hoop stress (% of SMYS) in a test with "natural_gas" or "air_or_inert".

    Source: 49 CFR 192.503(c) (class 1 with gas and class 2 with air read, the rest memory).
    Raises InputError: another medium (water has no such ceiling) or class.

    >>> greatest_hoop_stress_percent("air_or_inert", 2)
    75
    """
    if medium not in _GAS_MEDIA:
        raise InputError("medium", found=medium, expected=", ".join(_GAS_MEDIA))
    return _GAS_MEDIA[medium][_class(class_location)]


def least_hours(
    hoop_stress_percent: float, pressure_psig: float, *, short_section: bool = False
) -> int:
    """Least hours at test pressure.

    At 30 % SMYS or more 8 h, or 4 h for a short section tested before installation; below 30 %
    and at 100 psig or more 1 h.

    Source: 49 CFR 192.505(c) (read), (d) (memory), 192.507(c) (read). Raises InputError: lower
    pressures, which 192.509 rules without a time.

    >>> least_hours(72, 1000), least_hours(72, 1000, short_section=True), least_hours(25, 400)
    (8, 4, 1)
    """
    if hoop_stress_percent >= 30:
        return 4 if short_section else 8
    if pressure_psig < 100:
        raise InputError("pressure_psig", found=pressure_psig, expected="100 psig or more")
    return 1


def near_building(mop_kpa: float, test_kpa: float, distance_m: float) -> Reason:
    """Class 1 or 2 near an occupied building: 125 % of the maximum operating pressure, by water.

    Within 300 ft (91.44 m); the section is at least 600 ft long. Gauge pressures in kPa.

    Source: 49 CFR 192.505(a) (read). Raises InputError: mop_kpa <= 0.
    """
    if not mop_kpa > 0:
        raise InputError("mop_kpa", found=mop_kpa, expected="more than 0 kPa")
    percent = 100 * test_kpa / mop_kpa
    if distance_m > _FEET_300 + 1e-6:
        return Reason("test pressure", f"{percent:.6g} % of MOP", "no building near", BUILDING)
    verdict = CLEAR if percent >= 125 - 1e-6 else NONCONFORMITY
    return Reason("test pressure", f"{percent:.6g} % of MOP", "from 125 %", BUILDING, verdict)


def factor_of_test(class_location: int, installed: date) -> float:
    """Factor that divides the test pressure to give the maximum allowable operating pressure.

    Source: 49 CFR 192.619(a)(2)(ii) (1.1 and 1.25 in class 2 read; 1.25 in class 1 from 1 July
    2020, 1.4 and 1.5 memory). Raises InputError: another class.

    >>> factor_of_test(1, date(2020, 6, 30)), factor_of_test(1, date(2020, 7, 1))
    (1.1, 1.25)
    """
    place = _class(class_location)
    if place == 1:
        return 1.25 if installed >= _CLASS_1_CHANGE else 1.1
    if place == 2:
        return 1.25
    return 1.5 if installed >= _BEFORE_CODE else 1.4


def maop_by_test_kpa(test_kpa: float, class_location: int, installed: date) -> float:
    """Greatest operating pressure (kPa gauge) that a test allows; the design may allow less.

    Source: 49 CFR 192.619(a)(2)(ii). Raises InputError: test_kpa <= 0, another class.

    >>> maop_by_test_kpa(12500, 2, date(2015, 6, 30))
    10000.0
    """
    if not test_kpa > 0:
        raise InputError("test_kpa", found=test_kpa, expected="more than 0 kPa")
    return test_kpa / factor_of_test(class_location, installed)
