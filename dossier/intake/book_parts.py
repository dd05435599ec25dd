"""What a workbook is made of, from its XML: sheets, merged cells, what is hidden, formulas.

A workbook comes from anywhere: its size is looked at before it is unpacked, and its XML is parsed
by defusedxml, which refuses entities. Sheets are scanned in blocks, never taken into memory.
"""

from __future__ import annotations

import re
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from fnmatch import fnmatchcase
from functools import lru_cache
from pathlib import Path
from typing import IO

from defusedxml.ElementTree import fromstring  # type: ignore[import-untyped, unused-ignore]

from dossier.errors import ProjectError
from dossier.intake.convert import did_you_mean
from dossier.intake.headings import Range
from dossier.intake.raw import clip, refuse

_MEMBERS_MAX = 10_000
_UNPACKED_MAX = 1 << 30  # bytes: a sheet of 100,000 rows and 40 columns unpacks to a third of it
_RATIO_MAX = 200  # of a member over 10 MB; sheets of real logs pack to a tenth or so
_BLOCK = 1 << 20
_BLOCK_MAX = 20_000_000  # cells


@contextmanager
def explained(file: str) -> Iterator[None]:
    """Turn whatever a broken workbook raises into a ProjectError."""
    try:
        yield
    except ProjectError:
        raise
    except Exception as error:  # noqa: BLE001 - broken parts raise errors of any type
        found = f"a workbook that cannot be opened ({type(error).__name__})"
        raise refuse(file, "", found=found, expected="a sound XLSX workbook") from None


def guard(path: Path, file: str) -> None:
    """Raise ProjectError when the workbook would unpack to more than any register needs."""
    with zipfile.ZipFile(path) as book:
        members = book.infolist()
    total = sum(member.file_size for member in members)
    for member in members:
        packed = max(member.compress_size, 1)
        if member.file_size > 10_000_000 and member.file_size / packed > _RATIO_MAX:
            total = max(total, _UNPACKED_MAX + 1)
    if total > _UNPACKED_MAX or len(members) > _MEMBERS_MAX:
        raise refuse(
            file,
            "",
            found=f"a workbook that unpacks to {total // 1_000_000} MB or more",
            expected="a workbook of ordinary size",
        )


@dataclass(slots=True)
class Page:
    """One sheet as its XML shows it."""

    name: str
    merged: list[Range] = field(default_factory=list)
    hidden_rows: set[int] = field(default_factory=set)
    hidden_columns: set[int] = field(default_factory=set)
    formulas: bool = False
    errors: bool = False
    days_from_1904: bool = False
    formats_count: bool = True  # some format in the book changes what a cell says
    last_row: int = 0
    last_column: int = 25  # from 0; columns of one letter are not counted

    @property
    def plain(self) -> bool:
        """Whether values alone tell what the cells say."""
        return not (self.formulas or self.errors or self.days_from_1904 or self.formats_count)

    @property
    def dense(self) -> bool:
        """Whether the sheet fits in memory as a block; one stray cell far out fills up millions."""
        return self.last_row * (self.last_column + 1) <= _BLOCK_MAX


def pages(path: Path, file: str, wanted: str) -> list[Page]:
    """The sheets that `wanted` names (a name or a pattern; "" the first). Raises ProjectError."""
    with zipfile.ZipFile(path) as book:
        root = fromstring(book.read("xl/workbook.xml"))
        names = {
            str(node.get("name")): next(v for k, v in node.attrib.items() if k.endswith("}id"))
            for node in root.iter()
            if node.tag.endswith("}sheet")
        }
        from_1904 = any(
            node.get("date1904", "0").lower() in ("1", "true")
            for node in root.iter()
            if node.tag.endswith("}workbookPr")
        )
        links = fromstring(book.read("xl/_rels/workbook.xml.rels"))
        targets = {str(node.get("Id")): str(node.get("Target")) for node in links.iter()}
        found = []
        count = _formats_count(book)
        for name in _chosen(file, wanted, list(names)):
            target = targets[names[name]]
            member = target.lstrip("/") if target.startswith("/") else f"xl/{target}"
            page = Page(name, days_from_1904=from_1904, formats_count=count)
            with book.open(member) as stream:
                _scan(stream, page)
            found.append(page)
    return found


_BUILT_IN_PERCENT = (b"9", b"10")


def _formats_count(book: zipfile.ZipFile) -> bool:
    """Whether a format of the book shows percentages or leading zeros, or a text has escapes.

    Where the parts are not where they usually are, that is taken for granted.
    """
    names = set(book.namelist())
    if "xl/styles.xml" not in names:
        return True
    styles = book.read("xl/styles.xml")
    used = styles.partition(b"<cellXfs")[2].partition(b"</cellXfs")[0]
    ids = re.findall(rb'numFmtId="([0-9]+)"', used)
    codes = re.findall(rb'formatCode="([^"]*)"', styles)
    if any(i in _BUILT_IN_PERCENT for i in ids) or not used:
        return True
    if any(b"%" in code or re.fullmatch(rb"0{2,}", code) for code in codes):
        return True
    return any(_escaped(book, name) for name in names if name.startswith("xl/sharedStrings"))


def _escaped(book: zipfile.ZipFile, name: str) -> bool:
    with book.open(name) as stream:
        rest = b""
        while block := stream.read(_BLOCK):
            block = rest + block
            if b"_" in block and b"_x" in block:
                return True
            rest = block[-1:]
    return False


def _chosen(file: str, wanted: str, names: list[str]) -> list[str]:
    if not wanted and names:
        return names[:1]
    if wanted in names:
        return [wanted]
    if "*" in wanted and (matching := [n for n in names if fnmatchcase(n, wanted)]):
        return matching
    found = f"the sheets {', '.join(names)}" if names else "no sheets"
    hint = did_you_mean(wanted, names)
    raise refuse(file, "", found=found, expected=f"the sheet {clip(wanted)}", hint=hint)


_ROW_NUMBER = re.compile(rb'row (?:[^>r]|r(?!="))*r="([0-9]{1,18})')
_COLUMN_NAME = re.compile(rb'r="([A-Z]{2,})[0-9]')
_FAR_BELOW = re.compile(rb' r="[A-Z]{0,3}[0-9]{6}')
_FAR_ROW = 100_000  # the first of six figures
_MERGED = re.compile(rb'<(?:\w+:)?mergeCell\s[^>]*?ref="([A-Z]+)([0-9]+):([A-Z]+)([0-9]+)"')
_ROW = re.compile(rb'<(?:\w+:)?row\s[^>]*?\br="([0-9]+)"[^>]*?\bhidden="(?:1|true)"')
_ROW_TURNED = re.compile(rb'<(?:\w+:)?row\s[^>]*?\bhidden="(?:1|true)"[^>]*?\br="([0-9]+)"')
_COLUMN = re.compile(rb'<(?:\w+:)?col\s[^>]*?\bhidden="(?:1|true)"[^>]*>')
_FORMULA = re.compile(rb"<(?:\w+:)?f[\s>/]")
_ERROR = re.compile(rb'<(?:\w+:)?c\s[^>]*?\bt="e"')


def _scan(stream: IO[bytes], page: Page) -> None:
    rest = b""
    while block := stream.read(_BLOCK):
        text = rest + block
        end = text.rfind(b">") + 1
        text, rest = text[:end], text[end:]
        # A character that no plain sheet has is found many times faster than the word.
        if b"m" in text and b"mergeCell" in text:
            page.merged += [
                (int(m[2]), index_of(m[1].decode()), int(m[4]), index_of(m[3].decode()))
                for m in _MERGED.finditer(text)
            ]
        if b"h" in text and b'hidden="' in text:
            _hidden(text, page)
        page.last_row = max([page.last_row, *map(int, _ROW_NUMBER.findall(text))])
        figures = 5 if page.last_row < _FAR_ROW else 18
        if _outside(page.last_column, figures).search(text):
            _widen(text, page)
        if not page.formulas and b"f" in text and (b"<f" in text or b":f" in text):
            page.formulas = _FORMULA.search(text) is not None
        page.formats_count = page.formats_count or (b"_" in text and b"_x" in text)
        if not page.errors and b"e" in text and b't="e"' in text:
            page.errors = _ERROR.search(text) is not None


@lru_cache(maxsize=64)
def _outside(last_column: int, figures: int) -> re.Pattern[bytes]:
    """What finds a cell beyond this column, or in a row of more figures.

    One search for both, at half the cost of two, and nearly every block of a sheet passes it.
    """
    if last_column >= index_of("AAA"):
        return re.compile(b"")  # every block is looked at in full
    inside = ["[A-Z]", ""]
    if last_column >= index_of("AA"):
        tens, ones = divmod(last_column - index_of("AA"), 26)
        inside.insert(0, f"{chr(65 + tens)}[A-{chr(65 + ones)}]")
        if tens:
            inside.insert(0, f"[A-{chr(64 + tens)}][A-Z]")
    return re.compile(f'r="(?!(?:{"|".join(inside)})[0-9]{{1,{figures}}}+")'.encode())


def _widen(text: bytes, page: Page) -> None:
    names = set(_COLUMN_NAME.findall(text))
    page.last_column = max([page.last_column, *map(_column, names)])
    if page.last_row < _FAR_ROW and _FAR_BELOW.search(text):
        page.last_row = _BLOCK_MAX  # a cell that names another row than the one it stands in


def _hidden(text: bytes, page: Page) -> None:
    for pattern in (_ROW, _ROW_TURNED):
        page.hidden_rows |= {int(m[1]) for m in pattern.finditer(text)}
    for match in _COLUMN.finditer(text):
        ends = [re.search(name + rb'="([0-9]+)"', match[0]) for name in (rb"\bmin", rb"\bmax")]
        if ends[0] and ends[1]:
            last = min(int(ends[1][1]), 16_384)
            page.hidden_columns |= set(range(int(ends[0][1]) - 1, last))


def _column(name: bytes) -> int:
    return index_of(name.decode()) if len(name) <= 3 else _BLOCK_MAX


def index_of(letters: str) -> int:
    """The place from 0 of the column with these letters.

    >>> index_of("A"), index_of("AB")
    (0, 27)
    """
    index = 0
    for character in letters:
        index = index * 26 + ord(character) - 64
    return index - 1
