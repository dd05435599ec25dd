"""What a question of an auditor is made of, and the answer to it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from difflib import get_close_matches
from typing import Protocol

from dossier.coverage.view import View
from dossier.errors import InputError
from dossier.records.base import Paper
from dossier.records.position import Position
from dossier.records.verdicts import Finding

Given = Mapping[str, str]
ALL_CHECKS = "all"


@dataclass(frozen=True, slots=True)
class Answer:
    """Rows under named columns, and a sentence that tells how to read them."""

    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    note: str = ""


Answering = Callable[[View, Sequence[Finding], Given], Answer]


@dataclass(frozen=True, slots=True)
class Question:
    """A named question: what it asks, which parameters it takes, which findings it needs."""

    name: str
    asks: str
    answer: Answering
    needs: tuple[str, ...] = ()  # parameters that it cannot do without
    takes: tuple[str, ...] = ()  # parameters that narrow it
    checks: tuple[str, ...] = ()  # checks whose findings it reads; ALL_CHECKS for every one


# What each parameter means; the same word means the same in every question.
PARAMETERS: Mapping[str, str] = {
    "joint": "joint number as written",
    "welder": "stamp of the welder",
    "since": "first day, YYYY-MM-DD",
    "until": "last day, YYYY-MM-DD",
    "day": "one day, YYYY-MM-DD",
    "process": "process number of ISO 4063",
    "wps": "number of the WPS",
    "batch": "number of the batch",
    "heat": "heat number",
    "line": "line or section",
    "method": "method of examination: VT, RT, UT, MT, PT, ET, LT",
    "film": "film number",
    "examiner": "examiner as the reports name him",
    "instrument": "number of the instrument",
    "concession": "number of the concession",
    "by": "day, line, kind, welder or law (what 49 CFR 192 or 195 asks)",
}


class _Recorded(Protocol):
    @property
    def origin(self) -> Position: ...


def table(columns: Iterable[str], rows: Iterable[Iterable[object]], note: str = "") -> Answer:
    """An answer of rows whose values are put into words; None is "".

    >>> table(["joint", "day"], [["J-1", date(2026, 3, 1)], ["J-2", None]]).rows
    (('J-1', '2026-03-01'), ('J-2', ''))
    """
    return Answer(tuple(columns), tuple(tuple(map(words, row)) for row in rows), note)


def words(value: object) -> str:
    """One value in words."""
    if value is None:
        return ""
    if isinstance(value, datetime):
        return value.strftime("%Y-%m-%d %H:%M")
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{value:g}"
    return str(value)


def where(record: _Recorded, *fields: str) -> str:
    """Where the record, or the named fields of it, were read."""
    places = [str(record.origin.of(field)) for field in fields] or [str(record.origin)]
    return "; ".join(dict.fromkeys(places))


def page(paper: Paper | None) -> str:
    """The page that proves a record, "" where it names none."""
    return f"{paper.document}, page {paper.page}" if paper else ""


def day_given(given: Given, name: str) -> date | None:
    """The day given under a name. Raises InputError: not a day."""
    text = given.get(name, "")
    try:
        return date.fromisoformat(text) if text else None
    except ValueError:
        raise InputError(name, found=text, expected="a day as YYYY-MM-DD") from None


def between(given: Given, day: date | None) -> bool:
    """Whether a day lies in the time that was asked for; an unknown day does unless one was."""
    since, until, only = (day_given(given, name) for name in ("since", "until", "day"))
    if day is None:
        return not (since or until or only)
    inside = (since is None or since <= day) and (until is None or day <= until)
    return inside and (only is None or day == only)


def wanted(given: Given, **values: str) -> bool:
    """Whether a record's values are those asked for; what was not asked for does not count."""
    return all(given.get(name, value) == value for name, value in values.items())


def on_record(name: str, value: str, known: Iterable[str]) -> str:
    """The value, when it is on record. Raises InputError with the nearest ones otherwise."""
    listed = list(known)
    if value in listed:
        return value
    near = get_close_matches(value, listed, n=3)
    expected = f"{PARAMETERS[name]} on record"
    if near:
        expected += f"; did you mean {' or '.join(near)}?"
    raise InputError(name, found=value, expected=expected)
