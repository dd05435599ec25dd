"""Did each welder deposit only the thickness that a certificate covers?

The thickness is what this welder put in with this process, not the wall of the pipe.
"""

from __future__ import annotations

from collections.abc import Iterator

from dossier.codes.face import DEPOSIT
from dossier.coverage.evidence import paper
from dossier.coverage.joint_file import JointFile
from dossier.coverage.view import View
from dossier.coverage.welders import held_for
from dossier.coverage.work import work_of
from dossier.records.verdicts import CLEAR, Evidence, Finding, worst

NAME = "welder-deposit"


def check(seen: View, file: JointFile) -> Iterator[Finding]:
    """One finding per joint, welder and process whose thickness no certificate covers."""
    for work in work_of(seen, file):
        held = held_for(seen, work)
        near = [one for one in held if one.lacks_only_deposit]
        if not near or any(one.covers for one in held):
            continue
        reasons = tuple(
            reason
            for one in near
            for reason in one.reasons
            if reason.variable == DEPOSIT and reason.verdict != CLEAR
        )
        yield Finding(
            NAME,
            worst(reasons),
            (
                ("joint", work.joint.number),
                ("welder", work.welder),
                ("process", work.weld.process),
            ),
            f"{work.welder} deposited {reasons[0].found} with process {work.weld.process} in "
            f"joint {work.joint.number}; the certificates held cover {reasons[0].permitted}.",
            reasons,
            (
                *(Evidence(origin) for origin in work.origins),
                *(proof for one in near for proof in paper(one.certificate)),
            ),
            "Show a certificate that covers the thickness, or have the weld dispositioned by "
            "the welding engineer.",
        )
