"""The fewest further procedure tests that support every WPS in use."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from itertools import combinations

from dossier.codes.editions import procedure_code
from dossier.codes.face import Choices
from dossier.coverage.plan.procedure_pieces import pieces_for
from dossier.coverage.plan.solve import Choice, fewest
from dossier.coverage.view import View
from dossier.errors import InputError
from dossier.records.procedures import Pqr, Procedure
from dossier.records.verdicts import CLEAR, HOLD, Basis, Qualified, Reason, Verdict, worst

_KEPT, _PAIRED = 24, 16


@dataclass(frozen=True, slots=True)
class Lack:
    """A WPS that its tests do not support: the tests it names that exist, and why not."""

    wps: Procedure
    tested: tuple[Pqr, ...]
    reasons: tuple[Reason, ...]

    @property
    def name(self) -> str:
        """Number and revision."""
        return f"{self.wps.number} rev. {self.wps.revision}"


@dataclass(frozen=True, slots=True)
class ProposedPiece:
    """One procedure test of the plan, what it qualifies and which sheets it supports."""

    name: str
    pqr: Pqr
    supports: tuple[str, ...]
    qualified: Qualified


@dataclass(frozen=True, slots=True)
class ProcedureTests:
    """The plan for the sheets, its proof, and the sheets that no test or pair of tests supports."""

    sheets: int
    lacking: tuple[Lack, ...]
    pieces: tuple[ProposedPiece, ...]
    choice: Choice
    looked_at: int
    impossible: tuple[tuple[str, tuple[Reason, ...]], ...]


def procedure_tests(seen: View) -> ProcedureTests:
    """Plan the fewest tests for the sheets that are issued or drafted and not ended."""
    sheets = [wps for wps in seen.project.procedures if in_use(wps, seen.as_of)]
    lacking = [lack for wps in sheets if (lack := lack_of(seen, wps)) is not None]
    found = _candidates(lacking, seen.choices)
    names = {f"P{n}": pqr for n, pqr in enumerate(found, 1)}
    ways = {lack.name: _ways(lack, names, seen.choices) for lack in lacking}
    choice = fewest({name: way for name, way in ways.items() if way})
    chosen = {name: names[name] for name in choice.names}
    impossible = tuple(
        (lack.name, _nearest(lack, names.values(), seen.choices))
        for lack in lacking
        if not ways[lack.name]
    )
    pieces = tuple(_proposed(chosen, ways, seen.choices))
    return ProcedureTests(len(sheets), tuple(lacking), pieces, choice, len(found), impossible)


def in_use(wps: Procedure, day: date) -> bool:
    """Whether a sheet is issued or drafted and its time has not ended."""
    ended = wps.valid_until is not None and wps.valid_until < day
    return wps.status != "withdrawn" and not ended


def lack_of(seen: View, wps: Procedure) -> Lack | None:
    """What a WPS lacks against the tests that it names; None where it is supported."""
    tested = tuple(seen.known.pqrs[n] for n in wps.pqrs if n in seen.known.pqrs)
    reasons = _open(supported(tested, wps, seen.choices))
    return Lack(wps, tested, reasons) if reasons else None


def supported(tests: Sequence[Pqr], wps: Procedure, choices: Choices) -> tuple[Reason, ...]:
    """The reasons of the WPS's own code; a value that it does not know is a hold."""
    try:
        return procedure_code(wps.code).supports(tests, wps, choices)
    except InputError as error:
        standard, _, edition = wps.code.rpartition(":")
        basis = Basis(standard, edition, "")
        return (Reason("record", str(error), "values that the code knows", basis, HOLD),)


def _open(reasons: Iterable[Reason]) -> tuple[Reason, ...]:
    return tuple(reason for reason in reasons if reason.verdict != CLEAR)


def _rank(reasons: Iterable[Reason]) -> tuple[Verdict, int]:
    kept = tuple(reasons)
    return worst(kept), len(_open(kept))


def _candidates(lacking: Sequence[Lack], choices: Choices) -> list[Pqr]:
    """Test pieces worth looking at: for each sheet those that come nearest to supporting it."""
    found: dict[str, Pqr] = {}
    for lack in lacking:
        distinct: dict[str, Pqr] = {}
        for piece in pieces_for(lack.wps, lack.tested):
            distinct.setdefault(_range_words(piece, choices), piece)
        ranked = sorted(
            distinct.items(),
            key=lambda pair: _rank(supported((*lack.tested, pair[1]), lack.wps, choices)),
        )
        for words, piece in ranked[:_KEPT]:
            found.setdefault(words, piece)
    return list(found.values())


def _range_words(piece: Pqr, choices: Choices) -> str:
    try:
        found = procedure_code(piece.code).procedure_range(piece, choices)
    except InputError:
        return repr(piece)
    return piece.code + repr([(name, str(limit)) for name, limit in found.items()])


def _ways(lack: Lack, names: dict[str, Pqr], choices: Choices) -> list[frozenset[str]]:
    """Single tests that support a sheet beside its own; where none does, pairs of tests."""
    fitting = {
        name: pqr
        for name, pqr in names.items()
        if pqr.code == lack.wps.code and pqr.level == lack.wps.level
    }
    answers = {
        name: supported((*lack.tested, pqr), lack.wps, choices) for name, pqr in fitting.items()
    }
    alone = [frozenset({name}) for name, rs in answers.items() if worst(rs) == CLEAR]
    if alone:
        return alone
    near = sorted(answers, key=lambda name: _rank(answers[name]))[:_PAIRED]
    return [
        frozenset(pair)
        for pair in combinations(near, 2)
        if worst(supported((*lack.tested, *(fitting[n] for n in pair)), lack.wps, choices)) == CLEAR
    ]


def _nearest(lack: Lack, found: Iterable[Pqr], choices: Choices) -> tuple[Reason, ...]:
    answers = [
        supported((*lack.tested, pqr), lack.wps, choices)
        for pqr in found
        if pqr.code == lack.wps.code
    ]
    return _open(min(answers, key=_rank)) if answers else lack.reasons


def _proposed(
    chosen: dict[str, Pqr], ways: dict[str, list[frozenset[str]]], choices: Choices
) -> Iterator[ProposedPiece]:
    held = set(chosen)
    for number, (name, pqr) in enumerate(chosen.items(), 1):
        sheets = tuple(
            sheet
            for sheet, found in ways.items()
            if any(name in way and way <= held for way in found)
        )
        ranges = procedure_code(pqr.code).procedure_range(pqr, choices)
        yield ProposedPiece(f"P{number}", replace(pqr, number=f"P{number}"), sheets, ranges)
