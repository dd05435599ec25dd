"""How long things wait: a bar to the median, a whisker to the oldest, one row a stage."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from dossier.drawings.fitted import fitted
from dossier.drawings.ranges import ticks
from dossier.drawings.svg import ACCENT_MID, INK, PALE, SOFT, box, drawing, label, line

WIDTH = 520.0
_LEFT, _RIGHT, _ROW = 130.0, 130.0, 20.0


@dataclass(frozen=True, slots=True)
class Age:
    """One row: a name, the median and the longest time in days, and words beside it."""

    name: str
    median_days: float
    oldest_days: float
    words: str = ""


def age_chart(title: str, ages: Sequence[Age]) -> str:
    """Horizontal bars in days, as SVG.

    >>> "coated" in age_chart("Age", [Age("coated", 2.0, 9.0, "3 waiting")])
    True
    """
    top = max([age.oldest_days for age in ages] + [1.0]) * 1.1
    span = WIDTH - _LEFT - _RIGHT
    base = 22 + _ROW * len(ages)
    parts = [label((_LEFT, 12), title, anchor="start", bold=True)]
    for tick in ticks(0.0, top):
        at = _LEFT + tick / top * span
        parts.append(line((at, 20), (at, base), PALE))
        parts.append(label((at, base + 11), f"{tick:g} d", size=8, colour=SOFT))
    for index, age in enumerate(ages):
        y = 22 + _ROW * index
        middle, last = (_LEFT + days / top * span for days in (age.median_days, age.oldest_days))
        parts.append(label((_LEFT - 8, y + 13), fitted(age.name, _LEFT - 10, 9), anchor="end"))
        parts.append(box((_LEFT, y + 4), (middle - _LEFT, 12), ACCENT_MID))
        parts.append(line((middle, y + 10), (last, y + 10), INK, 1))
        parts.append(line((last, y + 6), (last, y + 14), INK, 1))
        told = f"{age.words}, oldest {age.oldest_days:g} d"
        parts.append(label((WIDTH - _RIGHT + 8, y + 13), told, anchor="start", size=8.5))
    return drawing(WIDTH, base + 18, title, *parts)
