"""Registers as workbooks: one row a record, filters, frozen headings, figures as numbers.

Text is never taken for a formula; figures of one unit become numbers with the unit in the heading,
so that they sort and add up. The rows are streamed, so that a long register needs little memory.
"""

from __future__ import annotations

import io
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from dossier.archive import canonical
from dossier.documents.plain import refuse_control_characters
from dossier.documents.sheet import Head, Row, Table

_FIGURE = re.compile(r"(-?\d+(?:\.\d+)?)(?: ([^\d].*))?")
_LOOKS_ENCODED = re.compile(r"_(?=x[0-9A-Fa-f]{4}_)")
_FILLS = {
    "clear": "E0EFE6", "good": "E0EFE6", "note": "ECEFF1", "hold": "FBEDCC", "soon": "FBEDCC",
    "nonconformity": "F6D9D5", "bad": "F6D9D5", "cut-out": "D9BCCD",
}  # fmt: skip
HEADING_ROW = 4
_FONT = "Calibri"  # the default of the format, so that all cells look alike


@dataclass(frozen=True, slots=True)
class Sheet:
    """One sheet of a workbook: its tab, the rows, and a line of explanation."""

    name: str
    rows: Table
    note: str = ""


def workbook(head: Head, sheets: Sequence[Sheet], day: date) -> bytes:
    """An xlsx of several sheets, equal bytes for equal content.

    Raises InputError: a control character.
    """
    from openpyxl import Workbook

    refuse_control_characters([dict(head), *({**s.rows, "note_": s.note} for s in sheets)])
    book = Workbook(write_only=True)
    for sheet in sheets:
        _write_sheet(book, head, sheet)
    book.properties.title = f"{head['number']} {head['title']}"
    book.properties.creator = head["contractor"]
    out = io.BytesIO()
    book.save(out)
    return canonical(out.getvalue(), day)


def unit_of(rows: Sequence[Row], index: int) -> str | None:
    """The one unit of a column of figures ("" for bare numbers); None where it holds text.

    >>> unit_of([{"cells": ["12.7 mm"], "marks": [""]}, {"cells": ["-"], "marks": [""]}], 0)
    'mm'
    >>> unit_of([{"cells": ["P-12"], "marks": [""]}], 0) is None
    True
    """
    units = set()
    for one in rows:
        cell = one["cells"][index]
        if cell == "-":
            continue
        found = _FIGURE.fullmatch(cell)
        if found is None:
            return None
        units.add(found.group(2) or "")
    return units.pop() if len(units) == 1 else None


Figures = Sequence[tuple[str, str] | None]


def _figures(table: Table) -> Figures:
    """Unit and number format of each column that may hold numbers: those set flush right."""
    found: list[tuple[str, str] | None] = []
    for index, column in enumerate(table["columns"]):
        unit = unit_of(table["rows"], index) if column["align"] == "right" else None
        found.append(None if unit is None else (unit, _number_format(table["rows"], index)))
    return found


def _number_format(rows: Sequence[Row], index: int) -> str:
    """As many decimals as the most precise figure of the column shows."""
    figures = [found for r in rows if (found := _FIGURE.fullmatch(r["cells"][index]))]
    decimals = max((len(f.group(1).partition(".")[2]) for f in figures), default=0)
    return "0." + "0" * decimals if decimals else "0"


def _write_sheet(book: Any, head: Head, sheet: Sheet) -> None:
    from openpyxl.utils import get_column_letter

    made = book.create_sheet(sheet.name[:31])
    table = sheet.rows
    units = _figures(table)
    last = get_column_letter(len(table["columns"]))
    for index, column in enumerate(table["columns"]):
        made.column_dimensions[get_column_letter(index + 1)].width = _width(table, index, column)
    made.freeze_panes = f"A{HEADING_ROW + 1}"
    bottom = HEADING_ROW + max(len(table["rows"]), 1)
    made.auto_filter.ref = f"A{HEADING_ROW}:{last}{bottom}"
    made.print_title_rows = f"{HEADING_ROW}:{HEADING_ROW}"
    made.page_setup.orientation = "landscape"
    made.page_setup.paperSize = 9  # A4; the library defaults to Letter
    made.page_setup.fitToWidth, made.page_setup.fitToHeight = 1, 0
    made.sheet_properties.pageSetUpPr = _fit_to_page()
    plain = f"{head['number']} rev. {head['revision']}, {head['status']}".replace("&", "&&")
    made.oddFooter.left.text = plain
    made.oddFooter.right.text = "sheet &P of &N"
    for line in _lines(made, head, sheet, units):
        made.append(line)


def _fit_to_page() -> Any:
    from openpyxl.worksheet.properties import PageSetupProperties

    return PageSetupProperties(fitToPage=True)


def _width(table: Table, index: int, column: Any) -> float:
    longest = max((len(r["cells"][index]) for r in table["rows"]), default=0)
    return float(min(max(longest, len(column["label"]) + 3, 7) + 2, 46))


def _lines(made: Any, head: Head, sheet: Sheet, units: Figures) -> Iterator[list[Any]]:
    from openpyxl.styles import Font

    title = sheet.rows["title"] or head["title"]
    yield [
        _text(
            made, f"{head['number']}  {title}", Font(name=_FONT, bold=True, size=13, color="145A6B")
        )
    ]
    told = f"{head['project']} {head['project_title']} · revision {head['revision']} · "
    yield [
        _text(
            made, f"{told}{head['status']} · records to {head['as_of']}", Font(name=_FONT, size=9)
        )
    ]
    note = " ".join(part for part in (sheet.note, sheet.rows["note"]) if part)
    yield [_text(made, note, Font(name=_FONT, size=9, italic=True))]
    yield _heading(made, sheet.rows, units)
    for one in sheet.rows["rows"]:
        yield _record(made, one, units)


def _heading(made: Any, table: Table, units: Figures) -> list[Any]:
    from openpyxl.styles import Alignment, Border, Font, PatternFill, Side

    cells = []
    for column, figures in zip(table["columns"], units, strict=True):
        unit = figures[0] if figures else ""
        label = f"{column['label']}, {unit}" if unit else column["label"]
        cell = _text(made, label, Font(name=_FONT, bold=True, color="FFFFFF"))
        cell.fill = PatternFill("solid", fgColor="145A6B")
        cell.alignment = Alignment(wrap_text=True, vertical="center")
        cell.border = Border(bottom=Side("thin", color="145A6B"))
        cells.append(cell)
    return cells


def _record(made: Any, one: Row, units: Figures) -> list[Any]:
    from openpyxl.cell import WriteOnlyCell
    from openpyxl.styles import Alignment, PatternFill

    cells = []
    for text, mark, figures in zip(one["cells"], one["marks"], units, strict=True):
        if figures is not None:
            found = _FIGURE.fullmatch(text)
            cell = WriteOnlyCell(made, float(found.group(1)) if found else None)
            cell.number_format = figures[1]
        else:
            cell = _text(made, text)
            cell.alignment = Alignment(vertical="top", wrap_text=len(text) > 44)
        if mark in _FILLS:
            cell.fill = PatternFill("solid", fgColor=_FILLS[mark])
        cells.append(cell)
    return cells


def _text(made: Any, text: str, font: Any = None) -> Any:
    """A cell that stays text whatever it begins with."""
    from openpyxl.cell import WriteOnlyCell

    cell = WriteOnlyCell(made, _LOOKS_ENCODED.sub("_x005F_", text))
    cell.data_type = "s"
    if text[:1] in "=+-@\t" and len(text) > 1:
        cell.quotePrefix = True
    if font is not None:
        cell.font = font
    return cell
