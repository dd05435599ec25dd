"""XLSX -> records. Formulas by the value that was stored, dates by the format of their cell.

A workbook comes from anywhere: its size is looked at before it is unpacked, entities in its XML
are refused by defusedxml, merged cells and error cells are reported and never filled in.
"""

from __future__ import annotations

import re
import warnings
import zipfile
import zlib
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from datetime import date, datetime, time, timedelta
from pathlib import Path
from typing import Any
from xml.etree.ElementTree import ParseError

from defusedxml.ElementTree import fromstring  # type: ignore[import-untyped, unused-ignore]

from dossier.errors import Fault, ProjectError
from dossier.intake import tables
from dossier.intake.convert import did_you_mean
from dossier.intake.raw import Plain, Read, Unreadable, clip, refuse
from dossier.intake.shape import Shape
from dossier.intake.sources import Source
from dossier.records.position import Position

_MEMBERS_MAX = 10_000
_UNPACKED_MAX = 1 << 30  # bytes: a sheet of 100,000 rows and 40 columns unpacks to a third of it
_RATIO_MAX = 200  # of a member over 10 MB; sheets of real logs pack to a tenth or so
_BLANK_ROWS_MAX = 200  # a stray format far below the data makes a million empty rows
_BROKEN = (
    OSError, zipfile.BadZipFile, zlib.error, KeyError, ValueError, TypeError, AttributeError,
    IndexError, EOFError, ParseError, RuntimeError, OverflowError,
)  # fmt: skip


@contextmanager
def _explained(file: str) -> Iterator[None]:
    try:
        yield
    except ProjectError:
        raise
    except _BROKEN as error:
        found = f"a workbook that cannot be opened ({type(error).__name__})"
        raise refuse(file, "", found=found, expected="a sound XLSX workbook") from None


def read(path: Path, source: Source, shape: Shape) -> Read:
    """The records of one sheet, and what is wrong with it. Raises ProjectError."""
    with _explained(source.file), warnings.catch_warnings():
        warnings.simplefilter("ignore")  # of extensions that only matter to who edits the book
        guard(path, source.file)
        return _read(path, source, shape)


def guard(path: Path, file: str) -> None:
    """Raise ProjectError when the workbook would unpack to more than any register needs."""
    with zipfile.ZipFile(path) as book:
        members = book.infolist()
    total = sum(member.file_size for member in members)
    for member in members:
        packed = max(member.compress_size, 1)
        if member.file_size > 10_000_000 and member.file_size / packed > _RATIO_MAX:
            total = max(total, _UNPACKED_MAX + 1)
    if total > _UNPACKED_MAX or len(members) > _MEMBERS_MAX:
        raise refuse(
            file,
            "",
            found=f"a workbook that unpacks to {total // 1_000_000} MB or more",
            expected="a workbook of ordinary size",
        )


def _read(path: Path, source: Source, shape: Shape) -> Read:
    sheet, merged, formulas = _look(path, source)
    rows = list(_text_rows(path, sheet, formulas))
    head = next((cells for row, cells in rows if row == source.header_row), [])
    place = f"{sheet}!A{source.header_row}"
    if not any(cell.strip() for cell in head):
        raise refuse(source.file, place, found="no headings", expected="a row of headings")
    made = tables.plans(head, source, shape, place)
    used = {index for plan in made for index, _ in plan.columns}
    faults = list(_merged_faults(merged, used, source, sheet))
    body = (
        (row, cells)
        for row, cells in rows
        if row > source.header_row and any(cells[i].strip() for i in used if i < len(cells))
    )
    origin = Position(source.file, source.header_row, sheet)
    return list(tables.records(body, made, origin)), faults


def _look(path: Path, source: Source) -> tuple[str, list[str], bool]:
    """Name of the sheet, its merged ranges, and whether it holds formulas: from its XML."""
    with zipfile.ZipFile(path) as book:
        main = "xl/workbook.xml"
        root = fromstring(book.read(main))
        names = {
            str(node.get("name")): next(v for k, v in node.attrib.items() if k.endswith("}id"))
            for node in root.iter()
            if node.tag.endswith("}sheet")
        }
        name = _chosen(source, list(names))
        links = fromstring(book.read("xl/_rels/workbook.xml.rels"))
        target = next(str(n.get("Target")) for n in links.iter() if n.get("Id") == names[name])
        member = target.lstrip("/") if target.startswith("/") else f"xl/{target}"
        xml = book.read(member)
    merged = re.findall(rb'<(?:\w+:)?mergeCell\s[^>]*?ref="([A-Z0-9:]+)"', xml)
    return name, [m.decode() for m in merged], re.search(rb"<(?:\w+:)?f[\s>/]", xml) is not None


def _chosen(source: Source, names: list[str]) -> str:
    if not source.sheet and names:
        return names[0]
    if source.sheet in names:
        return source.sheet
    found = f"the sheets {', '.join(names)}" if names else "no sheets"
    hint = did_you_mean(source.sheet, names)
    raise refuse(
        source.file, "", found=found, expected=f"the sheet {clip(source.sheet)}", hint=hint
    )


def _text_rows(path: Path, sheet: str, formulas: bool) -> Iterator[tables.Row]:
    import openpyxl  # slow to load, and only projects with workbooks need it

    stored = openpyxl.load_workbook(path, read_only=True, data_only=True)
    written = openpyxl.load_workbook(path, read_only=True) if formulas else None
    try:
        page = stored[sheet]
        page.reset_dimensions()
        blank = 0
        twins = _cells(written[sheet]) if written else None
        for number, cells in enumerate(_cells(page), start=1):
            twin: Sequence[Any] = next(twins, ()) if twins else ()
            texts = [cell_text(cell) for cell in cells]
            for index, cell in enumerate(twin):
                if cell.data_type == "f" and index < len(texts) and not texts[index]:
                    texts[index] = Unreadable("a formula without a stored value")
            blank = 0 if any(texts) else blank + 1
            if blank > _BLANK_ROWS_MAX:
                return
            yield number, texts
    finally:
        stored.close()
        if written:
            written.close()


def _cells(page: Any) -> Iterator[Sequence[Any]]:
    page.reset_dimensions()
    rows: Iterable[Sequence[Any]] = page.iter_rows()
    yield from rows


def cell_text(cell: Any) -> str:
    """What a cell says, as text: whole numbers without a point, dates and times in ISO 8601."""
    value = cell.value
    if value is None:
        return Plain("")
    if cell.data_type == "e":
        return Unreadable(f'"{value}", an error')
    if isinstance(value, bool):
        return Plain("true" if value else "false")
    if isinstance(value, int | float):
        if "%" in str(cell.number_format):
            return Plain(f"{round(value * 100, 10):.15g} %")
        whole = isinstance(value, float) and value.is_integer() and abs(value) < 1e15
        return Plain(int(value) if whole else repr(value))
    if isinstance(value, datetime):
        dated = value.time() == time(0) and "h" not in str(cell.number_format).lower()
        return Plain(value.date() if dated else _to_second(value).isoformat(timespec="seconds"))
    if isinstance(value, date | time):
        return Plain(value.isoformat())
    return Plain(value)


def _to_second(value: datetime) -> datetime:
    """`value` rounded to the second: a day as a fraction of binary digits misses it by a hair."""
    return (value + timedelta(microseconds=500_000)).replace(microsecond=0)


def _merged_faults(
    merged: list[str], used: set[int], source: Source, sheet: str
) -> Iterator[Fault]:
    for ref in merged:
        match = re.fullmatch(r"([A-Z]+)([0-9]+):([A-Z]+)([0-9]+)", ref)
        if not match or int(match[4]) <= source.header_row:
            continue
        first, last = _index(match[1]), _index(match[3])
        if any(first <= index <= last for index in used):
            yield Fault(
                source.file,
                f"{sheet}!{match[1]}{match[2]}",
                "",
                f"the merged cells {ref}",
                "a value in every cell",
                "Take the cells apart and fill in each.",
            )


def _index(letters: str) -> int:
    index = 0
    for character in letters:
        index = index * 26 + ord(character) - 64
    return index - 1
