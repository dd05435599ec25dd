"""Was the share of each day's field butt welds examined that the law of the line asks for?

49 CFR 192.243 counts by class, crossing, tie-in and welder, 49 CFR 195.234 by welder, crossing
and tie-in; the field `regulation` of a line tells which of them governs it.
"""

from __future__ import annotations

from collections.abc import Iterator

from dossier.coverage.evidence import at
from dossier.coverage.shares import Share, shares
from dossier.coverage.view import View
from dossier.records.verdicts import CLEAR, Finding

NAME = "examination-share"


def check(seen: View) -> Iterator[Finding]:
    """One finding per line, day and zone or welder whose share is short.

    A hold while the welds that lie open can still make it up, a nonconformity afterwards.
    """
    for share in shares(seen):
        if share.reason.verdict != CLEAR:
            yield _finding(seen, share)


def _finding(seen: View, share: Share) -> Finding:
    owed = [weld.joint for weld in share.welds if not weld.examined]
    joints = [joint for weld in share.welds for joint in seen.known.joints.get(weld.joint, [])]
    reason = share.reason
    return Finding(
        NAME,
        reason.verdict,
        (("line", share.line), ("day", str(share.day)), (share.kind, share.name)),
        f"Of the butt welds of line {share.line} on {share.day}, {share.kind} {share.name}, "
        f"{reason.found} were examined round the whole circumference; {reason.permitted} are "
        f"asked for. Not examined: {', '.join(owed)}.",
        (reason,),
        tuple(proof for joint in joints for proof in at(joint, "welded_on")),
        "Examine welds of that day that still lie open, or show the reports that are missing.",
    )
