"""49 CFR 195.248: cover over buried hazardous liquid lines (as amended 2017)."""

from __future__ import annotations

from math import inf
from types import MappingProxyType

from dossier.errors import InputError
from dossier.records.verdicts import Basis, Range, Reason

COVER = Basis("49 CFR 195", "2017", "195.248(a)", known="read")

# Location: least cover in inches in normal excavation, and in rock. The offshore rows are from
# memory.
_COVER_IN = MappingProxyType(
    {
        "industrial_commercial_residential": (36.0, 30.0),
        "inland_water_100_ft_or_more": (48.0, 18.0),
        "drainage_ditch_road_rail": (36.0, 36.0),
        "deepwater_port_safety_zone": (48.0, 24.0),
        "gulf_of_mexico_inlets": (36.0, 18.0),
        "other_offshore_under_12_ft": (36.0, 18.0),
        "any_other": (30.0, 18.0),
    }
)


def min_cover_in(location: str, excavation: str) -> float:
    """Least cover over a liquid line from the top of the pipe, in inches.

    `location` is a key of the table, `excavation` "normal" or "rock". Whatever the table says,
    the pipe lies below the level of cultivation.

    Source: 49 CFR 195.248(a) (read; offshore rows memory).
    Raises InputError for an unknown location or excavation.

    >>> min_cover_in("any_other", "normal"), min_cover_in("drainage_ditch_road_rail", "rock")
    (30.0, 36.0)
    """
    if location not in _COVER_IN:
        raise InputError("location", found=location, expected=f"one of {', '.join(_COVER_IN)}")
    if excavation not in ("normal", "rock"):
        raise InputError("excavation", found=excavation, expected="normal or rock")
    return _COVER_IN[location][excavation == "rock"]


def min_cover_mm(location: str, excavation: str) -> int:
    """The same least cover in whole millimetres, as the regulation prints it.

    Source: 49 CFR 195.248(a) (read). Raises InputError as `min_cover_in` does.

    >>> min_cover_mm("any_other", "normal"), min_cover_mm("inland_water_100_ft_or_more", "normal")
    (762, 1219)
    """
    return round(min_cover_in(location, excavation) * 25.4)


def cover(location: str, excavation: str, measured_in: float | None) -> Reason:
    """The reason for a measured cover, in inches; not recorded is a hold.

    Source: 49 CFR 195.248(a) (read). Raises InputError for an unknown location or excavation.

    >>> str(cover("drainage_ditch_road_rail", "rock", 34.0).verdict)
    'nonconformity'
    """
    least = Range(min_cover_in(location, excavation), inf, COVER, unit="in")
    return least.judge("cover", measured_in)
