"""Curves over an axis with limits, a shaded window, and the ranges of the passes below the axis."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field

from dossier.drawings.fitted import fitted
from dossier.drawings.ranges import ticks
from dossier.drawings.svg import (
    ACCENT,
    ACCENT_MID,
    ACCENT_PALE,
    INK,
    PALE,
    SOFT,
    Point,
    box,
    drawing,
    label,
    line,
    number,
    polygon,
    tag,
)
from dossier.errors import InputError
from dossier.units import UNITS, System, convert, unit_name

WIDTH, _DEEP = 330.0, 150.0
_LEFT, _RIGHT, _TOP, _BAR = 44.0, 16.0, 24.0, 11.0


@dataclass(frozen=True, slots=True)
class Curve:
    """A named line through points (x, y); `dash` as in "4 2" tells curves apart without colour."""

    name: str
    points: tuple[Point, ...]
    dash: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Plot:
    """What is drawn; x and y in the units named, converted to the project's system."""

    title: str
    x_unit: str
    y_unit: str
    curves: tuple[Curve, ...] = ()
    window: tuple[Point, ...] = ()  # outline of the shaded area
    limits: tuple[tuple[str, float], ...] = ()  # name and height of a level line
    bars: tuple[tuple[str, float, float], ...] = ()  # name, from and to on the x axis
    dots: tuple[Point, ...] = field(default=())


def _shown(unit: str, system: System) -> str:
    partner = UNITS[unit_name(unit)].partner if system == "US" else ""
    return partner or unit


def converted(plot: Plot, system: System) -> Plot:
    """The same plot with every figure in the units of the project.

    >>> plot = Plot(title="", x_unit="kJ/mm", y_unit="°C", limits=(("preheat", 100.0),))
    >>> converted(plot, "US").limits
    (('preheat', 212.0),)
    """
    x_unit, y_unit = _shown(plot.x_unit, system), _shown(plot.y_unit, system)

    def x(value: float) -> float:
        return convert(value, plot.x_unit, x_unit)

    def y(value: float) -> float:
        return convert(value, plot.y_unit, y_unit)

    return Plot(
        title=plot.title,
        x_unit=x_unit,
        y_unit=y_unit,
        curves=tuple(
            Curve(c.name, tuple((x(a), y(b)) for a, b in c.points), c.dash) for c in plot.curves
        ),
        window=tuple((x(a), y(b)) for a, b in plot.window),
        limits=tuple((name, y(value)) for name, value in plot.limits),
        bars=tuple((name, x(low), x(high)) for name, low, high in plot.bars),
        dots=tuple((x(a), y(b)) for a, b in plot.dots),
    )


def curve_plot(plot: Plot, system: System = "SI") -> str:
    """Curves, limits and window over one axis, the ranges of the passes as bars below it, as SVG.

    Raises InputError: nothing to draw.

    >>> chart = Plot(title="Cooling", x_unit="kJ/mm", y_unit="s",
    ...     curves=(Curve("thick", ((0.5, 2.0), (1.5, 6.0))),))
    >>> "thick" in curve_plot(chart)
    True
    """
    told = converted(plot, system)
    x, y, ends = _scales(told)
    base, height = _TOP + _DEEP, _TOP + _DEEP + 16 + _BAR * len(told.bars) + 14
    parts = [label((_LEFT, 12), fitted(told.title, WIDTH - _LEFT, 9), anchor="start", bold=True)]
    if told.window:
        parts.append(polygon([(x(a), y(b)) for a, b in told.window], ACCENT_PALE, "none"))
    parts += _axes(told, x, y, ends)
    parts += _limits(told, y)
    for curve in told.curves:
        parts.append(_line(curve, x, y))
    parts += _names(told, y)
    for a, b in told.dots:
        parts.append(tag("circle", cx=x(a), cy=y(b), r=2.4, fill="#ffffff", stroke=INK,
                         stroke_width=1.1))  # fmt: skip
    for row, (name, low, high) in enumerate(told.bars):
        top = base + 15 + _BAR * row
        parts.append(label((_LEFT - 6, top + 7), name, anchor="end", size=7.5))
        parts.append(box((x(low), top + 2), (x(high) - x(low), 5), ACCENT_MID))
    parts.append(label((WIDTH - 2, height - 3), told.x_unit, anchor="end", size=8, colour=SOFT))
    return drawing(WIDTH, height, f"{told.title}, {told.y_unit} over {told.x_unit}", *parts)


Scale = Callable[[float], float]
Ends = tuple[float, float, float, float]


def _scales(plot: Plot) -> tuple[Scale, Scale, Ends]:
    points = [*(p for c in plot.curves for p in c.points), *plot.window, *plot.dots]
    if not points:
        raise InputError("plot", found="no point", expected="a curve, a window or a dot")
    across = [a for a, _ in points] + [end for _, low, high in plot.bars for end in (low, high)]
    up = [b for _, b in points] + [value for _, value in plot.limits]
    left, right = min(across), max(across)
    low, high = min(0.0, *up), max(up)
    left, right = left - 0.06 * (right - left or 1), right + 0.06 * (right - left or 1)
    high += 0.1 * (high - low or 1)
    low -= 0.04 * (high - low) if low < 0 else 0

    def x(value: float) -> float:
        return _LEFT + (value - left) / (right - left) * (WIDTH - _LEFT - _RIGHT)

    def y(value: float) -> float:
        return _TOP + _DEEP - (value - low) / (high - low) * _DEEP

    return x, y, (left, right, low, high)


def _axes(plot: Plot, x: Scale, y: Scale, ends: Ends) -> Iterator[str]:
    left, right, low, high = ends
    for tick in ticks(low, high):
        yield line((_LEFT, y(tick)), (WIDTH - _RIGHT, y(tick)), PALE)
        yield label((_LEFT - 6, y(tick) + 3), f"{tick:g}", anchor="end", size=8, colour=SOFT)
    for tick in ticks(left, right):
        yield line((x(tick), _TOP + _DEEP), (x(tick), _TOP + _DEEP + 3), SOFT)
        yield label((x(tick), _TOP + _DEEP + 12), f"{tick:g}", size=8, colour=SOFT)
    yield line((_LEFT, _TOP + _DEEP), (WIDTH - _RIGHT, _TOP + _DEEP), SOFT)
    yield label((2, 12), plot.y_unit, anchor="start", size=8, colour=SOFT)


def _limits(plot: Plot, y: Scale) -> Iterator[str]:
    for name, value in plot.limits:
        yield line((_LEFT, y(value)), (WIDTH - _RIGHT, y(value)), ACCENT, 1.2)
        yield label((_LEFT + 4, y(value) - 3), name, anchor="start", size=8, colour=ACCENT)


def _line(curve: Curve, x: Scale, y: Scale) -> str:
    path = "M" + " L".join(f"{number(x(a))} {number(y(b))}" for a, b in curve.points)
    extra: dict[str, str | float] = {"stroke_dasharray": curve.dash} if curve.dash else {}
    return tag("path", d=path, fill="none", stroke=INK, stroke_width=1.3, **extra)


def _names(plot: Plot, y: Scale) -> Iterator[str]:
    """Names above the right ends of the curves, pushed apart where they would overlap."""
    taken: list[float] = [y(value) - 3 for _, value in plot.limits]
    for curve in sorted(plot.curves, key=lambda c: -c.points[-1][1]):
        place = y(curve.points[-1][1]) - 4
        while any(abs(place - other) < 9 for other in taken):
            place += 3
        taken.append(place)
        yield label((WIDTH - _RIGHT, place), curve.name, anchor="end", size=8)
