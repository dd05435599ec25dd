"""How the workbook for data entry looks: fonts, fills, widths, the page."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil
from typing import Any

from openpyxl.formatting.rule import FormulaRule
from openpyxl.styles import Alignment, Border, Font, PatternFill, Protection, Side
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.properties import PageSetupProperties

from dossier.intake.entry_layout import Column, EntrySheet
from dossier.intake.entry_mark import (
    FIRST_ROW,
    HEADING_ROW,
    HELP_ROW,
    LAST_ROW,
    PATH_ROW,
    TITLE_ROW,
)

FORMATS = {"text": "@", "texts": "@", "date": "yyyy-mm-dd", "time": "yyyy-mm-dd hh:mm"}
_WIDTHS = {"date": 12.0, "time": 17.0, "number": 11.0, "whole number": 9.0, "yes or no": 9.0}
_CHARACTERS_IN_FULL = 95  # of text that a landscape A4 page takes at its full size
_CHARACTERS_A_PAGE = 165  # of text at the least size that is still printed legibly
_LINES_OF_HELP = 6
_FONT = "Calibri"
_INK, _PAPER = "1F2F3A", "FFFFFF"

TITLE = Font(name=_FONT, size=14, bold=True, color=_INK)
PLAIN = Font(name=_FONT, size=10, color=_INK)
STRONG = Font(name=_FONT, size=10, bold=True, color=_INK)
SMALL = Font(name=_FONT, size=8, italic=True, color="4A5A66")
LINK = Font(name=_FONT, size=10, underline="single", color="1B5E7B")
ON_DARK = Font(name=_FONT, size=10, bold=True, color=_PAPER)
DARK = PatternFill("solid", fgColor="2F4858")  # a value is required
LIGHT = PatternFill("solid", fgColor="DCE5EA")
OWNER = PatternFill("solid", fgColor="5B7A5E")  # which record the row belongs to
HELP = PatternFill("solid", fgColor="F5F7F8")
_LINE = Side(style="thin", color="9AA9B2")
BOX = Border(left=_LINE, right=_LINE, top=_LINE, bottom=_LINE)
_ROW = Border(bottom=Side(style="hair", color="9AA9B2"))
_UNLOCKED = Protection(locked=False)
_TOP = Alignment(vertical="top", horizontal="left", indent=1, wrap_text=True)
_CENTRE = Alignment(vertical="center", horizontal="left", indent=1, wrap_text=True)


def width_of(column: Column, texts: Sequence[str]) -> float:
    """Width of a column in characters: for its values, its heading and its line of help."""
    longest = max((len(text) for text in texts), default=0)
    content = _WIDTHS.get(column.kind) or min(max(1.05 * longest + 4, 10), 46)
    word = max((len(word) for word in column.heading.split()), default=0) + 3
    needed = ceil(1.25 * len(column.about) / _LINES_OF_HELP)
    return float(max(content, word, min(needed, 26), ceil(len(column.heading) / 2) + 3))


def dress_heads(page: Any, sheet: EntrySheet, widths: Sequence[float]) -> None:
    """Widths, formats of the columns to fill in, and the rows above the records."""
    for index, (column, width) in enumerate(zip(sheet.columns, widths, strict=True), start=1):
        letter = get_column_letter(index)
        form = page.column_dimensions[letter]
        form.width = width
        form.number_format = FORMATS.get(column.kind, "General")
        form.protection = _UNLOCKED
        form.font, form.alignment = PLAIN, _alignment(column)
        told = page[f"{letter}{HELP_ROW}"]
        told.value, told.font, told.alignment, told.fill = column.about, SMALL, _TOP, HELP
        head = page[f"{letter}{HEADING_ROW}"]
        head.value, head.alignment, head.border = column.heading, _CENTRE, BOX
        head.font = ON_DARK if column.required or column.owner else STRONG
        head.fill = OWNER if column.owner else DARK if column.required else LIGHT
        page[f"{letter}{PATH_ROW}"].value = column.path
        for row in (TITLE_ROW, PATH_ROW, HELP_ROW, HEADING_ROW):
            page[f"{letter}{row}"].protection = Protection(locked=True)
    page.row_dimensions[TITLE_ROW].height = 24
    page.row_dimensions[PATH_ROW].hidden = True
    lines = max(ceil(1.25 * len(c.about) / w) for c, w in zip(sheet.columns, widths, strict=True))
    page.row_dimensions[HELP_ROW].height = 12 + 11 * lines
    needed = row_height([column.heading for column in sheet.columns], widths)
    page.row_dimensions[HEADING_ROW].height = max(needed or 0, 45)


def cell_style(cell: Any, column: Column) -> None:
    """A cell to fill in that holds a value already."""
    cell.font, cell.protection, cell.border = PLAIN, _UNLOCKED, _ROW
    cell.number_format = FORMATS.get(column.kind, "General")
    cell.alignment = _alignment(column)


def row_height(texts: Sequence[str], widths: Sequence[float]) -> float | None:
    """Height of a row in points where a text takes several lines; None for the usual one."""
    lines = max(
        (
            sum(max(1, ceil(len(line) / (width - 3))) for line in text.split("\n"))
            for text, width in zip(texts, widths, strict=True)
        ),
        default=1,
    )
    return min(14.0 * lines + 2, 409.0) if lines > 1 else None


def _alignment(column: Column) -> Alignment:
    """Figures to the right, all else to the left, and a gap between the two."""
    if column.kind in ("number", "whole number"):
        return Alignment(vertical="top", horizontal="right", indent=1)
    wrap = column.kind in ("text", "texts")
    return Alignment(vertical="top", horizontal="left", indent=1, wrap_text=wrap)


def mark_missing(page: Any, sheet: EntrySheet) -> None:
    """Hatch a required cell that is blank in a row that says anything."""
    last = get_column_letter(len(sheet.columns))
    fill = PatternFill("lightUp", fgColor="B4462F", bgColor="FBEDCC")
    for index, column in enumerate(sheet.columns, start=1):
        if column.required:
            letter = get_column_letter(index)
            test = f"AND(COUNTA($A{FIRST_ROW}:${last}{FIRST_ROW})>0,LEN({letter}{FIRST_ROW})=0)"
            page.conditional_formatting.add(
                f"{letter}{FIRST_ROW}:{letter}{LAST_ROW}",
                FormulaRule(formula=[test], fill=fill),  # type: ignore[no-untyped-call]
            )


def fixed_columns(sheet: EntrySheet) -> int:
    """How many columns stay in view and are printed on every page: those that name the record."""
    return max(sum(1 for column in sheet.columns if column.owner), 1)


def dress_page(page: Any, sheet: EntrySheet, widths: Sequence[float], rows: int) -> None:
    """Frozen heading, filters, protection, and how the sheet prints."""
    fixed = fixed_columns(sheet)
    last = get_column_letter(len(sheet.columns))
    page.freeze_panes = f"{get_column_letter(fixed + 1)}{FIRST_ROW}"
    page.auto_filter.ref = f"A{HEADING_ROW}:{last}{max(HEADING_ROW + rows, FIRST_ROW)}"
    page.print_title_rows = f"{HEADING_ROW}:{HEADING_ROW}"
    page.print_title_cols = f"A:{get_column_letter(fixed)}"
    fit_page(page, pages_wide=ceil(sum(widths) / _CHARACTERS_A_PAGE))
    # Some programs would blow a narrow sheet up to the width of the page.
    page.sheet_properties.pageSetUpPr.fitToPage = sum(widths) > _CHARACTERS_IN_FULL
    guard = page.protection
    guard.sheet = True
    guard.formatColumns = guard.formatRows = guard.autoFilter = guard.sort = False
    guard.insertRows = guard.deleteRows = guard.formatCells = False


def fit_page(page: Any, *, pages_wide: int = 1, pages_high: int = 0) -> None:
    """A4 landscape, the name of the sheet and page numbers below."""
    page.page_setup.orientation, page.page_setup.paperSize = "landscape", 9
    page.page_setup.fitToWidth, page.page_setup.fitToHeight = pages_wide, pages_high
    page.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)
    page.page_margins.left = page.page_margins.right = 0.4
    page.page_margins.top, page.page_margins.bottom, page.page_margins.footer = 0.5, 0.75, 0.35
    page.oddFooter.left.text, page.oddFooter.right.text = "&A", "page &P of &N"
