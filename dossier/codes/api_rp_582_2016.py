"""API RP 582:2016: ferrite of duplex stainless steel welds."""

from __future__ import annotations

from dossier.errors import InputError
from dossier.records.verdicts import Basis, Range, Reason

FERRITE = Basis("API RP 582", "2016", "duplex stainless steel", known="memory")


def ferrite_range(zone: str) -> Range:
    """Ferrite content permitted in a zone of a duplex weld, in percent.

    Only "weld_metal" is held here (30 to 65). Project papers differ, 35 to 60 is common: the
    project's figure goes first.

    Source: API RP 582:2016 (memory). Raises InputError for another zone.

    >>> str(ferrite_range("weld_metal"))
    '30 to 65 %'
    """
    if zone != "weld_metal":
        raise InputError("zone", found=zone, expected="weld_metal")
    return Range(30.0, 65.0, FERRITE, unit="%")


def ferrite(zone: str, found_pct: float | None) -> Reason:
    """The reason for a ferrite content, in percent; not recorded is a hold.

    Source: API RP 582:2016 (memory). Raises InputError for another zone than the weld metal.

    >>> str(ferrite("weld_metal", 66.0).verdict)
    'nonconformity'
    """
    return ferrite_range(zone).judge("ferrite", found_pct)
