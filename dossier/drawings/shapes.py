"""Cross-sections of joint preparations in millimetres, before they become a drawing.

x runs across the joint with 0 in the middle of the gap, y from the inside surface (0) to the
outside (the wall). A face is a polyline from the inside up; `Shape.edges` answers how wide the
groove is at a height, which is all that the run sequence needs to know.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import cos, radians, sin, tan

from dossier.drawings.svg import Point
from dossier.drawings.words import middle
from dossier.errors import InputError
from dossier.records.procedures import Groove

Face = tuple[Point, ...]


@dataclass(frozen=True, slots=True)
class Shape:
    """Both faces of a groove from the inside up; `split_mm` is where an X groove turns."""

    left: Face
    right: Face
    wall_mm: float
    split_mm: float = 0.0

    def edges(self, height_mm: float) -> tuple[float, float]:
        """x of the left and right face at a height; beyond the wall, of its surface."""
        y = min(max(height_mm, 0.0), self.wall_mm)
        return _x_at(self.left, y), _x_at(self.right, y)


def _x_at(face: Face, y: float) -> float:
    for (x1, y1), (x2, y2) in pairwise(face):
        if y1 <= y <= y2 and y2 > y1:
            return x1 + (x2 - x1) * (y - y1) / (y2 - y1)
    return face[-1][0]


def _need(value: float | None, name: str) -> float:
    if value is None:
        raise InputError(name, found="not recorded", expected="a dimension to draw the joint from")
    return value


def _mirror(face: Face) -> Face:
    return tuple((-x, y) for x, y in face)


def _bevel(groove: Groove, wall: float, foot: Point) -> Face:
    """A straight or compound bevel from `foot` to the surface."""
    x, y = foot
    points = [foot]
    lower = tan(radians(_need(groove.angle_deg, "angle_deg") / 2))
    if groove.kind == "compound V":
        knee = _need(groove.knee_mm, "knee_mm")
        if not y < knee < wall:
            raise InputError("knee_mm", found=knee, expected=f"between {y} and the wall {wall} mm")
        x += (knee - y) * lower
        points.append((x, knee))
        lower = tan(radians(_need(groove.upper_angle_deg, "upper_angle_deg") / 2))
        y = knee
    points.append((x + (wall - y) * lower, wall))
    return tuple(points)


def _rounded(groove: Groove, wall: float, foot: Point) -> Face:
    """A J or U face: root land, quarter round up to the tangent, then the bevel."""
    radius = _need(groove.radius_mm, "radius_mm")
    half = radians(_need(groove.angle_deg, "angle_deg") / (1 if groove.kind == "J" else 2))
    x, y = foot
    reach = radians(90) - half
    arc = [(x + radius * sin(reach * i / 8), y + radius * (1 - cos(reach * i / 8)))
           for i in range(9)]  # fmt: skip
    end_x, end_y = arc[-1]
    if end_y > wall:
        raise InputError(
            "radius_mm", found=radius, expected=f"a radius that fits {wall} mm of wall"
        )
    return (*arc, (end_x + (wall - end_y) * tan(half), wall))


def shape(groove: Groove, wall_mm: float) -> Shape:
    """The cross-section of a butt or branch preparation at one wall thickness, in mm.

    Ranges are drawn at their middle. A branch is the branch wall with its bevel against the
    header surface (the straight left face). Raises InputError: a dimension that the kind of
    groove needs is not recorded or does not fit the wall; a kind without faces ("fillet").

    >>> groove = Groove(kind="V", angle_deg=60.0)
    >>> [round(x, 2) for x in shape(groove, 10.0).edges(10.0)]
    [-5.77, 5.77]
    """
    if not wall_mm > 0:
        raise InputError("wall_mm", found=wall_mm, expected="more than 0 mm")
    gap = middle(groove.gap_mm) or 0.0
    land = min(middle(groove.root_face_mm) or 0.0, wall_mm)
    straight = ((gap / 2, 0.0), (gap / 2, wall_mm))
    foot = (gap / 2, land)
    if groove.kind == "square":
        return Shape(_mirror(straight), straight, wall_mm)
    if groove.kind == "X":
        return _double(groove, wall_mm, gap, land)
    if groove.kind in ("V", "compound V"):
        right = (straight[0], *_bevel(groove, wall_mm, foot))
        return Shape(_mirror(right), right, wall_mm)
    if groove.kind in ("J", "U"):
        right = (straight[0], *_rounded(groove, wall_mm, foot))
        return Shape(_mirror(straight if groove.kind == "J" else right), right, wall_mm)
    if groove.kind == "branch":
        slope = tan(radians(_need(groove.angle_deg, "angle_deg")))
        right = (straight[0], foot, (gap / 2 + (wall_mm - land) * slope, wall_mm))
        return Shape(_mirror(straight), right, wall_mm)
    raise InputError("kind", found=groove.kind, expected="a groove with two faces")


def _double(groove: Groove, wall: float, gap: float, land: float) -> Shape:
    """An X groove: the land in mid-wall, the same bevel to both surfaces."""
    middle_mm = wall / 2
    rise = (wall - land) / 2
    out = gap / 2 + rise * tan(radians(_need(groove.angle_deg, "angle_deg") / 2))
    right = ((out, 0.0), (gap / 2, rise), (gap / 2, rise + land), (out, wall))
    return Shape(_mirror(right), right, wall, middle_mm)
