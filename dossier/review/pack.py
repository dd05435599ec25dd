"""Plain data small enough to travel in a page: columns instead of rows, compressed, as text."""

from __future__ import annotations

import base64
import json
import zlib
from collections.abc import Hashable, Iterable, Sequence
from typing import Any, TypedDict, TypeVar

from dossier.documents.sheet import Row, Table

W = TypeVar("W", bound=Hashable)
MARK = "\x1f"  # parts the text of a cell from its mark; no text of a record keeps this character


class Worded(TypedDict):
    """A column of few distinct values: the values, and for each row which one it is."""

    words: list[Any]
    at: list[int]


class Spelled(TypedDict):
    """A column of words that recur: the words, and a letter a row that tells which one it is."""

    words: list[str]
    letters: str


class Packed(TypedDict):
    """The tables of one kind of many joints: rows of each, cells column by column, notes."""

    rows: list[int]
    columns: list[Spelled | list[str]]
    notes: Spelled | list[str]


def worded(values: Iterable[W]) -> Worded:
    """A column as its distinct values in the order of their first use, and an index a row.

    >>> worded(["L1", "L1", "L2"])
    {'words': ['L1', 'L2'], 'at': [0, 0, 1]}
    """
    places: dict[W, int] = {}
    at = [places.setdefault(value, len(places)) for value in values]
    return Worded(words=list(places), at=at)


# One letter a word: what recurs then takes no more than it surprises. None is escaped in JSON.
LETTERS = "".join(map(chr, (*range(0x23, 0x5C), *range(0x5D, 0x7F), *range(0xA1, 0x800))))


def spelled(values: Sequence[str]) -> Spelled | list[str]:
    """A column by letters where its words recur, as it stands where they hardly do.

    >>> spelled(["12 A", "13 A", "12 A", "12 A"])
    {'words': ['12 A', '13 A'], 'letters': '#$##'}
    """
    found = worded(values)
    if len(found["words"]) > min(len(LETTERS), len(values) // 2):
        return list(values)
    return Spelled(words=found["words"], letters="".join(LETTERS[at] for at in found["at"]))


def cells_of(line: Row) -> list[str]:
    """The cells of a row, each with its mark behind it where it has one.

    >>> cells_of(Row(cells=["J-1", "hold"], marks=["", "hold"])) == ["J-1", "hold\\x1fhold"]
    True
    """
    return [
        f"{cell.replace(MARK, ' ')}{MARK}{mark}" if mark else cell.replace(MARK, " ")
        for cell, mark in zip(line["cells"], line["marks"], strict=True)
    ]


def plain_table(made: Table) -> dict[str, Any]:
    """A table for the page: title, headings, which of them are numbers, rows, note."""
    return {
        "title": made["title"],
        "heads": [column["label"] for column in made["columns"]],
        "right": [column["align"] == "right" for column in made["columns"]],
        "rows": [cells_of(line) for line in made["rows"]],
        "note": made["note"],
    }


def packed(tables: Sequence[Table], width: int) -> Packed:
    """Tables of one kind with `width` columns, turned so that like stands beside like."""
    lines = [cells_of(line) for made in tables for line in made["rows"]]
    return Packed(
        rows=[len(made["rows"]) for made in tables],
        columns=[spelled([line[place] for line in lines]) for place in range(width)],
        notes=spelled([made["note"] for made in tables]),
    )


def block(data: Any) -> str:
    """Data as text for the page: JSON, zlib (RFC 1950), base64; equal for equal data.

    >>> block({"a": 1}) == block({"a": 1})
    True
    """
    text = json.dumps(data, separators=(",", ":"), ensure_ascii=False)
    return base64.b64encode(zlib.compress(text.encode(), 9)).decode("ascii")
