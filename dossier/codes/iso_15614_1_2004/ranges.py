"""What one procedure test qualifies for one of its processes, variable by variable."""

from __future__ import annotations

from collections.abc import Iterable

from dossier.codes.face import Choices
from dossier.codes.iso_15614_1 import qualification
from dossier.codes.iso_15614_1_2004 import dimensions, heat, materials, technique
from dossier.codes.iso_15614_1_2004.basis import CHOICES
from dossier.codes.readings import reading
from dossier.records.procedures import HeatTreatment, Pqr, PqrPass
from dossier.records.verdicts import Basis, Choice, Qualified, Range


def required(choices: Choices, name: str, *, tested: bool) -> bool:
    """Whether impact or hardness is required, by the named reading.

    >>> required({}, "impact required", tested=True)
    True
    """
    chosen = reading(choices, CHOICES, name)
    return tested if chosen == "as tested" else chosen == "yes"


def process_range(pqr: Pqr, process: str, choices: Choices) -> Qualified:
    """What `pqr` qualifies for one of its processes, variable by variable, in sheet order.

    Source: ISO 15614-1:2004, 8.3 to 8.5. Raises InputError: a value the code does not know.

    >>> from datetime import date
    >>> test = Pqr(
    ...     number="P1", code="ISO 15614-1:2004", welded_on=date(2025, 2, 3), product="plate",
    ...     weld_type="butt", wall_mm=12.0, passes=(PqrPass(number=1, kind="fill", process="135"),),
    ... )
    >>> str(process_range(test, "135", {})["material thickness"])
    '6 to 15.6 mm'
    """
    impact = required(choices, "impact required", tested=pqr.impact_tested)
    hardness = required(choices, "hardness required", tested=pqr.hardness_tested)
    passes = qualification.of_process(pqr.passes, process)
    found: Qualified = {
        "process": technique.qualified_processes(process),
        **_joint(pqr),
        **_material(pqr),
        **_thickness(pqr, process, impact=impact),
        **_diameter(pqr),
        "position": _positions(pqr, bound=impact or hardness),
        "runs": _worded(
            technique.PROCESS, qualification.runs(pqr, process), technique.qualified_runs
        ),
        **_electrical(passes, process, impact=impact),
        "filler": _named((one.filler for one in passes), technique.FILLER),
        "shielding gas": _named((one.gas for one in passes), technique.GAS),
    }
    if impact or hardness:
        found |= _heat_inputs(passes, choices, impact=impact, hardness=hardness)
    return found | _temperatures(pqr)


def _positions(pqr: Pqr, *, bound: bool) -> Choice:
    named = qualification.iso_position_of(pqr)
    if not named:
        return Choice(frozenset(), technique.POSITION, "position of the test not recorded")
    return technique.qualified_positions([named], bound=bound)


def _worded(basis: Basis, value: str, rule: object) -> Choice:
    if not value:
        return Choice(frozenset(), basis, "value of the test not recorded")
    assert callable(rule)  # noqa: S101 - narrows the type
    found = rule(value)
    assert isinstance(found, Choice)  # noqa: S101 - narrows the type
    return found


def _named(values: Iterable[str], basis: Basis) -> Choice:
    named = frozenset(value for value in values if value)
    return Choice(named, basis, "" if named else "value of the test not recorded")


def _joint(pqr: Pqr) -> Qualified:
    """Weld type, sides and backing."""
    found: Qualified = {
        "weld type": _worded(technique.JOINT, pqr.weld_type, technique.qualified_weld_types)
    }
    if pqr.groove and pqr.weld_type != "fillet":
        found["sides and backing"] = technique.qualified_sides(pqr.groove.sides, pqr.groove.backing)
    return found


def _pair(groups: tuple[str, ...]) -> tuple[str, str]:
    return (groups[0], groups[1] if len(groups) > 1 else groups[0])


def _material(pqr: Pqr) -> Qualified:
    """Groups of the parent materials, and their yield strength where it counts."""
    if not pqr.material_groups or not all(map(materials.is_group, pqr.material_groups)):
        return {"material groups": Choice(frozenset(), materials.GROUPS, "groups not recorded")}
    pair = _pair(pqr.material_groups)
    found: Qualified = {"material groups": materials.qualified_pairs(*pair)}
    if strength := materials.yield_range(pair, pqr.smys_mpa):
        found["yield strength"] = strength
    return found


def _thickness(pqr: Pqr, process: str, *, impact: bool) -> Qualified:
    """Material thickness, deposit of the process, throat."""
    runs = qualification.runs(pqr, process)
    if pqr.weld_type == "fillet":
        return _fillet(pqr, runs)
    found: Qualified = {}
    if pqr.wall_mm is None or not runs:
        found["material thickness"] = Range.none(dimensions.BUTT, "thickness not recorded")
    else:
        several = len(qualification.processes(pqr.passes)) > 1
        untested = impact and not pqr.impact_tested
        found["material thickness"] = dimensions.butt_thickness_range(
            pqr.wall_mm, "multi" if several else runs, impact_untested=untested
        )
    if len(qualification.processes(pqr.passes)) > 1:
        deposit = qualification.deposit_mm(pqr, process)
        found["deposited thickness"] = (
            Range.none(dimensions.BUTT, "deposit of the test not recorded")
            if deposit is None or not runs
            else dimensions.deposit_range(deposit, runs)
        )
    if pqr.weld_type == "branch" and pqr.branch_angle_deg is not None:
        found["branch angle"] = dimensions.branch_angle_range(pqr.branch_angle_deg)
    return found


def _fillet(pqr: Pqr, runs: str) -> Qualified:
    gap = Range.none(dimensions.FILLET, "dimension of the test not recorded")
    return {
        "material thickness": gap
        if pqr.wall_mm is None
        else dimensions.fillet_thickness_range(pqr.wall_mm),
        "throat": gap
        if pqr.throat_mm is None or not runs
        else dimensions.throat_range(pqr.throat_mm, runs),
    }


def _diameter(pqr: Pqr) -> Qualified:
    """Outside diameter; for a test in plate also that of rotating pipe."""
    if pqr.product == "plate":
        return {
            "outside diameter": dimensions.plate_diameter_range(rotating=False),
            "outside diameter, rotating pipe": dimensions.plate_diameter_range(rotating=True),
        }
    if pqr.od_mm is None:
        why = "diameter of the test not recorded"
        return {"outside diameter": Range.none(dimensions.DIAMETER, why)}
    return {"outside diameter": dimensions.diameter_range(pqr.od_mm)}


def _electrical(passes: Iterable[PqrPass], process: str, *, impact: bool) -> Qualified:
    """Current and polarity, and the transfer mode where the process has one."""
    passes = tuple(passes)
    currents = {one.current for one in passes if one.current}
    allowed = {
        value
        for current in currents
        for value in technique.qualified_currents(process, current, impact_required=impact).values
        or ()
    }
    found: Qualified = {"current": _named(allowed, technique.CURRENT)}
    if process.startswith("13"):
        modes = {
            value
            for one in passes
            if one.transfer
            for value in technique.qualified_transfers(one.transfer).values or ()
        }
        found["transfer"] = _named(modes, technique.TRANSFER)
    return found


def _heat_inputs(
    passes: Iterable[PqrPass], choices: Choices, *, impact: bool, hardness: bool
) -> Qualified:
    """Heat input by kind of pass, and of the whole process."""
    passes = tuple(passes)
    kinds = [""]
    if reading(choices, CHOICES, "heat input by") == "pass kind":
        kinds += dict.fromkeys(one.kind for one in passes)
    found: Qualified = {}
    for kind in kinds:
        levels = qualification.heat_inputs(passes, kind)
        found[f"heat input, {kind}" if kind else "heat input"] = (
            heat.heat_input_range(levels, impact=impact, hardness=hardness)
            if levels
            else Range.none(heat.HEAT_INPUT, "heat input of the test not recorded", "kJ/mm")
        )
    return found


def _temperatures(pqr: Pqr) -> Qualified:
    """Preheat, interpass, hydrogen and heat treatment."""
    found: Qualified = {
        "preheat": Range.none(heat.PREHEAT, "preheat of the test not recorded", "°C")
        if pqr.preheat_c is None
        else heat.preheat_range(pqr.preheat_c),
        "interpass": Range.none(heat.INTERPASS, "interpass of the test not recorded", "°C")
        if pqr.interpass_max_c is None
        else heat.interpass_range(pqr.interpass_max_c),
        "heat treatment": _heat_treatment(pqr.pwht),
    }
    if pqr.hydrogen_ml_100g is not None:
        found["hydrogen"] = heat.hydrogen_range(pqr.hydrogen_ml_100g)
    return found


def _heat_treatment(pwht: HeatTreatment | None) -> Range:
    """Holding temperature that the heat treatment of the test covers, in °C."""
    if pwht is None:
        return heat.pwht_range(None)
    span = pwht.temperature_c
    held = [value for value in (span.low, span.high) if value is not None] if span else []
    if not held:
        return Range.none(heat.PWHT, "holding temperature not recorded", "°C")
    return heat.pwht_range(sum(held) / len(held))
