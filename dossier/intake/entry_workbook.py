"""The workbook for data entry: every register as a sheet, with what the project holds already.

What comes back is read without a column map by `entry_reader`: a hidden row names the field of
each column, a hidden sheet says that the workbook is ours and of which version.
"""

from __future__ import annotations

import io
import re
from copy import copy
from datetime import date, datetime
from pathlib import Path
from typing import Any

from dossier.archive import canonical
from dossier.errors import InputError
from dossier.intake.entry_layout import Column, EntrySheet, layout
from dossier.intake.entry_mark import FIRST_ROW, LEGEND, LISTS, MARK, TITLE_ROW
from dossier.intake.entry_rows import Cell, Rows, entry_rows
from dossier.intake.load import load_project
from dossier.intake.schemas import VERSION
from dossier.records.project import Project, Settings

_LONGEST = 32_767  # characters that a cell holds
_FIRST_DAY = date(1900, 3, 1)  # before it the days of a workbook are one off
_ENCODED = re.compile(r"_(?=x[0-9A-Fa-f]{4}_)")


def write_workbook(folder: Path, out: Path) -> Path:
    """Write the workbook of the project in `folder` to `out`, and return `out`.

    Raises ProjectError: the project cannot be read. InputError: a text too long for a cell.
    """
    content = entry_workbook(load_project(folder))
    out.parent.mkdir(parents=True, exist_ok=True)
    out.write_bytes(content)
    return out


def entry_workbook(project: Project) -> bytes:
    """The workbook of `project`; equal bytes for equal records. Raises InputError."""
    from openpyxl import Workbook
    from openpyxl.workbook.protection import WorkbookProtection

    from dossier.intake.entry_legend import write_legend
    from dossier.intake.entry_rules import Lists

    rows = entry_rows(project)
    book = Workbook()
    legend: Any = book.active
    legend.title = LEGEND
    hidden = book.create_sheet(LISTS)
    lists = Lists(book, hidden)
    for sheet in layout():
        _write_sheet(book.create_sheet(sheet.name), sheet, rows, lists)
    write_legend(legend, project.settings, VERSION)
    _hide(book, hidden)
    book.security = WorkbookProtection(lockStructure=True)
    _describe(book, project.settings)
    out = io.BytesIO()
    book.save(out)
    return canonical(out.getvalue(), project.settings.as_of or date(2000, 1, 1))


def _hide(book: Any, hidden: Any) -> None:
    hidden["A1"], hidden["B1"] = MARK, VERSION
    hidden["B1"].number_format = "@"
    hidden.sheet_state = "veryHidden"
    hidden.protection.sheet = True
    book.move_sheet(hidden, offset=len(book.sheetnames))


def _describe(book: Any, settings: Settings) -> None:
    book.properties.title = f"{settings.number} {settings.title}: records"
    book.properties.creator = settings.contractor
    book.properties.description = f"{MARK}, schema version {VERSION}"


def _write_sheet(page: Any, sheet: EntrySheet, rows: Rows, lists: Any) -> None:
    from dossier.intake import entry_style as style
    from dossier.intake.entry_rules import add_rules, texts_of

    held = rows[sheet.path]
    widths = [style.width_of(c, texts_of(held, i)) for i, c in enumerate(sheet.columns)]
    style.dress_heads(page, sheet, widths)
    # Beside the columns that repeat on every printed page, so that it stands on the first alone.
    title = page.cell(TITLE_ROW, style.fixed_columns(sheet) + 1)
    title.value, title.font = f"{sheet.name}: {sheet.about}", style.TITLE
    _write_rows(page, sheet, held, widths)
    add_rules(page, sheet, lists)
    style.mark_missing(page, sheet)
    style.dress_page(page, sheet, widths, len(held))


def _write_rows(page: Any, sheet: EntrySheet, held: list[list[Cell]], widths: list[float]) -> None:
    from dossier.intake import entry_style as style

    styles: dict[str, Any] = {}  # of one cell of each column: setting a style is slow
    for number, row in enumerate(held, start=FIRST_ROW):
        for index, (value, column) in enumerate(zip(row, sheet.columns, strict=True), start=1):
            cell = page.cell(number, index)
            if column.path in styles:
                cell._style = copy(styles[column.path])
            else:
                style.cell_style(cell, column)
                styles[column.path] = copy(cell._style)
            if value is not None:
                _put(cell, value, column)
        texts = [value if isinstance(value, str) else "" for value in row]
        page.row_dimensions[number].height = style.row_height(texts, widths)


def _put(cell: Any, value: Cell, column: Column) -> None:
    """Write `value`: text never as a formula, figures with all their digits."""
    if isinstance(value, bool):
        value = "yes" if value else "no"
    elif isinstance(value, date) and _day(value) < _FIRST_DAY:
        value = value.isoformat()
    if isinstance(value, str):
        _put_text(cell, value, column)
    elif isinstance(value, int | float):
        cell.value = value
        cell._value = repr(value)  # the library rounds to 16 digits, one short of some numbers
    else:
        cell.value = value
        if isinstance(value, datetime):
            cell.number_format = "yyyy-mm-dd hh:mm:ss" if value.second else "yyyy-mm-dd hh:mm"


def _day(value: date) -> date:
    return value.date() if isinstance(value, datetime) else value


def _put_text(cell: Any, text: str, column: Column) -> None:
    if len(text) > _LONGEST:
        expected = f"at most {_LONGEST} characters in a cell"
        raise InputError(column.path, found=f"{len(text)} characters", expected=expected)
    # A spreadsheet reads _x0041_ as a letter; the mark itself is written so.
    text = _ENCODED.sub("_x005F_", text).replace("\r", "_x000D_")
    cell.value = text
    cell.data_type = "s"
    if text.startswith(("=", "+", "-", "@")):
        cell.quotePrefix = True
