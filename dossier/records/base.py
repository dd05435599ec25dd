"""What every record of a register carries besides its own fields."""

from __future__ import annotations

from dataclasses import dataclass

from dossier.records.position import Position

NOWHERE = Position("", 0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Record:
    """Where the record stands, and which of its fields were marked "not applicable".

    A field that is None was left blank; one named in `not_applicable` was answered.
    """

    origin: Position = NOWHERE
    not_applicable: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True, kw_only=True)
class Paper:
    """A reference to a page of an evidence document: register number and page, from 1."""

    document: str
    page: int = 1
