"""Clauses 5 to 7: which tests a procedure test piece needs."""

from __future__ import annotations

from dataclasses import dataclass

from dossier.codes.iso_15614_1_2004.basis import clause
from dossier.codes.iso_15614_1_2004.heat import hardness_exempt
from dossier.errors import InputError
from dossier.records.verdicts import Basis

SCOPE = clause("7.1, Table 1")
ROUTE = clause("6.1", "read")


@dataclass(frozen=True, slots=True, kw_only=True)
class Scope:
    """The tests of a test piece. None where the edition was not known well enough to say."""

    basis: Basis
    visual_percent: int
    surface_percent: int | None = None
    volumetric_percent: int | None = None  # radiography or ultrasound
    tensile: int = 0
    bend: int = 0
    impact_sets: int = 0
    hardness: bool | None = None
    macro: int | None = None


def required_tests(
    weld_type: str, t_mm: float | None = None, *, group: str = "", impact_specified: bool = False
) -> Scope:
    """The tests of a butt or fillet test piece in steel of `group`, thickness `t_mm`.

    Impact sets only from 12 mm and where specified; hardness unless sub-group 1.1 or group 8.
    Source: ISO 15614-1:2004, 7.1, Table 1 (memory). Raises InputError: another weld type, or
    impact specified without a thickness.

    >>> required_tests("butt", 14.0, group="1.2", impact_specified=True).impact_sets
    2
    """
    hardness = "required" in hardness_exempt(group) if group else None
    if weld_type == "fillet":
        return Scope(basis=SCOPE, visual_percent=100, surface_percent=100, volumetric_percent=0,
                     hardness=hardness, macro=2)  # fmt: skip
    if weld_type != "butt":
        raise InputError("weld_type", found=repr(weld_type), expected="butt or fillet")
    if impact_specified and t_mm is None:
        raise InputError("t_mm", found=t_mm, expected="a thickness where impact is specified")
    sets = 2 if impact_specified and t_mm is not None and t_mm >= 12 else 0
    return Scope(basis=SCOPE, visual_percent=100, surface_percent=100, volumetric_percent=100,
                 tensile=2, bend=4, impact_sets=sets, hardness=hardness, macro=1)  # fmt: skip


def butt_piece_allowed(first_mm: float, second_mm: float) -> bool:
    """Whether the two parts of a butt test piece may have these thicknesses: only equal ones.

    Not so for branch and fillet pieces. Source: ISO 15614-1:2004, 6.2 (read).

    >>> butt_piece_allowed(10.0, 12.0)
    False
    """
    return abs(first_mm - second_mm) < 1e-6


def qualification_route(*, standard_piece: bool) -> str:
    """The standard that a joint is qualified by: a geometry of no standard piece goes to 15613.

    Source: ISO 15614-1:2004, 6.1 (read).

    >>> qualification_route(standard_piece=False)
    'ISO 15613'
    """
    return "ISO 15614" if standard_piece else "ISO 15613"


def welder_is_qualified(*, procedure_accepted: bool, welder_items_covered: bool) -> bool:
    """Whether the welder of a procedure test is qualified by it.

    Source: ISO 15614-1:2004, 5 (read).

    >>> welder_is_qualified(procedure_accepted=True, welder_items_covered=True)
    True
    """
    return procedure_accepted and welder_items_covered


def same_manufacturer(tested_by: str, responsible: str) -> bool:
    """Whether the procedure may be used: one manufacturer made the test and answers for the weld.

    The place (workshop or site) is free. Source: ISO 15614-1:2004, 8.2 (secondary).

    >>> same_manufacturer("contractor A", "contractor B")
    False
    """
    return tested_by == responsible
