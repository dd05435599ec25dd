from __future__ import annotations

from math import inf, isclose, nan

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from dossier.calc import cooling_time as ct
from dossier.errors import InputError

HEATS, PREHEATS = st.floats(0.2, 6), st.floats(-20, 350)
THICKNESSES, FACTORS = st.floats(2, 100), st.floats(0.45, 1)
SHAPES = st.builds(ct.Shape, FACTORS, FACTORS)
JOINTS = (HEATS, PREHEATS, THICKNESSES, SHAPES)


@given(*JOINTS)
def test_the_governing_time_is_the_longer_of_the_two(
    q: float, t0: float, d: float, shape: ct.Shape
) -> None:
    three = ct.t85_three_dimensional_s(q, t0, shape)
    two = ct.t85_two_dimensional_s(q, t0, d, shape)
    found = ct.cooling_time(q, t0, d, shape)
    assert isclose(found.t85_s, max(two, three))
    assert found.flow == ("3d" if d >= found.transition_mm else "2d")


@given(HEATS, PREHEATS, SHAPES)
def test_at_the_transition_thickness_both_flows_agree(q: float, t0: float, shape: ct.Shape) -> None:
    d = ct.transition_thickness_mm(q, t0, shape)
    two = ct.t85_two_dimensional_s(q, t0, d, shape)
    assert isclose(two, ct.t85_three_dimensional_s(q, t0, shape))
    assert ct.cooling_time(q, t0, d, shape).flow == "3d"


@given(HEATS, PREHEATS)
def test_the_standards_own_transition_formula(q: float, t0: float) -> None:
    bracket = 1 / (500 - t0) + 1 / (800 - t0)
    squared = (4300 - 4.3 * t0) / (6700 - 5 * t0) * 1e5 * q * bracket
    assert isclose(ct.transition_thickness_mm(q, t0), squared**0.5)


@given(*JOINTS, st.floats(1.01, 2))
def test_slower_with_more_heat_and_preheat_and_never_slower_with_more_plate(
    q: float, t0: float, d: float, shape: ct.Shape, factor: float
) -> None:
    base = ct.cooling_time(q, t0, d, shape).t85_s
    assert ct.cooling_time(q * factor, t0, d, shape).t85_s > base
    assert ct.cooling_time(q, t0 + 10, d, shape).t85_s > base
    assert ct.cooling_time(q, t0, d * factor, shape).t85_s <= base * (1 + 1e-12)


@given(*JOINTS)
def test_the_inverses_return(q: float, t0: float, d: float, shape: ct.Shape) -> None:
    three = ct.t85_three_dimensional_s(q, t0, shape)
    two = ct.t85_two_dimensional_s(q, t0, d, shape)
    assert isclose(ct.heat_input_for_3d_kj_mm(three, t0, shape), q)
    assert isclose(ct.heat_input_for_2d_kj_mm(two, t0, d, shape), q)
    assert isclose(ct.heat_input_for_kj_mm(ct.cooling_time(q, t0, d, shape).t85_s, t0, d, shape), q)


@given(st.floats(4, 15), st.floats(1.2, 4), PREHEATS, st.floats(0, 100), THICKNESSES, SHAPES)
def test_every_corner_of_the_window_keeps_the_cooling_time(
    shortest: float, spread: float, cold: float, rise: float, d: float, shape: ct.Shape
) -> None:
    hot, longest = cold + rise, shortest * spread
    try:
        window = ct.heat_input_window_kj_mm((shortest, longest), (cold, hot), d, shape)
    except InputError:
        assume(False)
    for q in window:
        for t0 in (cold, hot):
            t85 = ct.cooling_time(q, t0, d, shape).t85_s
            assert shortest * (1 - 1e-9) <= t85 <= longest * (1 + 1e-9)


def test_a_window_that_no_heat_input_serves_is_refused() -> None:
    with pytest.raises(InputError, match="one heat input can hold"):
        ct.heat_input_window_kj_mm((10.0, 10.5), (20.0, 250.0), 20.0)
    point = ct.heat_input_window_kj_mm((10.0, 10.0), (20.0, 20.0), 20.0)
    assert point[0] == point[1]


@pytest.mark.parametrize(
    ("times", "preheats", "name"),
    [((20.0, 8.0), (20.0, 100.0), "t85_range_s"), ((8.0, 20.0), (100.0, 20.0), "preheat_range_c"),
     ((nan, 20.0), (20.0, 100.0), "t85_range_s"), ((8.0, 20.0), (20.0, nan), "preheat_range_c")],
)  # fmt: skip
def test_a_range_runs_from_low_to_high(
    times: tuple[float, float], preheats: tuple[float, float], name: str
) -> None:
    with pytest.raises(InputError, match=f"{name}.*lower end first"):
        ct.heat_input_window_kj_mm(times, preheats, 20.0)


@pytest.mark.parametrize("preheat", [500.0, 600.0, 900.0, -50.1, nan, inf])
def test_outside_the_temperatures_of_the_formula(preheat: float) -> None:
    for call in (
        lambda: ct.t85_three_dimensional_s(1, preheat),
        lambda: ct.t85_two_dimensional_s(1, preheat, 10),
        lambda: ct.transition_thickness_mm(1, preheat),
        lambda: ct.heat_input_for_3d_kj_mm(10, preheat),
        lambda: ct.heat_input_for_2d_kj_mm(10, preheat, 10),
    ):
        with pytest.raises(InputError, match="preheat_c"):
            call()


def test_the_ends_of_the_temperature_range_are_computed() -> None:
    assert ct.t85_three_dimensional_s(1.0, -50.0) > 0
    assert ct.t85_three_dimensional_s(1.0, 499.0) > 1000


@pytest.mark.parametrize("bad", [0.0, -1.0, nan, inf])
def test_no_heat_no_plate_no_time(bad: float) -> None:
    for call in (
        lambda: ct.t85_three_dimensional_s(bad, 20),
        lambda: ct.t85_two_dimensional_s(bad, 20, 10),
        lambda: ct.t85_two_dimensional_s(1, 20, bad),
        lambda: ct.transition_thickness_mm(bad, 20),
        lambda: ct.cooling_time(1, 20, bad),
        lambda: ct.heat_input_for_3d_kj_mm(bad, 20),
        lambda: ct.heat_input_for_2d_kj_mm(bad, 20, 10),
        lambda: ct.heat_input_for_2d_kj_mm(10, 20, bad),
    ):
        with pytest.raises(InputError):
            call()


def test_shape_factors() -> None:
    pairs = {
        name: ((low.f2, low.f3), (high.f2, high.f3)) for name, (low, high) in ct.SHAPES.items()
    }
    assert pairs == {
        "run on plate": ((1.0, 1.0), (1.0, 1.0)),
        "butt, between runs": ((0.9, 0.9), (0.9, 0.9)),
        "single-run fillet, corner": ((0.67, 0.67), (0.9, 0.67)),
        "single-run fillet, T-joint": ((0.45, 0.67), (0.67, 0.67)),
    }
    for bad in ((0.0, 1.0), (1.0, 0.0), (1.1, 1.0), (1.0, 1.1), (nan, 1.0)):
        with pytest.raises(InputError):
            ct.Shape(*bad)
