"""Drop-down lists and limits of the cells of the workbook for data entry.

Words of the schemas lie in a hidden sheet, records of the project in the column where they are
entered; both are reached by defined names, because a list written into the rule itself may not
exceed 255 characters and would not see what is entered later.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime
from typing import Any

from openpyxl.utils import get_column_letter, quote_sheetname
from openpyxl.workbook.defined_name import DefinedName
from openpyxl.worksheet.datavalidation import DataValidation

from dossier.intake.entry_layout import Column, EntrySheet, layout
from dossier.intake.entry_mark import FIRST_ROW, LAST_ROW
from dossier.intake.entry_rows import NOT_APPLICABLE

_EARLIEST = 18264  # 1 January 1950 as a day of the workbook: older records are slips
_YES_NO = ("yes", "no")
Words = tuple[str, ...]


class Lists:
    """The drop-down lists of one workbook: each set of words once, in the hidden sheet."""

    def __init__(self, book: Any, page: Any) -> None:
        self._book, self._page = book, page
        self._names: dict[object, str] = {}

    def of_words(self, words: Words, *, numbers: bool) -> str:
        """The defined name of a list of words of a schema."""
        if (words, numbers) not in self._names:
            place = len(self._names) + 3  # the first two columns hold the mark of the workbook
            letter = get_column_letter(place)
            for row, word in enumerate(words, start=1):
                cell = self._page[f"{letter}{row}"]
                cell.value = int(word) if numbers and word.isdecimal() else word
                if isinstance(cell.value, str):
                    cell.data_type, cell.number_format = "s", "@"
            where = f"{quote_sheetname(self._page.title)}!${letter}$1:${letter}${len(words)}"
            self._define((words, numbers), f"words_{place - 2}", where)
        return self._names[words, numbers]

    def of_records(self, path: str, field: str) -> str:
        """The defined name of a column of the workbook, as far as it is filled in."""
        if (path, field) not in self._names:
            sheet = next(s for s in layout() if s.path == path)
            place = next(i for i, c in enumerate(sheet.columns, start=1) if c.path == field)
            letter, name = get_column_letter(place), quote_sheetname(sheet.name)
            top, whole = f"{name}!${letter}${FIRST_ROW}", f"${letter}${FIRST_ROW}:${letter}$"
            whole = f"{name}!{whole}{LAST_ROW}"
            where = f"{top}:INDEX({whole},MAX(1,COUNTA({whole})))"
            self._define((path, field), f"{path.replace('.', '_')}_{field}", where)
        return self._names[path, field]

    def _define(self, key: object, name: str, where: str) -> None:
        self._names[key] = name
        self._book.defined_names[name] = DefinedName(name, attr_text=where)


def add_rules(page: Any, sheet: EntrySheet, lists: Lists) -> None:
    """Set the rule of every column of `page`."""
    for index, column in enumerate(sheet.columns, start=1):
        rule = _rule(column, lists, f"{get_column_letter(index)}{FIRST_ROW}")
        if rule is not None:
            letter = get_column_letter(index)
            rule.add(f"{letter}{FIRST_ROW}:{letter}{LAST_ROW}")
            page.add_data_validation(rule)


def _rule(column: Column, lists: Lists, cell: str) -> DataValidation | None:
    number = column.kind in ("number", "whole number")
    if column.options or column.kind == "yes or no":
        words = column.options or _YES_NO
        words = words if column.required or column.open else (*words, NOT_APPLICABLE)
        return _list(lists.of_words(words, numbers=number), column, closed=not column.open)
    if column.reference[0]:
        return _list(lists.of_records(*column.reference), column, closed=False)
    if number or column.kind in ("date", "time"):
        return _limits(column, cell)
    return None


def _list(name: str, column: Column, *, closed: bool) -> DataValidation:
    rule = DataValidation(type="list", formula1=f"={name}", allow_blank=True)
    # Open lists only suggest: another mill's word, or a record entered later.
    rule.showErrorMessage = closed or bool(column.reference[0])
    rule.errorStyle = "stop" if closed else "warning"
    rule.errorTitle = column.title[:32]
    rule.error = (
        "Take a word of the list." if closed else "The list does not hold this yet. Keep it?"
    )
    return rule


def _limits(column: Column, cell: str) -> DataValidation:
    """A number, date or time inside of its limits, or "n/a" where it need not apply."""
    tests = [f"ISNUMBER({cell})"]
    if column.kind in ("date", "time"):
        tests.append(f"{cell}>={_EARLIEST}")
        told = "A date such as 2026-05-03" + (" 14:05" if column.kind == "time" else "")
    else:
        told = _told(column)
        tests += (
            [f"{cell}{'>' if column.above else '>='}{column.low:g}"]
            if column.low is not None
            else []
        )
        tests += [f"{cell}<={column.high:g}"] if column.high is not None else []
    if column.kind in ("whole number", "date"):
        tests.append(f"INT({cell})={cell}")
    # A formula looks at all its parts, and text in a comparison is no fault there.
    test = f"IF(ISNUMBER({cell}),AND({','.join(tests)}),"
    answer = "FALSE" if column.required else f'LOWER({cell})="{NOT_APPLICABLE}"'
    rule = DataValidation(type="custom", formula1=f"={test}{answer})", allow_blank=True)
    rule.showErrorMessage = True
    # A kilometre point may be written 12+450, which a rule of cells cannot know.
    rule.errorStyle = "warning" if column.unit == "m" else "stop"
    rule.errorTitle = column.title[:32]
    rule.error = told + ("." if column.required else ", or n/a.")
    return rule


def _told(column: Column) -> str:
    words = "A whole number" if column.kind == "whole number" else "A number"
    unit = f" {column.unit}" if column.unit else ""
    words += f" in{unit}" if unit else ""
    low, high = column.low, column.high
    if low is not None and high is not None:
        return f"{words}, {low:g} to {high:g}{unit}"
    if low is not None:
        return (
            f"{words}, {f'more than {low:g}{unit}' if column.above else f'{low:g}{unit} or more'}"
        )
    return f"{words}, {high:g}{unit} or less" if high is not None else words


def texts_of(rows: Sequence[Sequence[object]], index: int) -> list[str]:
    """The values of one column as they will show, for its width."""
    shown = []
    for row in rows:
        value = row[index]
        if value is not None and not isinstance(value, date | datetime):
            shown += str(value).split("\n")
    return shown
