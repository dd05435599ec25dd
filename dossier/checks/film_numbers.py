"""Is any film number used on two joints?

Several marks of one number on one joint are sections of one girth and normal. A number on two
joints is a contradiction to be cleared up, whatever its cause.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from dossier.coverage.evidence import at, paper
from dossier.coverage.view import View, project_basis
from dossier.records.examinations import Examination
from dossier.records.verdicts import HOLD, Finding, Reason

NAME = "film-numbers"


def check(seen: View) -> Iterator[Finding]:
    """One finding for each joint that shares a film number with another."""
    used: dict[str, dict[str, list[Examination]]] = defaultdict(lambda: defaultdict(list))
    for report in seen.project.examinations:
        for film in report.films:
            used[film][report.joint].append(report)
    basis = project_basis(seen, "identity of films")
    for film, joints in used.items():
        if len(joints) < 2:
            continue
        proofs = tuple(
            proof
            for reports in joints.values()
            for report in reports
            for proof in (*at(report, "films"), *paper(report))
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
