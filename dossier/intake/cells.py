"""Cells of a workbook -> text, and what their type says against the reading.

A mark that looks like a number or a date is one for a spreadsheet: 00135 becomes 135, 12E45
becomes 1.2E+46, 5-6 becomes a day in June. What was typed is lost; what can be told is told.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from typing import Any

from dossier.intake.raw import Plain, Told, Unreadable
from dossier.intake.shape import Shape
from dossier.intake.sheet_rows import Formats, Line
from dossier.records.position import Position

_EARLIEST = 1950  # a weld log has no older day; an empty cell shown as a date is in 1899 or 1900
_KNOWN_MAX = 10_000
_BLANK = Plain("")
_ZEROS = re.compile(r"0{2,}")
_FIGURES = 15  # that a spreadsheet keeps of a number


def row_texts(line: Line, formats: Formats) -> list[str]:
    """What the cells of a row say, as text."""
    if line.cells:
        return [cell_text(cell, formats) for cell in line.cells]
    known = formats.texts
    return [
        Plain(value)
        if type(value) is str
        else _BLANK
        if value is None
        else known[value]
        if type(value) is float and value in known
        else _remembered(value, known)
        for value in line.values
    ]


def _remembered(value: Any, known: dict[float, str]) -> str:
    text = value_text(value)
    if type(value) is float and len(known) < _KNOWN_MAX:
        known[value] = text
    return text


def cell_text(cell: Any, formats: Formats) -> str:
    """What a cell says, as text: whole numbers without a point, dates and times in ISO 8601."""
    value = cell.value
    if type(value) is str:
        return Unreadable(f'"{value}", an error') if cell.data_type == "e" else Plain(value)
    return value_text(value, formats.of(cell))


def value_text(value: Any, number_format: str = "") -> str:
    """What a value of a cell says in this format, as text."""
    if value is None:
        return _BLANK
    if isinstance(value, bool):
        return Plain("true" if value else "false")
    if isinstance(value, int | float):
        return _number_text(value, number_format)
    if isinstance(value, datetime):
        dated = value.time() == time(0) and "h" not in number_format.lower()
        return Plain(value.date() if dated else _to_second(value).isoformat(timespec="seconds"))
    if isinstance(value, date | time):
        return Plain(value.isoformat())
    return Plain(value)


def _number_text(value: float, number_format: str) -> str:
    if "%" in number_format:
        return Plain(f"{round(value * 100, 10):.15g} %")
    if isinstance(value, int):
        return Plain(value)
    if abs(value) >= 10**_FIGURES:
        return Plain(f"{value:.15G}")
    return Plain(int(value) if value.is_integer() else repr(value))


def _to_second(value: datetime) -> datetime:
    """`value` rounded to the second: a day as a fraction of binary digits misses it by a hair."""
    try:
        return (value + timedelta(microseconds=500_000)).replace(microsecond=0)
    except OverflowError:
        return value.replace(microsecond=0)


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

    @property
    def careful(self) -> set[int]:
        """The columns in which a day differs from its midnight."""
        return set(self.marks) | (set(self.days) - self.dates)


def columns_of(used: Mapping[int, str], shape: Shape) -> Columns:
    """The columns to look at, of all that are `used`, by the kind of their field."""
    made = Columns()
    for index, name in used.items():
        part = shape.at(name)
        kind = part.kind if part else ""
        if kind == "text":
            made.marks[index] = name
        elif kind in ("date", "time"):
            made.days[index] = name
            made.dates |= {index} if kind == "date" else set()
    return made


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
        elif getattr(value, "year", 9999) < _EARLIEST:
            why = f"a day before {_EARLIEST} is an empty or a wrongly counted one"
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
