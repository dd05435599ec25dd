"""Is every joint number accounted for: no duplicate, no gap, each cut-out and re-weld linked?"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from dossier.coverage.evidence import at
from dossier.coverage.view import View, project_basis
from dossier.records.joints import Joint
from dossier.records.verdicts import HOLD, NOTE, Finding, Reason

NAME = "joint-number-ledger"


def check(seen: View) -> Iterator[Finding]:
    """One finding per number that is doubled, missing, or linked to nothing."""
    yield from _doubled(seen)
    yield from _missing(seen)
    yield from _unlinked(seen)


def _finding(number: str, sentence: str, reason: Reason, joints: list[Joint]) -> Finding:
    return Finding(
        NAME,
        reason.verdict,
        (("joint", number),),
        sentence,
        (reason,),
        tuple(proof for joint in joints for proof in at(joint, "number")),
        "Settle it from the daily records: a lost suffix, another section, or a copying error.",
    )


def _doubled(seen: View) -> Iterator[Finding]:
    basis = project_basis(seen, "joint numbering")
    for number, joints in sorted(seen.known.joints.items()):
        if len(joints) > 1:
            days = ", ".join(str(joint.welded_on or "no date") for joint in joints)
            reason = Reason("uses of the number", f"{len(joints)} ({days})", "1", basis, HOLD)
            sentence = f"Joint number {number} stands {len(joints)} times in the log."
            yield _finding(number, sentence, reason, joints)


def _missing(seen: View) -> Iterator[Finding]:
    basis = project_basis(seen, "joint numbering")
    void = seen.project.settings.numbering.void
    series: dict[str, dict[int, Joint]] = defaultdict(dict)
    for joint in seen.project.joints:
        if joint.name.sequence is not None:
            series[joint.name.series].setdefault(joint.name.sequence, joint)
    for used in series.values():
        for sequence in range(min(used), max(used)):
            if sequence in used:
                continue
            before = used[max(number for number in used if number < sequence)]
            number = _number_like(before, sequence)
            if number in void:
                reason = Reason("number", f"void: {void[number]}", "explained", basis, NOTE)
                sentence = f"Joint number {number} was not used: {void[number]}."
            else:
                reason = Reason("number", "missing", "a joint or an explanation", basis, HOLD)
                sentence = f"Joint number {number} is missing from the log without explanation."
            yield _finding(number, sentence, reason, [before])


def _number_like(joint: Joint, sequence: int) -> str:
    """The base number that stands for `sequence`, written as the joint beside it is."""
    digits = str(joint.name.sequence)
    head, _, tail = joint.name.base.rpartition(digits)
    width = len(digits) + len(head) - len(head.rstrip("0"))
    return f"{head.rstrip('0')}{sequence:0{width}d}{tail}"


def _unlinked(seen: View) -> Iterator[Finding]:
    basis = project_basis(seen, "cut-outs and re-welds")
    for joint in seen.project.joints:
        if not joint.replaces:
            continue
        replaced = seen.known.joints.get(joint.replaces, [])
        if any(old.status == "cut out" for old in replaced):
            continue
        found = f"{joint.replaces} is {replaced[0].status}" if replaced else "not on record"
        reason = Reason("joint it replaces", found, "a joint that was cut out", basis, HOLD)
        sentence = f"Joint {joint.number} replaces {joint.replaces}, which was not cut out."
        yield _finding(joint.number, sentence, reason, [joint, *replaced])
