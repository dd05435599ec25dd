"""Was the preheat reached before the root, and the interpass temperature kept?"""

from __future__ import annotations

from collections.abc import Iterator

from dossier.coverage.evidence import at, paper
from dossier.coverage.joint_file import JointFile
from dossier.coverage.procedures import temperature_inside, temperature_reason
from dossier.coverage.view import View
from dossier.records.joints import Joint, Pass
from dossier.records.procedures import Procedure
from dossier.records.verdicts import CLEAR, Finding, Reason

NAME = "preheat-and-interpass"


def check(_: View, file: JointFile) -> Iterator[Finding]:
    """One finding per pass that was too cold, too hot or not measured."""
    for made, wps, _row in file.planned():
        if temperature_inside(wps, made):
            continue
        reason = temperature_reason(wps, made)
        if reason and reason.verdict != CLEAR:
            yield _finding(file.joint, wps, made, reason)


def _finding(joint: Joint, wps: Procedure, made: Pass, reason: Reason) -> Finding:
    name = "preheat_c" if made.kind == "root" else "interpass_c"
    return Finding(
        NAME,
        reason.verdict,
        (("joint", joint.number), ("pass", f"{made.number}{made.side[:1]}")),
        f"The {reason.variable} of the {made.kind} pass of joint {joint.number} was "
        f"{reason.found}; permitted is {reason.permitted}.",
        (reason,),
        (*at(made, name), *paper(wps)),
        "Ask first whether the reading was taken in another unit; otherwise examine late for "
        "cracks and have the weld dispositioned by the welding engineer.",
    )
