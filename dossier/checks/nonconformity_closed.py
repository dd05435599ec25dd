"""Is every report of a nonconformity disposed of, approved and closed?"""

from __future__ import annotations

from collections.abc import Hashable, Iterator

from dossier.coverage.evidence import at, paper
from dossier.coverage.joint_file import JointFile
from dossier.coverage.view import View, project_basis
from dossier.records.papers import Nonconformity
from dossier.records.verdicts import HOLD, NOTE, Finding, Reason, Verdict, worst

NAME = "nonconformity-closed"


def check(seen: View) -> Iterator[Finding]:
    """One finding per report that is open or does not hang together."""
    for report in seen.project.nonconformities:
        reasons = tuple(_reasons(seen, report))
        if reasons:
            told = "; ".join(f"{r.variable} {r.found}" for r in reasons)
            yield Finding(
                NAME,
                worst(reasons),
                (("nonconformity", report.number),),
                f"Nonconformity {report.number} ({report.title}): {told}.",
                reasons,
                (*at(report, "disposition", "closed_on"), *paper(report)),
                "Decide what is done, have it approved, and close the report when it is done.",
            )


def asked(seen: View) -> bool:
    """Whether there are reports of nonconformities."""
    return bool(seen.project.nonconformities)


def concerns(seen: View, file: JointFile) -> Iterator[Hashable]:
    """The joints that a report names."""
    if any(file.number in report.joints for report in seen.project.nonconformities):
        yield file.number


def _reasons(seen: View, report: Nonconformity) -> Iterator[Reason]:
    basis = project_basis(seen, "nonconformity reports")

    def reason(variable: str, found: str, wanted: str, verdict: Verdict = HOLD) -> Reason:
        return Reason(variable, found, wanted, basis, verdict)

    for number in report.joints:
        if number not in seen.known.joints:
            yield reason("joint", f"{number}, not on record", "on record")
    if not report.disposition:
        yield reason("disposition", "none", "what is to be done")
    elif not report.approver:
        yield reason("approver", "blank", "who approved the disposition")
    if report.closed_on is None:
        # Decided and not yet done is work in progress; undecided holds already.
        yield reason("closed", "not closed", "closed when done", NOTE)
    elif report.opened_on and report.closed_on < report.opened_on:
        yield reason("closed", str(report.closed_on), f"from {report.opened_on}")
