"""The rows of a long sheet as SpreadsheetML, put into a workbook that the library made.

The library spends most of its time on one object a cell. A register has a handful of looks, so that
these are asked of the library once and the rows are written as text (ECMA-376 part 1, 18.3).
"""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from dossier.archive import FIRST, entry_of, with_day
from dossier.documents.plain import refuse_control_characters
from dossier.documents.sheet import Row

_ILLEGAL = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ufffe\uffff\ud800-\udfff]")
_LOOKS_ENCODED = re.compile(r"_(?=x[0-9A-Fa-f]{4}_)")
_BATCH = 500  # rows written at a time
_LONG = 44  # characters: a longer text is wrapped
_FORMULA = frozenset("=+-@\t")
_END = b"</sheetData>"

# (number format, "" for text; fill; wrapped; begins like a formula) -> number of the style
Styles = Mapping[tuple[str, str, bool, bool], int]


@dataclass(frozen=True, slots=True)
class ColumnForm:
    """How the cells of a column are written: figures by unit and number format, or text."""

    unit: str = ""
    number_format: str = ""  # "" for text


def escaped(text: str) -> str:
    """Text of a cell as XML.

    >>> escaped("A & B"), escaped("_x0041_")
    ('A &amp; B', '_x005F_x0041_')
    """
    if "&" in text or "<" in text or ">" in text:
        text = text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
    return _LOOKS_ENCODED.sub("_x005F_", text) if "_x" in text else text


def looks_like_formula(text: str) -> bool:
    """Whether a program could take a text for a formula."""
    return text[:1] in _FORMULA and len(text) > 1


def row_writer(
    forms: Sequence[ColumnForm], letters: Sequence[str], fills: Mapping[str, str], styles: Styles
) -> Callable[[int, Row], str]:
    """A function that writes one row, its number given."""

    def look(index: int, mark: str, text: str = "") -> str:
        form = forms[index].number_format
        wrapped, formula = not form and len(text) > _LONG, not form and looks_like_formula(text)
        return f'" s="{styles[form, fills.get(mark, ""), wrapped, formula]}"'

    columns = list(zip(range(len(forms)), forms, letters, strict=True))
    plain = [look(index, "") for index, _, _ in columns]

    def write(number: int, one: Row) -> str:
        parts = [f'<row r="{number}">']
        cells, marks = one["cells"], one["marks"]
        for (index, form, letter), text, mark in zip(columns, cells, marks, strict=True):
            if form.number_format:
                own = look(index, mark) if mark else plain[index]
                figure = "" if text == "-" else text.removesuffix(form.unit).rstrip()
                value = f"><v>{float(figure)!r}</v></c>" if figure else "/>"
                parts.append(f'<c r="{letter}{number}{own}{value}')
                continue
            if mark or len(text) > _LONG or text[:1] in _FORMULA:
                own = look(index, mark, text)
            else:
                own = plain[index]
            parts.append(
                f'<c r="{letter}{number}{own} t="inlineStr"><is><t xml:space="preserve">'
                f"{escaped(text)}</t></is></c>"
            )
        parts.append("</row>")
        return "".join(parts)

    return write


def written(rows: Sequence[Row], first: int, write: Callable[[int, Row], str]) -> Iterator[bytes]:
    """The rows in batches. Raises InputError: a control character, with its place."""
    for start in range(0, len(rows), _BATCH):
        batch = rows[start : start + _BATCH]
        for place, one in enumerate(batch, start=start):
            if _ILLEGAL.search("\n".join(one["cells"])):
                refuse_control_characters({f"rows[{place}]": one})
        yield "".join(write(first + start + n, one) for n, one in enumerate(batch)).encode()


def filled(data: bytes, rows: Mapping[str, Iterable[bytes]], day: date) -> bytes:
    """The workbook `data` with rows put at the end of its sheets, in the form of `canonical`.

    `rows` is by the name of the part; every part is written as it comes.
    """
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as source, zipfile.ZipFile(out, "w") as target:
        for name in sorted(source.namelist(), key=lambda n: (n not in FIRST, n)):
            content = with_day(name, source.read(name), day)
            with target.open(entry_of(name), "w", force_zip64=False) as part:
                if name in rows:
                    before, _, after = content.rpartition(_END)
                    part.write(before)
                    for piece in rows[name]:
                        part.write(piece)
                    part.write(_END + after)
                else:
                    part.write(content)
    return out.getvalue()


def styles_of(make: Callable[[], Any], formats: Iterable[str], fills: Iterable[str]) -> Styles:
    """The styles of every look that a cell can have; `make` gives an empty cell of the book.

    All are asked for at once, since the library writes them before the rows are written.
    """
    from openpyxl.styles import Alignment, PatternFill

    found = {}
    looks = [("", wrapped, formula) for wrapped in (False, True) for formula in (False, True)]
    looks += [(number_format, False, False) for number_format in sorted({*formats} - {""})]
    for number_format, wrapped, formula in looks:
        for fill in ("", *sorted({*fills})):
            cell = make()
            cell.alignment = Alignment(vertical="top", wrap_text=wrapped)
            if number_format:
                cell.number_format = number_format
            if fill:
                cell.fill = PatternFill("solid", fgColor=fill)
            if formula:
                cell.quotePrefix = True
            found[number_format, fill, wrapped, formula] = int(cell.style_id)
    return found
