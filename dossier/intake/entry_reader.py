"""A workbook for data entry that comes back -> the records of its registers, as read.

It needs no column map: the hidden second row of each sheet names the fields.
"""

from __future__ import annotations

import io
import re
import warnings
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from dossier.errors import Fault, ProjectError
from dossier.intake.book_parts import Page, explained, guard, pages
from dossier.intake.cells import columns_of, look, look_back, row_texts
from dossier.intake.convert import did_you_mean
from dossier.intake.entry_layout import OWNER, WHICH, EntrySheet, layout, shape_at
from dossier.intake.entry_mark import FIRST_ROW, LEGEND, LISTS, MARK, PATH_ROW
from dossier.intake.entry_rows import split_texts
from dossier.intake.raw import Plain, Raw, Told, Unreadable, clip, refuse
from dossier.intake.schemas import VERSION, version_hint
from dossier.intake.sheet_rows import Line
from dossier.intake.tables import letter
from dossier.intake.values import is_not_applicable
from dossier.records.position import Position

_BLANK_ROWS_MAX = (
    20_000  # as far as the rules of the sheets reach; below that nothing is looked for
)
_ENCODED = re.compile("_x([0-9A-Fa-f]{4})_")


@dataclass(slots=True)
class _Row:
    """One row: the data of its record so far, the record it belongs to, and the place of all."""

    at: Position
    data: dict[str, Any] = field(default_factory=dict)
    owner: dict[str, str] = field(default_factory=dict)
    marks: dict[str, str] = field(default_factory=dict)


Rows = dict[str, list[_Row]]  # by the path of the sheet


def is_entry(path: Path, file: str) -> bool:
    """Whether the workbook is one for data entry. Raises ProjectError: it cannot be opened."""
    return bool(entry_version(path, file)[1])


def entry_version(path: Path, file: str) -> tuple[str, str]:
    """The schema version of a workbook for data entry, and the cell that states it.

    Both are "" for another workbook. Raises ProjectError: it cannot be opened.
    """
    with explained(file), warnings.catch_warnings():
        warnings.simplefilter("ignore")
        guard(path, file)
        book = _opened(path, values=True)
        try:
            if not {LISTS, LEGEND} <= set(book.sheetnames):
                return "", ""
            mark, version = _mark(book)
            return (version, f"{LISTS}!B1") if mark == MARK else ("", "")
        finally:
            book.close()


def read_entry(path: Path, file: str, told: Told, register: str = "") -> Mapping[str, list[Raw]]:
    """The records of each register that has any, or of one register only.

    Raises ProjectError: no workbook for data entry, or one of a version that is not known.
    """
    if not path.is_file():
        raise refuse(file, "", found="no such file", expected="a workbook for data entry")
    if not is_entry(path, file):
        expected = "a workbook that dossier made for data entry"
        raise refuse(file, "", found="another workbook", expected=expected)
    sheets = [s for s in layout() if register in ("", s.register)]
    with explained(file), warnings.catch_warnings():
        warnings.simplefilter("ignore")
        rows = _rows(path, file, sheets, told)
    for sheet in reversed(sheets):
        if sheet.parent:
            parent = next(s for s in sheets if s.path == sheet.parent)
            told.faults += _attach(sheet, parent, rows)
    found = {s.register: rows[s.path] for s in sheets if not s.parent and rows[s.path]}
    return {
        name: [Raw(r.data, Position(file, r.at.line, r.at.sheet, fields=r.marks)) for r in held]
        for name, held in found.items()
    }


def _opened(path: Path, *, values: bool) -> Any:
    import openpyxl  # slow to load, and only projects with workbooks need it

    # By its bytes: openpyxl leaves a file open when it gives up on a broken one.
    content = io.BytesIO(path.read_bytes())
    return openpyxl.load_workbook(content, read_only=True, data_only=values)


def _mark(book: Any) -> tuple[str, str]:
    page = book[LISTS]
    page.reset_dimensions()
    cells = next(page.iter_rows(min_row=1, max_row=1), ())
    texts = ["" if cell.value is None else str(cell.value) for cell in cells]
    mark, version = [*texts, "", ""][:2]
    return mark, version


def _rows(path: Path, file: str, sheets: Iterable[EntrySheet], told: Told) -> Rows:
    parts = {page.name: page for page in pages(path, file, "*")}
    stored = _opened(path, values=True)
    written = None
    try:
        version = _mark(stored)[1]
        if version != VERSION:
            found, expected = f"the schema version {clip(version)}", f'"{VERSION}"'
            hint = version_hint(version)
            raise refuse(file, f"{LISTS}!B1", found=found, expected=expected, hint=hint)
        rows: Rows = {}
        for sheet in sheets:
            rows[sheet.path] = []
            part = parts.get(sheet.name)
            if part is None:
                told.faults.append(Fault(file, "", "", "no such sheet", f"the sheet {sheet.name}"))
                continue
            if part.formulas and written is None:
                written = _opened(path, values=False)
            twin = written[sheet.name] if written is not None and part.formulas else None
            told.faults += _merged(part, file)
            rows[sheet.path] = list(_sheet_rows(sheet, stored[sheet.name], twin, file, told))
        return rows
    finally:
        stored.close()
        if written is not None:
            written.close()


def _merged(part: Page, file: str) -> Iterator[Fault]:
    for top, left, bottom, right in part.merged:
        if bottom >= FIRST_ROW:
            first = f"{letter(left)}{top}"
            found = f"the merged cells {first}:{letter(right)}{bottom}"
            hint = "Take the cells apart and fill in each."
            yield Fault(file, f"{part.name}!{first}", "", found, "a value in every cell", hint)


def _sheet_rows(sheet: EntrySheet, page: Any, twin: Any, file: str, told: Told) -> Iterator[_Row]:
    lines = _lines(page)
    twins = _lines(twin) if twin is not None else None
    columns: dict[int, str] = {}
    blank = 0
    for number, cells in enumerate(lines, start=1):
        formulas: Sequence[Any] = next(twins, ()) if twins is not None else ()
        if number == PATH_ROW:
            columns = _columns(sheet, cells, file, told)
            odd = columns_of(columns, shape_at(sheet.path))
        if number < FIRST_ROW:
            continue
        marks = {name: letter(index) for index, name in columns.items()}
        at = Position(file, number, sheet.name, fields=marks)
        line = Line(number, [cell.value for cell in cells], cells)
        texts = [_decoded(text) for text in row_texts(line, odd.formats)]
        blank = 0 if any(texts) else blank + 1
        if blank > _BLANK_ROWS_MAX:
            return
        _formulas(formulas, texts, columns, at, told)
        look(line, texts, odd, at, told)
        row = _row(sheet, texts, columns, at)
        if row.data or row.owner:
            yield row
    if columns:
        look_back(odd, told)


def _lines(page: Any) -> Iterator[Sequence[Any]]:
    page.reset_dimensions()
    yield from page.iter_rows()


def _columns(sheet: EntrySheet, cells: Sequence[Any], file: str, told: Told) -> dict[int, str]:
    """The field of each column, from the hidden row of `sheet`."""
    known = {column.path for column in sheet.columns}
    columns: dict[int, str] = {}
    for index, cell in enumerate(cells):
        name = "" if cell.value is None else str(cell.value).strip()
        place = f"{sheet.name}!{letter(index)}{PATH_ROW}"
        if name in columns.values():
            told.faults.append(Fault(file, place, name, "the field of another column", "it once"))
        elif name in known:
            columns[index] = name
        elif name:
            found, hint = f"the unknown field {clip(name)}", did_you_mean(name, known)
            told.faults.append(Fault(file, place, "", found, f"a field of {sheet.name}", hint))
    if not columns:
        place = f"{sheet.name}!A{PATH_ROW}"
        told.faults.append(Fault(file, place, "", "no fields", "the hidden row of field names"))
    return columns


def _decoded(text: str) -> str:
    """The text of a cell; what a spreadsheet writes as _x000D_ is the character again."""
    if "_x" in text and type(text) is Plain:
        return Plain(_ENCODED.sub(lambda mark: chr(int(mark[1], 16)), text))
    return text


def _formulas(
    written: Sequence[Any], texts: list[str], columns: dict[int, str], at: Position, told: Told
) -> None:
    for index, name in columns.items():
        if index < len(written) and index < len(texts) and written[index].data_type == "f":
            if texts[index]:
                why = "a formula, read by the value that was stored with it"
                told.doubt(at, name, str(written[index].value), texts[index], why)
            else:
                texts[index] = Unreadable("a formula without a stored value")


def _row(sheet: EntrySheet, texts: Sequence[str], columns: Mapping[int, str], at: Position) -> _Row:
    kinds = {column.path: column.kind for column in sheet.columns}
    row = _Row(at)
    for index, name in columns.items():
        text = texts[index] if index < len(texts) else ""
        if not text.strip():
            continue
        if name.startswith(OWNER):
            row.owner[name] = text.strip()
            continue
        row.marks[name] = letter(index)
        value: object = text
        if kinds[name] == "texts" and type(text) is Plain and not is_not_applicable(text):
            parts = split_texts(text)
            # A number has to be read as one; a quoted "n/a" stays text.
            value = [part if is_not_applicable(part) else Plain(part) for part in parts]
            for place in range(1, len(parts) + 1):
                row.marks[f"{name}.{place}"] = letter(index)
        *steps, last = name.split(".")
        here = row.data
        for depth, step in enumerate(steps, start=1):
            row.marks.setdefault(".".join(steps[:depth]), letter(index))
            here = here.setdefault(step, {})
        here[last] = value
    return row


def _attach(sheet: EntrySheet, parent: EntrySheet, rows: Rows) -> list[Fault]:
    """Put the rows of `sheet` into the records of `parent` that they name."""
    faults = []
    known: dict[str, list[_Row]] = {}
    first = parent.keys[0]
    for candidate in rows[parent.path]:
        known.setdefault(_key(candidate, first), []).append(candidate)
    for row in rows[sheet.path]:
        own = _owner_path(parent, first)
        matches = _matching(row, known.get(row.owner.get(own, ""), []), parent)
        if len(matches) == 1:
            _put_into(matches[0], row, sheet)
            continue
        many = f"{len(matches)} rows of {parent.name}" if matches else "no row"
        words = [f"{_title(sheet, path)} {value}" for path, value in row.owner.items()]
        found = f"{many} with {', '.join(words)}" if words else "nothing that says which"
        expected = f"one row of {parent.name} that it belongs to"
        faults.append(Fault(row.at.file, row.at.place, "", found, expected))
    return faults


def _title(sheet: EntrySheet, path: str) -> str:
    return next(c.title.lower() for c in sheet.columns if c.path == path)


def _owner_path(parent: EntrySheet, key: str) -> str:
    return key if key.startswith(OWNER) else f"{OWNER}{parent.path}.{key}"


def _key(row: _Row, key: str) -> str:
    if key.startswith(OWNER):
        return row.owner.get(key, "")
    return str(row.data.get(key, "")).strip()


def _matching(row: _Row, candidates: list[_Row], parent: EntrySheet) -> list[_Row]:
    """The records that a row may belong to: those with all the keys that it gives.

    Where these are several, one without the keys that the row leaves blank comes before the
    others, and the column "which of several" decides between equals.
    """
    asked = {key: row.owner.get(_owner_path(parent, key), "") for key in parent.keys}
    given = [c for c in candidates if all(_key(c, k) == v for k, v in asked.items() if v)]
    if len(given) > 1:
        given = [c for c in given if all(_key(c, k) == v for k, v in asked.items())] or given
    which = row.owner.get(WHICH, "")
    if which and parent.counted:
        return given[int(which) - 1 : int(which)] if which.isdecimal() and int(which) else []
    return given


def _put_into(parent: _Row, row: _Row, sheet: EntrySheet) -> None:
    name, at = sheet.field, row.at
    held = parent.data.setdefault(name, [])
    answer = [value for value in row.data.values() if value]
    if held == [] and len(answer) == 1 and is_not_applicable(str(answer[0])):
        parent.data[name] = Plain(str(answer[0]))  # "n/a" instead of the whole list
        parent.marks[name] = at.place
        return
    if not isinstance(held, list):
        held = parent.data[name] = [held]  # "n/a" and a row: the schema will say what is wrong
    held.append(row.data)
    here = f"{name}.{len(held)}"
    parent.marks.setdefault(name, at.place)
    parent.marks[here] = at.place
    for path, mark in row.marks.items():
        own = mark if "!" in mark else f"{at.sheet}!{mark}{at.line}"
        parent.marks[f"{here}.{path}"] = own


def registers_of(path: Path, file: str) -> tuple[Mapping[str, list[Raw]], Told]:
    """All registers of a workbook for data entry, and what is told of it; raises nothing."""
    told = Told()
    try:
        return read_entry(path, file, told), told
    except ProjectError as error:
        told.faults += error.faults
        return {}, told
