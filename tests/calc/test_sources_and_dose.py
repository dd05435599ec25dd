"""Decay and dose against an independent package, and as properties."""

from collections.abc import Callable

import pytest
import radioactivedecay as rd
from hypothesis import given
from hypothesis import strategies as st

from dossier.calc import dose, sources
from dossier.calc.cautions import caution
from dossier.errors import InputError

NUCLIDES = sorted(sources.HALF_LIVES_D)
activities = st.floats(0.1, 1e5)


@pytest.mark.parametrize("nuclide", NUCLIDES)
def test_half_life_and_decay_agree_with_the_package(nuclide: str) -> None:
    witness = rd.Nuclide(nuclide).half_life("d")
    assert sources.half_life_d(nuclide) == pytest.approx(witness, rel=1e-5)
    left = rd.Inventory({nuclide: 1000.0}, "GBq").decay(45.0, "d").activities("GBq")[nuclide]
    assert sources.activity_after_gbq(nuclide, 1000.0, 45.0) == pytest.approx(left, rel=1e-5)


@given(st.sampled_from(NUCLIDES), activities, st.floats(0.0, 400.0))
def test_decay_time_undoes_decay(nuclide: str, start: float, days: float) -> None:
    left = sources.activity_after_gbq(nuclide, start, days)
    assert sources.decay_time_d(nuclide, start, left) == pytest.approx(days, abs=1e-6)
    assert sources.activity_after_gbq(nuclide, left, -days) == pytest.approx(start)


def test_one_half_life_halves() -> None:
    for nuclide in NUCLIDES:
        half = sources.half_life_d(nuclide)
        assert sources.activity_after_gbq(nuclide, 8.0, half) == pytest.approx(4.0)
    assert sources.decay_time_d("Ir-192", 5.0, 5.0) == 0.0


def test_gamma_constants_are_ordered_and_carried_over() -> None:
    for nuclide in sources.GAMMA_R_M2_H_CI:
        low, high = sources.gamma_constant_r_m2_h_ci(nuclide)
        assert 0 < low < high
    assert sources.gamma_constant_usv_m2_h_gbq(0.37) == pytest.approx(100.0)


@given(activities, st.floats(1.0, 400.0), st.floats(0.5, 2000.0), st.floats(0.0, 8.0))
def test_boundary_meets_its_limit(ac: float, gamma: float, limit: float, layers: float) -> None:
    distance = dose.boundary_distance_m(ac, gamma, limit, layers)
    at_1_m = ac * gamma * dose.shield_transmission(layers, 1.0)
    assert dose.rate_at_distance_usv_h(at_1_m, 1.0, distance) == pytest.approx(limit)
    assert dose.distance_for_rate_m(1.0, at_1_m, limit) == pytest.approx(distance)


@given(activities, st.floats(1.0, 60.0))
def test_less_beam_never_takes_more_room(activity: float, minutes: float) -> None:
    part = dose.boundary_distance_m(activity, 130.0, 20.0, beam_on_min_per_h=minutes)
    whole = dose.boundary_distance_m(activity, 130.0, 20.0)
    assert part <= whole
    assert part**2 * 60 == pytest.approx(whole**2 * minutes)


@given(st.floats(0.001, 1.0), st.floats(1.0, 50.0))
def test_shield_thickness_undoes_transmission(share: float, layer: float) -> None:
    thickness = dose.shield_thickness_mm(share, layer)
    assert dose.shield_transmission(thickness, layer) == pytest.approx(share)


def test_without_a_collimator_nothing_is_credited() -> None:
    assert dose.boundary_distance_m(100.0, 4.0, 4.0) == 10.0


def test_tenth_value_layer_lets_a_tenth_through() -> None:
    assert dose.shield_transmission(dose.tenth_value_layer_mm(13.0), 13.0) == pytest.approx(0.1)


def test_exposure_by_dose() -> None:
    assert sources.exposure_minutes(1.0, 0.0, 10.0, 1000.0, 60.0, 1.0) == pytest.approx(1.0)
    thick = sources.exposure_minutes(1.0, 10.0, 10.0, 1000.0, 60.0, 1.0)
    far = sources.exposure_minutes(1.0, 0.0, 10.0, 2000.0, 60.0, 1.0)
    assert (thick, far) == (pytest.approx(2.0), pytest.approx(4.0))
    assert sources.exposure_minutes(3.0, 0.0, 10.0, 1000.0, 30.0, 0.5) == pytest.approx(12.0)


def test_exposure_by_factor_and_scaling() -> None:
    assert sources.exposure_minutes_by_factor(0.5, 10.0, 2.0, 25.0) == pytest.approx(4.0)
    scaled = sources.exposure_minutes_scaled
    assert scaled(3.0) == 3.0
    assert scaled(3.0, activity_1_gbq=20.0, activity_2_gbq=10.0) == 6.0
    assert scaled(3.0, 100.0, 200.0, 10.0, 20.0) == 6.0


def test_the_caution_of_radiation_is_carried() -> None:
    assert sources.CAUTION == dose.CAUTION == caution("radiation")
    for module in (sources, dose):
        for name, function in vars(module).items():
            if callable(function) and getattr(function, "__module__", "") == module.__name__:
                told = function.__doc__ or ""
                assert isinstance(function, type) or "radiation safety officer" in told, name


@pytest.mark.parametrize(
    ("name", "call"),
    [
        ("source", lambda: sources.half_life_d("Cs-137")),
        ("source", lambda: sources.gamma_constant_r_m2_h_ci("Tm-170")),
        ("activity_gbq", lambda: sources.activity_after_gbq("Ir-192", 0.0, 1.0)),
        ("target_gbq", lambda: sources.decay_time_d("Ir-192", 10.0, 10.1)),
        ("target_gbq", lambda: sources.decay_time_d("Ir-192", 10.0, 0.0)),
        ("activity_gbq", lambda: sources.decay_time_d("Ir-192", 0.0, 1.0)),
        ("gamma_r_m2_h_ci", lambda: sources.gamma_constant_usv_m2_h_gbq(0.0)),
        ("film_dose_r", lambda: sources.exposure_minutes(0.0, 1.0, 1.0, 1.0, 1.0, 1.0)),
        ("thickness_mm", lambda: sources.exposure_minutes(1.0, -1.0, 1.0, 1.0, 1.0, 1.0)),
        ("half_value_layer_mm", lambda: sources.exposure_minutes(1.0, 1.0, 0.0, 1.0, 1.0, 1.0)),
        ("source_to_film_mm", lambda: sources.exposure_minutes(1.0, 1.0, 1.0, 0.0, 1.0, 1.0)),
        ("activity_ci", lambda: sources.exposure_minutes(1.0, 1.0, 1.0, 1.0, 0.0, 1.0)),
        ("gamma_r_m2_h_ci", lambda: sources.exposure_minutes(1.0, 1.0, 1.0, 1.0, 1.0, 0.0)),
        ("exposure_factor", lambda: sources.exposure_minutes_by_factor(0.0, 1.0, 1.0, 1.0)),
        ("distance_in", lambda: sources.exposure_minutes_by_factor(1.0, 0.0, 1.0, 1.0)),
        ("film_factor", lambda: sources.exposure_minutes_by_factor(1.0, 1.0, 0.0, 1.0)),
        ("activity_ci", lambda: sources.exposure_minutes_by_factor(1.0, 1.0, 1.0, 0.0)),
        ("minutes", lambda: sources.exposure_minutes_scaled(0.0)),
        ("distance_1_mm", lambda: sources.exposure_minutes_scaled(1.0, distance_1_mm=0.0)),
        ("distance_2_mm", lambda: sources.exposure_minutes_scaled(1.0, distance_2_mm=0.0)),
        ("activity_1_gbq", lambda: sources.exposure_minutes_scaled(1.0, activity_1_gbq=0.0)),
        ("activity_2_gbq", lambda: sources.exposure_minutes_scaled(1.0, activity_2_gbq=0.0)),
        ("activity_gbq", lambda: dose.boundary_distance_m(0.0, 1.0, 1.0)),
        ("gamma_usv_m2_h_gbq", lambda: dose.boundary_distance_m(1.0, 0.0, 1.0)),
        ("limit_usv_h", lambda: dose.boundary_distance_m(1.0, 1.0, 0.0)),
        ("half_value_layers", lambda: dose.boundary_distance_m(1.0, 1.0, 1.0, -1.0)),
        ("beam_on_min_per_h", lambda: dose.boundary_distance_m(1.0, 1.0, 1.0, 0.0, 60.1)),
        ("beam_on_min_per_h", lambda: dose.boundary_distance_m(1.0, 1.0, 1.0, 0.0, 0.0)),
        ("rate_1_usv_h", lambda: dose.distance_for_rate_m(1.0, 0.0, 1.0)),
        ("rate_2_usv_h", lambda: dose.distance_for_rate_m(1.0, 1.0, 0.0)),
        ("distance_1_m", lambda: dose.distance_for_rate_m(0.0, 1.0, 1.0)),
        ("distance_2_m", lambda: dose.rate_at_distance_usv_h(1.0, 1.0, 0.0)),
        ("distance_1_m", lambda: dose.rate_at_distance_usv_h(1.0, 0.0, 1.0)),
        ("rate_1_usv_h", lambda: dose.rate_at_distance_usv_h(0.0, 1.0, 1.0)),
        ("thickness_mm", lambda: dose.shield_transmission(-1.0, 1.0)),
        ("half_value_layer_mm", lambda: dose.shield_transmission(1.0, 0.0)),
        ("half_value_layer_mm", lambda: dose.tenth_value_layer_mm(0.0)),
        ("half_value_layer_mm", lambda: dose.shield_thickness_mm(0.5, 0.0)),
        ("transmission", lambda: dose.shield_thickness_mm(0.0, 1.0)),
        ("transmission", lambda: dose.shield_thickness_mm(1.01, 1.0)),
    ],
)
def test_refused(name: str, call: Callable[[], object]) -> None:
    with pytest.raises(InputError) as refused:
        call()
    assert refused.value.name == name
