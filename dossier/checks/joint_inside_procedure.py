"""Do both members of a joint, its position and its passes lie inside the WPS?

Each member is asked on its own: at a wall transition both thicknesses must be permitted.
"""

from __future__ import annotations

from collections.abc import Iterator

from dossier.coverage.evidence import at, paper
from dossier.coverage.joint_file import JointFile
from dossier.coverage.view import View, permitted, project_basis, wps_basis
from dossier.records.materials import Item
from dossier.records.procedures import Procedure
from dossier.records.verdicts import CLEAR, HOLD, Choice, Finding, Reason, worst

NAME = "joint-inside-procedure"


def check(seen: View, file: JointFile) -> Iterator[Finding]:
    """One finding for a joint with a member or a pass outside its WPS."""
    joint, wps = file.joint, file.wps
    if wps is None:
        return
    reasons = tuple(r for r in _reasons(seen, file, wps) if r.verdict != CLEAR)
    if reasons:
        yield Finding(
            NAME,
            worst(reasons),
            (("joint", joint.number),),
            f"Joint {joint.number} lies outside {wps.number} revision {wps.revision} in: "
            f"{', '.join(reason.variable for reason in reasons)}.",
            reasons,
            (
                *at(joint, "wps", "upstream_item", "downstream_item"),
                *(proof for item in file.items for proof in at(item, "wall_mm")),
                *paper(wps),
            ),
            "Name the WPS that covers it, if it was welded to one; otherwise have the weld "
            "dispositioned by the welding engineer.",
        )


def _reasons(seen: View, file: JointFile, wps: Procedure) -> Iterator[Reason]:
    basis = wps_basis(wps, "range of application")
    for number, item in file.members:
        if item is None:
            register = project_basis(seen, "register of items")
            yield Reason(f"item {number}", "not on record", "on record", register, HOLD)
        else:
            yield from _member(item, wps)
    if wps.weld_type:
        yield Choice.of([wps.weld_type], basis).judge("weld type", file.joint.weld_type)
    if wps.positions and file.joint.position_code:
        yield Choice.of(wps.positions, basis).judge("position", file.joint.position_code)
    processes = Choice.of((row.process for row in wps.passes), wps_basis(wps, "passes"))
    for process in sorted({made.process for made in file.passes}):
        yield processes.judge("process", process)


def _member(item: Item, wps: Procedure) -> Iterator[Reason]:
    basis = wps_basis(wps, "range of application")
    if wps.wall_mm:
        yield permitted(wps.wall_mm, basis, "mm").judge(f"wall of {item.number}", item.wall_mm)
    if wps.od_mm and item.od_mm is not None:
        yield permitted(wps.od_mm, basis, "mm").judge(f"diameter of {item.number}", item.od_mm)
    if wps.grades:
        grades = Choice.of(wps.grades, basis)
        yield grades.judge(f"grade of {item.number}", item.grade or None)
    elif wps.material_groups:
        groups = Choice.of(wps.material_groups, basis)
        yield groups.judge(f"material group of {item.number}", item.material_group or None)
