"""Whether a WPS stays inside the procedure tests behind it (QW-200.4, QW-250).

The WPS is cut into groups of passes that share process, F-Number and transfer mode; each group
takes the test that answers it best, and tests that differ only in base metal or thickness add up.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations_with_replacement
from math import inf

from dossier.codes.asme_ix.common import NOISE_MM, Edition, chosen, clause, dated_reasons
from dossier.codes.asme_ix.fillers import product_form, written_number
from dossier.codes.asme_ix.metals import Pair
from dossier.codes.asme_ix.positions import places_needed, progression
from dossier.codes.asme_ix.pqr_limits import (
    EACH_PROCESS,
    UNRECORDED,
    arc_energy_of,
    filled,
    filler_used,
    heat_condition,
    pair_name,
    pair_of,
    procedure_range,
    process_and_f,
    toughness_counts,
)
from dossier.codes.asme_ix.results import procedure_specimens
from dossier.codes.asme_ix.thickness import LENT, root_may_be_lent
from dossier.codes.asme_ix.variables import process_name
from dossier.codes.face import DEPOSIT as DEPOSITED
from dossier.codes.face import PROCESS, Choices
from dossier.records.procedures import Pqr, Procedure, ProcedurePass, Span
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

TESTED = clause("QW-202.1, QW-451.1", "read")
IMPACT = clause("QW-401.3", "memory")


@dataclass(frozen=True, slots=True)
class Group:
    """Passes of a WPS that one test must support together: one process, one F-Number."""

    process: str
    f: int | None
    passes: tuple[ProcedurePass, ...]

    @property
    def name(self) -> str:
        """Process and F-Number, which tell groups apart: "SMAW F4"."""
        return process_and_f(self.process, self.f)

    @property
    def deposit_mm(self) -> float | None:
        """Deposit of the group in mm; None where a pass has none recorded."""
        parts = [one.deposit_mm for one in self.passes]
        return sum(part for part in parts if part) if all(parts) else None

    @property
    def root_only(self) -> bool:
        """The group holds nothing but root passes."""
        return all(one.kind == "root" for one in self.passes)


@dataclass(frozen=True, slots=True)
class Support:
    """One test as it answers a group: its limits, and the reasons apart from metal and size."""

    pqr: Pqr
    limits: Qualified
    reasons: tuple[Reason, ...]


def groups_of(wps: Procedure) -> tuple[Group, ...]:
    """The passes of a WPS by process, F-Number and transfer mode, in the order of the sheet."""
    found: dict[tuple[str, int | None, str], list[ProcedurePass]] = {}
    for one in wps.passes:
        name = process_name(one.process)
        f = written_number("F", one.filler_group, one.filler)
        found.setdefault((name, f, one.transfer), []).append(one)
    return tuple(Group(name, f, tuple(passes)) for (name, f, _), passes in found.items())


def supports(
    edition: Edition, pqrs: Sequence[Pqr], wps: Procedure, choices: Choices
) -> tuple[Reason, ...]:
    """Reasons, one for each variable of the WPS, against its tests together.

    Source: Section IX, QW-200.4, QW-250 to QW-410. Raises InputError: a process without a table.
    """
    reasons = [reason for pqr in pqrs for reason in _results(pqr, choices)]
    tough = toughness_counts(pqrs, choices)
    forced = {**choices, "ix toughness": "required" if tough else "not required"}
    if tough:
        reasons += [_impact(pqr) for pqr in pqrs]
    groups = groups_of(wps)
    if not groups:
        reasons.append(Reason(PROCESS, "no pass on the sheet", "one tested", EACH_PROCESS, HOLD))
    limits = [procedure_range(edition, pqr, forced) for pqr in pqrs]
    for group in groups:
        answers = [
            Support(pqr, limit, tuple(_variables(pqr, limit, wps, group)))
            for pqr, limit in zip(pqrs, limits, strict=True)
            if permits(limit[PROCESS], group.process)
        ]
        reasons += _answer(answers, wps, group) if answers else [_untested(limits, group)]
    units = chosen(choices, "ix units")
    for group in groups:
        if group.root_only and any(
            _lends(*one, group, wps, units) for one in zip(pqrs, limits, strict=True)
        ):
            reasons = _lent(reasons, group)
    return dated_reasons(tuple(reasons), edition)


def permits(limit: Range | Choice, name: str) -> bool:
    """A worded limit holds `name`."""
    return isinstance(limit, Choice) and name in limit


def _untested(limits: Iterable[Qualified], group: Group) -> Reason:
    known = (limit[PROCESS] for limit in limits)
    names = {name for one in known if isinstance(one, Choice) for name in one.values or ()}
    return Choice.of(names, EACH_PROCESS).judge(PROCESS, group.process)


def _impact(pqr: Pqr) -> Reason:
    found = "impact tested" if pqr.impact_tested else "not impact tested"
    verdict = CLEAR if pqr.impact_tested else NONCONFORMITY
    return Reason(f"impact tests of {pqr.number}", found, "impact tested", IMPACT, verdict)


def _results(pqr: Pqr, choices: Choices) -> Iterator[Reason]:
    failed = [test.kind for test in pqr.tests if test.result != "accepted"]
    yield Reason(
        f"results of {pqr.number}",
        ", ".join(failed) + " not accepted" if failed else f"{len(pqr.tests)} accepted",
        "every test accepted",
        TESTED,
        NONCONFORMITY if failed else CLEAR if pqr.tests else HOLD,
    )
    if pqr.weld_type == "fillet" or not pqr.wall_mm:
        return
    asked = procedure_specimens(pqr.wall_mm, chosen(choices, "ix units"))
    bends = asked["face_bend"] + asked["root_bend"] + asked["side_bend"]
    for word, least in (("tensi", asked["tension"]), ("bend", bends)):
        got = sum(test.specimens for test in pqr.tests if word in test.kind)
        label = "tension" if word == "tensi" else word
        limit = Range(least, inf, TESTED, "specimens")
        yield limit.judge(f"{label} specimens of {pqr.number}", got, HOLD)


def _judge(name: str, limit: Range | Choice, value: float | str | None) -> Reason:
    if limit.nothing == UNRECORDED:
        found = "not recorded" if value in (None, "") else str(value)
        return Reason(name, found, str(limit), limit.basis, HOLD)
    if isinstance(limit, Range):
        return limit.judge(name, value if isinstance(value, int | float) else None)
    return limit.judge(name, value if isinstance(value, str) and value else None)


def _variables(pqr: Pqr, limits: Qualified, wps: Procedure, group: Group) -> Iterator[Reason]:
    """Reasons of one test for one group, apart from base metal and thickness."""
    yield _judge("weld type", limits["weld type"], wps.weld_type)
    yield _judge("preheat", limits["preheat"], wps.preheat_min_c)
    pair = pair_of(pqr.material_groups)
    condition = heat_condition(wps.pwht, pair[0].p if pair else "")
    yield _judge("post-weld heat treatment", limits["post-weld heat treatment"], condition)
    if "interpass" in limits:
        yield _judge("interpass", limits["interpass"], wps.interpass_max_c)
    if "heat treatment time" in limits and wps.pwht:
        held = wps.pwht.holding_min
        yield _judge("heat treatment time", limits["heat treatment time"], held and held / 60)
    for one in group.passes:
        yield from _once(_pass_variables(limits, wps, one, group.process))


def _once(reasons: Iterable[Reason]) -> Iterator[Reason]:
    yield from dict.fromkeys(reasons)


def _pass_variables(
    limits: Qualified, wps: Procedure, one: ProcedurePass, process: str
) -> Iterator[Reason]:
    found: dict[str, float | str | None] = {
        "filler metal": filler_used(one),
        "product form": product_form(one.covering),
        "shielding gas": one.gas,
        "transfer": one.transfer,
        "classification": one.filler,
        "electrode diameter": one.filler_mm,
        "progression": _progression(wps, one),
        "current": one.current,
        "heat input": arc_energy_of(one),
    }
    if filled(one):
        for letter in "FA":
            number = written_number(letter, one.filler_group, one.filler)
            found[f"{letter}-Number"] = f"{letter}{number}" if number is not None else None
    for name, value in found.items():
        if f"{name}, {process}" in limits:
            yield _judge(f"{name}, {process}", limits[f"{name}, {process}"], value)


def _progression(wps: Procedure, one: ProcedurePass) -> str | None:
    if not wps.positions:
        return None
    ways = set()
    for position in wps.positions:
        needed = places_needed(position, fillet=wps.weld_type == "fillet")
        if needed is None:
            return None
        ways.add(progression(position, one.direction) if "V" in needed else "flat")
    if "" in ways:
        return None
    return "uphill" if "up" in ways else "not uphill"


def _answer(answers: Sequence[Support], wps: Procedure, group: Group) -> list[Reason]:
    best = min(answers, key=lambda support: worst(support.reasons))
    usable = [a for a in answers if worst(a.reasons) is worst(best.reasons)]
    reasons = list(dict.fromkeys(best.reasons))
    pairs = wps_pairs(wps.material_groups)
    if not pairs:
        limit = best.limits["base metal"]
        return [*reasons, _judge(f"base metal, {group.process}", limit, None)]
    for pair in pairs:
        reasons += _metal_and_size(usable, pair, wps, group)
    return reasons


def wps_pairs(groups: Sequence[str]) -> tuple[Pair, ...]:
    """The pairs of metals that a WPS asks for.

    "P1.1+P8.1" is that pair alone; plain entries ask each with itself and with all the others
    (the stricter reading of a list). Empty where an entry is no P-Number.

    >>> [pair_name({a.p, b.p}) for a, b in wps_pairs(["P1.1", "P3.1"])]
    ['P1 to P1', 'P1 to P3', 'P3 to P3']
    """
    written = [pair_of([group]) for group in groups]
    if None in written:
        return ()
    joined = [pair for pair, text in zip(written, groups, strict=True) if pair and "+" in text]
    plain = [
        pair[0] for pair, text in zip(written, groups, strict=True) if pair and "+" not in text
    ]
    return (*combinations_with_replacement(plain, 2), *joined)


def _metal_and_size(
    usable: Sequence[Support], pair: Pair, wps: Procedure, group: Group
) -> Iterator[Reason]:
    name = pair_name({member.p for member in pair})
    inside = [a for a in usable if permits(a.limits["base metal"], name)]
    tested = [a for a in inside if _groups_tested(a, pair)]
    chosen_one = (tested or inside or usable)[0]
    yield _judge(f"base metal, {group.process}", chosen_one.limits["base metal"], name)
    if "group numbers" in chosen_one.limits:
        yield _group_reason(chosen_one, pair, group)
    if wps.weld_type == "fillet":
        return
    sized = [a for a in tested or inside or usable if "base metal thickness" in a.limits]
    if sized:
        yield _thickness(sized, wps.wall_mm, group)
        yield _deposit(sized, wps, group)


def _groups_tested(support: Support, pair: Pair) -> bool:
    limit = support.limits.get("group numbers")
    return limit is None or all(str(m) in limit for m in pair if isinstance(limit, Choice))


def _group_reason(support: Support, pair: Pair, group: Group) -> Reason:
    limit = support.limits["group numbers"]
    found = " to ".join(str(member) for member in pair)
    if limit.nothing or not all(member.group for member in pair):
        verdict = HOLD
    else:
        verdict = CLEAR if _groups_tested(support, pair) else NONCONFORMITY
    return Reason(f"group numbers, {group.process}", found, str(limit), limit.basis, verdict)


def _thickness(tests: Sequence[Support], wall: Span | None, group: Group) -> Reason:
    name = f"base metal thickness, {group.name}"
    limits = [a.limits["base metal thickness"] for a in tests]
    ranges = sorted((r for r in limits if isinstance(r, Range) and not r.nothing), key=_low)
    if wall is None or not ranges:
        return _judge(name, limits[0], None)
    low, high = wall.low or 0.0, inf if wall.high is None else wall.high
    reached = low
    for one in ranges:
        if one.low <= reached + NOISE_MM:
            reached = max(reached, one.high)
    inside = any(low in one for one in ranges) and high <= reached + NOISE_MM
    permitted = " and ".join(dict.fromkeys(map(str, ranges)))
    found = f"{low:.6g} to {high:.6g} mm"
    return Reason(name, found, permitted, ranges[0].basis, CLEAR if inside else NONCONFORMITY)


def _low(one: Range) -> float:
    return one.low


def _deposit(tests: Sequence[Support], wps: Procedure, group: Group) -> Reason:
    key = f"{DEPOSITED}, {group.name}"
    limits = [a.limits[key] for a in tests if key in a.limits]
    ranges = [r for r in limits if isinstance(r, Range)]
    if not ranges:
        return Reason(key, "not tested", "the F-Number of a test", EACH_PROCESS, NONCONFORMITY)
    widest = max(ranges, key=lambda r: r.high)
    value = group.deposit_mm
    if value is None and len(groups_of(wps)) == 1 and wps.wall_mm:
        value = wps.wall_mm.high  # a single group fills the whole joint
    return _judge(key, widest, value)


def _lends(pqr: Pqr, limits: Qualified, group: Group, wps: Procedure, units: str) -> bool:
    """The test may lend its process to the root of a joint thicker than it covers itself."""
    base = limits.get("base metal thickness")
    low = (wps.wall_mm.low or 0.0) if wps.wall_mm else None
    return (
        pqr.wall_mm is not None
        and root_may_be_lent(pqr.wall_mm, units)
        and f"{DEPOSITED}, {group.name}" in limits
        and isinstance(base, Range)
        and low is not None
        and low >= base.low - NOISE_MM
    )


def _lent(reasons: Sequence[Reason], group: Group) -> list[Reason]:
    """`reasons` with the thickness of a root group taken from the tests of the other groups."""
    name = f"base metal thickness, {group.name}"
    others = [
        r for r in reasons if r.variable.startswith("base metal thickness") and r.variable != name
    ]
    if not others or worst(others) is not CLEAR:
        return list(reasons)
    return [
        replace(r, verdict=CLEAR, basis=LENT, permitted=f"{others[0].permitted}, root layers only")
        if r.variable == name and r.verdict is NONCONFORMITY
        else r
        for r in reasons
    ]
