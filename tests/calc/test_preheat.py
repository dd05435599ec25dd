from __future__ import annotations

from dataclasses import replace
from math import inf, isclose, isfinite, nan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dossier.calc import preheat as p
from dossier.errors import InputError

JOINTS = st.builds(
    p.MethodB,
    cet_pct=st.floats(0.20, 0.50),
    thickness_mm=st.floats(10, 90),
    hydrogen_ml_100g=st.floats(1, 20),
    heat_input_kj_mm=st.floats(0.5, 4),
)
JOINT = p.MethodB(cet_pct=0.3, thickness_mm=40, hydrogen_ml_100g=5, heat_input_kj_mm=1.0)


def degrees(joint: p.MethodB) -> float:
    return p.method_b(joint).preheat_c


@given(JOINTS)
def test_hotter_with_more_carbon_thickness_and_hydrogen_cooler_with_more_heat(
    joint: p.MethodB,
) -> None:
    assert isfinite(degrees(joint))
    for name, sign in (
        ("cet_pct", 1),
        ("thickness_mm", 1),
        ("hydrogen_ml_100g", 1),
        ("heat_input_kj_mm", -1),
    ):
        low, high = p.METHOD_B_LIMITS[name]
        value = getattr(joint, name)
        more = value + (high - low) / 50
        if more <= high:
            assert sign * (degrees(replace(joint, **{name: more})) - degrees(joint)) > 0


@given(JOINTS)
def test_the_older_sheet_differs_by_three_cet_less_two(joint: p.MethodB) -> None:
    sew = p.method_b(joint, constants="SEW 088").preheat_c
    assert isclose(sew - degrees(joint), 3 * joint.cet_pct - 2, abs_tol=1e-9)


@given(JOINTS)
def test_inside_the_limits_there_is_no_fault(joint: p.MethodB) -> None:
    assert p.method_b_faults(joint) == ()


@pytest.mark.parametrize("name", list(p.METHOD_B_LIMITS))
def test_each_limit_is_inside_and_nothing_beyond_it(name: str) -> None:
    low, high = p.METHOD_B_LIMITS[name]
    for inside in (low, high):
        joint = replace(JOINT, **{name: inside})
        assert isfinite(degrees(joint))
        assert p.method_b_faults(joint) == ()
    for outside in (low * 0.999, high * 1.001, nan, inf, -inf):
        joint = replace(JOINT, **{name: outside})
        assert len(p.method_b_faults(joint)) == 1
        assert p.method_b_faults(joint)[0].startswith(f"{name} ")
        with pytest.raises(InputError, match=name):
            p.method_b(joint)


def test_the_limits_themselves() -> None:
    assert p.METHOD_B_LIMITS == {
        "cet_pct": (0.2, 0.5),
        "thickness_mm": (10.0, 90.0),
        "hydrogen_ml_100g": (1.0, 20.0),
        "heat_input_kj_mm": (0.5, 4.0),
    }


def test_other_constants_are_refused() -> None:
    with pytest.raises(InputError, match="EN 1011-2 or SEW 088"):
        p.method_b(JOINT, constants="EN 1011-3")


@given(st.floats(0.1, 0.6), st.floats(0.1, 0.6))
def test_the_design_cet_is_never_under_the_parent_nor_under_the_weld_with_its_margin(
    parent: float, weld: float
) -> None:
    design = p.design_cet_pct(parent, weld)
    assert design >= parent
    assert design >= weld + 0.03
    assert design in (parent, weld + 0.03)


def test_cet_is_a_percentage() -> None:
    assert p.design_cet_pct(0.0, 0.0) == 0.03
    assert p.design_cet_pct(100.0, 0.0) == 100.0
    assert p.design_cet_pct(0.0, 100.0) == 100.03
    for bad in (-0.01, 100.1, nan):
        with pytest.raises(InputError, match="parent_cet_pct"):
            p.design_cet_pct(bad, 0.2)
        with pytest.raises(InputError, match="weld_metal_cet_pct"):
            p.design_cet_pct(0.2, bad)


def test_no_preheat_where_the_workpiece_is_warm_enough() -> None:
    assert p.preheat_to_state_c(20.0, 20.0) is None
    assert p.preheat_to_state_c(20.1, 20.0) == 20.1
    assert p.preheat_to_state_c(-20.0, -40.0) == -20.0
    assert p.preheat_to_state_c(500.0, -60.0) == 500.0
    assert p.preheat_to_state_c(-500.0, 500.0) is None
    for calculated, workpiece in (
        (nan, 20),
        (501, 20),
        (-501, 20),
        (100, nan),
        (100, -61),
        (100, 501),
    ):
        with pytest.raises(InputError):
            p.preheat_to_state_c(calculated, workpiece)


@pytest.mark.parametrize(
    ("ce", "q", "row"),
    [
        (0.49, 1.0, [25, 30, 35, 50, 60]),
        (0.49, 2.0, [50, 55, 65, 100, 100]),
        (0.43, 1.0, [40, 50, 60, 100, 100]),
        (0.43, 2.0, [80, 90, 100, 100, 100]),
        (0.44, 1.9, [25, 30, 35, 50, 60]),
        (0.431, 2.5, [50, 55, 65, 100, 100]),
        (0.30, 1.5, [40, 50, 60, 100, 100]),
    ],
)
def test_the_examples_of_method_a_and_the_stricter_column_between(
    ce: float, q: float, row: list[int]
) -> None:
    assert [p.method_a_thickness_mm(ce, q, h) for h in (16, 12, 7, 4, 3)] == row


def test_outside_the_examples_of_method_a() -> None:
    for ce, q, name in (
        (0.491, 2.0, "ce_iiw_pct"),
        (0.491, 0.5, "ce_iiw_pct"),
        (0.43, 0.99, "heat_input_kj_mm"),
        (0.0, 1.0, "ce_iiw_pct"),
        (0.4, 0.0, "heat_input_kj_mm"),
        (nan, 1.0, "ce_iiw_pct"),
        (0.4, inf, "heat_input_kj_mm"),
    ):
        with pytest.raises(InputError, match=name):
            p.method_a_thickness_mm(ce, q, 5.0)


@given(st.floats(1, 200), st.floats(1, 200))
def test_combined_thickness(through: float, other: float) -> None:
    butt = p.combined_thickness_mm("butt", through, other)
    tee = p.combined_thickness_mm("T fillet", through, other)
    assert isclose(tee - butt, through)
    assert isclose(2 * p.combined_thickness_mm("twin fillet", through, other), tee)


def test_combined_thickness_refuses() -> None:
    with pytest.raises(InputError, match="joint"):
        p.combined_thickness_mm("lap", 10, 10)
    with pytest.raises(InputError, match="t1_mm"):
        p.combined_thickness_mm("butt", 0, 10)
    with pytest.raises(InputError, match="t2_mm"):
        p.combined_thickness_mm("butt", 10, 0)


@pytest.mark.parametrize(
    ("thickness", "distance"), [(1, 4), (12, 48), (12.5, 50), (13, 50), (50, 50), (50.01, 75)]
)
def test_where_to_measure(thickness: float, distance: float) -> None:
    assert p.measuring_distance_mm(thickness) == distance
    with pytest.raises(InputError, match="thickness_mm"):
        p.measuring_distance_mm(-thickness)


@pytest.mark.parametrize(
    ("index", "group"),
    [(2.0, "A"), (3.0, "A"), (3.01, "B"), (3.5, "B"), (3.51, "C"), (4.0, "C"), (4.36, "D"),
     (4.5, "D"), (4.51, "E"), (5.0, "E"), (5.01, "F"), (5.5, "F"), (5.51, "G"), (7.0, "G")],
)  # fmt: skip
def test_susceptibility_groups(index: float, group: str) -> None:
    pcm = (index - 1) / 12 - 1e-12
    assert isclose(p.susceptibility_index(pcm, 10.0), index)
    assert p.susceptibility_group(pcm, 10.0) == group


def test_an_index_beyond_the_groups_is_refused() -> None:
    with pytest.raises(InputError, match=r"7\.0"):
        p.susceptibility_group(0.51, 10.0)
    for pcm, hydrogen in ((0.0, 5.0), (0.2, 0.0), (nan, 5.0), (0.2, nan)):
        with pytest.raises(InputError):
            p.susceptibility_group(pcm, hydrogen)
