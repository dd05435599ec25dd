"""Was every field read as it was written, and if not, is the reading beyond doubt?"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import fields

from dossier.coverage.view import View, project_basis
from dossier.records.base import Record
from dossier.records.doubts import Doubt
from dossier.records.position import Position
from dossier.records.project import Project
from dossier.records.verdicts import HOLD, NOTE, Evidence, Finding, Reason

NAME = "doubtful-reading"
_SHOWN_MAX = 50  # places named as evidence of one note
_NAMES = ("joint", "stamp", "number", "report", "id")  # fields that tell a record from others

Subject = tuple[tuple[str, str], ...]
Place = tuple[str, str, int]


def check(seen: View) -> Iterator[Finding]:
    """One hold for each field whose reading is doubtful, one note for each kind of clear change.

    A hold is about the joint of its record where there is one, so that the joint waits for it.
    """
    doubts = seen.project.doubts
    subjects = _subjects(seen.project) if doubts else {}
    for doubt in doubts:
        if not doubt.certain:
            yield _hold(seen, doubt, subjects.get(_place(doubt.origin), ()))
    notes: dict[tuple[str, str], list[Doubt]] = defaultdict(list)
    for doubt in doubts:
        if doubt.certain:
            notes[doubt.origin.file, doubt.why].append(doubt)
    for (file, why), alike in notes.items():
        yield _note(seen, file, why, alike)


def _place(origin: Position) -> Place:
    return origin.file, origin.sheet, origin.line


def _subjects(project: Project) -> dict[Place, Subject]:
    """What each record is about, by its place."""
    found: dict[Place, Subject] = {}
    for register in fields(project):
        records = getattr(project, register.name)
        for record in records if isinstance(records, tuple) else ():
            if isinstance(record, Record):
                found.setdefault(_place(record.origin), _subject(register.name, record))
    return found


def _subject(register: str, record: Record) -> Subject:
    for name in _NAMES:
        value = getattr(record, name, "")
        if value:
            kind = "joint" if register == "joints" or name == "joint" else f"record of {register}"
            return ((kind.replace("_", " "), str(value)),)
    return ()


def _hold(seen: View, doubt: Doubt, about: Subject) -> Finding:
    basis = project_basis(seen, "records as written")
    name = doubt.field or "row"
    found = f'"{doubt.raw}", read as "{doubt.read_as}"'
    return Finding(
        NAME,
        HOLD,
        (*(about or (("place", str(doubt.place)),)), ("field", name)),
        f'{doubt.place}: {name} is written "{doubt.raw}": {doubt.why}.',
        (Reason(name, found, "a reading beyond doubt", basis, HOLD),),
        (Evidence(doubt.place),),
        "Look at the paper that the entry was made from, and correct or confirm it in the file.",
    )


def _note(seen: View, file: str, why: str, doubts: list[Doubt]) -> Finding:
    basis = project_basis(seen, "records as written")
    first = doubts[0]
    found = f'"{first.raw}", read as "{first.read_as}"'
    count = len(doubts)
    more = f" and {count - 1} more" if count > 1 else ""
    return Finding(
        NAME,
        NOTE,
        (("file", file), ("reading", why)),
        f"{file}, {first.place.place}{more}: {why}.",
        (Reason(first.field or "row", found, "told, nothing lost", basis, NOTE),),
        tuple(Evidence(doubt.place) for doubt in doubts[:_SHOWN_MAX]),
        "Nothing to cure; write it plainly in the file to be rid of the note.",
    )
