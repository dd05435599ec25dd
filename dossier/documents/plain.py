"""Text that may go on a sheet: no control character, and every character has a glyph.

Renderers lose such text without a word (a missing glyph prints as an empty box and breaks PDF/A; a
control character swallows its neighbours in a docx), so it is refused with its place instead.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache
from typing import Any

from dossier.errors import InputError
from dossier.resources import shared

# Outside the Char production of XML 1.0; tab and line ends stay.
_ILLEGAL = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ufffe\uffff\ud800-\udfff]")
FONT_FILES = ("DejaVuSansCondensed.ttf", "DejaVuSansCondensed-Bold.ttf")


def texts(value: object, place: str = "") -> Iterator[tuple[str, str]]:
    """Every text inside plain data with its place, as in ("rows[3].joint", "J-117").

    >>> list(texts({"rows": [{"joint": "J-1"}]}))
    [('rows[0].joint', 'J-1')]
    """
    if isinstance(value, str):
        yield place, value
    elif isinstance(value, Mapping):
        for key, inner in value.items():
            yield from texts(inner, f"{place}.{key}" if place else str(key))
    elif isinstance(value, Sequence):
        for index, inner in enumerate(value):
            yield from texts(inner, f"{place}[{index}]")


def refuse_control_characters(context: object) -> None:
    """Raises InputError for the first text with a character that XML 1.0 does not allow.

    >>> refuse_control_characters({"title": "Root & hot < cap"})
    """
    for place, text in texts(context):
        if found := _ILLEGAL.search(text):
            raise InputError(
                place or "text",
                found=f"control character U+{ord(found.group()):04X} in {text!r}",
                expected="printable text",
            )


@lru_cache(maxsize=1)
def _covered() -> frozenset[int]:
    from fontTools.ttLib import TTFont

    shared_points: frozenset[int] | None = None
    for name in FONT_FILES:
        with TTFont(shared("templates") / "fonts" / name, lazy=True) as font:
            points = frozenset(font.getBestCmap())
        shared_points = points if shared_points is None else shared_points & points
    return shared_points or frozenset()


def refuse_missing_glyphs(context: object) -> None:
    """Raises InputError for the first text with a character that the fonts cannot draw.

    >>> refuse_missing_glyphs({"title": "±0.5 mm, 20 °C, Ø 323.9, Überprüfung, Сварка"})
    """
    for place, text in texts(context):
        for character in sorted(set(text) - set("\n\t")):
            if ord(character) not in _covered():
                raise InputError(
                    place or "text",
                    found=f"character {character!r} (U+{ord(character):04X}) in {text[:60]!r}",
                    expected="characters that the bundled fonts can draw",
                )


def printable(context: Any) -> None:
    """Raises InputError unless every text of a context can be printed as it is."""
    if not _characters(context) <= _plain():  # the places are looked for only where there is need
        refuse_control_characters(context)
        refuse_missing_glyphs(context)


def _characters(context: Any) -> set[str]:
    found: set[str] = set()
    waiting = [context]
    while waiting:
        value = waiting.pop()
        if isinstance(value, str):
            found.update(value)
        elif isinstance(value, Mapping):
            waiting += value.values()
        elif isinstance(value, Sequence):
            waiting += value
    return found


@lru_cache(maxsize=1)
def _plain() -> frozenset[str]:
    drawn = {chr(code) for code in _covered()}
    return frozenset(c for c in drawn | {"\n", "\t"} if not _ILLEGAL.match(c))
