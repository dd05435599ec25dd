"""The plain data of the sample, and the few helpers that every part of it uses.

All of it is invented: people, places, companies, numbers. Records are plain mappings with the
field names of the registers; dates and times are Python values until they are written to a file.
"""

from __future__ import annotations

import random
from collections.abc import Iterable
from datetime import date, datetime, time, timedelta
from typing import Any

Row = dict[str, Any]
Data = dict[str, Any]  # "settings" -> mapping, every register -> list of rows

FIRST_DAY = date(2026, 4, 7)
AS_OF = date(2026, 6, 30)
OD_MM, WALL_MM, HEAVY_MM = 610.0, 12.7, 15.9
SUNDAY = 6


def span(low: float | None = None, high: float | None = None) -> Row:
    """A permitted range as the registers write it."""
    return {key: value for key, value in (("low", low), ("high", high)) if value is not None}


def paper(document: str, page: int = 1) -> Row:
    """A reference to a page of an evidence document."""
    return {"document": document, "page": page}


def dice(*names: object) -> random.Random:
    """A source of variation that depends on nothing but the names, so that a re-made part
    of the sample does not shift all that follows it."""
    return random.Random("brackmoor/" + "/".join(map(str, names)))  # noqa: S311 - no secret


def at(day: date, clock: str, minutes: float = 0) -> datetime:
    """A moment: a day, a clock time and some minutes later."""
    return datetime.combine(day, time.fromisoformat(clock)) + timedelta(minutes=minutes)


def workday(day: date, later: int = 0) -> date:
    """The day `later` calendar days after `day`, or the Monday after it if that is a Sunday."""
    moved = day + timedelta(days=later)
    return moved + timedelta(days=1) if moved.weekday() == SUNDAY else moved


def workdays(first: date) -> Iterable[date]:
    """Monday to Saturday, from `first` on, without end."""
    day = workday(first)
    while True:
        yield day
        day = workday(day, 1)


def find(rows: list[Row], **key: object) -> Row:
    """The one row with these values. Raises LookupError when there is none or more than one."""
    found = [row for row in rows if all(row.get(name) == value for name, value in key.items())]
    if len(found) != 1:
        raise LookupError(f"{len(found)} rows with {key}")
    return found[0]
