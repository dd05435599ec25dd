"""The first sheet of the workbook for data entry: what is where, and how to fill it in."""

from __future__ import annotations

from typing import Any

from openpyxl.styles import Alignment, Protection
from openpyxl.utils import get_column_letter, quote_sheetname

from dossier.intake import entry_style as style
from dossier.intake.entry_layout import layout
from dossier.intake.entry_mark import FIRST_ROW, LAST_ROW
from dossier.records.project import Settings

_HOW = (
    ("Required", ("A dark heading with a star (*) asks for a value in every row. A required cell "
     "that is blank in a row that says anything is hatched.")),
    ("Belongs to", ("A green heading says which record of another sheet the row belongs to: the "
     "stamp of the welder in front of a certificate, the report in front of an indication.")),
    ("Blank, n/a, 0", ("Three different things. Blank: not known yet. n/a: the question does not "
     "apply. 0: measured, and it was nothing.")),
    ("Units", "Stand in the headings in square brackets. Enter the figure alone."),
    ("Dates, times", "Real dates and local times of the project, shown as 2026-05-03 14:05."),
    ("Several values", ("In one cell with ; between them: PA; PF. A value that holds a ; itself "
     'stands in quotes: "keep dry; warm".')),
    ("Lists", ("Where the arrow shows a list, closed lists refuse other words; lists of records "
     "grow as you enter the records, and ask before they take another.")),
    ("Marks", "Heat, joint and other numbers are kept as text, so that 007 stays 007."),
    ("Locked", ("Headings and the order of the sheets are locked without a password. The hidden "
     "second row names the fields; leave it, and the workbook is read as it is.")),
    ("Nothing is mended", "What is doubtful is reported with its cell, never guessed."),
)  # fmt: skip


def write_legend(page: Any, settings: Settings, version: str) -> None:
    """Fill the sheet `page`: the project, how to fill in, and a table of all sheets."""
    for letter, width in zip("ABCD", (26, 72, 14, 24), strict=True):
        page.column_dimensions[letter].width = width
    page["A1"].value, page["A1"].font = f"{settings.number} {settings.title}", style.TITLE
    page["A1"].data_type = "s"
    page.row_dimensions[1].height = 24
    page["A2"].value, page["A2"].font = f"Records for data entry, schema {version}", style.PLAIN
    row = _how(page, 4)
    _contents(page, row + 1)
    style.fit_page(page, pages_high=1)
    page.protection.sheet = True
    page.sheet_view.showGridLines = False


def _how(page: Any, row: int) -> int:
    for title, text in _HOW:
        head, told = page[f"A{row}"], page[f"B{row}"]
        head.value, head.font, head.alignment = title, style.STRONG, Alignment(vertical="top")
        told.value, told.font = text, style.PLAIN
        told.alignment = Alignment(vertical="top", wrap_text=True)
        page.row_dimensions[row].height = 14 * (1 + len(text) // 80) + 3
        row += 1
    page["A4"].fill, page["A4"].font = style.DARK, style.ON_DARK
    page["A5"].fill, page["A5"].font = style.OWNER, style.ON_DARK
    return row


def _contents(page: Any, row: int) -> None:
    for letter, text in zip(
        "ABCD", ("Sheet", "A row is", "Rows filled in", "Belongs to"), strict=True
    ):
        cell = page[f"{letter}{row}"]
        cell.value, cell.font, cell.fill, cell.border = text, style.STRONG, style.LIGHT, style.BOX
    for sheet in layout():
        row += 1
        name = quote_sheetname(sheet.name)
        first, last = FIRST_ROW, LAST_ROW
        parent = next((s.name for s in layout() if s.path == sheet.parent), "")
        letter = get_column_letter(1 + next(i for i, c in enumerate(sheet.columns) if c.required))
        count = f"=COUNTA({name}!{letter}{first}:{letter}{last})"
        for column, value in zip("ABCD", (sheet.name, sheet.about, count, parent), strict=True):
            cell = page[f"{column}{row}"]
            cell.value, cell.font, cell.border = value, style.PLAIN, style.BOX
            cell.alignment = Alignment(vertical="top", wrap_text=True)
            cell.protection = Protection(locked=True)
        page.row_dimensions[row].height = 14 * (1 + len(sheet.about) // 80) + 3
        link = page[f"A{row}"]
        link.hyperlink, link.font = f"#{name}!A{first}", style.LINK
