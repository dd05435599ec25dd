"""49 CFR 192.327: cover over buried gas transmission lines."""

from __future__ import annotations

from math import inf
from types import MappingProxyType

from dossier.errors import InputError
from dossier.records.verdicts import Basis, Range, Reason

COVER = Basis("49 CFR 192", "", "192.327(a), (e)", known="secondary")

# Location: least cover in inches in normal excavation, and in consolidated rock.
_COVER_IN = MappingProxyType(
    {
        "class_1": (30.0, 18.0),
        "class_2_3_4": (36.0, 24.0),
        "drainage_ditch_road_rail": (36.0, 24.0),
        "navigable_water": (48.0, 24.0),
    }
)


def min_cover_in(location: str, excavation: str) -> float:
    """Least cover over a gas transmission line, in inches.

    `location` is a key of the table ("class_1", "class_2_3_4", "drainage_ditch_road_rail",
    "navigable_water"), `excavation` "normal" or "rock". Less cover needs added protection (c).

    Source: 49 CFR 192.327(a), (e) (secondary; the last two rows memory).
    Raises InputError for an unknown location or excavation.

    >>> min_cover_in("class_1", "normal"), min_cover_in("class_2_3_4", "rock")
    (30.0, 24.0)
    """
    if location not in _COVER_IN:
        raise InputError("location", found=location, expected=f"one of {', '.join(_COVER_IN)}")
    if excavation not in ("normal", "rock"):
        raise InputError("excavation", found=excavation, expected="normal or rock")
    return _COVER_IN[location][excavation == "rock"]


def cover(location: str, excavation: str, measured_in: float | None) -> Reason:
    """The reason for a measured cover, in inches; not recorded is a hold.

    Source: 49 CFR 192.327(a), (e) (secondary).
    Raises InputError for an unknown location or excavation.

    >>> str(cover("class_2_3_4", "rock", 22.0).verdict)
    'nonconformity'
    """
    least = Range(min_cover_in(location, excavation), inf, COVER, unit="in")
    return least.judge("cover", measured_in)
