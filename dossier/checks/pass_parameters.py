"""Were current, voltage, travel speed, gas flow and direction kept inside the WPS?"""

from __future__ import annotations

from collections.abc import Iterator

from dossier.coverage.evidence import at, paper
from dossier.coverage.joint_file import JointFile
from dossier.coverage.procedures import parameter_reasons, parameters_inside
from dossier.coverage.view import View
from dossier.records.joints import Joint, Pass
from dossier.records.procedures import Procedure
from dossier.records.verdicts import CLEAR, Finding, Reason, worst

NAME = "pass-parameters"


def check(_: View, file: JointFile) -> Iterator[Finding]:
    """One finding per pass with a parameter outside its row of the WPS."""
    for made, wps, row in file.planned():
        if parameters_inside(row, made):
            continue
        reasons = tuple(r for r in parameter_reasons(wps, row, made) if r.verdict != CLEAR)
        if reasons:
            yield _finding(file.joint, wps, made, reasons)


def _finding(joint: Joint, wps: Procedure, made: Pass, reasons: tuple[Reason, ...]) -> Finding:
    told = "; ".join(f"{r.variable} {r.found}, permitted {r.permitted}" for r in reasons)
    return Finding(
        NAME,
        worst(reasons),
        (("joint", joint.number), ("pass", f"{made.number}{made.side[:1]}")),
        f"The {made.kind} pass of joint {joint.number} by {made.welder}: {told}.",
        reasons,
        (*at(made, "current_a", "voltage_v", "travel_mm_min"), *paper(wps)),
        "Check the entry and the unit against the daily record; otherwise have the weld "
        "dispositioned by the welding engineer.",
    )
