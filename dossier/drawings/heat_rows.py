"""Heats against joints: a row for each heat, a mark at every joint where one of its items ends."""

from __future__ import annotations

from collections.abc import Sequence

from dossier.drawings.fitted import fitted, text_width
from dossier.drawings.svg import ACCENT, ACCENT_PALE, SOFT, box, drawing, label, line

WIDTH = 1000.0
_LEFT, _RIGHT, _ROW, _TOP = 150.0, 44.0, 14.0, 26.0


def heat_rows(title: str, rows: Sequence[tuple[str, Sequence[int]]], joints: Sequence[str]) -> str:
    """Rows of (heat, places of its joints in `joints`) as SVG; the number of joints stands right.

    >>> "H-1" in heat_rows("Heats", [("H-1", [0, 1])], ["J-1", "J-2"])
    True
    """
    span = WIDTH - _LEFT - _RIGHT
    step = span / max(len(joints), 1)
    bottom = _TOP + _ROW * len(rows)
    parts = []
    for index, (heat, places) in enumerate(rows):
        y = _TOP + _ROW * index
        parts.append(label((_LEFT - 6, y + 10), fitted(heat, _LEFT - 10, 8.5), anchor="end",
                           size=8.5))  # fmt: skip
        parts.append(box((_LEFT, y + 2), (span, _ROW - 4), ACCENT_PALE if index % 2 else "#e8edef"))
        for first, last in _stretches(places):
            wide = max(step * (last - first + 1), 1.2)
            parts.append(box((_LEFT + step * first, y + 2), (wide, _ROW - 4), ACCENT))
        parts.append(label((WIDTH - 2, y + 10), str(len(places)), anchor="end", size=8.5))
    parts.append(label((WIDTH - 2, 10), "joints", anchor="end", size=8, colour=SOFT))
    parts += _axis(joints, step, bottom)
    return drawing(WIDTH, bottom + 4, title, *parts)


def _stretches(places: Sequence[int]) -> list[tuple[int, int]]:
    """Neighbouring places as one stretch."""
    found: list[tuple[int, int]] = []
    for place in sorted(set(places)):
        if found and found[-1][1] == place - 1:
            found[-1] = (found[-1][0], place)
        else:
            found.append((place, place))
    return found


def _axis(joints: Sequence[str], step: float, bottom: float) -> list[str]:
    """Joint numbers along the top, as many as fit, each with a line down the rows."""
    parts, free = [], _LEFT
    for index, joint in enumerate(joints):
        text = fitted(joint, 90, 7.5)
        x, half = _LEFT + step * index, text_width(text, 7.5) / 2
        if x - half < free or x + half > WIDTH - _RIGHT:
            continue
        parts.append(label((x, _TOP - 8), text, size=7.5, colour=SOFT))
        parts.append(line((x, _TOP - 5), (x, bottom), SOFT, 0.4, "1 3"))
        free = x + half + 30
    return parts
