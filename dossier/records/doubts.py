"""Readings that somebody should look at: what stood in the file and what it was taken for."""

from __future__ import annotations

from dataclasses import dataclass

from dossier.records.position import Position


@dataclass(frozen=True, slots=True)
class Doubt:
    """One field that was read in another form than it was written, with the raw text.

    `origin` is the place of its record (of the row left out, of the sheet), `field` the field by
    its dotted path, "" when it is about the whole row. `certain` is set for a clear-cut change
    that lost nothing (a no-break space taken off); without it the reading needs a person.

    >>> log = Position("log.xlsx", 7, "Log", fields={"welder": "F"})
    >>> str(Doubt(log, "welder", "same", "W07", "a mark that stands for the value above").place)
    'log.xlsx, Log!F7'
    """

    origin: Position
    field: str
    raw: str
    read_as: str
    why: str
    certain: bool = False

    @property
    def place(self) -> Position:
        """Where the field stands."""
        return self.origin.of(self.field)
