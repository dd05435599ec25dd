"""Is any film number used on two joints?

Several marks of one number on one joint are sections of one girth and normal. A number on two
joints is a contradiction to be cleared up, whatever its cause.
"""

from __future__ import annotations

from collections.abc import Iterator

from dossier.coverage.evidence import page_of, page_proof
from dossier.coverage.facts import Fact, Groups, Records, Told, by_key, shared
from dossier.coverage.view import View, project_basis
from dossier.records.verdicts import HOLD, Evidence, Finding, Reason

NAME = "film-numbers"


def check(seen: View) -> Iterator[Finding]:
    """One finding for each joint that shares a film number with another."""
    yield from conclude(seen, by_key(_gather(seen, seen.project)))


def _gather(_: View, records: Records) -> Iterator[Told]:
    """Each film with the joint and the report that it is named in."""
    for report in records.examinations:
        kept = (report.joint, *page_of(report))
        for film in report.films:
            yield (film,), report.origin, kept


FACTS = {NAME: _gather}


def conclude(seen: View, groups: Groups) -> Iterator[Finding]:
    """One finding for each joint that shares a film number with another."""
    basis = project_basis(seen, "identity of films")
    for key, named in shared(groups, least=2):
        film = str(key[0])
        joints: dict[str, list[Fact]] = {}
        for fact in named:
            joints.setdefault(str(fact.values[0]), []).append(fact)
        if len(joints) < 2:
            continue
        proofs = tuple(
            proof
            for uses in joints.values()
            for fact in uses
            for proof in (
                Evidence(fact.origin.of("films")),
                page_proof(fact.origin, *fact.values[1:]),
            )
        )
        for joint in joints:
            others = ", ".join(sorted(set(joints) - {joint}))
            yield Finding(
                NAME,
                HOLD,
                (("joint", joint), ("film", film)),
                f"Film {film} is named for joint {joint} and for {others}.",
                (Reason("film", f"also named for {others}", "one joint", basis, HOLD),),
                proofs,
                "Compare the films and the reports; correct the number, or make the film again.",
            )
