"""Does the heat input of each pass lie inside the window of the WPS?"""

from __future__ import annotations

from collections.abc import Iterator

from dossier.coverage.evidence import at, paper
from dossier.coverage.joint_file import JointFile
from dossier.coverage.passes import heat_input_of
from dossier.coverage.procedures import heat_input_reason, inside
from dossier.coverage.view import View
from dossier.records.joints import Joint, Pass
from dossier.records.procedures import Procedure
from dossier.records.verdicts import CLEAR, Finding, Reason

NAME = "heat-input"


def check(_: View, file: JointFile) -> Iterator[Finding]:
    """One finding per pass outside the window; a pass without readings is found elsewhere."""
    for made, wps, row in file.planned():
        if row.heat_input_kj_mm is None or inside(row.heat_input_kj_mm, heat_input_of(made)):
            continue
        reason = heat_input_reason(wps, row, made)
        if reason and reason.verdict != CLEAR:
            yield _finding(file.joint, wps, made, reason)


def _finding(joint: Joint, wps: Procedure, made: Pass, reason: Reason) -> Finding:
    return Finding(
        NAME,
        reason.verdict,
        (("joint", joint.number), ("pass", f"{made.number}{made.side[:1]}")),
        f"The {made.kind} pass of joint {joint.number} by {made.welder} took {reason.found}; "
        f"the WPS permits {reason.permitted}.",
        (reason,),
        (*at(made, "current_a", "voltage_v", "travel_mm_min"), *paper(wps)),
        "Check the three readings against the daily record; otherwise have the weld "
        "dispositioned by the welding engineer.",
    )
