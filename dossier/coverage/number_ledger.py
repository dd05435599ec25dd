"""Every joint number of the project accounted for: used, void, missing, doubled, cut out, replaced.

The project's own grammar tells series and sequence; a number is missing where its sequence lies
between two that are used. Pups stand in the ledger with the pipe that they were cut from.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import pairwise

from dossier.errors import InputError
from dossier.patterns import fullmatch
from dossier.records.joints import Joint
from dossier.records.materials import Item
from dossier.records.position import Position
from dossier.records.project import Numbering, Project

USED, VOID, MISSING, DOUBLED = "used", "void", "missing", "doubled"
_RUN_MAX = 1_000  # a longer gap is one mistyped number, not a thousand missing joints
CUT_OUT, REPLACED, VOID_AND_USED, PUP = "cut out", "replaced by", "void and used", "pup"


@dataclass(frozen=True, slots=True)
class Entry:
    """One number: its state, why, and where that stands.

    `joints` are the records that show it: those that bear the number, or the one before a gap.
    """

    number: str
    state: str
    explanation: str
    origin: Position
    joints: tuple[Joint, ...] = ()
    sequence: int = 0  # place in its series


def ledger(project: Project) -> tuple[Entry, ...]:
    """The ledger of the project: joint numbers by series and sequence, then pups.

    >>> from dossier.records.joints import JointName
    >>> from dossier.records.project import Numbering, Settings
    >>> rules = Numbering(pattern=r"A-(?P<sequence>[0-9]+)", void={"A-2": "skipped"})
    >>> settings = Settings(number="1", title="", client="", contractor="", numbering=rules)
    >>> joints = [
    ...     Joint(number=f"A-{n}", line="", name=JointName(written="", base=f"A-{n}", sequence=n))
    ...     for n in (1, 3, 5)
    ... ]
    >>> entries = ledger(Project(settings=settings, joints=tuple(joints)))
    >>> [(entry.number, entry.state) for entry in entries]
    [('A-1', 'used'), ('A-2', 'void'), ('A-3', 'used'), ('A-4', 'missing'), ('A-5', 'used')]
    """
    by_number: dict[str, list[Joint]] = defaultdict(list)
    for joint in project.joints:
        by_number[joint.number].append(joint)
    replaced = {joint.replaces: joint for joint in project.joints if joint.replaces}
    void = project.settings.numbering.void
    entries = [
        replace(entry(joints, replaced, void), sequence=joints[0].name.sequence or 0)
        for joints in by_number.values()
    ]
    entries += _gaps(project)
    entries.sort(key=_order)
    return (*entries, *_pups(project.items))


def entry(joints: list[Joint], replaced: dict[str, Joint], void: Mapping[str, str]) -> Entry:
    """The entry of a number that these joints bear; `replaced` tells which joint replaces which."""
    first, number = joints[0], joints[0].number
    all_of_them = tuple(joints)
    if len(joints) > 1:
        days = ", ".join(str(joint.welded_on or "no date") for joint in joints)
        return Entry(number, DOUBLED, f"{len(joints)} times ({days})", first.origin, all_of_them)
    if first.status == "void":
        why = first.remarks or "void in the log"
        return Entry(number, VOID, why, first.origin, all_of_them)
    if number in void:
        why = f"declared void ({void[number]}), and in the log as {first.status}"
        return Entry(number, VOID_AND_USED, why, first.origin, all_of_them)
    if number in replaced:
        by = replaced[number]
        why = f"{first.status}; {by.number} stands in its place"
        return Entry(number, REPLACED, why, first.origin, (first, by))
    if first.status == "cut out":
        return Entry(number, CUT_OUT, "cut out, nothing in its place", first.origin, all_of_them)
    return Entry(number, USED, _event(first), first.origin, all_of_them)


def _event(joint: Joint) -> str:
    name = joint.name
    parts = [f"{name.event} {name.order} of {name.base}"] if name.event else []
    parts += [f"in place of {joint.replaces}"] if joint.replaces else []
    return "; ".join(parts) or joint.status


def _gaps(project: Project) -> Iterator[Entry]:
    """The numbers between those used, with the reason where they were declared void."""
    void = project.settings.numbering.void
    for used in _series(project.joints).values():
        for last, following in pairwise(sorted(used)):
            yield from gap(used[last], following, void)


def gap(before: Joint, following: int, void: Mapping[str, str]) -> Iterator[Entry]:
    """The numbers between a joint and the next sequence used in its series."""
    last = before.name.sequence or 0
    if following - last > _RUN_MAX:
        run = f"{_number_like(before, last + 1)} to {_number_like(before, following - 1)}"
        yield Entry(run, MISSING, "none of them in the log", before.origin, (before,), last + 1)
        return
    for sequence in range(last + 1, following):
        number = _number_like(before, sequence)
        state, why = (VOID, void[number]) if number in void else (MISSING, "not in the log")
        yield Entry(number, state, why, before.origin, (before,), sequence)


def place_of(number: str, numbering: Numbering) -> tuple[str, int | None]:
    """Series and sequence of a joint number by the project's grammar, as far as it has them."""
    try:
        match = fullmatch(numbering.pattern, number)
    except InputError:  # longer than any number, or one on which the pattern does not end
        match = None
    groups = match.groupdict() if match else {}
    sequence = groups.get("sequence") or ""
    return groups.get("series") or "", int(sequence) if sequence.isdecimal() else None


def _series(joints: Iterable[Joint]) -> dict[str, dict[int, Joint]]:
    series: dict[str, dict[int, Joint]] = defaultdict(dict)
    for joint in joints:
        if joint.name.sequence is not None:
            series[joint.name.series].setdefault(joint.name.sequence, joint)
    return series


def _number_like(joint: Joint, sequence: int) -> str:
    """The base number that stands for `sequence`, written as the joint beside it is."""
    digits = str(joint.name.sequence)
    head, _, tail = joint.name.base.rpartition(digits)
    width = len(digits) + len(head) - len(head.rstrip("0"))
    return f"{head.rstrip('0')}{sequence:0{width}d}{tail}"


def _order(entry: Entry) -> tuple[str, int, int, str]:
    name = entry.joints[0].name
    return name.series, entry.sequence, name.order, entry.number


def _pups(items: Iterable[Item]) -> Iterator[Entry]:
    known = {item.number for item in items}
    for item in items:
        if item.kind != "pup" and not item.parent:
            continue
        why = f"cut from {item.parent}" if item.parent else "its pipe is not recorded"
        if item.parent and item.parent not in known:
            why += ", which is not on record"
        yield Entry(item.number, PUP, why, item.origin)
