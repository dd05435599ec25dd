"""The first rows of a table of any kind, as text, for a look at how it is written."""

from __future__ import annotations

import csv
import io
import warnings
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path

from dossier.intake import csv_writing
from dossier.intake.book_parts import Page, explained, guard, pages
from dossier.intake.cells import cell_text
from dossier.intake.raw import refuse
from dossier.intake.read_yaml import read_bytes, read_text
from dossier.intake.sheet_rows import Formats, opened

_ROWS = 300


@dataclass(frozen=True, slots=True)
class Sample:
    """The first rows of a CSV file or of one sheet; `writing` is what a CSV file shows."""

    rows: Sequence[Sequence[str]]
    page: Page | None = None
    writing: dict[str, tuple[str, str]] = field(default_factory=dict)


def samples(path: Path) -> list[Sample]:
    """The first rows of each sheet of a workbook, or of a CSV file. Raises ProjectError."""
    if not path.is_file():
        raise refuse(path.name, "", found="no such file", expected="a CSV file or a workbook")
    ending = path.suffix.lower()
    if ending == ".csv":
        return [_of_csv(path)]
    if ending == ".xlsx":
        return _of_workbook(path)
    raise refuse(path.name, "", found=f"the ending {ending}", expected=".csv or .xlsx")


def _of_csv(path: Path) -> Sample:
    encoding, why = csv_writing.encoding(read_bytes(path, path.name))
    text = read_text(path, path.name, encoding)
    head = text.split("\n", 20)[:20]
    widest = max(range(len(head)), key=lambda i: _parts(head[i]))
    mark = csv_writing.delimiter(text, widest + 1)
    rows: list[list[str]] = []
    try:
        for cells in csv.reader(io.StringIO(text, newline=""), delimiter=mark):
            rows.append(cells)
            if len(rows) == _ROWS:
                break
    except csv.Error:
        pass  # what cannot be cut is told of when the file is read
    found = {"encoding": (encoding.removesuffix("-sig"), why), "delimiter": (mark, "its rows")}
    return Sample(rows, None, found)


def _parts(line: str) -> int:
    return max(line.count(mark) for mark in csv_writing.DELIMITERS)


def _of_workbook(path: Path) -> list[Sample]:
    found, formats = [], Formats()
    with explained(path.name), warnings.catch_warnings():
        warnings.simplefilter("ignore")
        guard(path, path.name)
        with opened(path) as book:
            for page in pages(path, path.name, "*"):
                sheet = book[page.name]
                sheet.reset_dimensions()
                rows = [
                    [str(cell_text(cell, formats)) for cell in cells]
                    for cells in sheet.iter_rows(max_row=_ROWS)
                ]
                found.append(Sample(rows, page))
    return found
