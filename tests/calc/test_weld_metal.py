from __future__ import annotations

from math import ceil, inf, isclose, nan, pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dossier.calc import consumables as c
from dossier.calc import weld_metal as w
from dossier.calc.groove_area import cap_mm2, single_v_mm2
from dossier.errors import InputError

POSITIVE = st.floats(0.01, 1e4)


@given(st.floats(50, 1500), st.floats(0.01, 0.49), st.floats(1, 1000), st.floats(2, 9))
def test_girth_weld_mass(od: float, share: float, area: float, density: float) -> None:
    wall = share * od
    length = w.girth_length_m(od, wall)
    assert pi * od / 2000 < length < pi * od / 1000
    mass = w.girth_weld_mass_kg(od, wall, area, density)
    assert isclose(mass, length * 1000 * area * density / 1e6)
    assert isclose(w.mass_kg_m(2 * area), 2 * w.mass_kg_m(area))
    assert isclose(w.girth_weld_mass_kg(od, wall, area), mass * 7.85 / density)


@given(st.floats(4, 50), st.floats(0, 3), st.floats(0, 3))
def test_the_section_of_a_girth_weld_is_groove_and_cap(
    wall: float, height: float, overlap: float
) -> None:
    bevel = w.PipeBevel(cap_height_mm=height, cap_overlap_mm=overlap)
    groove = single_v_mm2(wall, 1.6, 60.0, 1.6)
    opening = 1.6 + 2 * (wall - 1.6) * 3**-0.5
    found = w.girth_v_section_mm2(wall, bevel)
    assert isclose(found, groove + cap_mm2(opening + 2 * overlap, height))


def test_the_usual_bevel() -> None:
    assert w.PipeBevel() == w.PipeBevel(
        root_gap_mm=1.6, root_face_mm=1.6, included_deg=60.0, cap_height_mm=1.6, cap_overlap_mm=1.6
    )
    with pytest.raises(InputError, match="cap_overlap_mm"):
        w.girth_v_section_mm2(10.0, w.PipeBevel(cap_overlap_mm=-1.0))


def test_a_wall_fits_its_pipe() -> None:
    for od, wall in ((100, 50), (100, 60), (100, 0), (0, 1), (nan, 5), (100, nan)):
        with pytest.raises(InputError):
            w.girth_length_m(od, wall)
    assert w.girth_length_m(100.0, 49.9) > 0


@given(POSITIVE, POSITIVE)
def test_runs_cover_the_section_and_one_fewer_would_not(area: float, bead: float) -> None:
    runs = w.runs_estimate(area, bead)
    assert runs >= 1
    assert runs * bead >= area * (1 - 1e-6)
    assert runs == 1 or (runs - 1) * bead < area
    assert abs(runs - ceil(area / bead)) <= 1


def test_a_whole_number_of_beads_needs_no_more() -> None:
    assert w.runs_estimate(0.3, 0.1) == 3
    assert w.runs_estimate(60.0, 20.0) == 3
    assert w.runs_estimate(60.1, 20.0) == 4
    assert w.runs_estimate(1.0, 20.0) == 1


@given(POSITIVE, POSITIVE, st.floats(0.05, 1))
def test_time_and_rate_return_the_mass(mass: float, rate: float, factor: float) -> None:
    arc = w.arc_time_h(mass, rate)
    assert isclose(arc * rate, mass)
    assert w.welding_time_h(arc, factor) >= arc * (1 - 1e-12)
    assert isclose(w.welding_time_h(arc, factor) * factor, arc)
    assert isclose(w.deposition_rate_kg_h(1000 * mass, 3600 * arc), rate)


@given(POSITIVE, st.floats(0.1, 1))
def test_what_is_bought_times_efficiency_is_what_is_welded(mass: float, share: float) -> None:
    bought = c.to_buy_kg(mass, share)
    assert bought >= mass
    assert isclose(c.deposition_efficiency(mass, max(bought, mass)), share)


@given(st.floats(0.1, 0.8), st.floats(300, 450), st.floats(20, 100), st.floats(20, 100))
def test_a_longer_stub_wastes_more_and_the_way_back_returns(
    share: float, length: float, one: float, other: float
) -> None:
    short, long = sorted((one, other))
    worse = c.efficiency_with_stub(share, length, short, long)
    assert worse <= share * (1 + 1e-12)
    assert isclose(c.efficiency_with_stub(worse, length, long, short), share)


@pytest.mark.parametrize("bad", [-1.0, nan, inf])
def test_no_planning_with_what_is_no_figure(bad: float) -> None:
    for call in (
        lambda: w.mass_kg_m(bad), lambda: w.mass_kg_m(1, bad), lambda: w.runs_estimate(bad, 1),
        lambda: w.runs_estimate(1, bad), lambda: w.deposition_rate_kg_h(bad, 1),
        lambda: w.deposition_rate_kg_h(1, bad), lambda: w.arc_time_h(bad, 1),
        lambda: w.arc_time_h(1, bad), lambda: w.welding_time_h(bad, 0.5),
        lambda: w.welding_time_h(1, bad), lambda: c.to_buy_kg(bad, 0.5),
        lambda: c.to_buy_kg(1, bad), lambda: c.deposition_efficiency(bad, 1),
        lambda: c.deposition_efficiency(1, bad), lambda: c.efficiency_with_stub(bad, 350, 50, 100),
        lambda: c.efficiency_with_stub(0.6, bad, 50, 100),
        lambda: c.efficiency_with_stub(0.6, 350, bad, 100),
        lambda: c.efficiency_with_stub(0.6, 350, 50, bad),
    ):  # fmt: skip
        with pytest.raises(InputError):
            call()


def test_shares_end_at_one() -> None:
    assert w.welding_time_h(1.0, 1.0) == 1.0
    assert c.to_buy_kg(1.0, 1.0) == 1.0
    assert c.deposition_efficiency(2.0, 2.0) == 1.0
    assert w.mass_kg_m(0.0) == w.arc_time_h(0.0, 1.0) == c.to_buy_kg(0.0, 0.5) == 0.0
    for call in (
        lambda: w.welding_time_h(1.0, 1.01),
        lambda: w.welding_time_h(1.0, 0.0),
        lambda: c.to_buy_kg(1.0, 1.01),
        lambda: c.to_buy_kg(1.0, 0.0),
        lambda: c.deposition_efficiency(2.01, 2.0),
        lambda: c.efficiency_with_stub(0.9, 350.0, 100.0, 10.0),
        lambda: c.efficiency_with_stub(0.6, 100.0, 100.0, 50.0),
        lambda: c.efficiency_with_stub(0.6, 100.0, 50.0, 100.0),
        lambda: c.efficiency_with_stub(1.01, 350.0, 50.0, 100.0),
    ):
        with pytest.raises(InputError):
            call()


def test_average_efficiencies() -> None:
    shares = [c.average_deposition_efficiency(process) for process in c.DEPOSITION_EFFICIENCY]
    assert shares == [0.99, 0.98, 0.96, 0.93, 0.93, 0.86, 0.78, 0.59, 0.62, 0.66]
    with pytest.raises(InputError, match="SAW, GMAW"):
        c.average_deposition_efficiency("GTAW")


def test_electrodes_per_joint_rise_with_diameter_and_wall() -> None:
    for (_, smaller), (_, larger) in zip(
        list(c.CELLULOSIC_LB.items())[:-1], list(c.CELLULOSIC_LB.items())[1:], strict=True
    ):
        assert smaller[0] < larger[0]
        for wall in set(smaller[1]) & set(larger[1]):
            assert smaller[1][wall] < larger[1][wall]
    for _, walls in c.CELLULOSIC_LB.values():
        assert list(walls.values()) == sorted(walls.values())
    assert c.cellulosic_per_joint(48, "3/4") == c.ElectrodesPerJoint(2.5, 28.3)
    assert c.cellulosic_per_joint(48, "3/4").total_lb == 30.8
    assert c.cellulosic_per_joint(6, "5/16").total_lb == 0.88


def test_electrodes_outside_the_table_are_refused() -> None:
    for diameter, wall, name in (
        (7, "1/2", "nominal_diameter_in"),
        (6, "1/2", "wall_in"),
        (42, "5/16", "wall_in"),
    ):
        with pytest.raises(InputError, match=name):
            c.cellulosic_per_joint(diameter, wall)


def test_the_table_of_electrodes_is_about_twice_the_weld_metal() -> None:
    """Two independent sources: geometry and the handbook."""
    for nominal, (_, walls) in c.CELLULOSIC_LB.items():
        if nominal < 24 or "3/4" not in walls:
            continue
        wall_mm = 0.75 * 25.4
        kg = w.girth_weld_mass_kg(nominal * 25.4, wall_mm, w.girth_v_section_mm2(wall_mm))
        bought_kg = c.cellulosic_per_joint(nominal, "3/4").total_lb * 0.45359237
        assert 0.4 < kg / bought_kg < 0.6
