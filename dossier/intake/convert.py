"""A record as read -> plain data of the kinds that its schema asks for.

Blank, "not applicable" and zero are kept apart: a blank field is left out, one that is answered
"n/a" is left out and named, a zero is a value.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from difflib import get_close_matches
from operator import itemgetter

from dossier.errors import Fault, InputError
from dossier.intake import odd_text, values
from dossier.intake.raw import Plain, Raw, Unreadable, clip
from dossier.intake.shape import Shape
from dossier.intake.values import Writing
from dossier.records.doubts import Doubt
from dossier.records.position import Position

Data = dict[str, object]

_UNPRINTABLE = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\ud800-\udfff\ufffe\uffff]")


class _Nothing:
    """The mark of a blank."""


NOTHING = _Nothing()


@dataclass(slots=True)
class Converted:
    """A record as plain data, the fields answered "n/a", and what could not be read."""

    data: Data
    origin: Position
    not_applicable: frozenset[str] = frozenset()
    faults: list[Fault] = field(default_factory=list)
    doubts: list[Doubt] = field(default_factory=list)


def fault_at(origin: Position, path: str, error: InputError, hint: str = "") -> Fault:
    """The fault of the field `path` of a record, at the nearest place that is known."""
    place = origin.of(nearest(origin, path)).place
    return Fault(origin.file, place, path, str(error.found), error.expected, hint)


def nearest(origin: Position, path: str) -> str:
    """`path`, or the part of it around that has a place of its own in the file."""
    while path and path not in origin.fields:
        path = path.rpartition(".")[0]
    return path


def did_you_mean(word: str, words: Iterable[str]) -> str:
    """A question that offers the word most like `word`, or "" when none is alike.

    >>> did_you_mean("weldr", ["welder", "joint"])
    'Did you mean "welder"?'
    """
    by_case = {known.casefold(): known for known in words}
    close = get_close_matches(word.casefold(), by_case, n=1, cutoff=0.6)
    return f'Did you mean "{by_case[close[0]]}"?' if close else ""


Known = dict[tuple[str, str], object]  # the value of a text in a field of one file
_KNOWN_MAX = 100_000


def convert(raw: Raw, shape: Shape, writing: Writing, known: Known | None = None) -> Converted:
    """The record `raw` in the kinds that `shape` asks for. Gathers faults and raises none.

    `known` remembers what was read, for further records of the same file: in a long log the same
    few words come again and again.
    """
    job = _Job(raw.origin, writing, {} if known is None else known)
    data = job.fields(raw.data, shape, "")
    return Converted(data, raw.origin, frozenset(job.answered), job.faults, job.doubts)


@dataclass(slots=True)
class _Job:
    """The conversion of one record."""

    origin: Position
    writing: Writing
    known: Known
    answered: set[str] = field(default_factory=set)
    faults: list[Fault] = field(default_factory=list)
    doubts: list[Doubt] = field(default_factory=list)

    def fields(self, data: Mapping[str, object], shape: Shape, path: str) -> Data:
        clean: Data = {}
        for name, value in data.items():
            where = f"{path}.{name}" if path else name
            if type(value) is Plain and (where, value) in self.known:
                clean[name] = self.known[where, value]
                continue
            inner = shape.item if shape.kind == "mapping" else shape.fields.get(name)
            if inner is None:
                hint = did_you_mean(name, shape.fields)
                expected = f"a field of {shape.title.lower() or 'this record'}"
                error = InputError(
                    where, found=f"the unknown field {clip(name)}", expected=expected
                )
                self.faults.append(fault_at(self.origin, where, error, hint))
                continue
            before, doubts = len(self.faults), len(self.doubts)
            result = self.value(value, inner, where, fills_field=shape.kind == "object")
            if result is not NOTHING:
                clean[name] = result
                told = len(self.doubts) > doubts  # a doubt is told of every record
                plain = type(value) is Plain and inner.kind != "list" and not told
                if plain and len(self.known) < _KNOWN_MAX:
                    self.known[where, str(value)] = result
            elif shape.kind == "mapping" and len(self.faults) == before:
                error = InputError(where, found="nothing", expected=_wanted(inner))
                self.faults.append(fault_at(self.origin, where, error))
        return clean

    def value(self, value: object, shape: Shape, path: str, *, fills_field: bool) -> object:
        if value is None:
            return NOTHING
        if isinstance(value, str):
            value = self._text(value, path, shape.kind)
            if value == "":
                return NOTHING
            if fills_field and values.is_not_applicable(str(value)):
                self.answered.add(path)
                return NOTHING
        try:
            return self._typed(value, shape, path)
        except InputError as error:
            self.faults.append(fault_at(self.origin, path, error))
            return NOTHING

    def _doubt(self, path: str, raw: str, read_as: str, why: str, *, certain: bool) -> None:
        if why:
            self.doubts.append(Doubt(self.origin, path, raw, read_as, why, certain))

    def _text(self, value: str, path: str, kind: str) -> str:
        """`value` without spaces around it (no-break spaces too), in the words of the schema."""
        trimmed: str = value.strip()
        if not value.isascii() and not isinstance(value, Unreadable):
            plain, changed = odd_text.plain_spaces(trimmed)
            if changed or trimmed != value.strip(" \t\r\n"):
                why = changed or "no-break or thin spaces around it taken off"
                self._doubt(path, value, plain, why, certain=True)
            trimmed = plain
            if kind == "text":
                why = odd_text.look_alikes(trimmed, path, self.writing.letters)
                self._doubt(path, trimmed, trimmed, why, certain=False)
        if kind == "text":
            self._odd(trimmed, path)
        elif trimmed[:1] == "0" and trimmed[1:].isdigit() and kind in ("number", "whole number"):
            why = "leading zeros of a number left out"
            self._doubt(path, value, trimmed.lstrip("0") or "0", why, certain=True)
        words = self.writing.words.get(path)
        if words and trimmed in words:
            return Plain(words[trimmed])
        if trimmed == value:
            return value
        return type(value)(trimmed)

    def _odd(self, text: str, path: str) -> None:
        why = odd_text.lost_mark(text, path) if "+" in text else ""
        why = why or (odd_text.two_welders(text, path) if path == "welder" else "")
        self._doubt(path, text, text, why, certain=False)

    def _typed(self, value: object, shape: Shape, path: str) -> object:
        if isinstance(value, Unreadable):
            raise InputError(path, found=value, expected="a value")
        if shape.kind in ("object", "mapping"):
            return self._object(value, shape, path)
        if shape.kind == "list":
            return self._list(value, shape, path)
        if shape.kind == "text":
            return _as_text(value, path)
        if shape.kind == "yes or no" and isinstance(value, bool):
            return value
        if type(value) in (int, float) and shape.kind in ("number", "whole number"):
            value = Plain(repr(value))  # of a reader that gives numbers as such
        if not isinstance(value, str) or (
            not isinstance(value, Plain) and shape.kind not in ("date", "time")
        ):
            raise InputError(path, found=describe(value), expected=_wanted(shape))
        return self._scalar(value, shape, path)

    def _scalar(self, text: str, shape: Shape, path: str) -> object:
        writing = self.writing
        if shape.kind == "number":
            unit = writing.units.get(path, "") if writing.units else ""
            return values.number(text, shape.unit, unit, writing.decimal)
        if shape.kind == "whole number":
            return values.whole_number(text, writing.decimal)
        if shape.kind == "date":
            return values.iso_date(text, writing.date_order)
        if shape.kind == "time":
            return values.iso_time(text, writing.date_order)
        return values.yes_or_no(text)

    def _object(self, value: object, shape: Shape, path: str) -> object:
        if not isinstance(value, Mapping):
            raise InputError(path, found=describe(value), expected=_wanted(shape))
        before, faults = set(self.answered), len(self.faults)
        clean = self.fields(value, shape, path)
        if clean or len(self.faults) > faults:
            return clean
        # Nothing but blanks and "n/a" inside: the whole is blank, or does not apply.
        if self.answered != before:
            self.answered = before | {path}
        return NOTHING

    def _list(self, value: object, shape: Shape, path: str) -> object:
        item = shape.item or Shape("text")
        table = self.writing.separator
        if table and isinstance(value, Plain):
            value = [Plain(part) for part in value.split(table) if part.strip()]
        parts: Iterable[tuple[int, object]] | None
        parts = enumerate(value, start=1) if isinstance(value, list) else None
        if table and isinstance(value, Mapping):  # columns such as deposits.2.process
            parts = sorted(((int(n), part) for n, part in value.items()), key=itemgetter(0))
        if parts is None:
            raise InputError(path, found=describe(value), expected=_wanted(shape))
        clean = []
        for place, part in parts:
            where = f"{path}.{place}"
            known = len(self.faults)
            result = self.value(part, item, where, fills_field=False)
            if result is not NOTHING:
                clean.append(result)
            elif not table and len(self.faults) == known:
                error = InputError(where, found="nothing", expected=_wanted(item))
                self.faults.append(fault_at(self.origin, where, error))
        return clean or NOTHING


def _as_text(value: object, path: str) -> str:
    if not isinstance(value, str):
        raise InputError(path, found=describe(value), expected="text")
    if _UNPRINTABLE.search(value):
        shown = clip(_UNPRINTABLE.sub("�", value))
        raise InputError(path, found=f"{shown} with a control character", expected="plain text")
    return str(value)


def describe(value: object) -> str:
    """What `value` is, for a message.

    >>> describe([1, 2]), describe("12")
    ('a list', 'the text "12"')
    """
    if isinstance(value, Mapping):
        return "fields of its own"
    if isinstance(value, list):
        return "a list"
    if isinstance(value, bool):
        return "true" if value else "false"
    if value is None:
        return "nothing"
    return f"the text {clip(value)}" if isinstance(value, str) else clip(value)


def _wanted(shape: Shape) -> str:
    if shape.kind == "object":
        return f"the fields {', '.join(list(shape.fields)[:6])}"
    if shape.kind == "mapping":
        return "names, each with its value"
    if shape.kind == "list":
        return "a list"
    unit = f" in {shape.unit}" if shape.unit else ""
    return {"number": f"a number{unit} without quotes", "yes or no": "yes or no"}.get(
        shape.kind, f"a {shape.kind}"
    )
