"""Was the joint welded to a WPS revision that was issued, approved and in force on each day?"""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from dossier.coverage.as_of import day_of
from dossier.coverage.evidence import at, paper
from dossier.coverage.in_force import Days, in_force_reasons
from dossier.coverage.joint_file import JointFile
from dossier.coverage.procedures import all_reasons
from dossier.coverage.view import View, project_basis
from dossier.records.joints import Joint
from dossier.records.verdicts import HOLD, Finding, Reason, worst

NAME = "procedure-in-force"
_CURE = (
    "Correct the revision in the log if it is a slip of the pen; otherwise compare the revisions "
    "and have the weld dispositioned by the welding engineer."
)
_UNDATED = (
    "Enter the last day on which the revision was valid, from the letter that withdrew it; if the "
    "weld is younger, have it dispositioned by the welding engineer."
)


def check(seen: View, file: JointFile) -> Iterator[Finding]:
    """One finding for a joint whose WPS revision is unknown or not in force on a day of it."""
    joint, wps = file.joint, file.wps
    if wps is None:
        yield _unknown(seen, joint)
        return
    days = _days(seen, file)
    asked = partial(all_reasons, seen, file)
    reasons = tuple(in_force_reasons(seen, wps, days, asked))
    if reasons:
        yield Finding(
            NAME,
            worst(reasons),
            (("joint", joint.number),),
            f"Joint {joint.number} was welded {_told(days)} to {wps.number} revision "
            f"{wps.revision}, which was not in force {_then(days)}: {reasons[0].found}.",
            reasons,
            (*at(joint, "wps", "wps_revision"), *paper(wps)),
            _UNDATED if reasons[0].variable == "status" and worst(reasons) == HOLD else _CURE,
        )


def _days(seen: View, file: JointFile) -> Days:
    """The day of the log, and those on which a pass was welded."""
    made = (day_of(one.finished_at or one.started_at) for one in file.passes)
    days = [day for day in (file.joint.welded_on, *made) if day is not None] or [seen.as_of]
    return Days(min(days), max(days))


def _told(days: Days) -> str:
    return f"on {days.first}" if days.first == days.last else f"from {days.first} to {days.last}"


def _then(days: Days) -> str:
    return "that day" if days.first == days.last else "throughout"


def _unknown(seen: View, joint: Joint) -> Finding:
    named = f"{joint.wps or 'no WPS'} revision {joint.wps_revision or 'blank'}"
    issued = [f"{w.number} revision {w.revision}" for w in seen.known.procedures.get(joint.wps, [])]
    reason = Reason(
        "WPS and revision",
        named,
        ", ".join(issued) or "a WPS of the register",
        project_basis(seen, "procedure register"),
        HOLD,
    )
    return Finding(
        NAME,
        HOLD,
        (("joint", joint.number),),
        f"Joint {joint.number} names {named}, which was never issued.",
        (reason,),
        at(joint, "wps", "wps_revision"),
        "Correct the log from the daily record, or enter the missing revision.",
    )
