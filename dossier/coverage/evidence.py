"""Where the proof of a finding stands: fields of records, and pages of documents."""

from __future__ import annotations

from typing import Protocol

from dossier.records.base import Paper
from dossier.records.position import Position
from dossier.records.verdicts import Evidence


class _Recorded(Protocol):
    @property
    def origin(self) -> Position: ...


class _Documented(_Recorded, Protocol):
    @property
    def document(self) -> Paper | None: ...


def at(record: _Recorded, *names: str) -> tuple[Evidence, ...]:
    """The positions of the named fields of a record; of the record itself when none is named."""
    positions = [record.origin.of(name) for name in names] or [record.origin]
    return tuple(Evidence(position) for position in positions)


def paper(record: _Documented) -> tuple[Evidence, ...]:
    """The record's position and, where it has one, the document page that proves it."""
    if record.document is None:
        return at(record)
    return (Evidence(record.origin, record.document.document, record.document.page),)


def page_of(record: _Documented) -> tuple[str, int | None]:
    """Document and page that prove a record, as plain values; "" where none is named."""
    return (record.document.document, record.document.page) if record.document else ("", None)


def page_proof(origin: Position, document: object, page: object) -> Evidence:
    """What `paper` tells of a record, from its position and what `page_of` kept of it."""
    if not document:
        return Evidence(origin)
    return Evidence(origin, str(document), page if isinstance(page, int) else None)
