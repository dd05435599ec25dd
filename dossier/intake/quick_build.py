"""Plain data -> frozen records by code made once for each record type, for the long registers.

What `build` decides for every value (is it a date, a list, a record?) is decided here once, from
the type hints, and written out as one function a type. It takes only plainly written data: where
a day or a time of day is spelled in any other way it raises OddError, and the careful reader takes
over.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Mapping
from datetime import date, datetime
from types import UnionType
from typing import Any, get_args, get_origin, get_type_hints

from dossier.records.base import Record
from dossier.records.position import Position

# A record from its fields and its place. Values in `own` stand for fields of the data.
Quick = Callable[[Mapping[str, Any], Position], Any]
_MADE: dict[type[Any], Quick] = {}
_DAYS_MAX = 50_000


class OddError(ValueError):
    """A value that is not written plainly."""


class _Days(dict[str, date]):
    """Days by their text: a log names the same few again and again."""

    def __missing__(self, text: str) -> date:
        if len(self) > _DAYS_MAX:
            self.clear()
        day = self[text] = date.fromisoformat(text)
        return day


DAYS = _Days()


def odd(value: object) -> int:
    """Raise OddError: a whole number that is not written as one, such as 3.0."""
    raise OddError(str(value))


def quick(record_type: type[Any]) -> Quick:
    """The function that makes records of `record_type` from data that its schema admits.

    >>> from dossier.records.base import Paper
    >>> quick(Paper)({"document": "D-1"}, Position("joints.jsonl", 7))
    Paper(document='D-1', page=1)
    """
    if record_type not in _MADE:
        _MADE[record_type] = _compiled(record_type)
    return _MADE[record_type]


def _compiled(record_type: type[Any]) -> Quick:
    names: dict[str, Any] = {
        "new": object.__new__, "twin": _twin(record_type), "cls": record_type, "Float": float,
        "moment": datetime.fromisoformat, "days": DAYS, "odd": odd,
    }  # fmt: skip
    hints = get_type_hints(record_type)
    lines = ["def made(data, origin):", "    record = new(twin)", "    get = data.get"]
    for number, field in enumerate(dataclasses.fields(record_type)):
        name, default = field.name, f"default{number}"
        names[default] = field.default
        if issubclass(record_type, Record) and name == "origin":
            lines.append("    record.origin = origin")
            continue
        make = _expression(hints[name], f"make{number}", names)
        if field.default is dataclasses.MISSING:
            lines += [f"    value = data[{name!r}]", f"    record.{name} = {make.format('value')}"]
        elif make == "{0}":
            lines.append(f"    record.{name} = get({name!r}, {default})")
        else:
            made = make.format("value")
            lines.append(f"    value = get({name!r})")
            lines.append(f"    record.{name} = {default} if value is None else {made}")
    lines += ["    record.__class__ = cls", "    return record"]
    exec("\n".join(lines), names)  # noqa: S102  the text holds names of our own records only
    function: Quick = names["made"]
    return function


def _twin(record_type: type[Any]) -> type[Any]:
    """A class of the same layout whose fields may still be set: a frozen record in the making."""
    slots = record_type.__dict__["__slots__"]
    open_ = {  # both methods, or Python keeps the slow way for either
        "__slots__": slots, "__setattr__": object.__setattr__, "__delattr__": object.__delattr__,
    }  # fmt: skip
    return type(f"{record_type.__name__}InTheMaking", record_type.__bases__, open_)


def _expression(hint: Any, name: str, names: dict[str, Any]) -> str:
    """How a value of the type `hint` is made from `{0}`."""
    if isinstance(hint, UnionType):
        hint = next(part for part in get_args(hint) if part is not type(None))
    if get_origin(hint) is tuple:
        inner = _expression(get_args(hint)[0], f"{name}_", names)
        if inner == "{0}":
            return "tuple({0})"
        return f"tuple([{inner.format('part')} for part in {{0}}])"
    if dataclasses.is_dataclass(hint) and isinstance(hint, type):
        names[name], names[f"{name}_type"] = quick(hint), hint
        return f"({{0}} if type({{0}}) is {name}_type else {name}({{0}}, origin))"
    plain = {date: "days[{0}]", datetime: "moment({0})", float: "Float({0})",
             int: "({0} if type({0}) is int else odd({0}))"}  # fmt: skip
    return plain.get(hint, "{0}")
