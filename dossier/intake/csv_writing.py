"""How a CSV file is written, as far as its bytes show: encoding, delimiter, decimal mark."""

from __future__ import annotations

import codecs
import csv
import re
from collections.abc import Iterable, Mapping, Sequence

DELIMITERS = (",", ";", "\t", "|")
_NAMES = {",": "comma", ";": "semicolon", "\t": "tab", "|": "bar", ".": "point"}
_LOOKED_AT = 2_000  # rows
_ENOUGH = 3  # numbers that show the decimal mark beyond doubt


def encoding(content: bytes) -> tuple[str, str]:
    """The encoding of a text, and what shows it.

    Bytes that are no UTF-8 are taken for Windows text: Cyrillic where most of the bytes above 127
    stand together as words, Western European else.

    >>> encoding("Schweißer;Naht".encode("cp1252"))
    ('cp1252', 'no UTF-8; single letters above 127, as in Western European Windows text')
    >>> encoding("ML-1".encode("utf-16"))[0], encoding(b"ML-1")
    ('utf-16', ('utf-8-sig', ''))
    """
    if content.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        return "utf-16", "its first two bytes"
    if content.startswith(codecs.BOM_UTF8):
        return "utf-8-sig", "its first three bytes"
    try:
        content.decode("utf-8")
    except UnicodeDecodeError:
        high = len(re.findall(rb"[\x80-\xff]", content))
        in_words = sum(len(word) for word in re.findall(rb"[\xc0-\xff]{3,}", content))
        if 2 * in_words > high:
            return "cp1251", "no UTF-8; whole words above 127, as in Cyrillic Windows text"
        return "cp1252", "no UTF-8; single letters above 127, as in Western European Windows text"
    return "utf-8-sig", ""


def delimiter(text: str, header_row: int) -> str:
    """The delimiter that cuts the heading row into most parts.

    >>> delimiter("joint;hi-lo, mm;gap\\n", 1)
    ';'
    """
    lines = text.split("\n", header_row)
    head = lines[header_row - 1] if len(lines) >= header_row else ""
    return max(DELIMITERS, key=lambda mark: _parts(head, mark))


def _parts(head: str, mark: str) -> int:
    """Into how many cells a delimiter cuts a row; 0 where that is no CSV."""
    try:
        return len(next(csv.reader([head], delimiter=mark), []))
    except csv.Error:
        return 0


def decimal_mark(rows: Iterable[Sequence[str]], columns: Iterable[int]) -> str:
    """The decimal mark of the numbers in these columns; "" where they do not show it.

    Only numbers count that can be read one way, such as 12,7 but not 1,270; three of these, and
    none against it, settle the mark.

    >>> decimal_mark([["1,5"], ["0,25"], ["12,7"], ["1,270"]], [0]), decimal_mark([["1,5"]], [0])
    (',', '')
    """
    wanted = list(columns)
    seen = {",": 0, ".": 0}
    for place, cells in enumerate(rows):
        if place >= _LOOKED_AT:
            break
        for index in wanted:
            if index < len(cells) and (mark := _shown(cells[index])):
                seen[mark] += 1
    for mark, other in ((",", "."), (".", ",")):
        if seen[mark] >= _ENOUGH and not seen[other]:
            return mark
    return ""


def _shown(text: str) -> str:
    match = re.fullmatch(r"\s*[+-]?[0-9]+([.,])([0-9]+)\D*", text)
    return match[1] if match and len(match[2]) != 3 else ""


def sentence(file: str, found: Mapping[str, tuple[str, str]]) -> str:
    """What was found out of a file: subject -> what, and what shows it.

    >>> sentence("log.csv", {"delimiter": (";", "the row of headings")})
    'log.csv: delimiter semicolon (from the row of headings)'
    """
    parts = [
        f"{subject} {_NAMES.get(what, what)}" + (f" (from {why})" if why else "")
        for subject, (what, why) in found.items()
    ]
    return f"{file}: {', '.join(parts)}"
