"""Did each pass follow the one before it within the permitted time?

The WPS row's own limit governs; where it has none, the project's limit for root to hot pass and
for hot pass to the next. Where two welders share a pass, the pass ends with the later and starts
with the earlier of them, so that the longest wait of any part of the weld is not hidden: each
side is also compared with its own side.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from dossier.coverage.evidence import at
from dossier.coverage.joint_file import JointFile, planned_pass
from dossier.coverage.readings import least_interval_min
from dossier.coverage.view import View, project_basis, wps_basis
from dossier.records.joints import Joint, Pass
from dossier.records.procedures import Procedure
from dossier.records.verdicts import CLEAR, Finding, Range, Reason

NAME = "pass-interval"


def check(seen: View, file: JointFile) -> Iterator[Finding]:
    """One finding per pass that began too late, or whose times are not recorded."""
    least = least_interval_min(seen, file.wps)
    for before, after in _pairs(file.passes):
        minutes = _minutes(before, after)
        if minutes is not None and 0 <= minutes <= least:
            continue
        limit = _limit(seen, file.wps, before, after)
        if limit is None:
            continue
        reason = limit.judge("time since the pass before", minutes)
        if reason.verdict != CLEAR:
            yield _finding(file.joint, before, after, reason)


def _pairs(passes: list[Pass]) -> Iterator[tuple[Pass, Pass]]:
    """Successive passes, side by side: each part of a pass with the part it was laid on."""
    for side in sorted({p.side for p in passes}):
        own = [p for p in passes if p.side in (side, "")]
        for before, after in pairwise(own):
            if after.number != before.number and after.side == side:
                yield before, after


def _limit(seen: View, wps: Procedure | None, before: Pass, after: Pass) -> Range | None:
    row = planned_pass(wps, after)
    first_of_kind = before.kind != after.kind
    if wps and row and row.within_min is not None and first_of_kind:
        return Range(0, row.within_min, wps_basis(wps, f"{row.kind} pass, interval"), "min")
    rules = seen.project.settings.requirements
    limit = None
    if before.kind == "root" and after.kind == "hot":
        limit = rules.root_to_hot_max_min
    elif before.kind == "hot":
        limit = rules.hot_to_next_max_min
    if limit is None:
        return None
    clause = f"time between {before.kind} and {after.kind} pass"
    return Range(0, limit, project_basis(seen, clause), "min")


def _minutes(before: Pass, after: Pass) -> float | None:
    if before.finished_at is None or after.started_at is None:
        return None
    return (after.started_at - before.finished_at).total_seconds() / 60


def _finding(joint: Joint, before: Pass, after: Pass, reason: Reason) -> Finding:
    return Finding(
        NAME,
        reason.verdict,
        (("joint", joint.number), ("pass", f"{after.number}{after.side[:1]}")),
        f"On joint {joint.number} the {after.kind} pass began {reason.found} after the "
        f"{before.kind} pass; permitted is {reason.permitted}.",
        (reason,),
        (*at(before, "finished_at"), *at(after, "started_at")),
        "Check the times against the daily record; otherwise have the weld dispositioned by "
        "the welding engineer.",
    )
