"""Cells of a workbook -> text, and what their type says against the reading.

A mark that looks like a number or a date is one for a spreadsheet: 00135 becomes 135, 12E45
becomes 1.2E+46, 5-6 becomes a day in June. What was typed is lost; what can be told is told.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, time
from typing import Any

from dossier.intake.raw import Plain, Told, Unreadable
from dossier.intake.shape import Shape
from dossier.intake.sheet_rows import Formats, Line
from dossier.intake.value_texts import EARLIEST, Picker, picker, value_text
from dossier.records.position import Position

_ZEROS = re.compile(r"0{2,}")
_MARKS = frozenset({str, bool, type(None)})
_DAYS = frozenset({str, datetime, date, type(None)})
_FIGURES = 15  # that a spreadsheet keeps of a number


def row_texts(line: Line, formats: Formats) -> list[str]:
    """What the cells of a row say, as text."""
    if line.texts is not None:
        return line.texts
    return [cell_text(cell, formats) for cell in line.cells]


def cell_text(cell: Any, formats: Formats) -> str:
    """What a cell says, as text: whole numbers without a point, dates and times in ISO 8601."""
    value = cell.value
    if type(value) is str:
        return Unreadable(f'"{value}", an error') if cell.data_type == "e" else Plain(value)
    return value_text(value, formats.of(cell))


@dataclass(slots=True)
class Columns:
    """The columns of a sheet whose cells need a look at their type, by place."""

    marks: dict[int, str] = field(default_factory=dict)  # fields of text
    days: dict[int, str] = field(default_factory=dict)  # dates and times
    dates: set[int] = field(default_factory=set)  # those of `days` without a time of day
    formats: Formats = field(default_factory=Formats)
    # Of each column of marks: the widths of those with a leading zero, and the numbers.
    zero_led: dict[int, set[int]] = field(default_factory=dict)
    numbers: dict[int, list[tuple[Position, str]]] = field(default_factory=dict)
    of_marks: Picker = field(init=False)
    of_days: Picker = field(init=False)

    def __post_init__(self) -> None:
        self.of_marks, self.of_days = picker(self.marks), picker(self.days)

    @property
    def careful(self) -> set[int]:
        """The columns in which a day differs from its midnight."""
        return set(self.marks) | (set(self.days) - self.dates)


def columns_of(used: Mapping[int, str], shape: Shape) -> Columns:
    """The columns to look at, of all that are `used`, by the kind of their field."""
    kinds = {index: part.kind for index, name in used.items() if (part := shape.at(name))}
    marks = {i: used[i] for i, kind in kinds.items() if kind == "text"}
    days = {i: used[i] for i, kind in kinds.items() if kind in ("date", "time")}
    return Columns(marks, days, {i for i in days if kinds[i] == "date"})


def quiet(line: Line, columns: Columns) -> bool:
    """Whether it is plain that `look` has nothing to tell of this row, as of nearly every one."""
    values, texts = line.values, line.texts
    if texts is None:
        return False
    if not _MARKS.issuperset(map(type, columns.of_marks(values))):
        return False
    if not _DAYS.issuperset(map(type, columns.of_days(values))):
        return False
    # Marks from "1" on in the order of characters have neither a zero nor a space in front.
    return min(filter(None, columns.of_marks(texts)), default="1") >= "1"


def look(line: Line, texts: list[str], columns: Columns, origin: Position, told: Told) -> None:
    """Tell of the cells of one row whose type speaks against them; `texts` is their reading."""
    values, width = line.values, len(line.values)
    for index, name in columns.marks.items():
        value = values[index] if index < width else None
        if type(value) is str:
            if value[:1] in ("0", " ") and (text := value.strip()).isdigit():
                columns.zero_led.setdefault(index, set()).add(len(text))
        elif value is not None and not isinstance(value, bool):
            shown = columns.formats.of(line.cells[index]) if line.cells else ""
            texts[index] = _mark(value, texts[index], shown, (index, name, columns), (origin, told))
    for index, name in columns.days.items():
        value = values[index] if index < width else None
        if index in columns.dates and isinstance(value, datetime) and value.time() == time(0):
            texts[index] = Plain(value.date())  # a day, whatever the format of its cell shows
        if isinstance(value, int | float):
            texts[index] = Unreadable(f"the number {texts[index]}, not formatted as a date")
        elif getattr(value, "year", 9999) < EARLIEST:
            why = f"a day before {EARLIEST} is an empty or a wrongly counted one"
            told.doubt(origin, name, texts[index], texts[index], why, certain=False)


def _mark(
    value: Any,
    text: str,
    shown: str,
    column: tuple[int, str, Columns],
    where: tuple[Position, Told],
) -> str:
    """A number or a date in a field of marks, as text; `shown` is the format of its cell."""
    (index, name, columns), (origin, told) = column, where
    why = ""
    if not isinstance(value, int | float):
        why = "a date in a field of marks: a spreadsheet makes one of a mark like 5-6"
    elif _ZEROS.fullmatch(shown) and text.isdigit() and len(text) < len(shown):
        padded = Plain(text.zfill(len(shown)))
        told.doubt(origin, name, text, padded, "the leading zeros that the cell's format shows")
        return padded
    elif text.isdigit() and len(text) > _FIGURES:
        why = f"a spreadsheet keeps {_FIGURES} figures of a number, the rest may be lost"
    elif text.isdigit():
        columns.numbers.setdefault(index, []).append((origin, text))
    elif "E+" not in text:  # that one is told of where any text is
        why = "a number with decimals in a field of marks: zeros at its end may be lost (1.10)"
    if why:
        told.doubt(origin, name, text, text, why, certain=False)
    return text


def look_back(columns: Columns, told: Told) -> None:
    """At the end of a sheet: numbers shorter than the marks with leading zeros beside them."""
    for index, widths in columns.zero_led.items():
        name = columns.marks[index]
        for origin, text in columns.numbers.get(index, ()):
            if len(text) < max(widths):
                why = "other marks of the column have leading zeros, which this number has lost"
                told.doubt(origin, name, text, text, why, certain=False)
