"""Do the procedure tests that a WPS names support everything that it permits?"""

from __future__ import annotations

from collections.abc import Iterator

from dossier.codes.editions import procedure_code
from dossier.coverage.evidence import at, paper
from dossier.coverage.view import View, project_basis
from dossier.records.procedures import Procedure
from dossier.records.verdicts import CLEAR, HOLD, Finding, Reason, worst

NAME = "procedure-supported"


def check(seen: View) -> Iterator[Finding]:
    """One finding per WPS revision that lacks a test or goes beyond its tests."""
    for wps in seen.project.procedures:
        if wps.status == "draft":
            continue
        reasons = tuple(reason for reason in _reasons(seen, wps) if reason.verdict != CLEAR)
        if not reasons:
            continue
        tests = [seen.known.pqrs[number] for number in wps.pqrs if number in seen.known.pqrs]
        yield Finding(
            NAME,
            worst(reasons),
            (("procedure", wps.number), ("revision", wps.revision)),
            f"{wps.number} revision {wps.revision} is not supported by its procedure tests in: "
            f"{', '.join(reason.variable for reason in reasons)}.",
            reasons,
            (*at(wps, "pqrs"), *(proof for test in tests for proof in paper(test))),
            "Narrow the WPS to what is qualified, or weld a further procedure test.",
        )


def _reasons(seen: View, wps: Procedure) -> Iterator[Reason]:
    basis = project_basis(seen, "register of procedure qualification records")
    missing = [number for number in wps.pqrs if number not in seen.known.pqrs]
    for number in missing:
        yield Reason("procedure test", f"{number} not on record", "on record", basis, HOLD)
    if not wps.pqrs:
        yield Reason("procedure test", "none named", "at least one", basis, HOLD)
    tests = [seen.known.pqrs[number] for number in wps.pqrs if number in seen.known.pqrs]
    if tests and not missing:
        yield from procedure_code(wps.code).supports(tests, wps, seen.choices)
