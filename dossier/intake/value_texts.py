"""What the value of a cell says as text, and whether the value alone tells it."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from datetime import date, datetime, time, timedelta
from operator import itemgetter
from typing import Any

from dossier.intake.raw import Plain

EARLIEST = 1950  # a weld log has no older day; an empty cell shown as a date is in 1899 or 1900

_BLANK = Plain("")
_EXACT_MAX = 1e15  # a spreadsheet keeps 15 figures of a number
_KNOWN_MAX = 10_000
_LONG = 100  # characters; remarks seldom come again


def value_text(value: Any, number_format: str = "") -> str:
    """What a value of a cell says in this format, as text.

    Whole numbers stand without a point, dates and times in ISO 8601.

    >>> value_text(12.0), value_text(0.125, "0.0%")
    ('12', '12.5 %')
    """
    if value is None:
        return _BLANK
    if isinstance(value, bool):
        return Plain("true" if value else "false")
    if isinstance(value, (int, float)):
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
    if abs(value) >= _EXACT_MAX:
        return Plain(f"{value:.15G}")
    return Plain(int(value) if value.is_integer() else repr(value))


def _to_second(value: datetime) -> datetime:
    """`value` rounded to the second: a day as a fraction of binary digits misses it by a hair."""
    try:
        return (value + timedelta(microseconds=500_000)).replace(microsecond=0)
    except OverflowError:
        return value.replace(microsecond=0)


Picker = Callable[[Sequence[Any]], Sequence[Any]]


def picker(places: Collection[int]) -> Picker:
    """What takes the cells at these places out of a row, as far as the row goes.

    >>> picker([0, 2])(["a", "b", "c"]), picker([0, 2])(["a"])
    (('a', 'c'), ['a'])
    """
    if len(places) < 2:  # itemgetter takes two or more at once
        return lambda row: [row[place] for place in places if place < len(row)]
    take, last = itemgetter(*places), max(places)
    return lambda row: (
        take(row) if last < len(row) else [row[place] for place in places if place < len(row)]
    )


class ValueTexts(dict[Any, str]):
    """Values of a sheet and what they say: each is worked out once, as in a log they come again.

    To a dictionary True is the same as 1: `of` keeps the two apart.
    """

    def __init__(self) -> None:
        """Begin without values."""
        super().__init__()
        self.days: set[Any] = set()  # those of the values that are a day, or its midnight
        self.enough = True  # every value so far says the same in whatever format

    def of(self, row: Sequence[Any]) -> list[str]:
        """What the values of a row say."""
        if len(self) > _KNOWN_MAX:
            self.clear()
        if bool in map(type, row):
            return [value_text(v) if type(v) is bool else self[v] for v in row]
        return list(map(self.__getitem__, row))

    def __missing__(self, value: Any) -> str:
        """What a value says that did not come before."""
        if type(value) is str:
            text: str = Plain(value)
            if len(value) > _LONG:
                return text
        else:
            text = value_text(value)
            self._judge(value)
        self[value] = text
        return text

    def _judge(self, value: Any) -> None:
        if type(value) in (float, int):
            self.enough &= abs(value) < _EXACT_MAX
        elif type(value) in (datetime, date):
            self.enough &= value.year >= EARLIEST
            if type(value) is date or value.time() == time(0):
                self.days.add(value)
        elif value is not None:
            self.enough = False
