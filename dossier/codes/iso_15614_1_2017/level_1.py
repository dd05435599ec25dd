"""Level 1: wider ranges on fewer tests. All figures here are from memory."""

from __future__ import annotations

from collections.abc import Sequence
from math import inf

from dossier.codes.iso_15614_1_2004.scope import Scope
from dossier.codes.iso_15614_1_2017.basis import clause
from dossier.errors import InputError
from dossier.records.verdicts import Choice, Range


def level_covered(test_level: str, required_level: str = "") -> Choice:
    """The levels that a test at `test_level` covers: 2 covers 1, not the reverse.

    Where a procedure names no level, 2 is required (`required_level` "").
    Source: ISO 15614-1:2017, clause 1 (read). Raises InputError: neither 1 nor 2.

    >>> str(level_covered("2")), str(level_covered("1"))
    ('1, 2', '1')
    """
    for level in (test_level, required_level or "2"):
        if level not in ("1", "2"):
            raise InputError("level", found=repr(level), expected="1 or 2")
    return Choice.of(("1", "2") if test_level == "2" else ("1",), clause("1", "read"))


def required_level(stated: str) -> str:
    """The level that a project asks for: as stated, else 2.

    Source: ISO 15614-1:2017, clause 1 (read).

    >>> required_level(""), required_level("1")
    ('2', '1')
    """
    return stated or "2"


def butt_thickness_range(t_mm: float) -> Range:
    """Material thickness of butt welds that a level 1 test covers, in mm.

    Where it is not remembered at which thickness a row begins, the narrower row is used.
    Source: ISO 15614-1:2017, 8.3.2, Table 6 (memory). Raises InputError: t_mm of 0 or less.

    >>> str(butt_thickness_range(10.0)), str(butt_thickness_range(14.0))
    ('1.5 to 20 mm', '5 to 28 mm')
    """
    if not t_mm > 0:
        raise InputError("t_mm", found=t_mm, expected="more than 0 mm")
    basis = clause("8.3.2, Table 6")
    if t_mm < 1.5:
        return Range(t_mm, 2 * t_mm, basis)
    if t_mm <= 10:
        return Range(1.5, 2 * t_mm, basis)
    if t_mm <= 40:
        return Range(5.0, 2 * t_mm, basis)
    return Range(5.0, 200.0 if t_mm <= 150 else 1.33 * t_mm, basis)


def fillet_thickness_range() -> Range:
    """Material thickness of fillets that a level 1 test covers, in mm: any.

    Source: ISO 15614-1:2017, 8.3.2 (memory).

    >>> str(fillet_thickness_range())
    'any'
    """
    return Range(0.0, inf, clause("8.3.2"))


def diameter_range() -> Range:
    """Outside diameters that a level 1 test covers, in mm: any.

    Source: ISO 15614-1:2017, 8.3.3 (memory).

    >>> str(diameter_range())
    'any'
    """
    return Range(0.0, inf, clause("8.3.3"))


def heat_input_range(tested_kj_mm: Sequence[float]) -> Range:
    """Heat input that a level 1 test with impact requirement covers, in kJ/mm: up to the tested.

    Source: ISO 15614-1:2017, 8.4.7 (memory). Raises InputError: no level, or one of 0 or less.

    >>> str(heat_input_range([1.1, 1.4]))
    'up to 1.4 kJ/mm'
    """
    if not tested_kj_mm or not all(value > 0 for value in tested_kj_mm):
        raise InputError("tested_kj_mm", found=list(tested_kj_mm), expected="more than 0 kJ/mm")
    return Range(0.0, max(tested_kj_mm), clause("8.4.7"), "kJ/mm")


def required_tests() -> Scope:
    """The tests of a level 1 butt test piece.

    Source: ISO 15614-1:2017, 7.1, Table 1 (memory).

    >>> required_tests().bend
    4
    """
    return Scope(
        basis=clause("7.1, Table 1"),
        visual_percent=100,
        surface_percent=0,
        volumetric_percent=0,
        tensile=2,
        bend=4,
        hardness=False,
        macro=0,
    )
