"""Is every joint number accounted for: no duplicate, no gap, each cut-out and re-weld linked?"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date
from itertools import pairwise

from dossier.coverage import number_ledger
from dossier.coverage.evidence import at
from dossier.coverage.facts import Fact, Groups, Key, Records, Told, shared
from dossier.coverage.number_ledger import Entry, gap, ledger, place_of
from dossier.coverage.view import View, project_basis
from dossier.records.joints import Joint, JointName
from dossier.records.verdicts import HOLD, NOTE, Finding, Reason

NAME = "joint-number-ledger"
_BLOCK = 4_000  # sequences that are weighed together
_ENDS = "ends"


def check(seen: View) -> Iterator[Finding]:
    """One finding per number that is doubled, missing, void or linked to nothing."""
    yield from _told(seen, ledger(seen.project))
    for joint in seen.project.joints:
        if joint.replaces:
            yield from _unlinked(seen, joint, seen.known.joints.get(joint.replaces, []))


def _gather(seen: View, records: Records) -> Iterator[Told]:
    """Each joint by its place in its series, and again by the place of the one it replaces."""
    for joint in records.joints:
        name = joint.name
        yield _fact(_key(name.series, name.sequence, joint.number), joint, "")
        if joint.replaces:
            series, sequence = place_of(joint.replaces, seen.project.settings.numbering)
            yield _fact(_key(series, sequence, joint.replaces), joint, joint.replaces)


FACTS = {NAME: _gather}


def conclude(seen: View, groups: Groups) -> Iterator[Finding | Told]:
    """The findings of each block of a series, and its ends, for the gaps between the blocks."""
    for key, own in shared(groups):
        if key[0] == _ENDS:
            yield from _between(seen, own)
            continue
        log = [fact for fact in own if not fact.values[-1]]
        yield from _told(seen, _entries(seen, log))
        for fact in own:
            if fact.values[-1]:
                replaced = [_joint(other) for other in log if other.values[0] == fact.values[-1]]
                yield from _unlinked(seen, _joint(fact), replaced)
        placed = _by_sequence(log)
        for end in (placed[min(placed)], placed[max(placed)]) if placed else ():
            yield (_ENDS, key[0]), end.origin, end.values


def _entries(seen: View, log: list[Fact]) -> Iterator[Entry]:
    """What the ledger says of the joints of a block, but for those that are plainly used."""
    void = seen.project.settings.numbering.void
    by_number: dict[object, list[Fact]] = {}
    for fact in log:
        by_number.setdefault(fact.values[0], []).append(fact)
    for number, own in by_number.items():
        if len(own) > 1 or number in void:
            yield number_ledger.entry([_joint(fact) for fact in own], {}, void)
    placed = _by_sequence(log)
    for last, following in pairwise(sorted(placed)):
        if following - last > 1:
            yield from gap(_joint(placed[last]), following, void)


def _by_sequence(log: list[Fact]) -> dict[int, Fact]:
    """The first joint of the log at each place of the series."""
    placed: dict[int, Fact] = {}
    for fact in log:
        if isinstance(fact.values[2], int):
            placed.setdefault(fact.values[2], fact)
    return placed


def _key(series: str, sequence: int | None, number: str) -> Key:
    return (series, number if sequence is None else sequence // _BLOCK)


def _fact(key: Key, joint: Joint, replaced: str) -> Told:
    name = joint.name
    day = str(joint.welded_on or "")
    kept = (joint.number, name.base, name.sequence, joint.status, day, joint.replaces, replaced)
    return key, joint.origin, kept


def _joint(fact: Fact) -> Joint:
    """As much of a joint as the ledger asks for."""
    number, base, sequence, status, day, replaces, _ = fact.values
    name = JointName(
        written=str(number),
        base=str(base),
        sequence=sequence if isinstance(sequence, int) else None,
    )
    return Joint(
        number=str(number),
        name=name,
        line="",
        status=str(status),
        welded_on=date.fromisoformat(str(day)) if day else None,
        replaces=str(replaces),
        origin=fact.origin,
    )


def _between(seen: View, ends: list[Fact]) -> Iterator[Finding]:
    """The gap from the last joint of each block to the first of the next."""
    joints = sorted((_joint(fact) for fact in ends), key=lambda joint: joint.name.sequence or 0)
    for before, after in pairwise(joints):
        first, following = before.name.sequence or 0, after.name.sequence or 0
        if first // _BLOCK != following // _BLOCK:
            void = seen.project.settings.numbering.void
            yield from _told(seen, gap(before, following, void))


def _told(seen: View, entries: Iterable[Entry]) -> Iterator[Finding]:
    for entry in entries:
        told = _SENTENCES.get(entry.state)
        in_log = any(joint.number == entry.number for joint in entry.joints)
        if told is not None and not (entry.state == number_ledger.VOID and in_log):
            sentence, reason = told(seen, entry)
            yield _finding(entry.number, sentence, reason, entry.joints)


def _finding(number: str, sentence: str, reason: Reason, joints: Iterable[Joint]) -> Finding:
    return Finding(
        NAME,
        reason.verdict,
        (("joint", number),),
        sentence,
        (reason,),
        tuple(proof for joint in joints for proof in at(joint, "number")),
        "Settle it from the daily records: a lost suffix, another section, or a copying error.",
    )


def _doubled(seen: View, entry: Entry) -> tuple[str, Reason]:
    basis = project_basis(seen, "joint numbering")
    days = ", ".join(str(joint.welded_on or "no date") for joint in entry.joints)
    count = len(entry.joints)
    reason = Reason("uses of the number", f"{count} ({days})", "1", basis, HOLD)
    return f"Joint number {entry.number} stands {count} times in the log.", reason


def _missing(seen: View, entry: Entry) -> tuple[str, Reason]:
    basis = project_basis(seen, "joint numbering")
    reason = Reason("number", "missing", "a joint or an explanation", basis, HOLD)
    return f"Joint number {entry.number} is missing from the log without explanation.", reason


def _void(seen: View, entry: Entry) -> tuple[str, Reason]:
    basis = project_basis(seen, "joint numbering")
    reason = Reason("number", f"void: {entry.explanation}", "explained", basis, NOTE)
    return f"Joint number {entry.number} was not used: {entry.explanation}.", reason


def _void_and_used(seen: View, entry: Entry) -> tuple[str, Reason]:
    basis = project_basis(seen, "joint numbering")
    reason = Reason("number", entry.explanation, "void or in the log", basis, HOLD)
    return f"Joint number {entry.number} is {entry.explanation}.", reason


_SENTENCES = {
    number_ledger.DOUBLED: _doubled,
    number_ledger.MISSING: _missing,
    number_ledger.VOID: _void,
    number_ledger.VOID_AND_USED: _void_and_used,
}


def _unlinked(seen: View, joint: Joint, replaced: list[Joint]) -> Iterator[Finding]:
    if any(old.status == "cut out" for old in replaced):
        return
    basis = project_basis(seen, "cut-outs and re-welds")
    found = f"{joint.replaces} is {replaced[0].status}" if replaced else "not on record"
    reason = Reason("joint it replaces", found, "a joint that was cut out", basis, HOLD)
    sentence = f"Joint {joint.number} replaces {joint.replaces}, which was not cut out."
    yield _finding(joint.number, sentence, reason, [joint, *replaced])
