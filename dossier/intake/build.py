"""Plain data -> frozen records, by the type hints of the record itself."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Mapping
from datetime import date, datetime
from types import UnionType
from typing import Any, TypeVar, get_args, get_origin, get_type_hints

from dossier.records.base import Record
from dossier.records.position import Position

T = TypeVar("T")


def build(
    record_type: type[T],
    data: Mapping[str, object],
    origin: Position,
    not_applicable: frozenset[str] = frozenset(),
) -> T:
    """The record of `record_type` that `data` (plain, checked against its schema) describes.

    Records inside of records get the place and the "n/a" answers of their own part. A value that
    is a record already is taken as it is.

    >>> from dossier.records.base import Paper
    >>> build(Paper, {"document": "DOC-0012", "page": 3}, Position("joints.yaml", 7))
    Paper(document='DOC-0012', page=3)
    """
    makers = _makers(record_type)
    values: dict[str, Any] = {
        name: makers[name](value, name, origin, not_applicable) for name, value in data.items()
    }
    if issubclass(record_type, Record):
        values["origin"] = origin
        values["not_applicable"] = not_applicable
    return record_type(**values)


Maker = Callable[[Any, str, Position, frozenset[str]], Any]


_MAKERS: dict[type[Any], dict[str, Maker]] = {}  # looking up type hints anew is slow


def _makers(record_type: type[Any]) -> dict[str, Maker]:
    if record_type not in _MAKERS:
        hints = get_type_hints(record_type)
        names = [field.name for field in dataclasses.fields(record_type)]
        _MAKERS[record_type] = {name: _maker(hints[name]) for name in names}
    return _MAKERS[record_type]


def _maker(hint: Any) -> Maker:
    """How a value of the type `hint` is made from plain data."""
    if isinstance(hint, UnionType):
        hint = next(part for part in get_args(hint) if part is not type(None))
    if get_origin(hint) is tuple:
        inner = _maker(get_args(hint)[0])
        return lambda value, path, origin, answered: tuple(
            inner(part, f"{path}.{place}", origin, answered)
            for place, part in enumerate(value, start=1)
        )
    if dataclasses.is_dataclass(hint) and isinstance(hint, type):
        return _nested(hint)
    if hint is float:
        return lambda value, *_: float(value)
    if hint is date:
        return lambda value, *_: date.fromisoformat(value)
    if hint is datetime:
        return lambda value, *_: datetime.fromisoformat(value)
    return lambda value, *_: value


def _nested(hint: type[Any]) -> Maker:
    def made(value: Any, path: str, origin: Position, answered: frozenset[str]) -> Any:
        if isinstance(value, hint):
            return value
        return build(hint, value, _part(origin, path), _below(answered, path))

    return made


def _below(names: frozenset[str], path: str) -> frozenset[str]:
    return frozenset(n.removeprefix(f"{path}.") for n in names if n.startswith(f"{path}."))


def _part(origin: Position, path: str) -> Position:
    """The position of the part of a record under `path`, with the places of its own fields."""
    here = origin.of(path)
    start = f"{path}."
    fields = {
        name.removeprefix(start): mark
        for name, mark in origin.fields.items()
        if name.startswith(start)
    }
    return dataclasses.replace(here, fields=fields)
