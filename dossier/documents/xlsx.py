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
from functools import partial
from typing import Any

from dossier.documents.language import catalogue, translated
from dossier.documents.plain import refuse_control_characters
from dossier.documents.sheet import Head, Row, Table
from dossier.documents.xlsx_rows import (
    ColumnForm,
    filled,
    looks_like_formula,
    row_writer,
    styles_of,
    written,
)

_FIGURE = re.compile(r"(-?\d+(?:\.\d+)?)(?: ([^\d].*))?")
_LOOKS_ENCODED = re.compile(r"_(?=x[0-9A-Fa-f]{4}_)")
_PAPERS = {"A4": 9, "Letter": 1}
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
    """An xlsx of several sheets in the language of the head, equal bytes for equal content.

    Raises InputError: a control character.
    """
    from openpyxl import Workbook
    from openpyxl.cell import WriteOnlyCell
    from openpyxl.utils import get_column_letter

    said = catalogue(head["look"]["language"])
    head = translated(head, said)
    sheets = [
        Sheet(said.say(one.name), translated(one.rows, said), said.say(one.note)) for one in sheets
    ]
    refuse_control_characters(
        [dict(head), *({**s.rows, "rows": [], "note_": s.note} for s in sheets)]
    )
    book = Workbook(write_only=True)
    rows = {}
    for place, sheet in enumerate(sheets, start=1):
        made, forms = _frame(book, head, sheet, place)
        styles = styles_of(partial(WriteOnlyCell, made), [f.number_format for f in forms],
                           _FILLS.values())  # fmt: skip
        letters = [get_column_letter(index + 1) for index in range(len(forms))]
        write = row_writer(forms, letters, _FILLS, styles)
        part = f"xl/worksheets/sheet{place}.xml"
        rows[part] = written(sheet.rows["rows"], HEADING_ROW + 1, write)
    book.properties.title = f"{head['number']} {head['title']}"
    book.properties.creator = head["contractor"]
    out = io.BytesIO()
    book.save(out)
    return filled(out.getvalue(), rows, day)


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


def _forms(table: Table) -> list[ColumnForm]:
    """How each column is written; figures may stand only in those that are set flush right."""
    found: list[ColumnForm] = []
    for index, column in enumerate(table["columns"]):
        unit = unit_of(table["rows"], index) if column["align"] == "right" else None
        if unit is None:
            found.append(ColumnForm())
        else:
            found.append(ColumnForm(unit, _number_format(table["rows"], index)))
    return found


def _number_format(rows: Sequence[Row], index: int) -> str:
    """As many decimals as the most precise figure of the column shows."""
    figures = [found for r in rows if (found := _FIGURE.fullmatch(r["cells"][index]))]
    decimals = max((len(f.group(1).partition(".")[2]) for f in figures), default=0)
    return "0." + "0" * decimals if decimals else "0"


def _frame(book: Any, head: Head, sheet: Sheet, place: int) -> tuple[Any, list[ColumnForm]]:
    """A sheet with all but its records: head, heading row, filter, print settings."""
    from openpyxl.utils import get_column_letter

    made = book.create_sheet(sheet.name[:31])
    table = sheet.rows
    forms = _forms(table)
    last = get_column_letter(len(table["columns"]))
    for index, column in enumerate(table["columns"]):
        made.column_dimensions[get_column_letter(index + 1)].width = _width(table, index, column)
    bottom = HEADING_ROW + max(len(table["rows"]), 1)
    made.freeze_panes = f"A{HEADING_ROW + 1}"
    made.print_title_rows = f"{HEADING_ROW}:{HEADING_ROW}"
    made.print_area = f"A1:{last}{bottom}"
    made.page_setup.orientation = "landscape"
    made.page_setup.paperSize = _PAPERS[head["look"]["paper"]]
    made.page_setup.fitToWidth, made.page_setup.fitToHeight = 1, 0
    made.sheet_properties.pageSetUpPr = _fit_to_page()
    plain = f"{head['number']} rev. {head['revision']}, {head['status']}".replace("&", "&&")
    made.oddFooter.left.text = plain
    made.oddFooter.right.text = "&P / &N"
    labels = _labels(table, forms)
    for line in _lines(made, head, sheet, labels):
        made.append(line)
    _filter(made, labels, f"A{HEADING_ROW}:{last}{bottom}", f"Records{place}")
    return made, forms


def _labels(table: Table, forms: Sequence[ColumnForm]) -> list[str]:
    """The heading row, with the unit where a column holds figures of one."""
    return [
        f"{column['label']}, {form.unit}" if form.unit else column["label"]
        for column, form in zip(table["columns"], forms, strict=True)
    ]


def _filter(made: Any, labels: Sequence[str], place: str, name: str) -> None:
    """A table of the sheet, with its filter; the filter alone where two headings are alike."""
    from openpyxl.worksheet.filters import AutoFilter
    from openpyxl.worksheet.table import Table as Listed
    from openpyxl.worksheet.table import TableColumn

    if len({label.casefold() for label in labels}) < len(labels):
        made.auto_filter.ref = place
        return
    listed = Listed(displayName=name, name=name, ref=place)
    listed.tableColumns = [TableColumn(id=n, name=label) for n, label in enumerate(labels, start=1)]
    listed.autoFilter = AutoFilter(ref=place)
    made.tables.add(listed)


def _fit_to_page() -> Any:
    from openpyxl.worksheet.properties import PageSetupProperties

    return PageSetupProperties(fitToPage=True)


def _width(table: Table, index: int, column: Any) -> float:
    longest = max((len(r["cells"][index]) for r in table["rows"]), default=0)
    return float(min(max(longest, len(column["label"]) + 3, 7) + 2, 46))


def _lines(made: Any, head: Head, sheet: Sheet, labels: Sequence[str]) -> Iterator[list[Any]]:
    from openpyxl.styles import Font

    say = catalogue(head["look"]["language"]).say
    colour = head["look"]["colour"][1:].upper()
    title = sheet.rows["title"] or head["title"]
    big = Font(name=_FONT, bold=True, size=13, color=colour)
    yield [_text(made, f"{head['number']}  {title}", big)]
    told = f"{head['project']} {head['project_title']} · {say('revision')} {head['revision']}"
    told += f" · {head['status']} · {say('records to')} {head['as_of']}"
    yield [_text(made, told, Font(name=_FONT, size=9))]
    note = " ".join(part for part in (sheet.note, sheet.rows["note"]) if part)
    yield [_text(made, note, Font(name=_FONT, size=9, italic=True))]
    yield [_heading(made, label, colour) for label in labels]


def _heading(made: Any, label: str, colour: str) -> Any:
    from openpyxl.styles import Alignment, Border, Font, PatternFill, Side

    cell = _text(made, label, Font(name=_FONT, bold=True, color="FFFFFF"))
    cell.fill = PatternFill("solid", fgColor=colour)
    cell.alignment = Alignment(wrap_text=True, vertical="center")
    cell.border = Border(bottom=Side("thin", color=colour))
    return cell


def _text(made: Any, text: str, font: Any) -> Any:
    """A cell that stays text whatever it begins with."""
    from openpyxl.cell import WriteOnlyCell

    cell = WriteOnlyCell(made, _LOOKS_ENCODED.sub("_x005F_", text))
    cell.data_type = "s"
    cell.quotePrefix = looks_like_formula(text)
    cell.font = font
    return cell
