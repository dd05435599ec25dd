"""Bars with an interval: repair rates by welder, week or line."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from dossier.drawings.fitted import fitted
from dossier.drawings.ranges import ticks
from dossier.drawings.svg import ACCENT_MID, INK, PALE, SOFT, box, drawing, label, line

WIDTH = 520.0
_LEFT, _RIGHT, _ROW = 120.0, 120.0, 20.0


@dataclass(frozen=True, slots=True)
class Bar:
    """One bar: a name, a share in per cent, its interval if known, and words beside it."""

    name: str
    percent: float
    low: float | None = None
    high: float | None = None
    words: str = ""


def bar_chart(title: str, bars: Sequence[Bar]) -> str:
    """Horizontal bars in per cent with their intervals as whiskers, as SVG.

    >>> "W01" in bar_chart("Repair rate", [Bar("W01", 4.0, 1.0, 9.0, "2 of 50")])
    True
    """
    top = max([bar.high or bar.percent for bar in bars] + [1.0]) * 1.1
    span = WIDTH - _LEFT - _RIGHT
    base = 22 + _ROW * len(bars)
    parts = [label((_LEFT, 12), fitted(title, WIDTH - _LEFT, 9), anchor="start", bold=True)]
    for tick in ticks(0.0, top):
        at = _LEFT + tick / top * span
        parts.append(line((at, 20), (at, base), PALE))
        parts.append(label((at, base + 11), f"{tick:g} %", size=8, colour=SOFT))
    for index, bar in enumerate(bars):
        y = 22 + _ROW * index
        parts.append(label((_LEFT - 8, y + 13), fitted(bar.name, _LEFT - 10, 9), anchor="end"))
        parts.append(box((_LEFT, y + 4), (bar.percent / top * span, 12), ACCENT_MID))
        if bar.low is not None and bar.high is not None:
            first, last = _LEFT + bar.low / top * span, _LEFT + bar.high / top * span
            parts.append(line((first, y + 10), (last, y + 10), INK, 1))
            parts += [line((at, y + 7), (at, y + 13), INK, 1) for at in (first, last)]
        told = fitted(bar.words, _RIGHT - 8, 8.5)
        parts.append(label((WIDTH - _RIGHT + 8, y + 13), told, anchor="start", size=8.5))
    return drawing(WIDTH, base + 18, title, *parts)
