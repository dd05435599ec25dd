"""Does each concession cover what it claims: signed, in time, on paper, and no wider than needed?

Asked of the findings of all the other checks: a concession that answers none of them, or names
joints that have none, claims more than was ever found.
"""

from __future__ import annotations

from collections.abc import Collection, Hashable, Iterator, Sequence

from dossier.coverage.as_of import day_of
from dossier.coverage.evidence import at, paper
from dossier.coverage.joint_file import JointFile
from dossier.coverage.view import View, project_basis
from dossier.records.papers import Concession
from dossier.records.verdicts import HOLD, NOTE, Finding, Reason, Verdict, worst

NAME = "concession-scope"


def check(seen: View, found: Sequence[Finding], names: Collection[str]) -> Iterator[Finding]:
    """One finding per concession; `found` are all other findings, `names` those of the checks."""
    for concession in seen.project.concessions:
        reasons = tuple(_reasons(seen, concession, found, names))
        if reasons:
            told = "; ".join(f"{r.variable} {r.found}" for r in reasons)
            yield Finding(
                NAME,
                worst(reasons),
                (("concession", concession.number),),
                f"Concession {concession.number} ({concession.title}): {told}.",
                reasons,
                (*at(concession, "checks", "joints", "signed_on"), *paper(concession)),
                "Have it signed for the joints and the deviations that it is about, and file it.",
            )


def asked(seen: View) -> bool:
    """Whether there are concessions."""
    return bool(seen.project.concessions)


def concerns(seen: View, file: JointFile) -> Iterator[Hashable]:
    """The joints that a concession names."""
    if any(file.number in concession.joints for concession in seen.project.concessions):
        yield file.number


def _reasons(
    seen: View, concession: Concession, found: Sequence[Finding], names: Collection[str]
) -> Iterator[Reason]:
    basis = project_basis(seen, "concessions")

    def reason(variable: str, said: str, wanted: str, verdict: Verdict = HOLD) -> Reason:
        return Reason(variable, said, wanted, basis, verdict)

    if not concession.approver or concession.signed_on is None:
        lacking = "approver" if not concession.approver else "day of signature"
        yield reason("signature", f"no {lacking}", "approver and day")
    if concession.document is None:
        yield reason("paper", "no document named", "the signed paper on record")
    for name in concession.checks:
        if name not in names:
            yield reason("check", f"{name} is none", "a check")
    known = {finding.id for finding in found}
    for name in concession.findings:
        if name not in known:
            yield reason("finding", f"{name} is not found", "a finding of this issue", NOTE)
    for number in concession.joints:
        yield from _joint(seen, concession, number)
    yield from _wider(seen, concession, found)


def _joint(seen: View, concession: Concession, number: str) -> Iterator[Reason]:
    basis = project_basis(seen, "concessions")
    joints = seen.known.joints.get(number)
    if not joints:
        yield Reason("joint", f"{number}, not on record", "a joint of the log", basis, HOLD)
        return
    signed = concession.signed_on
    if signed is None:
        return
    welded = max((j.welded_on for j in joints if j.welded_on), default=None)
    if welded is not None and signed < welded:
        said = f"{signed}, {number} was welded on {welded}"
        yield Reason("signed on", said, "not before the weld", basis, HOLD)
    rows = seen.known.lowerings.get(number, [])
    lowered = min((row.lowered_at for row in rows if row.lowered_at), default=None)
    if lowered is not None and signed > lowered.date():
        said = f"{signed}, {number} was lowered on {day_of(lowered)}"
        yield Reason("signed on", said, "before the joint went down", basis, NOTE)


def _wider(seen: View, concession: Concession, found: Sequence[Finding]) -> Iterator[Reason]:
    """Joints, or a whole concession, that no finding stands behind."""
    basis = project_basis(seen, "concessions")
    named = [f for f in found if f.check in concession.checks or f.id in concession.findings]
    having = {finding.about("joint") for finding in named}
    idle = [number for number in concession.joints if number not in having]
    if idle:
        said = f"{', '.join(idle)}: no such finding"
        yield Reason("joints", said, "joints that need it", basis, NOTE)
    if not concession.joints and having - {""}:
        said = f"none named, {len(having - {''})} joints have such findings"
        yield Reason("joints", said, "the joints that it was signed for", basis, HOLD)
    if not concession.checks and not concession.findings:
        yield Reason("scope", "names neither check nor finding", "what it answers", basis, HOLD)
