"""XLSX -> records. Formulas by the value that was stored, dates by the format of their cell.

Merged cells are reported, and count for all that they cover only where that is declared; error
cells are reported. What a cell says in another way than its field is written is told as a doubt.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from contextlib import closing
from pathlib import Path
from typing import Any

from dossier.errors import Fault, ProjectError
from dossier.intake import tables
from dossier.intake.book_parts import Page, explained, guard, pages
from dossier.intake.cells import Columns, columns_of, look, look_back, quiet, row_texts
from dossier.intake.headings import Range, stacked
from dossier.intake.raw import Raw, Read, Told, Unreadable, refuse
from dossier.intake.rows import Sheet, data_rows
from dossier.intake.shape import Shape
from dossier.intake.sheet_rows import Formats, Line, lines
from dossier.intake.sources import Source
from dossier.records.position import Position


def read(path: Path, source: Source, shape: Shape, told: Told) -> Read:
    """The records of one sheet or several, and what is told of these. Raises ProjectError."""
    return _records(path, source, shape, told), told.faults


def _records(path: Path, source: Source, shape: Shape, told: Told) -> Iterator[Raw]:
    with explained(source.file):
        guard(path, source.file)
        found = pages(path, source.file, source.sheet)
    for page in found:
        try:
            yield from _page(path, page, source, shape, told)
        except ProjectError as error:
            if len(found) == 1:
                raise
            told.faults += error.faults


def _page(path: Path, page: Page, source: Source, shape: Shape, told: Told) -> Iterator[Raw]:
    careful: set[int] = set()
    head = source.header_row + source.layout.header_rows - 1
    with closing(lines(path, page, source.file, careful, head)) as rows:
        made, place = _headings(rows, page, source, shape, told)
        used = {index: name for plan in made for index, name in plan.used.items()}
        columns = columns_of(used, shape)
        careful |= columns.careful
        sheet = Sheet(
            Position(source.file, source.header_row, page.name),
            used, source.layout, told, len(shape.required),
        )  # fmt: skip
        if page.days_from_1904:
            why = "the workbook counts its days from 1904; its dates are read so"
            told.doubt(sheet.at(place), "", "1904", "1904", why)
        if not source.layout.fill_merged:
            told.faults += _merged_faults(page.merged, set(used), source, page.name)
        body = _body(rows, page, sheet, columns)
        yield from tables.records(data_rows(body, sheet), made, sheet.origin, told)


def _headings(
    rows: Iterator[Line], page: Page, source: Source, shape: Shape, told: Told
) -> tuple[list[tables.Plan], int]:
    first, count = source.header_row, source.layout.header_rows
    place = f"{page.name}!A{first}"
    heads = []
    for line in rows:
        if line.number >= first:
            heads.append(row_texts(line, Formats()))
        if line.number >= first + count - 1:
            break
    if not heads or not any(cell.strip() for cell in heads[-1]):
        raise refuse(source.file, place, found="no headings", expected="a row of headings")
    head = heads[0] if count == 1 else stacked(heads, page.merged, first)
    if source.layout.skip_hidden:
        unseen = [text for i, text in enumerate(head) if i in page.hidden_columns and text.strip()]
        head = ["" if i in page.hidden_columns else text for i, text in enumerate(head)]
        if unseen:
            origin = Position(source.file, first, page.name)
            told.doubt(origin, "", ", ".join(unseen), "left out", "hidden columns, as declared")
    return tables.plans(head, source, shape, place), first + count - 1


def _body(rows: Iterable[Line], page: Page, sheet: Sheet, columns: Columns) -> Iterator[tables.Row]:
    told, layout = sheet.told, sheet.layout
    merged = _Merged(page.merged, sheet) if layout.fill_merged else None
    hidden = page.hidden_rows
    unseen = []
    for line in rows:
        number, texts = line.number, row_texts(line, columns.formats)
        if number in hidden and any(texts):
            unseen.append(number)
            if layout.skip_hidden:
                continue
        if not quiet(line, columns):
            look(line, texts, columns, sheet.at(number), told)
        for index, name in sheet.columns.items() if line.written else ():
            _formula(line.written, texts, (index, name), sheet.at(number), told)
        if merged is not None:
            merged.fill(number, texts)
        yield number, texts
    look_back(columns, told)
    _tell_hidden(unseen, page, sheet)


def _formula(
    written: Sequence[Any], texts: list[str], column: tuple[int, str], origin: Position, told: Told
) -> None:
    index, name = column
    if index >= len(written) or written[index].data_type != "f":
        return
    if index < len(texts) and texts[index]:
        why = "a formula, read by the value that was stored with it"
        told.doubt(origin, name, str(written[index].value), texts[index], why)
    elif index < len(texts):
        texts[index] = Unreadable("a formula without a stored value")


def _tell_hidden(rows: list[int], page: Page, sheet: Sheet) -> None:
    """Tell once of what is hidden in the sheet and was read, or left out."""
    columns = sorted(page.hidden_columns & set(sheet.columns))
    parts = [f"row {', '.join(str(row) for row in rows[:20])}"] if rows else []
    parts += [f"column {', '.join(tables.letter(index) for index in columns)}"] if columns else []
    if parts:
        skipped = sheet.layout.skip_hidden
        read_as = "left out" if skipped else "read like the others"
        told = "hidden in the sheet; " + (
            "as declared" if skipped else "hidden: skip leaves it out"
        )
        sheet.told.doubt(sheet.at(sheet.origin.line), "", " and ".join(parts), read_as, told)


class _Merged:
    """Values of merged cells for the rows that they cover, taken in order of rows."""

    def __init__(self, ranges: Iterable[Range], sheet: Sheet) -> None:
        """`ranges` of the whole sheet; only those over used columns count."""
        used = sheet.columns
        wanted = [r for r in ranges if any(r[1] <= index <= r[3] for index in used)]
        self.waiting = sorted(wanted, reverse=True)
        self.open: list[tuple[Range, str]] = []
        self.sheet = sheet

    def fill(self, number: int, texts: list[str]) -> None:
        """Put the values of merged cells into `texts`, the row `number`."""
        while self.waiting and self.waiting[-1][0] <= number:
            span = self.waiting.pop()
            value = texts[span[1]] if span[0] == number and span[1] < len(texts) else ""
            if value:
                self.open.append((span, value))
        self.open = [(span, value) for span, value in self.open if span[2] >= number]
        for span, value in self.open:
            for index, name in self.sheet.columns.items():
                covered = span[1] <= index <= span[3]
                if covered and (number, index) != (span[0], span[1]):
                    texts.extend([""] * (index + 1 - len(texts)))
                    texts[index] = value
                    why = "a merged cell counts for all that it covers, as declared"
                    self.sheet.told.doubt(self.sheet.at(number), name, "", value, why)


def _merged_faults(
    merged: list[Range], used: set[int], source: Source, sheet: str
) -> Iterator[Fault]:
    for top, left, bottom, right in merged:
        if bottom < source.header_row + source.layout.header_rows:
            continue
        if any(left <= index <= right for index in used):
            first = f"{tables.letter(left)}{top}"
            yield Fault(
                source.file,
                f"{sheet}!{first}",
                "",
                f"the merged cells {first}:{tables.letter(right)}{bottom}",
                "a value in every cell",
                "Take the cells apart and fill in each, or declare merged: fill in project.yaml.",
            )
