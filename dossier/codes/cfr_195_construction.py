"""49 CFR 195.216 to 195.234, 195.266: joints, examination and records of liquid lines."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from math import ceil

from dossier.codes.cfr_192_repair import crack_removal as crack_removal_gas
from dossier.errors import InputError
from dossier.records.verdicts import (
    CLEAR,
    CUT_OUT,
    NONCONFORMITY,
    Basis,
    Range,
    Reason,
)

STANDARD = "49 CFR 195"
MITER = Basis(STANDARD, "2015", "195.216", "memory")
ARC_BURN = Basis(STANDARD, "2015", "195.226", "secondary")
INSPECTION = Basis(STANDARD, "2015", "195.228", "memory")
CRACK = Basis(STANDARD, "1983", "195.230(a)", "secondary")
EACH_WELDER = Basis(STANDARD, "2015", "195.234(d)", "memory")
LISTED = Basis(STANDARD, "2015", "195.234(e)", "memory")
ALL_OF = Basis(STANDARD, "2015", "195.234(f), (g)", "memory")
RECORDS = Basis(STANDARD, "2026", "195.266", "read")

RECORD_GROUPS = (
    "girth welds in all, tested, rejected and their disposition",
    "amount, location and cover of each size of pipe",
    "crossings of other pipelines",
    "crossings of buried utilities",
    "overhead crossings",
    "valves and corrosion test stations",
)
RETENTION = "life_of_facility"


def miter(deflection_deg: float, *, from_misalignment: bool) -> Reason:
    """No miter joint is allowed; 3 degrees from misalignment are no miter.

    Source: 49 CFR 195.216 (memory).
    """
    if not from_misalignment:
        found = f"miter of {deflection_deg:g} degrees"
        return Reason("deflection", found, "no miter joint", MITER, NONCONFORMITY)
    return Range(0, 3, MITER, "degrees").judge("deflection from misalignment", deflection_deg)


def arc_burn(wall_after_grinding_mm: float, mill_minimum_mm: float) -> Reason:
    """An arc burn is ground out while the wall stays at the mill minimum; else a cylinder is cut.

    Source: 49 CFR 195.226 (secondary). Raises InputError: mill_minimum_mm <= 0.
    """
    if not mill_minimum_mm > 0:
        raise InputError("mill_minimum_mm", found=mill_minimum_mm, expected="more than 0 mm")
    permitted = Range(mill_minimum_mm, float("inf"), ARC_BURN)
    return permitted.judge("wall after grinding", wall_after_grinding_mm, CUT_OUT)


def inspection(visual: bool, nondestructive: bool) -> Reason:
    """Visual inspection is supplemented by nondestructive testing.

    Source: 49 CFR 195.228 (memory).
    """
    parts = [
        name for name, done in (("visual", visual), ("nondestructive", nondestructive)) if done
    ]
    verdict = CLEAR if visual and nondestructive else NONCONFORMITY
    return Reason(
        "inspection",
        " and ".join(parts) or "none",
        "visual and nondestructive",
        INSPECTION,
        verdict,
    )


def crack_removal(weld_mm: float, crack_mm: float, *, from_pipelay_vessel: bool = False) -> Reason:
    """A crack against 8 % of the weld length, in mm, as in Part 192.

    Source: 49 CFR 195.230(a) (secondary). Raises InputError: weld_mm <= 0.
    """
    same = crack_removal_gas(weld_mm, crack_mm, from_pipelay_vessel=from_pipelay_vessel)
    return replace(same, basis=CRACK)


def _number(name: str, value: int) -> None:
    if value < 0:
        raise InputError(name, found=value, expected="0 or more")


def least_tests_of_welder(welds_that_day: int) -> int:
    """Least number of one welder's girth welds of a day to examine, around the circumference: 10 %.

    Source: 49 CFR 195.234(d) (memory). Raises InputError: a negative number.

    >>> [least_tests_of_welder(n) for n in (1, 10, 11)]
    [1, 1, 2]
    """
    _number("welds_that_day", welds_that_day)
    return ceil(welds_that_day / 10)


def listed_place(welds: int, tested: int, impracticable: int) -> Reason:
    """A day's girth welds where all are examined: water, road, rail, municipality and the like.

    Impracticable welds may be left out, up to 10 % of the day.

    Source: 49 CFR 195.234(e) (memory). Raises InputError: a negative number.
    """
    for name, value in (("welds", welds), ("tested", tested), ("impracticable", impracticable)):
        _number(name, value)
    least = welds - min(impracticable, welds // 10)
    verdict = CLEAR if tested >= least else NONCONFORMITY
    return Reason(
        "welds examined that day", f"{tested} of {welds}", f"from {least}", LISTED, verdict
    )


def least_tests_of_all(welds: int) -> int:
    """Least number examined of the old girth welds of used pipe, or of tie-ins: all.

    Source: 49 CFR 195.234(f), (g) (memory). Raises InputError: a negative number.

    >>> least_tests_of_all(12)
    12
    """
    _number("welds", welds)
    return welds


def missing_of_record(stated: Iterable[str]) -> tuple[str, ...]:
    """Groups of the construction record that are not stated; kept for the facility's life.

    Source: 49 CFR 195.266 (read).

    >>> missing_of_record(RECORD_GROUPS[:5])
    ('valves and corrosion test stations',)
    """
    have = set(stated)
    return tuple(group for group in RECORD_GROUPS if group not in have)
