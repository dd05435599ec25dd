"""Was the joint welded to a WPS revision that was issued, approved and in force that day?"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from dossier.coverage.evidence import at, paper
from dossier.coverage.joint_file import JointFile
from dossier.coverage.procedures import all_reasons
from dossier.coverage.revisions import changes
from dossier.coverage.view import View, project_basis
from dossier.records.joints import Joint
from dossier.records.procedures import Procedure
from dossier.records.verdicts import HOLD, NONCONFORMITY, NOTE, Finding, Reason, Verdict, worst

NAME = "procedure-in-force"


def check(seen: View, file: JointFile) -> Iterator[Finding]:
    """One finding for a joint whose WPS revision is unknown or not in force on its day."""
    joint, wps = file.joint, file.wps
    if wps is None:
        yield _unknown(seen, joint)
        return
    reasons = tuple(_reasons(seen, file, wps, joint.welded_on or seen.as_of))
    if reasons:
        yield Finding(
            NAME,
            worst(reasons),
            (("joint", joint.number),),
            f"Joint {joint.number} was welded on {joint.welded_on} to {wps.number} revision "
            f"{wps.revision}, which was not in force that day: {reasons[0].found}.",
            reasons,
            (*at(joint, "wps", "wps_revision"), *paper(wps)),
            "Correct the revision in the log if it is a slip of the pen; otherwise compare "
            "the revisions and have the weld dispositioned by the welding engineer.",
        )


def _unknown(seen: View, joint: Joint) -> Finding:
    named = f"{joint.wps or 'no WPS'} revision {joint.wps_revision or 'blank'}"
    issued = [f"{w.number} revision {w.revision}" for w in seen.known.procedures.get(joint.wps, [])]
    reason = Reason(
        "WPS and revision",
        named,
        ", ".join(issued) or "a WPS of the register",
        project_basis(seen, "procedure register"),
        HOLD,
    )
    return Finding(
        NAME,
        HOLD,
        (("joint", joint.number),),
        f"Joint {joint.number} names {named}, which was never issued.",
        (reason,),
        at(joint, "wps", "wps_revision"),
        "Correct the log from the daily record, or enter the missing revision.",
    )


def _reasons(seen: View, file: JointFile, wps: Procedure, day: date) -> Iterator[Reason]:
    basis = project_basis(seen, "procedure register")

    def reason(variable: str, found: str, wanted: str, verdict: Verdict) -> Reason:
        return Reason(variable, found, wanted, basis, verdict)

    if wps.status == "draft":
        yield reason("status", "draft", "issued", NONCONFORMITY)
    if wps.valid_from and day < wps.valid_from:
        found = f"valid from {wps.valid_from}"
        yield reason("day of welding", found, f"valid on {day}", NONCONFORMITY)
    if wps.valid_until and day > wps.valid_until:
        yield from _superseded(seen, file, wps, day)
    signed = [a.signed_on for a in wps.approvals if a.role == "approved" and a.signed_on]
    if not signed:
        yield reason("approval", "no dated approval", f"approved by {day}", HOLD)
    elif min(signed) > day:
        found = f"approved on {min(signed)}"
        yield reason("approval", found, f"approved by {day}", NONCONFORMITY)


def _superseded(seen: View, file: JointFile, wps: Procedure, day: date) -> Iterator[Reason]:
    """A weld inside the revision that had taken over is worth a note; outside it breaks it."""
    found = f"superseded after {wps.valid_until}"
    basis = project_basis(seen, "procedure register")
    current = seen.known.in_force(wps.number, day)
    if current is None:
        yield Reason("day of welding", found, f"valid on {day}", basis, NONCONFORMITY)
        return
    outside = [r for r in all_reasons(seen, file, current) if r.verdict >= NONCONFORMITY]
    wanted = f"revision {current.revision}, in force on {day}"
    told = "outside it" if outside else "the weld lies inside it"
    verdict = NONCONFORMITY if outside else NOTE
    yield Reason("revision", f"{found}, {told}", wanted, basis, verdict)
    differing = "; ".join(map(str, changes(wps, current))) or "nothing that the sheets prescribe"
    yield Reason("what changed", differing, wanted, basis, NOTE)
    yield from outside
