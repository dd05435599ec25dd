from __future__ import annotations

from math import inf, isclose, isfinite, nan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dossier.calc import heat_input as hi
from dossier.errors import InputError

VOLTS, AMPS = st.floats(5, 60), st.floats(10, 1500)
SPEEDS, SECONDS, LENGTHS = st.floats(10, 2000), st.floats(1, 3600), st.floats(1, 5000)


@given(VOLTS, AMPS, SECONDS, LENGTHS)
def test_the_three_methods_agree_on_a_steady_arc(
    u: float, i: float, t: float, length: float
) -> None:
    a = hi.arc_energy_from_time_kj_mm(u, i, t, length)
    assert isclose(a, hi.arc_energy_kj_mm(u, i, hi.travel_speed_mm_min(length, t)))
    assert isclose(a, hi.arc_energy_from_energy_kj_mm(u * i * t, length))
    assert isclose(a, hi.arc_energy_from_power_kj_mm(u * i, t, length))


@given(VOLTS, AMPS, SECONDS, LENGTHS)
def test_run_out_length_is_the_inverse_of_the_run_out_method(
    u: float, i: float, t: float, length: float
) -> None:
    energy = hi.arc_energy_from_time_kj_mm(u, i, t, length)
    assert isclose(hi.run_out_length_mm(u, i, t, energy), length)


@given(VOLTS, AMPS, SPEEDS, st.floats(1.001, 3))
def test_arc_energy_rises_with_power_and_falls_with_speed(
    u: float, i: float, v: float, factor: float
) -> None:
    base = hi.arc_energy_kj_mm(u, i, v)
    assert isfinite(base)
    assert hi.arc_energy_kj_mm(u * factor, i, v) > base
    assert hi.arc_energy_kj_mm(u, i * factor, v) > base
    assert hi.arc_energy_kj_mm(u, i, v * factor) < base


@given(st.floats(0.01, 20), st.sampled_from(sorted(hi.THERMAL_EFFICIENCY)))
def test_heat_input_never_exceeds_arc_energy(energy: float, process: str) -> None:
    heat = hi.heat_input_kj_mm(energy, hi.thermal_efficiency(process))
    assert 0 < heat <= energy


@given(st.lists(st.tuples(VOLTS, AMPS, st.floats(0.01, 10)), min_size=1, max_size=20))
def test_mean_power_lies_between_the_lowest_and_the_highest(
    levels: list[tuple[float, float, float]],
) -> None:
    power = hi.waveform_power(levels)
    products = [u * i for u, i, _ in levels]
    assert min(products) * (1 - 1e-9) <= power.mean_power_w <= max(products) * (1 + 1e-9)
    if len(levels) == 1:
        assert isclose(power.product_of_means_w, power.mean_power_w)
        assert abs(power.error_percent) < 1e-9


def test_averages_understate_a_pulse_in_which_volts_and_amperes_rise_together() -> None:
    power = hi.waveform_power([(30.0, 350.0, 2.0), (20.0, 80.0, 3.0)])
    assert isclose(power.mean_power_w, 5160.0)
    assert isclose(power.error_percent, -12.5581, rel_tol=1e-5)


@pytest.mark.parametrize(
    ("family", "k"), [("11", 0.8), ("12", 1.0), ("13", 0.8), ("14", 0.6), ("15", 0.6)]
)
def test_efficiency_by_family_of_processes(family: str, k: float) -> None:
    numbers = [number for number in hi.THERMAL_EFFICIENCY if number.startswith(family)]
    assert numbers
    assert {hi.thermal_efficiency(number) for number in numbers} == {k}


def test_the_processes_of_pipelines_have_an_efficiency() -> None:
    for number in ("111", "114", "121", "131", "135", "136", "138", "141", "15"):
        assert hi.thermal_efficiency(number) > 0


def test_a_process_without_a_factor_is_refused() -> None:
    for process in ("311", "SMAW", ""):
        with pytest.raises(InputError, match="process"):
            hi.thermal_efficiency(process)


@pytest.mark.parametrize("bad", [0.0, -1.0, nan, inf])
def test_nothing_is_computed_from_what_is_no_measurement(bad: float) -> None:
    calls = [
        lambda: hi.arc_energy_kj_mm(bad, 100, 100), lambda: hi.arc_energy_kj_mm(20, bad, 100),
        lambda: hi.arc_energy_kj_mm(20, 100, bad), lambda: hi.travel_speed_mm_min(bad, 1),
        lambda: hi.travel_speed_mm_min(1, bad), lambda: hi.run_out_length_mm(bad, 1, 1, 1),
        lambda: hi.run_out_length_mm(1, bad, 1, 1), lambda: hi.run_out_length_mm(1, 1, bad, 1),
        lambda: hi.run_out_length_mm(1, 1, 1, bad), lambda: hi.heat_input_kj_mm(bad, 0.8),
        lambda: hi.heat_input_kj_mm(1, bad), lambda: hi.bead_section_mm2(bad, 1),
        lambda: hi.bead_section_mm2(1, bad), lambda: hi.bead_per_electrode(bad, 1),
        lambda: hi.bead_per_electrode(1, bad), lambda: hi.arc_energy_from_energy_kj_mm(bad, 1),
        lambda: hi.arc_energy_from_energy_kj_mm(1, bad),
        lambda: hi.arc_energy_from_power_kj_mm(bad, 1, 1),
        lambda: hi.arc_energy_from_power_kj_mm(1, bad, 1),
        lambda: hi.waveform_power([(20.0, 100.0, 2.0), (20.0, 100.0, bad or -1.0)]),
        lambda: hi.waveform_power([(20.0, 100.0, 2.0), (bad or -1.0, 100.0, 1.0)]),
        lambda: hi.waveform_power([(20.0, 100.0, 2.0), (20.0, bad or -1.0, 1.0)]),
        lambda: hi.waveform_power([(20.0, 100.0, bad)]),
        lambda: hi.waveform_power([(bad, 100.0, 1.0)]),
        lambda: hi.waveform_power([(20.0, bad, 1.0)]),
    ]  # fmt: skip
    for call in calls:
        with pytest.raises(InputError):
            call()


def test_two_wrong_signs_do_not_make_a_right() -> None:
    for call in (
        lambda: hi.arc_energy_kj_mm(-20, -100, 100),
        lambda: hi.arc_energy_from_time_kj_mm(20, 100, -60, -100),
        lambda: hi.arc_energy_from_power_kj_mm(-4500, -25, 100),
        lambda: hi.run_out_length_mm(-24, -130, 62, 1),
        lambda: hi.run_out_length_mm(-24, 130, -62, 1),
        lambda: hi.bead_section_mm2(-12, -3),
    ):
        with pytest.raises(InputError):
            call()


def test_an_efficiency_over_one_is_refused() -> None:
    assert hi.heat_input_kj_mm(2.0, 1.0) == 2.0
    with pytest.raises(InputError, match="k"):
        hi.heat_input_kj_mm(1.0, 1.01)


def test_bead_measures() -> None:
    assert hi.bead_section_mm2(14.0, 3.0) == 42.0
    assert hi.bead_per_electrode(300.0, 400.0) == 0.75
