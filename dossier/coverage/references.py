"""Every reference from a record to a page of a document."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, fields, is_dataclass
from functools import cache
from typing import get_args, get_type_hints

from dossier.records.base import Paper, Record
from dossier.records.position import Position
from dossier.records.project import Project


@dataclass(frozen=True, slots=True)
class Reference:
    """A record that names a page of a document as its proof."""

    origin: Position
    paper: Paper


def references(project: Project) -> Iterator[Reference]:
    """All references of all registers, in the order of the registers."""
    for register in fields(project):
        records = getattr(project, register.name)
        yield from references_of(records if isinstance(records, tuple) else ())


def references_of(records: Iterable[object]) -> Iterator[Reference]:
    """All references of some records."""
    for record in records:
        if not isinstance(record, Record):
            continue
        kind: type = type(record)
        if _holders(kind):
            yield from _inside(record, record.origin)


def _inside(value: object, origin: Position) -> Iterator[Reference]:
    if isinstance(value, Paper):
        yield Reference(origin, value)
    elif isinstance(value, tuple):
        for part in value:
            yield from _inside(part, origin)
    elif is_dataclass(value) and not isinstance(value, type):
        own = value.origin if isinstance(value, Record) else origin
        for name in _holders(type(value)):
            yield from _inside(getattr(value, name), own)


@cache
def _holders(kind: type) -> tuple[str, ...]:
    """The fields of a record in which, at any depth, a reference may stand."""
    hints = get_type_hints(kind)
    return tuple(part.name for part in fields(kind) if _may_hold(hints[part.name]))


def _may_hold(hint: object) -> bool:
    if isinstance(hint, type) and is_dataclass(hint):
        return hint is Paper or bool(_holders(hint))
    return any(_may_hold(part) for part in get_args(hint))
