"""CSV -> records. Encoding and delimiter as declared, else UTF-8 and what the headings show."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
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
    rows = list(_rows(text, source.delimiter or delimiter(text, source.header_row), source.file))
    head = next((cells for line, cells in rows if line >= source.header_row), None)
    if head is None:
        raise refuse(source.file, "", found="no headings", expected="a row of headings")
    place = next(line for line, cells in rows if line >= source.header_row)
    made = tables.plans(head, source, shape, f"line {place}")
    body = [row for row in rows if row[0] > place and any(cell.strip() for cell in row[1])]
    long = [
        Fault(
            source.file,
            f"line {line}",
            "",
            f"{len(cells)} cells",
            f"{len(head)}, one for each heading",
            "A delimiter inside a text needs quotes around the text.",
        )
        for line, cells in body
        if any(cell.strip() for cell in cells[len(head) :])
    ]
    sound = [row for row in body if not any(cell.strip() for cell in row[1][len(head) :])]
    return list(tables.records(sound, made, Position(source.file, place))), long


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
