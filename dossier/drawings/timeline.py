"""Times in force of certificates with their confirmations and the joints welded, by day."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import MAXYEAR, date, timedelta

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

WIDE, NARROW = 760.0, 520.0
_LEFT, _RIGHT, _TOP, _ROW = 150.0, 14.0, 32.0, 30.0
_MONTH = 34.0  # room for the name of a month
_CENTURY = 36_525  # days
_BROKEN = "#a32a20"
LEGEND = "bar: in force; broken outline: not in force; tick: confirmation; dots: joints welded, "
LEGEND += "crosses outside a time in force; letter T: test"


@dataclass(frozen=True, slots=True)
class Lane:
    """One certificate: its times in force and out of it, confirmations and days of work."""

    name: str
    detail: str
    bars: tuple[tuple[date, date | None], ...] = ()  # both days included; None nothing ends it
    gaps: tuple[tuple[date, date], ...] = ()
    ticks: tuple[date, ...] = ()
    work: tuple[date, ...] = field(default=())
    tested: date | None = None


def months(first: date, last: date) -> list[date]:
    """The first day of each month after `first` up to `last`, every third of a long time.

    None of more than a century, which no mark of a month would make clearer.

    >>> [day.month for day in months(date(2026, 1, 15), date(2026, 4, 1))]
    [2, 3, 4]
    """
    if (last - first).days > _CENTURY or last.year == MAXYEAR:
        return []
    step = 1 if (last - first).days < 500 else 3
    found: list[date] = []
    year, month = first.year, first.month
    while True:
        year, month = (year + 1, 1) if month == 12 else (year, month + 1)
        day = date(year, month, 1)
        if day > last:
            return found
        if (month - 1) % step == 0:
            found.append(day)


def _earlier(day: date, days: int) -> date:
    """So many days before a day, as far as the calendar goes."""
    return day - timedelta(days=min(days, (day - date.min).days))


def timeline_chart(title: str, lanes: Sequence[Lane], as_of: date, width: float = WIDE) -> str:
    """One lane a certificate over a common axis of days that ends a little after `as_of`, as SVG.

    >>> lane = Lane("W01", "WQ-1", ((date(2026, 1, 5), None),), tested=date(2026, 1, 5))
    >>> "W01" in timeline_chart("Welder W01", [lane], date(2026, 6, 30))
    True
    """
    starts = [s for lane in lanes for s, _ in lane.bars]
    starts += [day for lane in lanes for day in lane.work] + [t.tested for t in lanes if t.tested]
    first = _earlier(min([*starts, _earlier(as_of, 60)]), 6)
    last = as_of + timedelta(days=min(max(30, (as_of - first).days // 6), (date.max - as_of).days))
    whole = (last - first).days
    base = _TOP + _ROW * len(lanes)

    def x(day: date) -> float:
        inside = min(max(day, first), last)
        return _LEFT + (inside - first).days / whole * (width - _LEFT - _RIGHT)

    parts = [label((2, 12), fitted(title, width - 4, 9), anchor="start", bold=True)]
    free = 0.0
    for day in months(first, last):
        parts.append(line((x(day), _TOP - 4), (x(day), base), PALE))
        if free <= x(day) - _MONTH / 2 and x(day) + _MONTH / 2 <= width:
            parts.append(label((x(day), _TOP - 8), f"{day:%Y-%m}", size=7, colour=SOFT))
            free = x(day) + _MONTH / 2
    for row, lane in enumerate(lanes):
        parts += _lane(lane, _TOP + _ROW * row, x, last)
    parts.append(line((x(as_of), _TOP - 4), (x(as_of), base), ACCENT, 1.0, "3 2"))
    parts.append(label((x(as_of), base + 9), f"as of {as_of.isoformat()}", size=7, colour=ACCENT))
    parts.append(label((2, base + 20), LEGEND, anchor="start", size=7.5, colour=SOFT))
    return drawing(width, base + 26, f"{title}: {LEGEND}", *parts)


def _lane(lane: Lane, top: float, x: Callable[[date], float], last: date) -> Iterator[str]:
    yield label(
        (2, top + 11), fitted(lane.name, _LEFT - 8, 8.5), anchor="start", bold=True, size=8.5
    )
    yield label(
        (2, top + 21), fitted(lane.detail, _LEFT - 8, 7.5), anchor="start", size=7.5, colour=SOFT
    )
    yield line((2, top + _ROW - 2), (x(last), top + _ROW - 2), PALE)
    for since, until in lane.bars:
        end = x(date.max if until is None else until)
        yield box((x(since), top + 4), (end - x(since), 10), ACCENT_PALE)
        ends = (since,) if until is None or until > last else (since, until)
        for day in ends:
            yield line((x(day), top + 3), (x(day), top + 15), ACCENT, 1.2)
    for since, until in lane.gaps:
        yield tag(
            "rect", x=x(since), y=top + 4, width=max(x(until) - x(since), 1.5), height=10,
            fill="none", stroke=_BROKEN, stroke_width=0.9, stroke_dasharray="3 2",
        )  # fmt: skip
    for day in lane.ticks:
        yield line((x(day), top + 1), (x(day), top + 17), INK, 1.1)
    if lane.tested is not None:
        yield label((x(lane.tested) + 5, top + 12), "T", size=7.5, bold=True, colour=ACCENT)
    for day in lane.work:
        yield _day_of_work(day, x(day), top + 22, lane)


def _day_of_work(day: date, at: float, middle: float, lane: Lane) -> str:
    covered = any(since <= day and (until is None or day <= until) for since, until in lane.bars)
    if covered:
        return tag("circle", cx=at, cy=middle, r=1.6, fill=INK, fill_opacity=0.55)
    return line((at - 2.5, middle - 2.5), (at + 2.5, middle + 2.5), _BROKEN, 1.2) + line(
        (at - 2.5, middle + 2.5), (at + 2.5, middle - 2.5), _BROKEN, 1.2
    )
