"""Text cut to the room it has, so that nothing in a drawing runs into its neighbour."""

from __future__ import annotations

# Widths of the bundled condensed bold face in parts of the size, rounded up by class.
_NARROW, _WIDE = frozenset("iljftrI.,:;'|!()[]/- "), frozenset("mMwW@%…—&<>=+OQGN")


def _of(character: str) -> float:
    if character in _NARROW:
        return 0.42
    if character in _WIDE:
        return 0.95
    return 0.72 if character.isupper() or not character.isascii() else 0.65


def text_width(text: str, size: float) -> float:
    """Width of a text in the bundled condensed face, on the safe side, in the units of `size`.

    >>> text_width("ML-001", 10.0)
    40.4
    """
    return round(sum(map(_of, text)) * size, 2)


def fitted(text: str, width: float, size: float) -> str:
    """The text, or as much of it as fits into `width` with an ellipsis at its end.

    >>> fitted("ML-001", 60.0, 9.0), fitted("A-very-long-number", 60.0, 9.0)
    ('ML-001', 'A-very-lon…')
    """
    if text_width(text, size) <= width:
        return text
    kept = ""
    for character in text:
        if text_width(kept + character + "…", size) > width:
            break
        kept += character
    return f"{kept}…"
