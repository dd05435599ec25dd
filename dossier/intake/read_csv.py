"""CSV -> records. Encoding, delimiter and decimal mark as declared, else as the file shows."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from dossier.errors import Fault
from dossier.intake import csv_writing, tables
from dossier.intake.headings import stacked
from dossier.intake.raw import Plain, Read, Told, refuse
from dossier.intake.read_yaml import read_bytes, read_text
from dossier.intake.rows import Sheet, data_rows
from dossier.intake.shape import Shape
from dossier.intake.sources import Source
from dossier.records.position import Position


@dataclass(frozen=True, slots=True)
class _Writing:
    """How the file is written, and which of that was found out."""

    text: str
    delimiter: str
    found: dict[str, tuple[str, str]]


def read(path: Path, source: Source, shape: Shape, told: Told) -> Read:
    """The records of a CSV file, and the rows that cannot be taken. Raises ProjectError."""
    how = _writing(path, source)
    rows = _rows(how.text, how.delimiter, source.file)
    heads: list[list[str]] = []
    place = 0
    for line, cells in rows:
        if line >= source.header_row:
            heads.append(list(cells))
            place = place or line
        if len(heads) == source.layout.header_rows:
            break
    if not heads:
        raise refuse(source.file, "", found="no headings", expected="a row of headings")
    head = heads[0] if len(heads) == 1 else stacked(heads)
    made = tables.plans(head, source, shape, f"line {place}")
    used = {index: name for plan in made for index, name in plan.used.items()}
    _tell(source, shape, used, how, told)
    origin = Position(source.file, place)
    body = _fitting(rows, len(head), source.file, told.faults)
    sheet = Sheet(origin, used, source.layout, told, len(shape.required))
    return tables.records(data_rows(body, sheet), made, origin, told), told.faults


def _writing(path: Path, source: Source) -> _Writing:
    found: dict[str, tuple[str, str]] = {}
    encoding, why = source.encoding, ""
    if not encoding:
        encoding, why = csv_writing.encoding(read_bytes(path, source.file))
        found["encoding"] = (encoding.removesuffix("-sig"), why)
    text = read_text(path, source.file, "utf-8-sig" if encoding == "utf-8" else encoding)
    mark = source.delimiter or csv_writing.delimiter(text, source.header_row)
    if not source.delimiter:
        found["delimiter"] = (mark, "the headings")
    return _Writing(text, mark, found)


def _tell(source: Source, shape: Shape, used: Mapping[int, str], how: _Writing, told: Told) -> None:
    """Find the decimal mark where it is not declared, and tell what was found out."""
    found = how.found
    if not source.writing.decimal:
        numbers = [i for i, name in used.items() if getattr(shape.at(name), "kind", "") == "number"]
        sample = csv.reader(io.StringIO(how.text, newline=""), delimiter=how.delimiter)
        told.decimal = csv_writing.decimal_mark(_sound(sample), numbers) if numbers else ""
        if told.decimal:
            found["decimal mark"] = (told.decimal, "its numbers")
    if found:
        told.readings.append(csv_writing.sentence(source.file, found))


def _sound(rows: Iterator[list[str]]) -> Iterator[list[str]]:
    """The rows up to the first that is no CSV; the real reading tells of that one."""
    try:
        yield from rows
    except csv.Error:
        return


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
