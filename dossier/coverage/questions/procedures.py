"""Which revision of a WPS was in force, what changed since, and which test supports a limit."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from dossier.codes.editions import procedure_code
from dossier.coverage.questions.face import (
    Answer,
    Given,
    Question,
    day_given,
    on_record,
    page,
    table,
    where,
)
from dossier.coverage.revisions import changes
from dossier.coverage.view import View
from dossier.errors import InputError
from dossier.records.procedures import Procedure
from dossier.records.verdicts import Finding

Row = tuple[object, ...]


def revision(seen: View, found: Sequence[Finding], given: Given) -> Answer:
    """The revisions of a WPS, the one in force on a day, and what each changed."""
    del found
    number = on_record("wps", given["wps"], seen.known.procedures)
    day = day_given(given, "day") or seen.as_of
    listed = seen.known.procedures[number]
    in_force = seen.known.in_force(number, day)
    rows: list[Row] = [_revision(one, in_force) for one in listed]
    for old, new in pairwise(listed):
        rows += _changes(old, new)
    told = f"revision {in_force.revision}" if in_force else "no revision"
    return table(
        ("revision", "what", "from", "to", "in force", "told", "read from"), rows,
        f"On {day} {told} of {number} was in force.",
    )  # fmt: skip


def _revision(one: Procedure, in_force: Procedure | None) -> Row:
    signed = ", ".join(f"{a.role} {a.name} {a.signed_on or 'undated'}" for a in one.approvals)
    told = "; ".join(part for part in (one.change, signed, page(one.document)) if part)
    return (one.revision, one.status, one.valid_from, one.valid_until,
            one is in_force, told, where(one))  # fmt: skip


def _changes(old: Procedure, new: Procedure) -> Iterator[Row]:
    for change in changes(old, new):
        yield (new.revision, f"change of {change.field}", change.before, change.after, None,
               f"against revision {old.revision}", where(new))  # fmt: skip


def limit(seen: View, found: Sequence[Finding], given: Given) -> Answer:
    """What each procedure test behind a WPS qualifies, with the clause that says so."""
    del found
    number = on_record("wps", given["wps"], seen.known.procedures)
    rows = [row for wps in seen.known.procedures[number] for row in _limits(seen, wps)]
    return table(
        ("revision", "test", "variable", "qualified", "clause", "test record page", "read from"),
        rows,
        f"A WPS may permit no more than one of its tests qualifies. {number} permits: "
        f"{_permits(seen.known.procedures[number][-1])}.",
    )


def _limits(seen: View, wps: Procedure) -> Iterator[Row]:
    for name in wps.pqrs:
        test = seen.known.pqrs.get(name)
        if test is None:
            yield wps.revision, name, "test", "not on record", "", "", where(wps, "pqrs")
            continue
        try:
            ranges = procedure_code(test.code).procedure_range(test, seen.choices)
        except InputError as error:  # a test record outside what the code can judge
            yield wps.revision, name, "range", str(error), "", page(test.document), where(test)
            continue
        for variable, allowed in ranges.items():
            yield (wps.revision, name, variable, str(allowed), str(allowed.basis),
                   page(test.document), where(test))  # fmt: skip


def _permits(wps: Procedure) -> str:
    spans = (("wall", wps.wall_mm, "mm"), ("diameter", wps.od_mm, "mm"))
    told = [
        f"{name} {'any' if s.low is None else f'{s.low:g}'} to "
        f"{'any' if s.high is None else f'{s.high:g}'} {unit}"
        for name, s, unit in spans
        if s is not None
    ]
    if wps.material_groups:
        told.append(f"material groups {', '.join(wps.material_groups)}")
    return "; ".join(told) or "nothing in figures"


QUESTIONS = (
    Question("revision", "Which revision of a WPS was in force on a day, and what changed since?",
             revision, ("wps",), ("day",)),
    Question("limit", "Which procedure test supports each limit of a WPS, by which clause?",
             limit, ("wps",)),
)  # fmt: skip
