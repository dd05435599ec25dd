"""The rows of one sheet: by values alone as far as these tell what the cells say.

Sheets without formulas, errors and telling formats are read so, by python-calamine where it is
installed (about fifteen times faster) and else by openpyxl, up to the first cell whose text would
depend on its format. From there on openpyxl reads cell by cell.
"""

from __future__ import annotations

import warnings
from collections.abc import Generator, Iterable, Iterator, Sequence
from contextlib import ExitStack, contextmanager
from importlib import import_module
from importlib.util import find_spec
from itertools import islice
from pathlib import Path
from typing import Any, NamedTuple

from dossier.intake.book_parts import Page, explained
from dossier.intake.value_texts import Picker, ValueTexts, picker

_BLANK_ROWS_MAX = 200  # a stray format far below the data makes a million empty rows
_CHUNK = 500  # rows
_QUICK_CHUNK = 50  # so few stay in the cache of the processor until they are records

Rows = Iterator[Sequence[Any]]  # what their cells hold


class Formats:
    """Formats of the cells of a workbook, each looked up once for its style."""

    def __init__(self) -> None:
        self._known: dict[object, str] = {}

    def of(self, cell: Any) -> str:
        """The number format of a cell."""
        style = getattr(cell, "_style_id", None)
        if style is None:
            return ""  # an empty cell
        if style not in self._known:
            self._known[style] = str(cell.number_format)
        return self._known[style]


class Line(NamedTuple):
    """One row: its number, what its cells hold, the cells, and these with their formulas.

    Where the formats of cells do not matter `cells` is empty, and `texts` is what they say.
    """

    number: int
    values: Sequence[Any]
    cells: Sequence[Any] = ()
    written: Sequence[Any] = ()
    texts: list[str] | None = None


def lines(
    path: Path, page: Page, file: str, careful: set[int], first: int
) -> Generator[Line, None, None]:
    """The rows of a sheet. The `first` ones are read before any other, as they hold headings.

    `careful` are the columns in which a day differs from its midnight; it may be filled when the
    headings are known. Raises ProjectError: a sheet that cannot be read.
    """
    with explained(file):
        quick = _by_calamine(path, page) if page.plain else None
    rows = _switching(path, page, quick, careful, first)
    size = _CHUNK if quick is None else _QUICK_CHUNK
    while True:
        with explained(file), warnings.catch_warnings():
            warnings.simplefilter("ignore")  # of extensions that only matter to who edits the book
            chunk = list(islice(rows, first or size))
        first = 0
        if not chunk:
            return
        yield from chunk


def _switching(
    path: Path, page: Page, quick: Rows | None, careful: set[int], first: int
) -> Iterator[Line]:
    done = 0
    if page.plain:
        rows = _by_openpyxl(path, page) if quick is None else quick
        for line in _bare(rows, careful, first):
            if line is None:
                break
            yield line
            done = line.number
        else:
            return
    yield from islice(_slow(path, page), done, None)


def _bare(rows: Rows, careful: set[int], first: int) -> Iterator[Line | None]:
    """The rows by their values alone; None at the first row for which that is not enough."""
    blank = 0
    known = ValueTexts()
    with_care: Picker = list  # of the headings any cell
    for number, row in enumerate(rows, start=1):
        texts = known.of(row)
        if number == first + 1:
            with_care = picker(careful)
        if not known.enough or not known.days.isdisjoint(with_care(row)):
            yield None
            return
        blank = 0 if any(texts) else blank + 1
        if blank > _BLANK_ROWS_MAX:
            return
        yield Line(number, row, texts=texts)


def _by_calamine(path: Path, page: Page) -> Rows | None:
    """The rows of the sheet, None where python-calamine is missing or cannot read it.

    It takes the sheet into memory as one block, and ends the whole process where that is too big.
    """
    if not page.dense or find_spec("python_calamine") is None:
        return None
    calamine = import_module("python_calamine")
    try:
        sheet = calamine.CalamineWorkbook.from_path(str(path)).get_sheet_by_name(page.name)
        shift = [None] * (sheet.start[1] if sheet.start else 0)
        rows: Rows = sheet.iter_rows()
    except (KeyboardInterrupt, SystemExit):
        raise
    except BaseException:  # noqa: BLE001 - its panics are no Exception; openpyxl tells what is wrong
        return None
    return ([*shift, *values] for values in rows) if shift else rows


def _by_openpyxl(path: Path, page: Page) -> Rows:
    with opened(path) as book:
        sheet = book[page.name]
        sheet.reset_dimensions()
        yield from sheet.iter_rows(values_only=True)


@contextmanager
def opened(path: Path, *, stored: bool = True) -> Iterator[Any]:
    """The workbook, with formulas by their `stored` values or as they are written.

    The file is opened here because openpyxl leaves it open when it gives up on a broken one.
    """
    import openpyxl  # slow to load, and only projects with workbooks need it

    with path.open("rb") as stream:
        book = openpyxl.load_workbook(stream, read_only=True, data_only=stored)
        try:
            yield book
        finally:
            book.close()


def _slow(path: Path, page: Page) -> Iterator[Line]:
    with ExitStack() as stack:
        stored = stack.enter_context(opened(path))
        twins = None
        if page.formulas:
            twins = _cells(stack.enter_context(opened(path, stored=False))[page.name])
        blank = 0
        for number, cells in enumerate(_cells(stored[page.name]), start=1):
            twin: Sequence[Any] = next(twins, ()) if twins else ()
            values = [cell.value for cell in cells]
            filled = any(value is not None for value in values)
            if not filled and twin:
                filled = any(cell.value is not None for cell in twin)
            blank = 0 if filled else blank + 1
            if blank > _BLANK_ROWS_MAX:
                return
            yield Line(number, values, cells, twin)


def _cells(page: Any) -> Iterator[Sequence[Any]]:
    page.reset_dimensions()
    rows: Iterable[Sequence[Any]] = page.iter_rows()
    yield from rows
