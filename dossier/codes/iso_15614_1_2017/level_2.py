"""Level 2: the rules of 2004 under the clauses of 2017, and the few that changed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import inf

from dossier.codes.iso_15614_1_2004 import dimensions, heat, materials, scope, technique
from dossier.codes.iso_15614_1_2017.basis import clause
from dossier.errors import InputError
from dossier.records.verdicts import Choice, Range, Reason


def butt_thickness_range(t_mm: float, runs: str, *, impact_untested: bool = False) -> Range:
    """As in 2004: see there. Source: ISO 15614-1:2017, 8.3.2, Table 7 (memory).

    >>> str(butt_thickness_range(20.0, "multi"))
    '10 to 40 mm'
    """
    found = dimensions.butt_thickness_range(t_mm, runs, impact_untested=impact_untested)
    return replace(found, basis=clause("8.3.2, Table 7"))


def deposit_range(s_mm: float) -> Range:
    """Deposit of one process that a test covers, in mm: up to twice that of the test.

    Source: ISO 15614-1:2017, 8.3.2, Table 7 (secondary). Raises InputError: s_mm of 0 or less.

    >>> str(deposit_range(3.0))
    'up to 6 mm'
    """
    if not s_mm > 0:
        raise InputError("s_mm", found=s_mm, expected="more than 0 mm")
    return Range(0.0, 2 * s_mm, clause("8.3.2, Table 7", "secondary"))


def fillet_thickness_range(t_mm: float, *, wide: bool = False) -> Range:
    """As in 2004, or `wide`: 3 mm to 2 t for 3 to 30 mm, as this edition is recalled.

    Source: ISO 15614-1:2017, 8.3.2, Table 8 (memory, not confirmed).

    >>> str(fillet_thickness_range(10.0)), str(fillet_thickness_range(10.0, wide=True))
    ('5 to 12 mm', '3 to 20 mm')
    """
    basis = clause("8.3.2, Table 8")
    if wide and 3 < t_mm < 30:
        return Range(3.0, 2 * t_mm, basis)
    return replace(dimensions.fillet_thickness_range(t_mm), basis=basis)


def throat_range(a_mm: float, runs: str) -> Range:
    """As in 2004. Source: ISO 15614-1:2017, 8.3.2, Table 8 (memory).

    >>> str(throat_range(4.0, "single"))
    '3 to 6 mm'
    """
    return replace(dimensions.throat_range(a_mm, runs), basis=clause("8.3.2, Table 8"))


def diameter_range(od_mm: float) -> Range:
    """As in 2004. Source: ISO 15614-1:2017, 8.3.3 (memory).

    >>> str(diameter_range(219.1))
    'from 109.55 mm'
    """
    return replace(dimensions.diameter_range(od_mm), basis=clause("8.3.3"))


def plate_diameter_range(*, rotating: bool) -> Range:
    """As in 2004. Source: ISO 15614-1:2017, 8.3.3 (memory).

    >>> str(plate_diameter_range(rotating=False))
    'more than 500 mm'
    """
    return replace(dimensions.plate_diameter_range(rotating=rotating), basis=clause("8.3.3"))


def branch_angle_range(angle_deg: float) -> Range:
    """As in 2004. Source: ISO 15614-1:2017, 8.3.4 (memory).

    >>> str(branch_angle_range(45.0))
    '45 to 90 deg'
    """
    return replace(dimensions.branch_angle_range(angle_deg), basis=clause("8.3.4"))


def material_reason(test: tuple[str, str], production: tuple[str, str]) -> Reason:
    """As in 2004. Source: ISO 15614-1:2017, 8.3.1, Table 5 (secondary).

    >>> str(material_reason(("10.1", "10.1"), ("10.2", "10.2")).verdict)
    'nonconformity'
    """
    basis = clause("8.3.1, Table 5", "secondary")
    return replace(materials.material_reason(test, production), basis=basis)


def heat_input_range(tested_kj_mm: Sequence[float], *, impact: bool, hardness: bool) -> Range:
    """As in 2004. Source: ISO 15614-1:2017, 8.4.7 (memory).

    >>> str(heat_input_range([1.2], impact=True, hardness=False))
    'up to 1.5 kJ/mm'
    """
    found = heat.heat_input_range(tested_kj_mm, impact=impact, hardness=hardness)
    return replace(found, basis=clause("8.4.7"))


def preheat_range(tested_c: float, allowance_c: float = 0.0) -> Range:
    """Preheat in °C: from that of the test, less an `allowance_c` that the project reads.

    Source: ISO 15614-1:2017, 8.4.8 (memory; amendment 1 of 2019 carries 50 °C, secondary).

    >>> str(preheat_range(100.0)), str(preheat_range(100.0, 50.0))
    ('from 100 °C', 'from 50 °C')
    """
    return Range(tested_c - allowance_c, inf, clause("8.4.8"), "°C")


def interpass_range(highest_c: float, allowance_c: float = 0.0) -> Range:
    """Interpass temperature in °C: up to the highest of the test, and an `allowance_c`.

    Source: ISO 15614-1:2017, 8.4.9 (memory; amendment 1 of 2019 carries 50 °C, secondary).

    >>> str(interpass_range(230.0))
    'up to 230 °C'
    """
    return Range(-inf, highest_c + allowance_c, clause("8.4.9"), "°C")


def pwht_range(tested_c: float | None) -> Range:
    """As in 2004. Source: ISO 15614-1:2017, 8.4.11 (memory).

    >>> str(pwht_range(600.0))
    '580 to 620 °C'
    """
    return replace(heat.pwht_range(tested_c), basis=clause("8.4.11"))


def hardness_limit(group: str, *, heat_treated: bool) -> Range:
    """As in 2004. Source: ISO 15614-1:2017, 7.4.5, Table 3 (memory).

    >>> str(hardness_limit("3.1", heat_treated=True))
    'up to 380 HV10'
    """
    found = heat.hardness_limit(group, heat_treated=heat_treated)
    return replace(found, basis=clause("7.4.5, Table 3"))


def required_tests(
    weld_type: str, t_mm: float | None, group: str, *, impact_specified: bool
) -> scope.Scope:
    """As in 2004. Source: ISO 15614-1:2017, 7.1, Table 1 (memory).

    >>> required_tests("fillet", None, "1.2", impact_specified=False).macro
    2
    """
    found = scope.required_tests(weld_type, t_mm, group=group, impact_specified=impact_specified)
    return replace(found, basis=clause("7.1, Table 1"))


def qualified_positions(positions: Sequence[str], *, bound: bool) -> Choice:
    """As in 2004 with amendment 1. Source: ISO 15614-1:2017, 8.4.2 (secondary).

    >>> "J-L045" in qualified_positions(["H-L045"], bound=True)
    False
    """
    found = technique.qualified_positions(positions, bound=bound)
    return replace(found, basis=clause("8.4.2", "secondary"))
