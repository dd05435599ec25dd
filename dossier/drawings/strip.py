"""The line as a strip by chainage, one mark a joint, coloured and shaped by its worst finding."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from dossier.drawings.fitted import fitted
from dossier.drawings.ranges import ticks
from dossier.drawings.svg import (
    PALE,
    SOFT,
    VERDICT_COLOURS,
    VERDICT_LETTERS,
    box,
    drawing,
    label,
    line,
)
from dossier.records.verdicts import CLEAR, Verdict

WIDTH = 700.0
_MARGIN, _ROW = 14.0, 64.0


@dataclass(frozen=True, slots=True)
class Mark:
    """One joint on the strip: its number, chainage in metres and worst verdict."""

    joint: str
    kp_m: float
    verdict: Verdict


def _ends(marks: Sequence[Mark], ends: tuple[float, float] | None) -> tuple[float, float]:
    if ends is not None:
        return ends
    places = [mark.kp_m for mark in marks]
    low, high = min(places, default=0.0), max(places, default=1000.0)
    return (low, high) if high > low else (low - 50, low + 50)


def strip_map(title: str, marks: Sequence[Mark], ends: tuple[float, float] | None = None) -> str:
    """Joints along a line from `ends` (metres; those of the joints where None), as SVG.

    Higher marks are worse; those above clear carry the letter of their verdict.

    >>> "KP 0.4" in strip_map("Line A", [Mark("J-1", 500.0, CLEAR)], (0.0, 1000.0))
    True
    """
    low, high = _ends(marks, ends)
    span = WIDTH - 2 * _MARGIN

    def x(place: float) -> float:
        return _MARGIN + (place - low) / (high - low) * span

    base = 22 + _ROW
    parts = [label((_MARGIN, 12), fitted(title, WIDTH - 260, 9), anchor="start", bold=True)]
    parts.append(box((_MARGIN, base - 3), (span, 6), PALE))
    for tick in ticks(low, high, 6):
        parts.append(line((x(tick), base + 3), (x(tick), base + 8), SOFT))
        parts.append(label((x(tick), base + 18), f"KP {tick / 1000:g}", size=8, colour=SOFT))
    width = max(0.6, min(3.0, span / max(len(marks), 1) * 0.6))
    last_letter: dict[Verdict, float] = {}
    for mark in sorted(marks, key=lambda m: (m.verdict, m.kp_m)):
        at, height = x(mark.kp_m), 10 + 10 * int(mark.verdict)
        colour = VERDICT_COLOURS[mark.verdict]
        parts.append(line((at, base - 3), (at, base - 3 - height), colour, width))
        if mark.verdict > CLEAR and at - last_letter.get(mark.verdict, -99) > 22:
            letter = VERDICT_LETTERS[mark.verdict]
            parts.append(label((at, base - 6 - height), letter, size=7, bold=True, colour=colour))
            last_letter[mark.verdict] = at
    words = "; ".join(f"{VERDICT_LETTERS[v]} {v}" for v in Verdict if v > CLEAR)
    parts.append(label((WIDTH - _MARGIN, 12), words, anchor="end", size=8, colour=SOFT))
    return drawing(WIDTH, base + 24, f"{title}: {len(marks)} joints by chainage", *parts)
