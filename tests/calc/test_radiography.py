"""Film geometry: what rises, what falls, what undoes what, and where it is refused."""

from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dossier.calc import radiography as rt
from dossier.errors import InputError

lengths = st.floats(0.5, 5000.0)


@given(lengths, lengths, lengths)
def test_least_distance_gives_the_limit_back(size: float, behind: float, limit: float) -> None:
    distance = rt.min_source_to_object_mm(size, behind, limit)
    assert rt.geometric_unsharpness_mm(size, distance, behind) == pytest.approx(limit)


@given(lengths, lengths, lengths)
def test_film_distance_hides_unsharpness(size: float, behind: float, gap: float) -> None:
    whole = behind + gap
    right = rt.source_to_object_mm(whole, behind)
    assert right == pytest.approx(gap, rel=1e-6)
    assert rt.geometric_unsharpness_mm(size, right, behind) > rt.geometric_unsharpness_mm(
        size, whole, behind
    )


@given(st.floats(20.0, 1500.0), st.floats(60.0, 500.0), st.floats(0.0, 50.0))
def test_films_cover_the_joint_and_one_less_does_not(
    diameter: float, length: float, lap: float
) -> None:
    films = rt.film_count(diameter, length, lap)
    covered = length - lap
    around = rt.circumference_mm(diameter)
    assert films * covered >= around - 1e-6
    assert (films - 1) * covered < around


@given(st.floats(20.0, 1500.0), st.floats(10.0, 100.0))
def test_number_belt_closes(diameter: float, spacing: float) -> None:
    belt = rt.number_belt(diameter, spacing)
    assert belt.numbers == belt.last_number + 1
    assert 0 < belt.closing_gap_mm <= spacing + 1e-6
    whole = belt.last_number * spacing + belt.closing_gap_mm
    assert whole == pytest.approx(rt.circumference_mm(diameter))


@given(st.floats(0.0, 5.0))
def test_density_and_light_undo_each_other(density: float) -> None:
    light = rt.light_transmission_pct(density)
    assert rt.film_density(light) == pytest.approx(density, abs=1e-9)


def test_figures() -> None:
    assert rt.geometric_unsharpness_mm(3.0, 300.0, 10.0) == pytest.approx(0.1)
    assert rt.film_density(100.0) == 0.0
    assert rt.film_density(0.1) == pytest.approx(3.0)
    assert rt.iqi_sensitivity_pct(0.2, 10.0) == 2.0
    assert rt.wall_ratio(6.0, 50.0) == 0.12
    assert rt.wall_ratio(20.0, 50.0) == 0.4
    assert rt.film_count(100.0, 200.0, 0.0) == 2
    assert rt.film_count(100.0, 400.0) == 1
    assert rt.number_belt(500.0) == rt.number_belt(500.0, 50.0)


@pytest.mark.parametrize(
    ("name", "call"),
    [
        ("source_size_mm", lambda: rt.geometric_unsharpness_mm(0.0, 1.0, 1.0)),
        ("source_to_object_mm", lambda: rt.geometric_unsharpness_mm(1.0, 0.0, 1.0)),
        ("object_to_film_mm", lambda: rt.geometric_unsharpness_mm(1.0, 1.0, 0.0)),
        ("object_to_film_mm", lambda: rt.geometric_unsharpness_mm(1.0, 1.0, float("nan"))),
        ("source_to_film_mm", lambda: rt.source_to_object_mm(100.0, 100.0)),
        ("object_to_film_mm", lambda: rt.source_to_object_mm(100.0, 0.0)),
        ("unsharpness_limit_mm", lambda: rt.min_source_to_object_mm(1.0, 1.0, 0.0)),
        ("source_size_mm", lambda: rt.min_source_to_object_mm(-1.0, 1.0, 1.0)),
        ("object_to_film_mm", lambda: rt.min_source_to_object_mm(1.0, -1.0, 1.0)),
        ("outside_diameter_mm", lambda: rt.circumference_mm(0.0)),
        ("film_length_mm", lambda: rt.film_count(610.0, 25.4)),
        ("overlap_mm", lambda: rt.film_count(610.0, 25.4, -1.0)),
        ("spacing_mm", lambda: rt.number_belt(610.0, 0.0)),
        ("wall_mm", lambda: rt.wall_ratio(25.0, 50.0)),
        ("wall_mm", lambda: rt.wall_ratio(0.0, 50.0)),
        ("outside_diameter_mm", lambda: rt.wall_ratio(1.0, float("inf"))),
        ("density", lambda: rt.light_transmission_pct(-0.1)),
        ("transmission_pct", lambda: rt.film_density(0.0)),
        ("transmission_pct", lambda: rt.film_density(100.1)),
        ("wire_mm", lambda: rt.iqi_sensitivity_pct(0.0, 10.0)),
        ("thickness_mm", lambda: rt.iqi_sensitivity_pct(0.2, 0.0)),
    ],
)
def test_refused(name: str, call: Callable[[], object]) -> None:
    with pytest.raises(InputError) as refused:
        call()
    assert refused.value.name == name
