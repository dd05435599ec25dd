"""Pipe: stresses, factors, water, sizes and grades."""

from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dossier.calc import pipe, pipe_grades, pipe_sizes, pressure_test
from dossier.errors import InputError

pipes = st.floats(20.0, 1500.0).flatmap(
    lambda od: st.tuples(st.just(od), st.floats(0.5, od * 0.45))
)


@given(pipes, st.floats(0.1, 60.0))
def test_barlow_three_ways(size: tuple[float, float], pressure: float) -> None:
    diameter, wall = size
    stress = pipe.hoop_stress_mpa(pressure, diameter, wall)
    assert pipe.wall_for_stress_mm(pressure, diameter, stress) == pytest.approx(wall)
    assert pipe.pressure_for_stress_mpa(stress, diameter, wall) == pytest.approx(pressure)


def test_barlow_figures() -> None:
    assert pipe.hoop_stress_mpa(10.0, 600.0, 12.0) == 250.0
    assert pipe.hoop_stress_mpa(0.0, 600.0, 12.0) == 0.0
    assert pipe.wall_for_stress_mm(10.0, 600.0, 250.0) == 12.0
    assert pipe.percent_smys(180.0, 240.0) == 75.0


@given(pipes, st.floats(0.1, 1.0), st.floats(0.1, 1.0), st.floats(0.1, 1.0))
def test_factors_only_lower_the_design_pressure(
    size: tuple[float, float], f: float, e: float, t: float
) -> None:
    whole = pipe.design_pressure_mpa(400.0, *size, 1.0)
    assert whole == pytest.approx(pipe.pressure_for_stress_mpa(400.0, *size))
    assert pipe.design_pressure_mpa(400.0, *size, f, e, t) == pytest.approx(whole * f * e * t)


@pytest.mark.parametrize(
    ("smys", "diameter", "fraction"),
    [
        (245.0, 1000.0, 0.60),
        (246.0, 1000.0, 0.90),
        (290.0, 141.3, 0.60),
        (290.0, 141.4, 0.75),
        (290.0, 219.1, 0.75),
        (290.0, 219.2, 0.85),
        (290.0, 507.9, 0.85),
        (290.0, 508.0, 0.90),
    ],
)
def test_mill_test_fraction_at_every_step(smys: float, diameter: float, fraction: float) -> None:
    assert pipe.mill_test_fraction(smys, diameter) == fraction


def test_mill_test_pressure_and_mass() -> None:
    assert pipe.mill_test_pressure_mpa(400.0, 500.0, 10.0, 0.5) == pytest.approx(8.0)
    assert pipe.plain_end_mass_kg_m(100.0, 10.0) == pytest.approx(22.19535)
    assert pipe.plain_end_mass_lb_ft(4.0, 0.5) == pytest.approx(18.69035)
    assert pipe.cover_m(2.0, 0.5, 1.5) == 0.0
    assert pipe.cover_m(3.0, 0.0, 1.0) == 2.0


@pytest.mark.parametrize(
    ("name", "call"),
    [
        ("pressure_mpa", lambda: pipe.hoop_stress_mpa(-1.0, 10.0, 1.0)),
        ("wall_mm", lambda: pipe.hoop_stress_mpa(1.0, 10.0, 5.0)),
        ("wall_mm", lambda: pipe.hoop_stress_mpa(1.0, 10.0, 0.0)),
        ("outside_diameter_mm", lambda: pipe.hoop_stress_mpa(1.0, 0.0, 1.0)),
        ("stress_mpa", lambda: pipe.percent_smys(-1.0, 1.0)),
        ("smys_mpa", lambda: pipe.percent_smys(1.0, 0.0)),
        ("pressure_mpa", lambda: pipe.wall_for_stress_mm(0.0, 1.0, 1.0)),
        ("outside_diameter_mm", lambda: pipe.wall_for_stress_mm(1.0, 0.0, 1.0)),
        ("stress_mpa", lambda: pipe.wall_for_stress_mm(1.0, 1.0, 0.0)),
        ("stress_mpa", lambda: pipe.pressure_for_stress_mpa(0.0, 10.0, 1.0)),
        ("wall_mm", lambda: pipe.pressure_for_stress_mpa(1.0, 10.0, 5.0)),
        ("design_factor", lambda: pipe.design_pressure_mpa(1.0, 10.0, 1.0, 0.0)),
        ("design_factor", lambda: pipe.design_pressure_mpa(1.0, 10.0, 1.0, 1.1)),
        ("joint_factor", lambda: pipe.design_pressure_mpa(1.0, 10.0, 1.0, 0.5, 1.1)),
        ("temperature_factor", lambda: pipe.design_pressure_mpa(1.0, 10.0, 1.0, 0.5, 1.0, 2.0)),
        ("grade_smys_mpa", lambda: pipe.mill_test_fraction(0.0, 10.0)),
        ("outside_diameter_mm", lambda: pipe.mill_test_fraction(1.0, 0.0)),
        ("stress_fraction", lambda: pipe.mill_test_pressure_mpa(1.0, 10.0, 1.0, 1.1)),
        ("smys_mpa", lambda: pipe.mill_test_pressure_mpa(0.0, 10.0, 1.0, 0.9)),
        ("wall_mm", lambda: pipe.plain_end_mass_kg_m(10.0, 5.0)),
        ("wall_in", lambda: pipe.plain_end_mass_lb_ft(10.0, 5.0)),
        ("outside_diameter_in", lambda: pipe.plain_end_mass_lb_ft(0.0, 5.0)),
        ("ditch_depth_m", lambda: pipe.cover_m(1.0, 0.5, 0.6)),
        ("ditch_depth_m", lambda: pipe.cover_m(0.0, 0.5, 0.6)),
        ("bedding_m", lambda: pipe.cover_m(1.0, -0.5, 0.6)),
        ("outside_diameter_m", lambda: pipe.cover_m(1.0, 0.5, 0.0)),
        ("wall_mm", lambda: pressure_test.fill_volume_m3(10.0, 5.0, 1.0)),
        ("wall_mm", lambda: pressure_test.fill_volume_m3(10.0, 0.0, 1.0)),
        ("wall_mm", lambda: pressure_test.fill_volume_m3(10.0, -1.0, 1.0)),
        ("length_m", lambda: pressure_test.fill_volume_m3(10.0, 1.0, 0.0)),
        ("outside_diameter_mm", lambda: pressure_test.fill_volume_m3(0.0, 1.0, 1.0)),
        ("pressure_mpa", lambda: pressure_test.water_compression_factor(70.1)),
        ("pressure_mpa", lambda: pressure_test.water_compression_factor(-0.1)),
        ("pressure_mpa", lambda: pressure_test.pipe_expansion_factor(70.1, 10.0, 1.0, 10.0)),
        ("temperature_c", lambda: pressure_test.pipe_expansion_factor(1.0, 10.0, 1.0, -0.1)),
        ("temperature_c", lambda: pressure_test.pipe_expansion_factor(1.0, 10.0, 1.0, 100.1)),
        ("temperature_c", lambda: pressure_test.water_temperature_factor(-0.1, 1.0)),
        ("temperature_c", lambda: pressure_test.water_temperature_factor(100.1, 1.0)),
        ("water_factor", lambda: pressure_test.water_temperature_factor(10.0, 0.0)),
        ("fill_m3", lambda: pressure_test.water_at_pressure(0.0, 1.0, 1.0)),
        ("compression_factor", lambda: pressure_test.water_at_pressure(1.0, 0.0, 1.0)),
        ("expansion_factor", lambda: pressure_test.water_at_pressure(1.0, 1.0, 0.0)),
        ("temperature_factor", lambda: pressure_test.water_at_pressure(1.0, 1.0, 1.0, 0.0)),
        ("height_m", lambda: pressure_test.head_pressure_mpa(-1.0)),
        ("density_kg_m3", lambda: pressure_test.head_pressure_mpa(1.0, 0.0)),
        ("nps", lambda: pipe_sizes.pipe_size("7", "40")),
        ("schedule", lambda: pipe_sizes.pipe_size("2", "30")),
        ("grade", lambda: pipe_grades.psl_2_tensile_limits("X53")),
    ],
)
def test_refused(name: str, call: Callable[[], object]) -> None:
    with pytest.raises(InputError) as refused:
        call()
    assert refused.value.name == name


def test_water_of_a_section() -> None:
    assert pressure_test.fill_volume_m3(220.0, 10.0, 100.0) == pytest.approx(3.14159265)
    assert pressure_test.water_compression_factor(0.0) == 1.0
    assert pressure_test.water_compression_factor(70.0) > 1.03
    assert pressure_test.water_compression_factor(10.0) == pytest.approx(1.0044505, abs=1e-6)
    # D/t 40 at 20 MPa (2900.75 psi): 0.91 x 2900.75 / 30e6 x 40, and 18 °F above the base.
    stretched = pressure_test.pipe_expansion_factor(20.0, 400.0, 10.0, 140.0 / 9 + 10.0)
    assert stretched == pytest.approx(1 + 0.00351958 + 0.0000648, abs=1e-7)
    assert pressure_test.pipe_expansion_factor(0.0, 10.0, 1.0, 140.0 / 9) == pytest.approx(1.0)
    assert pressure_test.water_temperature_factor(140.0 / 9, 1.0) == pytest.approx(1.0)
    assert pressure_test.water_temperature_factor(140.0 / 9, 0.5) == pytest.approx(2.0)
    warm = pressure_test.water_temperature_factor(140.0 / 9 + 50.0 / 9, 1.0)
    assert warm == pytest.approx(1.000182)
    full = pressure_test.water_at_pressure(100.0, 1.01, 1.02, 1.03)
    assert full == pytest.approx((106.1106, 6.1106))
    assert pressure_test.water_at_pressure(100.0, 1.01, 1.02).at_pressure_m3 == pytest.approx(
        103.02
    )
    assert pressure_test.head_pressure_mpa(0.0) == 0.0
    assert pressure_test.head_pressure_mpa(10.0, 1025.0) == pytest.approx(0.10051816)


@given(st.sampled_from(sorted(pipe_sizes.SIZES)))
def test_sizes_hang_together(nps: str) -> None:
    by_wall = []
    for schedule in pipe_sizes.schedules(nps):
        size = pipe_sizes.pipe_size(nps, schedule)
        assert size.outside_diameter_mm == pytest.approx(25.4 * size.outside_diameter_in, abs=0.7)
        assert size.wall_mm == pytest.approx(25.4 * size.wall_in, abs=0.0051)
        assert 2 * size.wall_in < size.outside_diameter_in
        if schedule.isdigit():
            by_wall.append((int(schedule), size.wall_in))
    walls = [wall for _, wall in sorted(by_wall)]
    assert walls == sorted(walls)
    standard, extra = (pipe_sizes.pipe_size(nps, name) for name in ("STD", "XS"))
    assert standard.wall_in < extra.wall_in


@pytest.mark.parametrize(
    ("nps", "schedule", "wall_in"),
    [
        ("10", "STD", 0.365), ("12", "STD", 0.375), ("8", "XS", 0.500), ("10", "XS", 0.500),
        ("6", "XS", 0.432), ("14", "STD", 0.375), ("14", "40", 0.438), ("6", "160", 0.719),
        ("36", "40", 0.750), ("48", "XS", 0.500), ("1.25", "80", 0.191), ("18", "30", 0.438),
    ],
)  # fmt: skip
def test_weight_classes(nps: str, schedule: str, wall_in: float) -> None:
    assert pipe_sizes.pipe_size(nps, schedule).wall_in == wall_in


def test_walls_round_half_up() -> None:
    assert pipe_sizes.pipe_size("12", "STD").wall_mm == 9.53
    assert pipe_sizes.pipe_size("5", "160").wall_mm == 15.88


GRADES = """
L245/B 245 450 415 655
L290/X42 290 495 415 655
L320/X46 320 525 435 655
L360/X52 360 530 460 760
L390/X56 390 545 490 760
L415/X60 415 565 520 760
L450/X65 450 600 535 760
L485/X70 485 635 570 760
L555/X80 555 705 625 825
L625/X90 625 775 695 915
L690/X100 690 840 760 990
L830/X120 830 1050 915 1145
"""


def test_every_grade_and_its_limits() -> None:
    rows = (line.split() for line in GRADES.strip().splitlines())
    told = {name: tuple(map(int, limits)) for name, *limits in rows}
    assert {name: tuple(limits) for name, limits in pipe_grades.PSL_2.items()} == told


def test_grades() -> None:
    for name, limits in pipe_grades.PSL_2.items():
        metric, old = name.split("/")
        assert pipe_grades.psl_2_tensile_limits(metric) == limits
        assert pipe_grades.psl_2_tensile_limits(old) == limits
        assert limits.min_yield_mpa == int(metric[1:])
        assert limits.min_yield_mpa < limits.max_yield_mpa
        assert limits.min_yield_mpa < limits.min_tensile_mpa < limits.max_tensile_mpa
    assert pipe_grades.psl_2_tensile_limits("X80").max_yield_mpa == 705
    assert [pipe_grades.table_psi(mpa) for mpa in (245, 555, 705)] == [35500, 80500, 102300]
