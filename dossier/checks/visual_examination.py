"""Was every weld accepted by visual examination after it was finished, by someone else?"""

from __future__ import annotations

from collections.abc import Iterator

from dossier.coverage.acceptance import finished_at
from dossier.coverage.evidence import at, paper
from dossier.coverage.joint_file import JointFile
from dossier.coverage.view import View, project_basis, stamps_of
from dossier.records.examinations import Examination
from dossier.records.verdicts import HOLD, NONCONFORMITY, Finding, Reason, worst

NAME = "visual-examination"


def check(seen: View, file: JointFile) -> Iterator[Finding]:
    """One finding for a joint without a sound visual examination."""
    reports = [report for report in file.examinations if report.method == "VT"]
    reasons = tuple(_reasons(seen, file, reports))
    if reasons:
        yield Finding(
            NAME,
            worst(reasons),
            (("joint", file.number),),
            f"Visual examination of joint {file.number}: "
            f"{'; '.join(f'{r.variable} {r.found}' for r in reasons)}.",
            reasons,
            (*at(file.joint), *(proof for report in reports for proof in paper(report))),
            "Have the weld examined visually, if it can still be seen, by someone who did not "
            "weld it.",
        )


def _reasons(seen: View, file: JointFile, reports: list[Examination]) -> Iterator[Reason]:
    basis = project_basis(seen, "visual examination")
    accepted = [report for report in reports if report.result == "accepted"]
    if not accepted:
        found = "rejected" if reports else "no report"
        verdict = NONCONFORMITY if file.coatings else HOLD
        yield Reason("result", found, "accepted", basis, verdict)
        return
    stamps = {made.welder for made in file.passes}
    for report in accepted:
        if not stamps.isdisjoint(stamps_of(seen, report.examiner)):
            found = f"{report.examiner}, a welder of this joint"
            yield Reason("examiner", found, "not a welder of it", basis, NONCONFORMITY)
    done = finished_at(file)
    last = max([r.examined_at for r in accepted if r.examined_at], default=None)
    if done and last and last < done:
        yield Reason("time", f"{last:%Y-%m-%d %H:%M}", f"after {done:%Y-%m-%d %H:%M}", basis, HOLD)
