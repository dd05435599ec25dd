"""CSV -> records. Encoding and delimiter as declared, else UTF-8 and what the headings show."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator
from pathlib import Path

from dossier.errors import Fault
from dossier.intake import tables
from dossier.intake.raw import Plain, Read, refuse
from dossier.intake.read_yaml import read_text
from dossier.intake.shape import Shape
from dossier.intake.sources import Source
from dossier.records.position import Position

_DELIMITERS = (",", ";", "\t", "|")


def read(path: Path, source: Source, shape: Shape) -> Read:
    """The records of a CSV file, and the rows that cannot be taken. Raises ProjectError."""
    encoding = "utf-8-sig" if source.encoding == "utf-8" else source.encoding
    text = read_text(path, source.file, encoding)
    rows = _rows(text, source.delimiter or delimiter(text, source.header_row), source.file)
    place, head = next(
        ((line, cells) for line, cells in rows if line >= source.header_row), (0, None)
    )
    if head is None:
        raise refuse(source.file, "", found="no headings", expected="a row of headings")
    made = tables.plans(head, source, shape, f"line {place}")
    faults: list[Fault] = []
    body = _fitting(rows, len(head), source.file, faults)
    return tables.records(body, made, Position(source.file, place)), faults


def _fitting(
    rows: Iterable[tables.Row], width: int, file: str, faults: list[Fault]
) -> Iterator[tables.Row]:
    """The rows that say anything; `faults` takes up those with more cells than headings."""
    for line, cells in rows:
        if any(cell.strip() for cell in cells[width:]):
            hint = "A delimiter inside a text needs quotes around the text."
            expected = f"{width}, one for each heading"
            faults.append(Fault(file, f"line {line}", "", f"{len(cells)} cells", expected, hint))
        elif any(cell.strip() for cell in cells):
            yield line, cells


def delimiter(text: str, header_row: int) -> str:
    """The delimiter that cuts the heading row into most parts.

    >>> delimiter("joint;hi-lo, mm;gap\\n", 1)
    ';'
    """
    lines = text.split("\n", header_row)
    head = lines[header_row - 1] if len(lines) >= header_row else ""
    return max(_DELIMITERS, key=lambda mark: len(next(csv.reader([head], delimiter=mark), [])))


def _rows(text: str, mark: str, file: str) -> Iterator[tables.Row]:
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=mark, strict=True)
    line = 1
    try:
        for cells in reader:
            yield line, [Plain(cell) for cell in cells]
            line = reader.line_num + 1
    except csv.Error as error:
        found = f"text that is no CSV ({error})"
        expected = "rows of cells, with quotes closed"
        raise refuse(file, f"line {line}", found=found, expected=expected) from None
