"""Does the heat input of each pass lie inside the window of the WPS?"""

from __future__ import annotations

from collections.abc import Iterator

from dossier.coverage.evidence import at, paper
from dossier.coverage.lookup import planned_pass
from dossier.coverage.passes import heat_input_of
from dossier.coverage.view import View, permitted, wps_basis
from dossier.records.joints import Joint, Pass
from dossier.records.procedures import Procedure
from dossier.records.verdicts import CLEAR, Finding, Reason

NAME = "heat-input"


def check(seen: View) -> Iterator[Finding]:
    """One finding per joint and pass outside the window; unmeasured passes are found elsewhere."""
    for joint in seen.welded():
        wps = seen.known.wps_of(joint)
        for made in seen.known.passes.get(joint.number, []) if wps else ():
            row = planned_pass(wps, made) if wps else None
            value = heat_input_of(made)
            if wps is None or row is None or row.heat_input_kj_mm is None or value is None:
                continue
            window = permitted(row.heat_input_kj_mm, wps_basis(wps, f"{row.kind} pass"), "kJ/mm")
            reason = window.judge("heat input", round(value, 2))
            if reason.verdict != CLEAR:
                yield _finding(joint, wps, made, reason)


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
