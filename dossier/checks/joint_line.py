"""Is the line of the joint on record, so that there are editions to judge the joint by?"""

from __future__ import annotations

from collections.abc import Iterator

from dossier.coverage.evidence import at
from dossier.coverage.joint_file import JointFile
from dossier.coverage.view import View, project_basis
from dossier.records.verdicts import HOLD, Finding, Reason

NAME = "joint-line"


def check(seen: View, file: JointFile) -> Iterator[Finding]:
    """One hold for a joint of a line that the register of lines does not know."""
    if file.line is not None:
        return
    name = file.joint.line
    known = ", ".join(seen.known.lines) or "a line of the register"
    basis = project_basis(seen, "register of lines")
    yield Finding(
        NAME,
        HOLD,
        (("joint", file.number),),
        f"Joint {file.number} is of line {name}, which is not on record: by which codes its "
        "welders, procedure and indications are judged cannot be told.",
        (Reason("line", name, known, basis, HOLD),),
        at(file.joint, "line"),
        "Correct the line in the log, or enter the line with the editions that govern it.",
    )
