"""What procedures, reports and lists must state: API 1104, 21st edition, 5.3, 6.8 and Figure 2."""

from __future__ import annotations

from collections.abc import Iterable
from math import pi

from dossier.codes.api_1104_21.radiography import SHARE, UNDERCUT_SHARE
from dossier.codes.api_1104_21.settings import basis, weld_length_mm
from dossier.errors import InputError
from dossier.records.verdicts import CLEAR, HOLD, Reason

RECORDS = basis("6.8")

# 5.3.2 (secondary); cooling after welding came with this edition.
WPS_ITEMS = (
    "process",
    "materials",
    "diameters and walls",
    "joint design",
    "filler metal, flux and number of beads",
    "electrical characteristics",
    "flame characteristics",
    "position",
    "direction of welding",
    "time between passes",
    "line-up clamp: kind and removal",
    "cleaning",
    "preheat and post-weld heat treatment",
    "shielding gas and flow rate",
    "shielding flux",
    "speed of travel",
    "cooling after welding",
)

# Figure 2 (secondary)
COUPON_REPORT = (
    "date", "location", "welder", "weather", "parameters", "filler", "pipe", "coupon_sizes",
    "tensile", "bend", "nick_break", "remarks", "tested_by", "supervisor",
)  # fmt: skip


def missing_of(required: Iterable[str], stated: Iterable[str]) -> tuple[str, ...]:
    """The required items that are not stated, in their order.

    >>> missing_of(COUPON_REPORT, [item for item in COUPON_REPORT if item != "bend"])
    ('bend',)
    """
    have = set(stated)
    return tuple(item for item in required if item not in have)


def welder_records(results_kept: bool, list_kept: bool) -> tuple[Reason, ...]:
    """Records of welder tests: each result, and a list of qualified welders with procedures.

    Source: API 1104, 21st edition, 6.8 (memory).
    """
    return tuple(
        Reason(name, "kept" if kept else "not kept", "kept", RECORDS, CLEAR if kept else HOLD)
        for name, kept in (("test results", results_kept), ("list of welders", list_kept))
    )


def shares_of_weld_mm(od_mm: float) -> tuple[float, float, float]:
    """Weld length, 8 % of it and one sixth of it, in mm, by outside diameter in mm.

    Source: API 1104, 21st edition, 9.3 (arithmetic from the read percentages).
    Raises InputError: od_mm <= 0.

    >>> [round(part / 25.4, 3) for part in shares_of_weld_mm(609.6)]
    [75.398, 6.032, 12.566]
    """
    length = weld_length_mm(od_mm)
    return length, SHARE * length, UNDERCUT_SHARE * length


def crossover_wall_mm(percent_of_wall: float, cap_mm: float) -> float:
    """Wall (mm) at which a share of it equals a fixed limit; below it the share governs.

    Arithmetic. Raises InputError: a percentage not more than 0.

    >>> round(crossover_wall_mm(25, 3.175), 6)
    12.7
    """
    if not percent_of_wall > 0:
        raise InputError("percent_of_wall", found=percent_of_wall, expected="more than 0 %")
    return cap_mm / (percent_of_wall / 100)


def od_of_weld_length_mm(weld_mm: float) -> float:
    """Outside diameter (mm) of a girth weld of a given length in mm. Arithmetic.

    Raises InputError: a length not more than 0.

    >>> round(od_of_weld_length_mm(304.8) / 25.4, 2)
    3.82
    """
    if not weld_mm > 0:
        raise InputError("weld_mm", found=weld_mm, expected="more than 0 mm")
    return weld_mm / pi
