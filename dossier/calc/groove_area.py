"""Cross-section of the weld metal that fills a joint, in mm2 (which is also cm3 per metre).

Plain geometry of the preparation as drawn: shrinkage across the joint makes the real section
somewhat smaller, misalignment and an uneven gap make it larger. Areas add up: a groove, plus a
cap, plus a root bead. Angles in degrees; an *included* angle is between the two faces, a
*bevel* angle between one face and the perpendicular.
"""

from __future__ import annotations

from math import cos, pi, radians, sin, tan

from dossier.calc.guards import not_negative, positive, within
from dossier.errors import InputError


def _slope(name: str, angle_deg: float) -> float:
    """Tangent of a bevel angle, which must lie from 0 to under 90 degrees."""
    if not 0 <= angle_deg < 90:
        raise InputError(name, found=angle_deg, expected="from 0° to under 90°")
    return tan(radians(angle_deg))


def _half_slope(name: str, included_deg: float) -> float:
    return _slope(name, within(name, included_deg, 0.0, 179.0) / 2)


def _depth(thickness_mm: float, root_face_mm: float) -> float:
    """Depth of the bevelled part: what the root face leaves of the thickness."""
    thickness = positive("thickness_mm", thickness_mm)
    return thickness - within("root_face_mm", root_face_mm, 0.0, thickness)


def square_groove_mm2(thickness_mm: float, root_gap_mm: float) -> float:
    """Square groove: g t. Raises InputError: no thickness, a negative gap.
    Source: plane geometry.

    >>> square_groove_mm2(6.0, 2.0)
    12.0
    """
    return positive("thickness_mm", thickness_mm) * not_negative("root_gap_mm", root_gap_mm)


def bevel_triangle_mm2(depth_mm: float, bevel_deg: float) -> float:
    """One bevelled side, a right triangle: d^2 tan(b) / 2.

    Raises InputError: a negative depth, an angle outside 0 to under 90 degrees.
    Source: plane geometry.

    >>> round(bevel_triangle_mm2(12.7, 30.0), 3)
    46.56
    """
    return not_negative("depth_mm", depth_mm) ** 2 * _slope("bevel_deg", bevel_deg) / 2


def single_v_mm2(
    thickness_mm: float, root_gap_mm: float, included_deg: float, root_face_mm: float = 0.0
) -> float:
    """Single-V groove: g t + (t - f)^2 tan(included/2).

    Raises InputError: no thickness, a negative gap, a root face over the thickness, an included
    angle outside 0 to 179 degrees.
    Source: plane geometry.

    >>> round(single_v_mm2(15.9, 1.6, 60.0, root_face_mm=1.6), 3)
    143.502
    """
    depth = _depth(thickness_mm, root_face_mm)
    sides = depth**2 * _half_slope("included_deg", included_deg)
    return square_groove_mm2(thickness_mm, root_gap_mm) + sides


def single_bevel_mm2(
    thickness_mm: float, root_gap_mm: float, bevel_deg: float, root_face_mm: float = 0.0
) -> float:
    """Single-bevel groove, one side square: g t + (t - f)^2 tan(b) / 2. Errors as `single_v_mm2`.
    Source: plane geometry.

    >>> round(single_bevel_mm2(12.0, 2.0, 45.0, root_face_mm=2.0), 3)
    74.0
    """
    side = bevel_triangle_mm2(_depth(thickness_mm, root_face_mm), bevel_deg)
    return square_groove_mm2(thickness_mm, root_gap_mm) + side


def compound_v_mm2(
    thickness_mm: float,
    root_gap_mm: float,
    root_face_mm: float,
    lower_height_mm: float,
    bevels_deg: tuple[float, float],
) -> float:
    """Compound-bevel groove: steep above a wider lower part, both sides alike.

    `lower_height_mm` is measured from the top of the root face; `bevels_deg` are the lower and
    the upper bevel angle, each from the perpendicular.
    Formula: g t + h^2 tan a1 + 2 h tan a1 (H - h) + (H - h)^2 tan a2, with H = t - f
    Raises InputError as `single_v_mm2`, and a lower height over H.
    Source: plane geometry.

    >>> round(compound_v_mm2(25.4, 2.4, 1.6, 17.4, (30.0, 10.0)), 3)
    371.568
    """
    depth = _depth(thickness_mm, root_face_mm)
    lower = within("lower_height_mm", lower_height_mm, 0.0, depth)
    lower_slope, upper_slope = (_slope("bevels_deg", angle) for angle in bevels_deg)
    upper = depth - lower
    sides = lower**2 * lower_slope + 2 * lower * lower_slope * upper + upper**2 * upper_slope
    return square_groove_mm2(thickness_mm, root_gap_mm) + sides


def double_v_mm2(
    thickness_mm: float,
    root_gap_mm: float,
    root_face_mm: float,
    first_depth_mm: float,
    included_deg: tuple[float, float],
) -> float:
    """Double-V (X) groove; the second depth is what root face and first depth leave.

    Formula: g t + d1^2 tan(i1/2) + d2^2 tan(i2/2), with d1 + d2 = t - f
    Raises InputError as `single_v_mm2`, and a first depth over t - f.
    Source: plane geometry.

    >>> round(double_v_mm2(30.0, 2.0, 2.0, 18.0, (60.0, 60.0)), 3)
    304.797
    """
    depth = _depth(thickness_mm, root_face_mm)
    first = within("first_depth_mm", first_depth_mm, 0.0, depth)
    slopes = [_half_slope("included_deg", angle) for angle in included_deg]
    sides = first**2 * slopes[0] + (depth - first) ** 2 * slopes[1]
    return square_groove_mm2(thickness_mm, root_gap_mm) + sides


def j_side_mm2(depth_mm: float, root_radius_mm: float, side_deg: float) -> float:
    """One side of a J or U groove, above the root face: an arc at the root, then a straight face.

    The arc starts at the top of the root face, level, and runs into the face without a kink; no
    land lies between. `depth_mm` is t - f.
    Formula: r^2 [(pi/2 - a) - sin a cos a]/2 + r cos a h + h^2 tan a/2,
    with h = depth - r (1 - sin a)
    Raises InputError: a radius whose arc is deeper than the groove, an angle outside 0 to under
    90 degrees.
    Source: plane geometry.

    >>> round(j_side_mm2(28.0, 6.0, 10.0), 3)
    205.014
    """
    depth, radius = positive("depth_mm", depth_mm), positive("root_radius_mm", root_radius_mm)
    slope, angle = _slope("side_deg", side_deg), radians(side_deg)
    straight = depth - radius * (1 - sin(angle))
    if straight < 0:
        raise InputError(
            "root_radius_mm", found=root_radius_mm, expected="an arc no deeper than the groove"
        )
    arc = radius**2 * ((pi / 2 - angle) - sin(angle) * cos(angle)) / 2
    return arc + radius * cos(angle) * straight + straight**2 * slope / 2


def u_groove_mm2(
    thickness_mm: float,
    root_gap_mm: float,
    root_face_mm: float,
    root_radius_mm: float,
    side_deg: float,
) -> float:
    """U groove: g t + two J sides. Errors as `j_side_mm2` and `single_v_mm2`.
    Source: plane geometry.

    >>> round(u_groove_mm2(30.0, 2.0, 2.0, 6.0, 10.0), 3)
    470.028
    """
    side = j_side_mm2(_depth(thickness_mm, root_face_mm), root_radius_mm, side_deg)
    return square_groove_mm2(thickness_mm, root_gap_mm) + 2 * side


def j_groove_mm2(
    thickness_mm: float,
    root_gap_mm: float,
    root_face_mm: float,
    root_radius_mm: float,
    side_deg: float,
) -> float:
    """J groove, one side square: g t + one J side. Errors as `u_groove_mm2`.
    Source: plane geometry.

    >>> round(j_groove_mm2(30.0, 2.0, 2.0, 6.0, 10.0), 3)
    265.014
    """
    side = j_side_mm2(_depth(thickness_mm, root_face_mm), root_radius_mm, side_deg)
    return square_groove_mm2(thickness_mm, root_gap_mm) + side


def fillet_mm2(leg_mm: float, other_leg_mm: float | None = None) -> float:
    """Flat-faced fillet: half the product of its legs. Raises InputError: a leg not over 0.
    Source: plane geometry.

    >>> fillet_mm2(6.0), fillet_mm2(6.0, 10.0)
    (18.0, 30.0)
    """
    leg = positive("leg_mm", leg_mm)
    return leg * positive("other_leg_mm", leg if other_leg_mm is None else other_leg_mm) / 2


def v_opening_mm(
    thickness_mm: float, root_gap_mm: float, included_deg: float, root_face_mm: float = 0.0
) -> float:
    """Width of a single-V groove at the top: g + 2 (t - f) tan(included/2).

    Errors as `single_v_mm2`.
    Source: plane geometry.

    >>> round(v_opening_mm(20.0, 3.0, 60.0), 3)
    26.094
    """
    depth = _depth(thickness_mm, root_face_mm)
    slope = _half_slope("included_deg", included_deg)
    return not_negative("root_gap_mm", root_gap_mm) + 2 * depth * slope


CAP_SHAPES = {"parabola": 2 / 3, "triangle": 1 / 2}


def cap_mm2(width_mm: float, height_mm: float, shape: str = "parabola") -> float:
    """Section of the excess weld metal (cap or root): 2/3 w h as a parabola, w h/2 as a triangle.

    Say which shape is used: the parabola holds a third more.
    Raises InputError: a negative measure, another shape.
    Source: plane geometry.

    >>> round(cap_mm2(18.0, 1.6), 3), cap_mm2(18.0, 1.6, "triangle")
    (19.2, 14.4)
    """
    if shape not in CAP_SHAPES:
        raise InputError("shape", found=repr(shape), expected="parabola or triangle")
    section = not_negative("width_mm", width_mm) * not_negative("height_mm", height_mm)
    return section * CAP_SHAPES[shape]
