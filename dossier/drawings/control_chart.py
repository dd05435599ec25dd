"""Control chart of a rate: each sample against the limits of its own size, and the rate to date."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from dossier.drawings.fitted import fitted
from dossier.drawings.ranges import ticks
from dossier.drawings.svg import (
    ACCENT,
    ACCENT_MID,
    INK,
    PALE,
    SOFT,
    VERDICT_COLOURS,
    Point,
    box,
    drawing,
    label,
    line,
    number,
    tag,
)
from dossier.records.verdicts import NONCONFORMITY

WIDTH, HEIGHT = 620.0, 250.0
_LEFT, _RIGHT, _TOP, _BOTTOM = 40.0, 70.0, 34.0, 44.0
_OUT = VERDICT_COLOURS[NONCONFORMITY]
_MOST_LABELS = 14
_Place = Callable[[int, float], Point]


@dataclass(frozen=True, slots=True)
class Sample:
    """One sample: name, rate, centre line and limits in per cent, the rate to date, its counts."""

    name: str
    percent: float
    centre: float
    low: float
    high: float
    to_date: float
    words: str = ""

    @property
    def outside(self) -> bool:
        """The rate lies outside the limits of its sample."""
        return not self.low <= self.percent <= self.high


def control_chart(title: str, samples: Sequence[Sample]) -> str:
    """Points joined in order, limits as steps, the rate to date as a dashed line; as SVG.

    A point outside its limits is a square with its counts beside it, so that it shows in print.

    >>> "W19" in control_chart("Rate", [Sample("W19", 4.0, 3.0, 0.0, 9.0, 4.0, "2 of 50")])
    True
    """
    top = max([max(s.percent, s.high) for s in samples] + [1.0]) * 1.1
    step = (WIDTH - _LEFT - _RIGHT) / max(len(samples), 1)
    base = HEIGHT - _BOTTOM

    def at(index: int, percent: float) -> Point:
        return _LEFT + step * (index + 0.5), base - percent / top * (base - _TOP)

    parts = [label((_LEFT, 14), title, anchor="start", bold=True)]
    for tick in ticks(0.0, top):
        y = at(0, tick)[1]
        parts.append(line((_LEFT, y), (WIDTH - _RIGHT, y), PALE))
        parts.append(label((_LEFT - 5, y + 3), f"{tick:g} %", anchor="end", size=8, colour=SOFT))
    every = -(-len(samples) // _MOST_LABELS)
    for index, one in enumerate(samples):
        left, right = _LEFT + step * index, _LEFT + step * (index + 1)
        for limit in (one.low, one.high):
            y = at(index, limit)[1]
            parts.append(line((left, y), (right, y), ACCENT, 1, "4 2"))
        if index % every == 0:
            x = at(index, 0)[0]
            parts.append(
                label(
                    (x, base + 12), fitted(one.name, step * every - 2, 7.5), size=7.5, colour=SOFT
                )
            )
            parts.append(
                label(
                    (x, base + 22), fitted(one.words, step * every - 2, 7.5), size=7.5, colour=SOFT
                )
            )
    parts += _lines(samples, at)
    return drawing(WIDTH, HEIGHT, title, *parts)


def _lines(samples: Sequence[Sample], at: _Place) -> list[str]:
    parts = [
        _path([at(i, s.to_date) for i, s in enumerate(samples)], ACCENT_MID, 2),
        _path([at(i, s.percent) for i, s in enumerate(samples)], INK, 1),
    ]
    y = at(0, samples[0].centre)[1] if samples else 0.0
    parts.append(line((_LEFT, y), (WIDTH - _RIGHT, y), ACCENT, 1))
    for index, one in enumerate(samples):
        x, y_point = at(index, one.percent)
        if one.outside:
            parts.append(box((x - 4, y_point - 4), (8, 8), _OUT))
            parts.append(label((x, y_point - 8), f"{one.percent:.1f} %", size=8, colour=_OUT))
        else:
            parts.append(tag("circle", cx=x, cy=y_point, r=2.6, fill=INK))
    return parts + _legend(samples, at)


def _legend(samples: Sequence[Sample], at: _Place) -> list[str]:
    """Names at the right end of the lines; moved apart where two would cover one another."""
    if not samples:
        return []
    last, end = samples[-1], len(samples) - 1
    wanted = [("all weeks", last.centre, ACCENT), ("to date", last.to_date, ACCENT_MID),
              ("upper limit", last.high, ACCENT), ("lower limit", last.low, ACCENT)]  # fmt: skip
    placed: list[tuple[float, str, str]] = []
    for name, value, colour in sorted(wanted, key=lambda one: -one[1]):
        y = at(end, value)[1] + 3
        if placed and y - placed[-1][0] < 10:
            y = placed[-1][0] + 10
        placed.append((y, name, colour))
    return [label((WIDTH - _RIGHT + 6, y), name, anchor="start", size=8, colour=colour)
            for y, name, colour in placed]  # fmt: skip


def _path(points: Sequence[Point], colour: str, width: float) -> str:
    told = " ".join(f"{number(x)},{number(y)}" for x, y in points)
    return tag("polyline", points=told, fill="none", stroke=colour, stroke_width=width)
