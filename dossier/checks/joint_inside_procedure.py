"""Do both members of a joint, its position and its passes lie inside the WPS?

Each member is asked on its own: at a wall transition both thicknesses must be permitted.
"""

from __future__ import annotations

from collections.abc import Iterator

from dossier.coverage.evidence import at, paper
from dossier.coverage.joint_file import JointFile
from dossier.coverage.procedures import joint_reasons
from dossier.coverage.view import View
from dossier.records.verdicts import CLEAR, Finding, worst

NAME = "joint-inside-procedure"


def check(seen: View, file: JointFile) -> Iterator[Finding]:
    """One finding for a joint with a member or a pass outside its WPS."""
    joint, wps = file.joint, file.wps
    if wps is None:
        return
    reasons = tuple(r for r in joint_reasons(seen, file, wps) if r.verdict != CLEAR)
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
