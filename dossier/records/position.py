"""Where a record, or one field of it, was read: file and line, or file and sheet cell."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace


@dataclass(frozen=True, slots=True, order=True)
class Position:
    """A place in a file of the project.

    `line` counts from 1 (the row, in a workbook); `sheet` and `column` are set for workbooks.
    `fields` tells where each field stands: a column letter, a line number as text, or a cell of
    another sheet of the same workbook ("Certificates!C7").

    >>> log = Position("joints.xlsx", 7, "Log", fields={"wps": "F"})
    >>> str(log), str(log.of("wps"))
    ('joints.xlsx, Log!A7', 'joints.xlsx, Log!F7')
    >>> str(Position("welders.yaml", 12))
    'welders.yaml, line 12'
    """

    file: str
    line: int
    sheet: str = ""
    column: str = ""
    fields: Mapping[str, str] = field(default_factory=dict, compare=False, repr=False, hash=False)

    def of(self, name: str) -> Position:
        """The position of one field of this record; the record's own where it is not known."""
        mark = self.fields.get(name)
        if mark is None:
            return self
        if self.sheet:
            sheet, apart, cell = mark.rpartition("!")
            if apart:
                column = cell.rstrip("0123456789")
                line = int(cell.removeprefix(column))
                return replace(self, line=line, sheet=sheet, column=column)
            return replace(self, column=mark)
        return replace(self, line=int(mark))

    @property
    def place(self) -> str:
        """The place inside the file: "line 12" or "Log!F7"."""
        if self.sheet:
            return f"{self.sheet}!{self.column or 'A'}{self.line}"
        return f"line {self.line}"

    def __str__(self) -> str:
        return f"{self.file}, {self.place}"
