"""Records -> rows of the workbook for data entry, one row a record, cell by cell."""

from __future__ import annotations

import csv
import io
from collections import Counter
from collections.abc import Sequence
from datetime import date, datetime
from typing import Any

from dossier.intake.entry_layout import Column, EntrySheet, layout
from dossier.intake.values import is_not_applicable
from dossier.records.base import Record
from dossier.records.project import Project

Cell = str | int | float | bool | date | datetime | None
Rows = dict[str, list[list[Cell]]]  # by the path of the sheet
NOT_APPLICABLE = "n/a"
SEPARATOR = "; "


def entry_rows(project: Project) -> Rows:
    """All records of `project` as rows of the sheets of the layout. Blank cells are None."""
    made: Rows = {sheet.path: [] for sheet in layout()}
    for sheet in layout():
        if not sheet.parent:
            records = getattr(project, sheet.register)
            _add(sheet, [(r, r.not_applicable) for r in records], [], made)
    return made


def _add(
    sheet: EntrySheet,
    records: Sequence[tuple[Any, frozenset[str]]],
    owners: list[Cell],
    made: Rows,
) -> None:
    """Rows for sibling records, and for the lists inside of them."""
    own = [column for column in sheet.columns if not column.owner]
    rows = [
        [*owners, *(_cell(record, column, own, answered) for column in own)]
        for record, answered in records
    ]
    made[sheet.path] += rows
    keys = [tuple(_keys(sheet, row)) for row in rows]
    many, seen = Counter(keys), Counter[tuple[Cell, ...]]()
    for child in (part for part in layout() if part.parent == sheet.path):
        seen.clear()
        for (record, answered), key in zip(records, keys, strict=True):
            seen[key] += 1
            which = [seen[key] if many[key] > 1 else None] if sheet.counted else []
            _add_list(child, record, answered, [*key, *which], made)


def _add_list(
    child: EntrySheet, record: Any, answered: frozenset[str], owners: list[Cell], made: Rows
) -> None:
    parts = getattr(record, child.field)
    if not parts and child.field in answered:
        blank: list[Cell] = [None] * (len(child.columns) - len(owners) - 1)
        made[child.path].append([*owners, NOT_APPLICABLE, *blank])
        return
    below = []
    for place, part in enumerate(parts, start=1):
        start = f"{child.field}.{place}."
        own = frozenset(n.removeprefix(start) for n in answered if n.startswith(start))
        below.append((part, part.not_applicable if isinstance(part, Record) else own))
    _add(child, below, owners, made)


def _keys(sheet: EntrySheet, row: list[Cell]) -> list[Cell]:
    places = {column.path: index for index, column in enumerate(sheet.columns)}
    return [row[places[key]] for key in sheet.keys]


def _cell(record: Any, column: Column, own: Sequence[Column], answered: frozenset[str]) -> Cell:
    if column.path in answered:
        return NOT_APPLICABLE
    value: Any = record
    steps = column.path.split(".")
    for depth, step in enumerate(steps, start=1):
        whole = ".".join(steps[:depth])
        if whole in answered and depth < len(steps):
            first = next(c for c in own if c.path.startswith(f"{whole}."))
            return NOT_APPLICABLE if first is column else None
        value = getattr(value, step) if value is not None else None
    if column.kind == "texts":
        return joined_texts([_shown(part) for part in value]) if value else None
    return None if value == "" else value


def _shown(part: str | float) -> str:
    whole = isinstance(part, float) and part.is_integer()
    return part if isinstance(part, str) else repr(int(part) if whole else part)


def joined_texts(parts: Sequence[str]) -> str:
    """Texts in one cell with ; between them; quotes around one that would be read otherwise.

    >>> joined_texts(["PA", "H-L045"]), joined_texts(["keep dry; warm"])
    ('PA; H-L045', '"keep dry; warm"')
    """
    return SEPARATOR.join(_quoted(part) for part in parts)


def _quoted(part: str) -> str:
    doubtful = part[:1] in ('"', " ") or is_not_applicable(part)
    if doubtful or any(mark in part for mark in ";\n\r"):
        return '"' + part.replace('"', '""') + '"'
    return part


def split_texts(text: str) -> list[str]:
    """The texts of one cell.

    >>> split_texts('PA;"keep dry; warm"; 1/2" wide')
    ['PA', 'keep dry; warm', '1/2" wide']
    """
    lines = csv.reader(io.StringIO(text, newline=""), delimiter=";", skipinitialspace=True)
    return [part.strip() for cells in lines for part in cells if part.strip()]
