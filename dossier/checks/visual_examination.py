"""Was every weld accepted by visual examination after it was finished, by someone else?"""

from __future__ import annotations

from collections.abc import Iterator

from dossier.coverage.acceptance import finished_at
from dossier.coverage.evidence import at, paper
from dossier.coverage.view import View, project_basis
from dossier.records.examinations import Examination
from dossier.records.joints import Joint
from dossier.records.verdicts import HOLD, NONCONFORMITY, Finding, Reason, worst

NAME = "visual-examination"


def check(seen: View) -> Iterator[Finding]:
    """One finding per joint without a sound visual examination."""
    for joint in seen.welded():
        reports = [e for e in seen.known.examinations.get(joint.number, []) if e.method == "VT"]
        reasons = tuple(_reasons(seen, joint, reports))
        if reasons:
            yield Finding(
                NAME,
                worst(reasons),
                (("joint", joint.number),),
                f"Visual examination of joint {joint.number}: "
                f"{'; '.join(f'{r.variable} {r.found}' for r in reasons)}.",
                reasons,
                (*at(joint), *(proof for report in reports for proof in paper(report))),
                "Have the weld examined visually, if it can still be seen, by someone who did "
                "not weld it.",
            )


def _reasons(seen: View, joint: Joint, reports: list[Examination]) -> Iterator[Reason]:
    basis = project_basis(seen, "visual examination")
    accepted = [report for report in reports if report.result == "accepted"]
    if not accepted:
        found = "rejected" if reports else "no report"
        coated = joint.number in seen.known.coatings
        verdict = NONCONFORMITY if coated else HOLD
        yield Reason("result", found, "accepted", basis, verdict)
        return
    stamps = {made.welder for made in seen.known.passes.get(joint.number, [])}
    for report in accepted:
        if report.examiner in stamps:
            found = f"{report.examiner}, a welder of this joint"
            yield Reason("examiner", found, "not a welder of it", basis, NONCONFORMITY)
    done = finished_at(seen, joint)
    last = max((r.examined_at for r in accepted if r.examined_at), default=None)
    if done and last and last < done:
        yield Reason("time", f"{last:%Y-%m-%d %H:%M}", f"after {done:%Y-%m-%d %H:%M}", basis, HOLD)
