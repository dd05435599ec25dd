"""Was the share of each day's field butt welds examined that the law of the line asks for?

49 CFR 192.243 counts by class, crossing, tie-in and welder, 49 CFR 195.234 by welder, crossing
and tie-in; the field `regulation` of a line tells which of them governs it.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from dossier.coverage.facts import Fact, Groups, Records, Told, by_key, shared
from dossier.coverage.joint_file import JointFile, joint_file
from dossier.coverage.shares import DayWeld, Share, day_weld, shares_of
from dossier.coverage.view import View
from dossier.records.verdicts import CLEAR, Evidence, Finding

NAME = "examination-share"


def check(seen: View) -> Iterator[Finding]:
    """One finding per line, day and zone or welder whose share is short.

    A hold while the welds that lie open can still make it up, a nonconformity afterwards.
    """
    if asked(seen):
        yield from conclude(seen, by_key(_gather(seen, seen.project)))


def asked(seen: View) -> bool:
    """Whether any line falls under a law."""
    return any(line.regulation for line in seen.project.lines)


def _gather(seen: View, records: Records) -> Iterator[Told]:
    """Each weld that the law counts, by line and day."""
    if isinstance(records, JointFile):
        files = [records]
    else:
        files = [joint_file(seen, joint) for joint in records.joints]
    for file in files:
        weld = day_weld(file)
        if weld is not None:
            kept = (weld.joint, weld.kind, tuple(sorted(weld.welders)), weld.examined)
            key = (weld.line, str(weld.day))
            yield key, weld.origin, (*kept, weld.impracticable, weld.open)


FACTS = {NAME: _gather}


def conclude(seen: View, groups: Groups) -> Iterator[Finding]:
    """One finding per line, day and zone or welder whose share is short."""
    welds = (_weld(fact) for _, own in shared(groups) for fact in own)
    for share in shares_of(seen, welds):
        if share.reason.verdict != CLEAR:
            yield _finding(share)


def _weld(fact: Fact) -> DayWeld:
    line, day = map(str, fact.key)
    joint, kind, welders, examined, impracticable, open_ = fact.values
    stamps = frozenset(map(str, welders if isinstance(welders, tuple) else ()))
    on = date.fromisoformat(day)
    answers = (bool(examined), bool(impracticable), bool(open_))
    return DayWeld(str(joint), line, on, str(kind), stamps, *answers, fact.origin)


def _finding(share: Share) -> Finding:
    owed = [weld.joint for weld in share.welds if not weld.examined]
    reason = share.reason
    return Finding(
        NAME,
        reason.verdict,
        (("line", share.line), ("day", str(share.day)), (share.kind, share.name)),
        f"Of the butt welds of line {share.line} on {share.day}, {share.kind} {share.name}, "
        f"{reason.found} were examined round the whole circumference; {reason.permitted} are "
        f"asked for. Not examined: {', '.join(owed)}.",
        (reason,),
        tuple(Evidence(weld.origin.of("welded_on")) for weld in share.welds),
        "Examine welds of that day that still lie open, or show the reports that are missing.",
    )
