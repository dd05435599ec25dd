"""Where the walls of the two members differ, is it recorded how they were matched?

Failures at unequal walls have come from missing back bevels and counterbores. Whether both walls
lie inside the WPS is asked with the joint's other variables.
"""

from __future__ import annotations

from collections.abc import Iterator

from dossier.coverage.evidence import at
from dossier.coverage.joint_file import JointFile
from dossier.coverage.view import View, project_basis
from dossier.records.verdicts import HOLD, Finding, Reason

NAME = "wall-transition"


def asked(seen: View) -> bool:
    """Whether the project asks for a record of transitions."""
    return seen.project.settings.requirements.transition_record


def check(seen: View, file: JointFile) -> Iterator[Finding]:
    """One finding for a transition without its record, where the project asks for one."""
    if not asked(seen):
        return
    joint, items = file.joint, file.items
    walls = sorted({item.wall_mm for item in items if item.wall_mm is not None})
    answered = joint.transition or "transition" in joint.not_applicable
    if joint.weld_type != "butt" or len(walls) < 2 or answered:
        return
    shown = f"{walls[0]:g} to {walls[-1]:g} mm"
    basis = project_basis(seen, "transitions of wall thickness")
    yield Finding(
        NAME,
        HOLD,
        (("joint", joint.number),),
        f"Joint {joint.number} joins walls of {shown}; how they were matched is not recorded.",
        (Reason("transition", f"{shown}, not recorded", "recorded", basis, HOLD),),
        (*at(joint, "transition"), *(proof for item in items for proof in at(item, "wall_mm"))),
        "Show the bevel or counterbore record, or measure the transition on the film or by "
        "ultrasonic testing.",
    )
