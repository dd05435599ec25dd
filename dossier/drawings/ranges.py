"""Range bars: permitted window, what the test measured and what the work recorded, on one axis."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from math import floor, inf, isfinite, log10

from dossier.drawings.fitted import fitted
from dossier.drawings.svg import (
    ACCENT,
    ACCENT_PALE,
    INK,
    PALE,
    SOFT,
    box,
    drawing,
    label,
    line,
    tag,
)
from dossier.units import UNITS, System, convert, unit_name

WIDTH = 520.0
_LEFT, _RIGHT, _ROW = 150.0, 20.0, 26.0


@dataclass(frozen=True, slots=True)
class RangeBar:
    """One row: a name, its window (None is no end) and the points recorded inside or outside."""

    name: str
    low: float | None
    high: float | None
    points: tuple[float, ...] = field(default=())


def ticks(low: float, high: float, wanted: int = 5) -> list[float]:
    """Round values across an axis, about `wanted` of them.

    >>> ticks(0.0, 2.0)
    [0.0, 0.5, 1.0, 1.5, 2.0]
    """
    if high <= low or not isfinite(high - low):
        return [low]
    rough = (high - low) / wanted
    power = 10.0 ** floor(log10(rough))
    step = next(power * m for m in (1, 2, 2.5, 5, 10) if power * m >= rough - 1e-12)
    first = -(-low // step)
    count = int((high - first * step) / step + 1e-9) + 1
    return [round((first + i) * step, 10) for i in range(count)]


def _axis(bars: Sequence[RangeBar]) -> tuple[float, float]:
    values = [v for b in bars for v in (b.low, b.high, *b.points) if v is not None and v != inf]
    low, high = min(values, default=0.0), max(values, default=1.0)
    margin = (high - low) * 0.12 or max(abs(high) * 0.2, 1.0)
    start = low - margin
    return (0.0 if low >= 0 and start < 0.25 * high else start), high + margin


def range_chart(title: str, unit: str, bars: Sequence[RangeBar], system: System = "SI") -> str:
    """Rows of permitted windows in `unit` with recorded points as ticks, as SVG.

    An open end runs to the edge of the axis without a closing mark. Points outside their window
    are drawn as crosses, so that they show in black and white.

    >>> "fill" in range_chart("Heat input", "kJ/mm", [RangeBar("fill", 0.8, 1.6, (1.2,))])
    True
    """
    low, high = _axis(bars)
    span = WIDTH - _LEFT - _RIGHT
    height = 22 + _ROW * len(bars) + 20

    def x(value: float) -> float:
        return _LEFT + (min(max(value, low), high) - low) / (high - low) * span

    parts = [label((_LEFT, 12), title, anchor="start", bold=True)]
    base = 22 + _ROW * len(bars)
    shown = UNITS[unit_name(unit)].partner if system == "US" else unit
    shown = shown or unit
    for tick in ticks(convert(low, unit, shown), convert(high, unit, shown)):
        at = x(convert(tick, shown, unit))
        parts.append(line((at, 20), (at, base), PALE))
        parts.append(label((at, base + 11), f"{tick:g}", size=8, colour=SOFT))
    parts.append(label((WIDTH - 2, base + 19), shown, anchor="end", size=8, colour=SOFT))
    for index, bar in enumerate(bars):
        parts.append(_row(bar, 22 + _ROW * index, x, (low, high)))
    return drawing(WIDTH, height, f"{title} in {shown}", *parts)


def _row(bar: RangeBar, top: float, x: Callable[[float], float], ends: tuple[float, float]) -> str:
    first = ends[0] if bar.low is None else bar.low
    last = ends[1] if bar.high is None or bar.high == inf else bar.high
    middle = top + _ROW / 2
    parts = [label((_LEFT - 8, middle + 3), fitted(bar.name, _LEFT - 10, 9), anchor="end")]
    parts.append(box((x(first), middle - 6), (x(last) - x(first), 12), ACCENT_PALE))
    for end, value in ((bar.low, first), (bar.high, last)):
        if end is not None and end != inf:
            parts.append(line((x(value), middle - 8), (x(value), middle + 8), ACCENT, 1.6))
    for value in bar.points:
        at = x(value)
        if first - 1e-9 <= value <= last + 1e-9:
            parts.append(line((at, middle - 5), (at, middle + 5), INK, 1.2))
        else:
            parts.append(line((at - 4, middle - 4), (at + 4, middle + 4), "#a32a20", 1.8))
            parts.append(line((at - 4, middle + 4), (at + 4, middle - 4), "#a32a20", 1.8))
    return tag("g", *parts)
