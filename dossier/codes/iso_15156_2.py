"""ISO 15156-2: hardness of carbon steel welds in sour service."""

from __future__ import annotations

from dossier.errors import InputError
from dossier.records.verdicts import Basis, Range, Reason

HARDNESS = Basis("ISO 15156-2", "2009", "A.2.1.4, Table A.1", known="secondary")

LOCATIONS = ("root", "base_metal", "heat_affected_zone", "weld_metal", "cap")


def hardness_limit_hv(location: str, *, cap_agreed: bool = False) -> float:
    """Highest permitted hardness of a carbon steel weld for sour service, in HV.

    250 everywhere; 275 on a cap that the medium does not reach, with the conditions of the
    standard agreed (`cap_agreed`). 22 HRC where Rockwell is allowed.

    Source: ISO 15156-2:2009, A.2.1.4, Table A.1 (secondary; 275 memory).
    Raises InputError for an unknown location.

    >>> hardness_limit_hv("root")
    250.0
    """
    if location not in LOCATIONS:
        raise InputError("location", found=location, expected=f"one of {', '.join(LOCATIONS)}")
    return 275.0 if location == "cap" and cap_agreed else 250.0


def hardness(location: str, found_hv: float | None, *, cap_agreed: bool = False) -> Reason:
    """The reason for a hardness reading of a weld for sour service, in HV; none is a hold.

    Source: ISO 15156-2:2009, A.2.1.4, Table A.1 (secondary).
    Raises InputError for an unknown location.

    >>> str(hardness("root", 251.0).verdict)
    'nonconformity'
    """
    limit = hardness_limit_hv(location, cap_agreed=cap_agreed)
    return Range(0.0, limit, HARDNESS, unit="HV").judge("hardness", found_hv)
