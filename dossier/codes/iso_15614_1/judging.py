"""A procedure held against one test, for one of its processes: one reason for each variable."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace

from dossier.codes.face import Choices
from dossier.codes.iso_15614_1 import demand
from dossier.codes.iso_15614_1.qualification import of_process
from dossier.records.procedures import HeatTreatment, Pqr, Procedure
from dossier.records.verdicts import (
    CLEAR,
    HOLD,
    NONCONFORMITY,
    Choice,
    Qualified,
    Range,
    Reason,
    worst,
)

Pair = tuple[str, str]


@dataclass(frozen=True, slots=True)
class Rules:
    """The functions of an edition that the comparison asks."""

    ranges: Callable[[Pqr, str, Choices], Qualified]
    material: Callable[[Pair, Pair], Reason]
    filler: Callable[[str, str], bool | None]
    is_group: Callable[[str], bool]
    sides: Callable[[str, str], str]
    positions: Callable[[Iterable[Pqr], Choices], Choice]


def judge(
    rules: Rules, pqr: Pqr, wps: Procedure, process: str, choices: Choices
) -> tuple[Reason, ...]:
    """Reasons for one process of `wps` against `pqr`, one for each variable."""
    ranges = rules.ranges(pqr, process, choices)
    return (
        _worded(ranges, "process", [process]),
        *_level(ranges, wps),
        _worded(ranges, "weld type", [wps.weld_type]),
        *_sides(rules, ranges, wps),
        *_materials(rules, ranges, pqr, wps),
        *_thicknesses(ranges, wps, process),
        *_diameter(ranges, wps),
        _worded(ranges, "position", demand.positions(wps)),
        *_runs(ranges, wps, process),
        *_electrical(rules, ranges, wps, process),
        *heat_inputs(ranges, wps, process),
        *_temperatures(ranges, wps),
    )


def _choice(ranges: Qualified, name: str) -> Choice:
    found = ranges[name]
    assert isinstance(found, Choice)  # noqa: S101 - worded variables have worded ranges
    return found


def _range(ranges: Qualified, name: str) -> Range:
    found = ranges[name]
    assert isinstance(found, Range)  # noqa: S101 - numeric variables have numeric ranges
    return found


def worded(permitted: Choice, name: str, values: Iterable[str]) -> Reason:
    """One reason for all `values`; an empty one, or none at all, was not stated: hold.

    >>> from dossier.records.verdicts import Basis
    >>> both = Choice.of(("DC+", "DC-"), Basis("ISO 15614-1", "2017", "8.4.6"))
    >>> str(worded(both, "current", ["DC+"]).verdict), str(worded(both, "current", ["AC"]).verdict)
    ('clear', 'nonconformity')
    """
    values = list(dict.fromkeys(values))
    if permitted.values is None:
        found = ", ".join(value for value in values if value) or "not stated"
        return Reason(name, found, "any", permitted.basis)
    if not values or "" in values:
        return Reason(name, "not stated", str(permitted), permitted.basis, HOLD)
    outside = [value for value in values if value not in permitted]
    gap = HOLD if permitted.nothing.endswith("not recorded") else NONCONFORMITY
    return Reason(
        name, ", ".join(values), str(permitted), permitted.basis, gap if outside else CLEAR
    )


def _worded(ranges: Qualified, name: str, values: Iterable[str]) -> Reason:
    return worded(_choice(ranges, name), name, values)


def _level(ranges: Qualified, wps: Procedure) -> list[Reason]:
    if "level" not in ranges:
        return []
    return [_worded(ranges, "level", [wps.level or "2"])]


def _sides(rules: Rules, ranges: Qualified, wps: Procedure) -> list[Reason]:
    name = "sides and backing"
    if name not in ranges or wps.weld_type == "fillet":
        return []
    asked = rules.sides(wps.groove.sides, wps.groove.backing) if wps.groove else ""
    return [_worded(ranges, name, [asked])]


def _materials(rules: Rules, ranges: Qualified, pqr: Pqr, wps: Procedure) -> list[Reason]:
    permitted = _choice(ranges, "material groups")
    stated = wps.material_groups
    if permitted.nothing or not stated or not all(map(rules.is_group, stated)):
        found = ", ".join(stated) or "not stated"
        return [Reason("material groups", found, str(permitted), permitted.basis, HOLD)]
    test = (pqr.material_groups[0], pqr.material_groups[-1])
    answers = [rules.material(test, pair) for pair in demand.group_pairs(stated)]
    found = "; ".join(reason.found for reason in answers)
    reasons = [replace(max(answers, key=lambda reason: reason.verdict), found=found)]
    if "yield strength" in ranges:
        asked = demand.ends(wps.smys_mpa)
        reasons.append(demand.judge_span("yield strength", asked, _range(ranges, "yield strength")))
    return reasons


def _thicknesses(ranges: Qualified, wps: Procedure, process: str) -> list[Reason]:
    asked = {
        "material thickness": demand.ends(wps.wall_mm),
        "deposited thickness": demand.deposit(wps, process),
        "throat": demand.ends(wps.groove.throat_mm) if wps.groove else None,
    }
    skipped = set() if wps.weld_type == "fillet" else {"throat"}
    reasons = [
        demand.judge_span(name, span, _range(ranges, name))
        for name, span in asked.items()
        if name in ranges and name not in skipped
    ]
    if wps.weld_type == "branch":
        reasons.append(_branch(ranges, wps))
    return reasons


def _branch(ranges: Qualified, wps: Procedure) -> Reason:
    permitted = ranges.get("branch angle")
    if isinstance(permitted, Range) and wps.branch_angle_deg is not None:
        return demand.judge_span("branch angle", demand.ends(wps.branch_angle_deg), permitted)
    found = "no branch test" if wps.branch_angle_deg else "not stated on the procedure"
    basis = ranges["weld type"].basis
    return Reason("branch angle", found, str(permitted or "as tested"), basis, HOLD)


def _diameter(ranges: Qualified, wps: Procedure) -> list[Reason]:
    if wps.product == "plate":
        return []
    name, turned = "outside diameter", "outside diameter, rotating pipe"
    # Flat on a pipe means turned; no other position shows it. Level 1 has no such limit.
    if turned in ranges and set(demand.positions(wps)) == {"PA"}:
        name = turned
    return [demand.judge_span(name, demand.ends(wps.od_mm), _range(ranges, name))]


def _runs(ranges: Qualified, wps: Procedure, process: str) -> list[Reason]:
    if "runs" not in ranges:
        return []
    return [_worded(ranges, "runs", [demand.runs(wps, process)])]


def _electrical(rules: Rules, ranges: Qualified, wps: Procedure, process: str) -> list[Reason]:
    passes = of_process(wps.passes, process)
    reasons = []
    if "current" in ranges:
        reasons.append(_worded(ranges, "current", [one.current for one in passes]))
    if "transfer" in ranges:
        reasons.append(_worded(ranges, "transfer", [one.transfer for one in passes]))
    reasons.append(_filler(rules, ranges, [one.filler for one in passes]))
    if process[:2] in ("13", "14", "15") and "shielding gas" in ranges:
        reasons.append(_worded(ranges, "shielding gas", [one.gas for one in passes]))
    return reasons


def _filler(rules: Rules, ranges: Qualified, fillers: list[str]) -> Reason:
    permitted = _choice(ranges, "filler")
    found = ", ".join(dict.fromkeys(fillers)) or "not stated"
    tested = sorted(permitted.values or ())
    if not tested or not all(fillers) or not fillers:
        return Reason("filler", found, str(permitted), permitted.basis, HOLD)
    verdict = CLEAR
    for filler in fillers:
        answers = [rules.filler(test, filler) for test in tested]
        if True not in answers:
            verdict = max(verdict, HOLD if None in answers else NONCONFORMITY)
    return Reason("filler", found, str(permitted), permitted.basis, verdict)


def heat_inputs(ranges: Qualified, wps: Procedure, process: str) -> list[Reason]:
    """Reasons for the heat input of each pass, against its own kind where the test has it.

    >>> sheet = Procedure(number="W1", revision="0", title="sheet", code="ISO 15614-1:2017")
    >>> heat_inputs({}, sheet, "111")
    []
    """
    if "heat input" not in ranges:
        return []
    reasons: dict[str, Reason] = {}
    for one in of_process(wps.passes, process):
        kind = f"heat input, {one.kind}"
        permitted = _range(ranges, kind if kind in ranges else "heat input")
        reason = demand.judge_span(kind, demand.heat_input(one), permitted)
        if kind not in reasons or reason.verdict > reasons[kind].verdict:
            reasons[kind] = reason
    return list(reasons.values())


def _temperatures(ranges: Qualified, wps: Procedure) -> list[Reason]:
    reasons = []
    for name, value in (("preheat", wps.preheat_min_c), ("interpass", wps.interpass_max_c)):
        if name in ranges:
            asked = None if value is None else (value, value)
            reasons.append(demand.judge_span(name, asked, _range(ranges, name)))
    if "hydrogen" in ranges and wps.hydrogen_ml_100g is not None:
        asked = (wps.hydrogen_ml_100g, wps.hydrogen_ml_100g)
        reasons.append(demand.judge_span("hydrogen", asked, _range(ranges, "hydrogen")))
    reasons.append(_heat_treatment(_range(ranges, "heat treatment"), wps.pwht))
    return reasons


def _heat_treatment(permitted: Range, pwht: HeatTreatment | None) -> Reason:
    name = "heat treatment"
    untreated = permitted.nothing == "tested without heat treatment"
    if pwht is None:
        permitted_text = "none" if untreated else str(permitted)
        return Reason(
            name, "none", permitted_text, permitted.basis, CLEAR if untreated else NONCONFORMITY
        )
    return demand.judge_span(name, demand.ends(pwht.temperature_c), permitted)


def rank(reasons: Iterable[Reason]) -> tuple[int, int]:
    """How well a test suits: the worst verdict, then how many variables are not clear.

    >>> rank([])
    (<Verdict.CLEAR: 0>, 0)
    """
    reasons = tuple(reasons)
    return worst(reasons), sum(reason.verdict != CLEAR for reason in reasons)
