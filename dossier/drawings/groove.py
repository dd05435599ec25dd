"""The joint preparation to scale, with its dimensions."""

from __future__ import annotations

from dataclasses import dataclass
from math import atan2, cos, pi, radians, sin

from dossier.drawings.fillet import fillet_sketch
from dossier.drawings.shapes import Shape, shape
from dossier.drawings.svg import (
    PALE,
    SOFT,
    Point,
    dimension,
    drawing,
    label,
    line,
    polygon,
    tag,
)
from dossier.drawings.words import middle, show_span
from dossier.records.procedures import Groove
from dossier.units import System, show

WIDTH, HEIGHT = 330.0, 196.0
_SIDE, _TOP, _BOTTOM = 62.0, 44.0, 56.0


@dataclass(frozen=True, slots=True)
class View:
    """How millimetres of the cross-section become user units of the drawing.

    A branch is turned: its left face, the header surface, lies at the bottom.
    """

    scale: float
    centre: float
    base: float
    turned: bool = False

    def __call__(self, x: float, y: float) -> Point:
        """The place in the drawing of a place in the cross-section, in mm."""
        if self.turned:
            return self.centre + y * self.scale, self.base - x * self.scale
        return self.centre + x * self.scale, self.base - y * self.scale


def view_of(section: Shape, turned: bool) -> View:
    """The largest scale at which the section with some parent metal fits the drawing."""
    left, right = section.edges(section.wall_mm)
    across = right - left + 1.7 * section.wall_mm
    if turned:
        scale = (HEIGHT - 74) / (1.75 * section.wall_mm + right - left)
        header = (left - section.wall_mm * 0.5) * scale
        return View(scale, WIDTH / 2 - section.wall_mm * scale * 0.5, HEIGHT - 32 + header, True)
    scale = min((WIDTH - 2 * _SIDE) / across, (HEIGHT - _TOP - _BOTTOM) / section.wall_mm)
    middle_x = (left + right) / 2
    height = section.wall_mm * scale
    base = _TOP + (HEIGHT - _TOP - _BOTTOM + height) / 2
    return View(scale, WIDTH / 2 - middle_x * scale, base)


def members(section: Shape, view: View) -> str:
    """Both members in pale grey, their far ends cut by a broken line."""
    wall = section.wall_mm
    left, right = section.edges(wall)
    low = section.edges(0.0)
    reach = wall * (1.0 if view.turned else 0.85)
    right_x = max(right, low[1]) + reach
    right_part = [*section.right, (right_x, wall), (right_x - wall * 0.06, wall / 2), (right_x, 0)]
    if view.turned:
        header = [(left, -wall * 0.9), (left, wall * 1.6), (left - wall * 0.5, wall * 1.6),
                  (left - wall * 0.5, -wall * 0.9)]  # fmt: skip
        left_part = header
    else:
        left_x = min(left, low[0]) - reach
        left_part = [*section.left, (left_x, wall), (left_x + wall * 0.06, wall / 2), (left_x, 0)]
    return "".join(polygon([view(x, y) for x, y in part], PALE) for part in (left_part, right_part))


def groove_sketch(groove: Groove, wall_mm: float, system: System = "SI") -> str:
    """The joint preparation drawn to scale at one wall thickness in mm, as SVG.

    Ranges are drawn at their middle and lettered in full. Raises InputError as `shape` does.

    >>> groove_sketch(Groove(kind="V", angle_deg=60.0), 10.0).startswith("<svg")
    True
    """
    if groove.kind == "fillet":
        return fillet_sketch(groove, wall_mm, system)
    section = shape(groove, wall_mm)
    view = view_of(section, turned=groove.kind == "branch")
    parts = [
        members(section, view),
        _wall(section, view, system),
        _gap(groove, section, view, system),
    ]
    parts += [_angles(groove, section, view), _land(groove, section, view, system)]
    parts.append(_knee(groove, section, view, system))
    height = HEIGHT + _lower(system)
    for row, words in enumerate(_footer(groove, system)):
        place = (WIDTH / 2, height - 14 + 11 * row)
        parts.append(label(place, words, size=8.5, colour=SOFT))
    title = f"{groove.kind} preparation drawn for a wall of {show(wall_mm, 'mm', system)}"
    return drawing(WIDTH, height, title, *parts)


def _lower(system: System) -> float:
    """How much further down the root face is lettered: two systems of units need a line each."""
    return 11.0 if system == "dual" else 0.0


def _footer(groove: Groove, system: System) -> list[str]:
    words = []
    if groove.radius_mm is not None and groove.kind in ("J", "U"):
        words.append(f"radius {show(groove.radius_mm, 'mm', system)}")
    if groove.hi_lo_max_mm is not None:
        words.append(f"hi-lo up to {show(groove.hi_lo_max_mm, 'mm', system)}")
    if groove.cap_height_max_mm is not None:
        words.append(f"cap up to {show(groove.cap_height_max_mm, 'mm', system)}")
    first = f"{groove.kind} preparation, {groove.sides} sided, backing {groove.backing}"
    return [first, "; ".join(words)] if words else ["", first]


def _wall(section: Shape, view: View, system: System) -> str:
    text = f"t = {show(section.wall_mm, 'mm', system)}"
    if view.turned:
        x = section.edges(section.wall_mm)[1] + section.wall_mm * 0.75
        start, end = view(x, 0), view(x, section.wall_mm)
        return dimension(start, end) + label(((start[0] + end[0]) / 2, start[1] - 12), text)
    far = min(section.edges(section.wall_mm)[0], section.edges(0.0)[0]) - section.wall_mm * 0.85
    start, end = view(far, 0), view(far, section.wall_mm)
    x = start[0] - 8
    ticks = "".join(line((x - 3, y), (start[0] - 1, y)) for y in (start[1], end[1]))
    turn = f"rotate(-90 {x - 5:.2f} {(start[1] + end[1]) / 2:.2f})"
    text_part = tag("g", label((x - 5, (start[1] + end[1]) / 2), text), transform=turn)
    return ticks + dimension((x, start[1]), (x, end[1])) + text_part


def _gap(groove: Groove, section: Shape, view: View, system: System) -> str:
    height = section.split_mm
    left, right = (x for x in section.edges(height))
    words = f"gap {show_span(groove.gap_mm, 'mm', system)}"
    start, end = view(left, height), view(right, height)
    if view.turned:
        x = start[0] - 10
        return (
            dimension((x, start[1]), (x, end[1]))
            + line((x - 2, end[1]), (end[0], end[1]))
            + label((x - 5, (start[1] + end[1]) / 2 + 3), words, anchor="end")
        )
    y = view(0, 0)[1] + 14
    drops = "".join(line((p[0], p[1] + 1), (p[0], y + 3), dash="2 2") for p in (start, end))
    return drops + dimension((start[0], y), (end[0], y)) + label((WIDTH / 2, y + 13), words)


def _arc(apex: Point, radius: float, first: float, last: float) -> str:
    """An arc about `apex` between two directions in radians, counted from the upright."""
    points = [
        (apex[0] + radius * sin(first + (last - first) * i / 20),
         apex[1] - radius * cos(first + (last - first) * i / 20))
        for i in range(21)
    ]  # fmt: skip
    path = "M" + " L".join(f"{x:.2f} {y:.2f}" for x, y in points)
    return tag("path", d=path, fill="none", stroke=SOFT, stroke_width=0.7)


def _angles(groove: Groove, section: Shape, view: View) -> str:
    if groove.angle_deg is None or groove.kind == "square":
        return ""
    wall = section.wall_mm
    left, right = section.edges(wall)
    top_left, top_right = view(left, wall), view(right, wall)
    if groove.kind == "branch":
        at = view(section.right[-1][0], wall)
        words = f"bevel {show(groove.angle_deg, 'deg')}"
        return label((at[0] + 8, at[1] + 4), words, anchor="start")
    shown = groove.upper_angle_deg if groove.kind == "compound V" else groove.angle_deg
    assert shown is not None  # noqa: S101 - shape() has refused a compound bevel without it
    total = radians(shown)
    slopes = (0.0, total) if groove.kind == "J" else (-total / 2, total / 2)
    right_run = 26.0
    extensions = ""
    for point, slope in ((top_left, slopes[0]), (top_right, slopes[1])):
        end = (point[0] + right_run * sin(slope), point[1] - right_run * cos(slope))
        extensions += line(point, end, dash="3 2")
    apex_drop = (top_right[0] - top_left[0]) / max(_spread(slopes), 0.05)
    apex = (top_left[0] - slopes[0] * apex_drop, top_left[1] + apex_drop)
    if groove.kind == "J":
        apex = (top_left[0], top_left[1] + apex_drop)
    reach = ((top_right[0] - apex[0]) ** 2 + (top_right[1] - apex[1]) ** 2) ** 0.5 + 16
    first = atan2(top_left[0] - apex[0], apex[1] - top_left[1])
    last = atan2(top_right[0] - apex[0], apex[1] - top_right[1])
    words = show(shown, "deg")
    middle_x = apex[0] + reach * sin((first + last) / 2)
    middle_y = apex[1] - reach * cos((first + last) / 2)
    return extensions + _arc(apex, reach, first, last) + label((middle_x, middle_y - 4), words)


def _spread(slopes: tuple[float, float]) -> float:
    """How much wider the groove gets for each unit of height."""
    first, last = (min(max(slope, -pi / 2.2), pi / 2.2) for slope in slopes)
    return sin(last) / cos(last) - sin(first) / cos(first)


def _land(groove: Groove, section: Shape, view: View, system: System) -> str:
    land = middle(groove.root_face_mm)
    if not land or groove.kind == "square":
        return ""
    low = section.split_mm - land / 2 if section.split_mm else 0.0
    words = f"root face {show_span(groove.root_face_mm, 'mm', system)}"
    if view.turned:
        start, end = view(section.edges(0)[1], 0), view(section.edges(0)[1], land)
        y = view(section.edges(section.wall_mm)[1] + section.wall_mm * 0.45, 0)[1]
        drops = "".join(line((p[0], p[1]), (p[0], y), dash="2 2") for p in (start, end))
        return (
            drops
            + dimension((start[0], y), (end[0], y))
            + label((start[0] - 16, y + 3), words, anchor="end")
        )
    edge = section.edges(low)[1]
    far = max(section.edges(section.wall_mm)[1], section.edges(0.0)[1]) + section.wall_mm * 0.85
    start, end = view(edge, low), view(edge, low + land)
    x = view(far, 0)[0] + 5
    rules = "".join(line((p[0] + 1, p[1]), (x + 3, p[1]), dash="2 2") for p in (start, end))
    y = view(0, 0)[1] + 27 + _lower(system)
    return rules + dimension((x, start[1]), (x, end[1])) + label((x + 56, y), words, anchor="end")


def _knee(groove: Groove, section: Shape, view: View, system: System) -> str:
    if groove.kind != "compound V" or groove.knee_mm is None:
        return ""
    left = section.edges(groove.knee_mm)[0]
    far = section.edges(section.wall_mm)[0] - section.wall_mm * 0.3
    start, end = view(far, 0), view(far, groove.knee_mm)
    rule = line(view(left, groove.knee_mm), (end[0] - 3, end[1]), dash="2 2")
    words = show(groove.knee_mm, "mm", system)
    lower = f"{show(groove.angle_deg, 'deg')} below the knee"
    right = view(section.edges(groove.knee_mm / 2)[1], groove.knee_mm / 2)
    return (
        rule
        + dimension(start, end)
        + label((start[0] - 6, (start[1] + end[1]) / 2 + 3), words, anchor="end")
        + label((right[0] + 10, right[1] + 3), lower, anchor="start", size=8)
    )
