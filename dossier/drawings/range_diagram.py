"""Test point, qualified window, window of the WPS and what production did, on one axis."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from math import inf, sqrt

from dossier.drawings.fitted import fitted
from dossier.drawings.ranges import ticks
from dossier.drawings.svg import (
    ACCENT,
    ACCENT_MID,
    ACCENT_PALE,
    INK,
    PALE,
    SOFT,
    box,
    drawing,
    label,
    line,
    polygon,
    tag,
)
from dossier.units import UNITS, System, convert, unit_name

WIDTH = 420.0
_LEFT, _RIGHT, _TOP, _ROW = 92.0, 16.0, 22.0, 36.0
_OUTSIDE = "#a32a20"
Ends = tuple[float | None, float | None]


@dataclass(frozen=True, slots=True)
class Track:
    """One row of a range diagram; an end that is None is open, a window that is None not set."""

    name: str
    qualified: Ends | None = None
    window: Ends | None = None  # of the WPS
    tests: tuple[float, ...] = field(default=())
    work: tuple[float, ...] = field(default=())


def range_diagram(title: str, unit: str, tracks: Sequence[Track], system: System = "SI") -> str:
    """Rows of qualified and permitted windows with test points and the production below, as SVG.

    Production outside the window of the WPS is drawn as a cross. Dots that fall together grow.

    >>> track = Track("PQR-1", (4.8, 19.1), (5.0, 16.0), (12.7,), (12.7, 12.7, 17.0))
    >>> "3 welded" in range_diagram("Wall", "mm", [track])
    True
    """
    shown = (UNITS[unit_name(unit)].partner if system == "US" else "") or unit
    told = [_converted(track, unit, shown) for track in tracks]
    low, high = _axis(told)
    base = _TOP + _ROW * len(told)

    def x(value: float) -> float:
        return _LEFT + (min(max(value, low), high) - low) / (high - low) * (WIDTH - _LEFT - _RIGHT)

    parts = [label((2, 12), fitted(title, WIDTH - 60, 9), anchor="start", bold=True)]
    for tick in ticks(low, high):
        parts.append(line((x(tick), _TOP), (x(tick), base), PALE))
        parts.append(label((x(tick), base + 11), f"{tick:g}", size=8, colour=SOFT))
    parts.append(label((WIDTH - 2, 12), shown, anchor="end", size=8, colour=SOFT))
    for row, track in enumerate(told):
        parts += _track(track, _TOP + _ROW * row, x, (low, high))
    words = "pale: qualified; dark: WPS; diamond: test; dots: production, crosses outside the WPS"
    parts.append(label((2, base + 24), words, anchor="start", size=7.5, colour=SOFT))
    return drawing(WIDTH, base + 30, f"{title} in {shown}: {words}", *parts)


def _converted(track: Track, unit: str, shown: str) -> Track:
    if unit == shown:
        return track

    def to(value: float) -> float:
        return convert(value, unit, shown)

    def ends(pair: Ends | None) -> Ends | None:
        return None if pair is None else (
            None if pair[0] is None else to(pair[0]), None if pair[1] is None else to(pair[1])
        )  # fmt: skip

    return Track(
        track.name, ends(track.qualified), ends(track.window), tuple(map(to, track.tests)),
        tuple(map(to, track.work)),
    )  # fmt: skip


def _axis(tracks: Sequence[Track]) -> tuple[float, float]:
    values = [v for t in tracks for v in (*t.tests, *t.work)]
    values += [v for t in tracks for pair in (t.qualified, t.window) if pair
               for v in pair if v is not None and abs(v) != inf]  # fmt: skip
    low, high = min(values, default=0.0), max(values, default=1.0)
    margin = (high - low) * 0.12 or max(abs(high) * 0.2, 1.0)
    start = low - margin
    return (0.0 if low >= 0 and start < 0.2 * high else start), high + margin


def _bar(pair: Ends, top: float, height: float, fill: str, x: Callable[[float], float],
         axis: tuple[float, float]) -> Iterator[str]:  # fmt: skip
    """A window; an open end runs to the edge of the axis without a closing mark."""
    first = axis[0] if pair[0] is None or pair[0] == -inf else pair[0]
    last = axis[1] if pair[1] is None or pair[1] == inf else pair[1]
    yield box((x(first), top), (x(last) - x(first), height), fill)
    for end in pair:
        if end is not None and abs(end) != inf:
            yield line((x(end), top - 1), (x(end), top + height + 1), ACCENT, 1.3)


def _track(
    track: Track, top: float, x: Callable[[float], float], axis: tuple[float, float]
) -> Iterator[str]:
    yield label((_LEFT - 8, top + 13), fitted(track.name, _LEFT - 10, 8.5), anchor="end", size=8.5)
    count = f"{len(track.work)} welded" if track.work else "none welded"
    yield label((_LEFT - 8, top + 29), count, anchor="end", size=7.5, colour=SOFT)
    if track.qualified is not None:
        yield from _bar(track.qualified, top + 3, 16, ACCENT_PALE, x, axis)
    if track.window is not None:
        yield from _bar(track.window, top + 8, 6, ACCENT_MID, x, axis)
    for value in track.tests:
        at = x(value)
        yield polygon([(at, top + 5), (at + 5, top + 11), (at, top + 17), (at - 5, top + 11)],
                      "#ffffff", INK, 1.2)  # fmt: skip
    low, high = track.window or (None, None)
    for value, size in sorted(Counter(round(v, 4) for v in track.work).items()):
        below = low is not None and value < low - 1e-6
        above = high is not None and value > high + 1e-6
        at, middle = x(value), top + 26
        if below or above:
            yield line((at - 3, middle - 3), (at + 3, middle + 3), _OUTSIDE, 1.4)
            yield line((at - 3, middle + 3), (at + 3, middle - 3), _OUTSIDE, 1.4)
        else:
            radius = min(5.0, 1.2 + 0.3 * sqrt(size))
            yield tag("circle", cx=at, cy=middle, r=radius, fill=INK, fill_opacity=0.45)
