"""How far a joint has come: welded, examined, accepted, coated, lowered."""

from __future__ import annotations

from dossier.coverage.acceptance import cleared_at, needed
from dossier.coverage.joint_file import JointFile
from dossier.coverage.view import View

STAGES = ("welded", "examined", "accepted", "coated", "lowered")


def stages_reached(seen: View, file: JointFile) -> tuple[bool, ...]:
    """Which of STAGES a joint has reached, each by its own record.

    One may be reached while an earlier one is not: a joint coated before its film was accepted.
    Accepted means every examination that the project asks for; where it asks for none on this
    kind of joint, that the last report on record accepts.
    """
    read = [report for report in file.examinations if report.result]
    last = max(read, key=lambda report: str(report.examined_at or ""), default=None)
    if any(needed(seen, file)):
        accepted = cleared_at(seen, file) is not None
    else:
        accepted = last is not None and last.result == "accepted"
    return (
        file.joint.status == "welded",
        bool(read),
        accepted,
        any(row.coated_at for row in file.coatings),
        any(row.lowered_at for row in file.lowerings),
    )
