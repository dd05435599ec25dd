"""Was every pass recorded on both sides of the pipe, where the joint is recorded side by side?"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from dossier.coverage.evidence import at
from dossier.coverage.joint_file import JointFile
from dossier.coverage.view import View, project_basis
from dossier.records.joints import Pass
from dossier.records.verdicts import HOLD, Finding, Reason

NAME = "side-record"
_BOTH = {"left", "right"}


def check(seen: View, file: JointFile) -> Iterator[Finding]:
    """One finding per pass that has one side only while another pass of the joint has both."""
    sides: dict[int, list[Pass]] = defaultdict(list)
    for made in file.passes:
        sides[made.number].append(made)
    if not any({made.side for made in passes} >= _BOTH for passes in sides.values()):
        return
    basis = project_basis(seen, "weld log, sides of the pipe")
    for number, passes in sides.items():
        there = {made.side for made in passes}
        if "" in there or there >= _BOTH:
            continue
        found = " and ".join(sorted(there))
        yield Finding(
            NAME,
            HOLD,
            (("joint", file.number), ("pass", str(number))),
            f"Pass {number} of joint {file.number} is recorded on the {found} side only; other "
            "passes of the joint are recorded on both.",
            (Reason("sides", found, "left and right", basis, HOLD),),
            tuple(proof for made in passes for proof in at(made, "side")),
            "Enter the missing side from the daily record, with its welder.",
        )
