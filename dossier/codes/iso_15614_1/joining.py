"""Several tests together behind one procedure.

Each process of a procedure may rest on its own test. For one process, tests join only in the
variables named in `JOINED`, and only where every combination of thickness, deposit and diameter
that the procedure permits lies wholly inside a test (ranges that touch join). Heat input between
two tested levels is covered by both (8.4.8); positions join as the edition says.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from itertools import pairwise, product

from dossier.codes.face import Choices
from dossier.codes.iso_15614_1 import demand
from dossier.codes.iso_15614_1.judging import Rules, heat_inputs, judge, rank, worded
from dossier.codes.iso_15614_1.qualification import of_process, processes
from dossier.records.procedures import Pqr, Procedure
from dossier.records.verdicts import (
    CLEAR,
    HOLD,
    NONCONFORMITY,
    Basis,
    Qualified,
    Range,
    Reason,
    worst,
)

BOXED = ("material thickness", "deposited thickness", "outside diameter")
JOINED = (*BOXED, "position", "heat input")
Cell = dict[str, tuple[float, float]]


def supports(
    rules: Rules, pqrs: Sequence[Pqr], wps: Procedure, choices: Choices, basis: Basis
) -> tuple[Reason, ...]:
    """Reasons, one for each variable and process of `wps`, against its tests together."""
    if not pqrs or not wps.passes:
        found = "no test" if not pqrs else "no pass"
        return (Reason("tests", found, "a test for each process", basis, HOLD),)
    named = processes(wps.passes)
    reasons: list[Reason] = [result_reason(pqr, basis) for pqr in pqrs]
    for process in named:
        own = [pqr for pqr in pqrs if of_process(pqr.passes, process)]
        if not own:
            tested = ", ".join(sorted({p for pqr in pqrs for p in processes(pqr.passes)}))
            reasons.append(Reason("process", process, tested, basis, NONCONFORMITY))
            continue
        answers = for_process(rules, own, wps, process, choices)
        suffix = f", {process}" if len(named) > 1 else ""
        reasons += [replace(one, variable=one.variable + suffix) for one in answers]
    return tuple(reasons)


def by_process(
    ranges: Callable[[Pqr, str, Choices], Qualified], pqr: Pqr, choices: Choices
) -> Qualified:
    """The ranges of all processes of a test; with several, each variable carries its process.

    >>> from datetime import date
    >>> from dossier.records.procedures import PqrPass
    >>> passes = tuple(PqrPass(number=1, kind="fill", process=p) for p in ("141", "111"))
    >>> test = Pqr(number="P1", code="", welded_on=date(2025, 2, 3), passes=passes)
    >>> thick = Range(3.0, 24.0, Basis("ISO 15614-1", "2017", "8.3.2"))
    >>> list(by_process(lambda pqr, process, choices: {"wall": thick}, test, {}))
    ['wall, 141', 'wall, 111']
    """
    named = processes(pqr.passes)
    if len(named) == 1:
        return ranges(pqr, named[0], choices)
    return {
        f"{name}, {process}": found
        for process in named
        for name, found in ranges(pqr, process, choices).items()
    }


def result_reason(pqr: Pqr, basis: Basis) -> Reason:
    """The reason for the results of the test piece itself.

    >>> from datetime import date
    >>> test = Pqr(number="P1", code="ISO 15614-1:2017", welded_on=date(2025, 2, 3))
    >>> str(result_reason(test, Basis("ISO 15614-1", "2017", "7")).verdict)
    'hold'
    """
    failed = [one.kind for one in pqr.tests if one.result not in ("accepted", "")]
    open_ones = [one.kind for one in pqr.tests if not one.result]
    found = f"{pqr.number}: " + (", ".join(failed or open_ones) or f"{len(pqr.tests)} accepted")
    verdict = NONCONFORMITY if failed else HOLD if open_ones or not pqr.tests else CLEAR
    return Reason("test results", found, "all accepted", basis, verdict)


def for_process(
    rules: Rules, pqrs: Sequence[Pqr], wps: Procedure, process: str, choices: Choices
) -> tuple[Reason, ...]:
    """Reasons for one process: of the best single test, or of the tests that join."""
    answers = [(judge(rules, pqr, wps, process, choices), pqr) for pqr in pqrs]
    best = min(answers, key=lambda answer: rank(answer[0]))[0]
    if worst(best) == CLEAR or len(pqrs) == 1:
        return best
    joinable = [(reasons, pqr) for reasons, pqr in answers if _only_joined_open(reasons)]
    if len(joinable) < 2:
        return best
    joined = _joined(rules, joinable, wps, process, choices)
    return joined if joined and rank(joined) < rank(best) else best


def _only_joined_open(reasons: Iterable[Reason]) -> bool:
    return all(one.verdict == CLEAR or one.variable.startswith(JOINED) for one in reasons)


def _joined(
    rules: Rules,
    answers: Sequence[tuple[tuple[Reason, ...], Pqr]],
    wps: Procedure,
    process: str,
    choices: Choices,
) -> tuple[Reason, ...] | None:
    ranges = [(rules.ranges(pqr, process, choices), pqr) for _, pqr in answers]
    for cell in _cells(_asked(wps, process), [found for found, _ in ranges]):
        holding = [(found, pqr) for found, pqr in ranges if _holds(found, cell)]
        if not holding:
            return None
        positions = rules.positions([pqr for _, pqr in holding], choices)
        if worded(positions, "position", demand.positions(wps)).verdict != CLEAR:
            return None
        if worst(heat_inputs(_widest([found for found, _ in holding]), wps, process)) != CLEAR:
            return None
    names = ", ".join(pqr.number for _, pqr in ranges)
    base = min((reasons for reasons, _ in answers), key=rank)
    return tuple(
        one if one.verdict == CLEAR else replace(one, permitted=f"{names} together", verdict=CLEAR)
        for one in base
    )


def _asked(wps: Procedure, process: str) -> Cell:
    asked = {
        "material thickness": demand.ends(wps.wall_mm),
        "deposited thickness": demand.deposit(wps, process),
        "outside diameter": demand.ends(wps.od_mm) if wps.product != "plate" else None,
    }
    return {name: span for name, span in asked.items() if span is not None}


def _cells(asked: Cell, tests: Sequence[Qualified]) -> Iterable[Cell]:
    """The asked box, cut at every end of every test's range that falls inside it."""
    cuts: list[list[tuple[float, float]]] = []
    for name, (low, high) in asked.items():
        ends = {low, high}
        for found in tests:
            permitted = found.get(name)
            if isinstance(permitted, Range) and not permitted.nothing:
                ends |= {end for end in (permitted.low, permitted.high) if low < end < high}
        cuts.append(list(pairwise(sorted(ends))) or [(low, high)])
    for combination in product(*cuts):
        cell = dict(zip(asked, combination, strict=True))
        if _possible(cell):
            yield cell


def _possible(cell: Cell) -> bool:
    """A joint thinner than the deposit cannot be welded, so no test is asked for it."""
    deposit, wall = cell.get("deposited thickness"), cell.get("material thickness")
    return deposit is None or wall is None or deposit[0] <= wall[1]


def _holds(ranges: Qualified, cell: Cell) -> bool:
    """Whether a test's ranges hold the whole cell; an open end does not hold the end itself."""
    for name, (low, high) in cell.items():
        permitted = ranges.get(name)
        if isinstance(permitted, Range) and not (low in permitted and high in permitted):
            return False
    return True


def _widest(tests: Sequence[Qualified]) -> Qualified:
    """Heat input ranges of several tests, each from the lowest to the highest of them."""
    found: Qualified = {}
    for name in dict.fromkeys(key for one in tests for key in one if key.startswith("heat input")):
        ranges = [one[name] for one in tests if name in one]
        spans = [one for one in ranges if isinstance(one, Range) and not one.nothing]
        if spans:
            low, high = min(one.low for one in spans), max(one.high for one in spans)
            found[name] = replace(spans[0], low=low, high=high)
    return found
