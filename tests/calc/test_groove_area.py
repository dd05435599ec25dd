"""Sections against an independent witness: the width of the joint, integrated over its depth."""

from __future__ import annotations

from collections.abc import Callable
from math import asin, cos, inf, isclose, nan, radians, sin, sqrt, tan

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dossier.calc import groove_area as g
from dossier.errors import InputError

THICKNESSES, GAPS = st.floats(3, 60), st.floats(0, 5)
BEVELS, INCLUDED = st.floats(0, 60), st.floats(0, 120)
SHARES = st.floats(0, 1)


def integrated(width: Callable[[float], float], depth: float, steps: int = 4000) -> float:
    """Midpoint rule."""
    return sum(width((n + 0.5) * depth / steps) for n in range(steps)) * depth / steps


@settings(max_examples=25, deadline=None)
@given(THICKNESSES, GAPS, INCLUDED, SHARES)
def test_single_v(t: float, gap: float, included: float, share: float) -> None:
    face, slope = share * t, tan(radians(included / 2))
    witness = integrated(lambda z: gap + 2 * max(0.0, z - face) * slope, t)
    assert isclose(g.single_v_mm2(t, gap, included, face), witness, rel_tol=1e-3, abs_tol=1e-3)
    assert isclose(g.v_opening_mm(t, gap, included, face), gap + 2 * (t - face) * slope)


@settings(max_examples=25, deadline=None)
@given(THICKNESSES, GAPS, BEVELS, SHARES)
def test_single_bevel(t: float, gap: float, bevel: float, share: float) -> None:
    face, slope = share * t, tan(radians(bevel))
    witness = integrated(lambda z: gap + max(0.0, z - face) * slope, t)
    assert isclose(g.single_bevel_mm2(t, gap, bevel, face), witness, rel_tol=1e-3, abs_tol=1e-3)


@settings(max_examples=25, deadline=None)
@given(THICKNESSES, GAPS, SHARES, SHARES, st.tuples(BEVELS, BEVELS))
def test_compound_v(
    t: float, gap: float, face_share: float, knee_share: float, bevels: tuple[float, float]
) -> None:
    face = face_share * t
    knee = knee_share * (t - face)
    lower, upper = (tan(radians(angle)) for angle in bevels)

    def width(z: float) -> float:
        above = max(0.0, z - face)
        return gap + 2 * (min(above, knee) * lower + max(0.0, above - knee) * upper)

    found = g.compound_v_mm2(t, gap, face, knee, bevels)
    assert isclose(found, integrated(width, t), rel_tol=1e-3, abs_tol=1e-3)


@settings(max_examples=25, deadline=None)
@given(THICKNESSES, GAPS, SHARES, SHARES, st.tuples(INCLUDED, INCLUDED))
def test_double_v(
    t: float, gap: float, face_share: float, first_share: float, included: tuple[float, float]
) -> None:
    face = face_share * t
    first = first_share * (t - face)
    slopes = [tan(radians(angle / 2)) for angle in included]

    def width(z: float) -> float:
        top, bottom = max(0.0, first - z), max(0.0, z - first - face)
        return gap + 2 * (top * slopes[0] + bottom * slopes[1])

    found = g.double_v_mm2(t, gap, face, first, included)
    assert isclose(found, integrated(width, t), rel_tol=1e-3, abs_tol=1e-3)


@settings(max_examples=25, deadline=None)
@given(st.floats(8, 60), st.floats(0.5, 8), st.floats(0, 45))
def test_j_side(depth: float, radius: float, side: float) -> None:
    angle = radians(side)
    tangent_height = radius * (1 - sin(angle))

    def width(z: float) -> float:
        if z < tangent_height:
            return sqrt(radius**2 - (radius - z) ** 2)
        return radius * cos(angle) + (z - tangent_height) * tan(angle)

    found = g.j_side_mm2(depth, radius, side)
    assert isclose(found, integrated(width, depth), rel_tol=1e-3)


@given(st.floats(10, 60), GAPS, st.floats(0, 3), st.floats(1, 6), st.floats(0, 30))
def test_u_is_two_j_sides_and_a_gap(
    t: float, gap: float, face: float, radius: float, side: float
) -> None:
    one = g.j_side_mm2(t - face, radius, side)
    assert isclose(g.u_groove_mm2(t, gap, face, radius, side), gap * t + 2 * one)
    assert isclose(g.j_groove_mm2(t, gap, face, radius, side), gap * t + one)


@given(THICKNESSES, GAPS, SHARES, SHARES, st.floats(0, 60))
def test_the_shapes_reduce_to_one_another(
    t: float, gap: float, face_share: float, share: float, bevel: float
) -> None:
    face = face_share * t
    part = share * (t - face)
    plain = g.single_v_mm2(t, gap, 2 * bevel, face)
    assert isclose(g.compound_v_mm2(t, gap, face, part, (bevel, bevel)), plain)
    assert isclose(g.double_v_mm2(t, gap, face, t - face, (2 * bevel, 2 * bevel)), plain)
    assert isclose(g.single_v_mm2(t, gap, 0.0, face), g.square_groove_mm2(t, gap))
    half = 2 * g.single_bevel_mm2(t, gap, bevel, face) - g.square_groove_mm2(t, gap)
    assert isclose(half, plain)


@given(THICKNESSES, GAPS, INCLUDED, st.floats(0.01, 5))
def test_more_gap_and_thickness_more_metal_more_root_face_less(
    t: float, gap: float, included: float, more: float
) -> None:
    base = g.single_v_mm2(t, gap, included)
    assert g.single_v_mm2(t, gap + more, included) > base
    assert g.single_v_mm2(t + more, gap, included) >= base
    assert g.single_v_mm2(t, gap, included, root_face_mm=min(more, t)) <= base


@given(st.floats(0, 50), st.floats(0, 5))
def test_a_parabola_holds_a_third_more_than_a_triangle(width: float, height: float) -> None:
    parabola, triangle = g.cap_mm2(width, height), g.cap_mm2(width, height, "triangle")
    assert isclose(parabola, triangle * 4 / 3, abs_tol=1e-12)
    witness = integrated(
        lambda x: height * (1 - (2 * x / width - 1) ** 2) if width else 0.0, width, 200
    )
    assert isclose(parabola, witness, rel_tol=1e-3, abs_tol=1e-9)


def test_fillets() -> None:
    assert g.fillet_mm2(10.0) == 50.0
    assert g.fillet_mm2(10.0, 6.0) == 30.0


def test_arc_exactly_as_deep_as_the_groove() -> None:
    assert isclose(g.j_side_mm2(6.0, 6.0, 0.0), 36 * asin(1) / 2)
    with pytest.raises(InputError, match="root_radius_mm"):
        g.j_side_mm2(5.99, 6.0, 0.0)


@pytest.mark.parametrize("bad", [-0.01, nan, inf])
def test_impossible_measures_are_refused(bad: float) -> None:
    for call in (
        lambda: g.square_groove_mm2(bad, 1), lambda: g.square_groove_mm2(10, bad),
        lambda: g.bevel_triangle_mm2(bad, 30), lambda: g.bevel_triangle_mm2(10, bad),
        lambda: g.single_v_mm2(bad, 1, 60), lambda: g.single_v_mm2(10, bad, 60),
        lambda: g.single_v_mm2(10, 1, bad), lambda: g.single_v_mm2(10, 1, 60, bad),
        lambda: g.v_opening_mm(10, bad, 60), lambda: g.v_opening_mm(10, 1, bad),
        lambda: g.compound_v_mm2(10, 1, 1, bad, (30, 10)),
        lambda: g.compound_v_mm2(10, 1, 1, 5, (bad, 10)),
        lambda: g.compound_v_mm2(10, 1, 1, 5, (30, bad)),
        lambda: g.double_v_mm2(10, 1, 1, bad, (60, 60)),
        lambda: g.double_v_mm2(10, 1, 1, 5, (bad, 60)),
        lambda: g.double_v_mm2(10, 1, 1, 5, (60, bad)),
        lambda: g.j_side_mm2(bad, 3, 10), lambda: g.j_side_mm2(10, bad, 10),
        lambda: g.j_side_mm2(10, 3, bad), lambda: g.fillet_mm2(bad), lambda: g.fillet_mm2(6, bad),
        lambda: g.cap_mm2(bad, 1), lambda: g.cap_mm2(10, bad),
    ):  # fmt: skip
        with pytest.raises(InputError):
            call()


def test_limits_of_the_drawing() -> None:
    for call, name in (
        (lambda: g.single_v_mm2(10, 1, 60, 10.01), "root_face_mm"),
        (lambda: g.single_v_mm2(0, 1, 60), "^thickness_mm"),
        (lambda: g.single_v_mm2(10, 1, 179.1), "included_deg"),
        (lambda: g.bevel_triangle_mm2(10, 90.0), "bevel_deg"),
        (lambda: g.compound_v_mm2(10, 1, 1, 9.01, (30, 10)), "lower_height_mm"),
        (lambda: g.double_v_mm2(10, 1, 1, 9.01, (60, 60)), "first_depth_mm"),
        (lambda: g.fillet_mm2(6, 0.0), "other_leg_mm"),
        (lambda: g.fillet_mm2(0.0), "^leg_mm"),
        (lambda: g.cap_mm2(10, 1, "ellipse"), "parabola or triangle"),
    ):
        with pytest.raises(InputError, match=name):
            call()
    assert g.single_v_mm2(10, 1, 60, 10.0) == 10.0
    assert g.single_v_mm2(10, 1, 179.0) > 10_000
    assert g.bevel_triangle_mm2(10, 89.9) > 10_000
    assert g.bevel_triangle_mm2(0.0, 30.0) == 0.0
