"""ISO 17636-1:2013 and ASME V 2007: at, under and over each step."""

from collections.abc import Callable
from datetime import time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dossier.calc.cautions import caution
from dossier.codes import asme_v_2007 as asme
from dossier.codes import iso_17636_1_2013 as iso
from dossier.errors import InputError
from dossier.records.verdicts import CLEAR, HOLD, NONCONFORMITY, Verdict


def test_the_caution_is_carried() -> None:
    assert caution("radiation") == iso.CAUTION == asme.CAUTION


@given(st.floats(0.5, 6.0), st.floats(3.0, 300.0), st.floats(2.0, 100.0))
def test_class_b_asks_twice_the_distance(size: float, behind: float, wall: float) -> None:
    a = iso.min_source_to_object("A", size, behind, wall)
    b = iso.min_source_to_object("B", size, behind, wall)
    assert b.f_min_mm == pytest.approx(2 * a.f_min_mm)
    assert a.b_used_mm == b.b_used_mm
    assert a.f_min_mm**3 == pytest.approx((7.5 * size) ** 3 * a.b_used_mm**2)


@pytest.mark.parametrize(
    ("behind", "used"), [(5.0, 10.0), (11.99, 10.0), (12.0, 12.0), (20.0, 20.0)]
)
def test_thickness_counts_below_one_and_a_fifth_of_it(behind: float, used: float) -> None:
    assert iso.min_source_to_object("A", 2.0, behind, 10.0).b_used_mm == used


def test_double_image_counts_the_diameter_single_image_the_wall() -> None:
    given_ = ("A", 2.0, 100.0, 8.0)
    assert iso.min_source_to_object_pipe("elliptical", *given_).b_used_mm == 100.0
    assert iso.min_source_to_object_pipe("perpendicular", *given_).b_used_mm == 100.0
    assert iso.min_source_to_object_pipe("double_wall_single_image", *given_).b_used_mm == 8.0


def test_reductions() -> None:
    assert iso.lowest_distance_mm(200.0, "inside_on_axis") == 100.0
    assert iso.lowest_distance_mm(200.0, "inside_off_axis") == 160.0
    assert iso.lowest_distance_mm(200.0, "outside") == 200.0


def test_panoramic_needs_the_wire_once_the_distance_is_cut() -> None:
    near = ("B", 2.0, 168.3, 7.11)
    assert iso.panoramic(*near, iqi_met=True).reason.verdict == CLEAR
    assert iso.panoramic(*near, iqi_met=False).reason.verdict == NONCONFORMITY
    assert iso.panoramic(*near, iqi_met=True).reduction_pct == pytest.approx(30.54, abs=0.01)
    far = iso.panoramic("A", 2.0, 168.3, 7.11, iqi_met=False)
    assert (far.reduction_pct, far.reason.verdict) == (0.0, CLEAR)
    assert far.f_mm == pytest.approx(77.04)
    assert iso.panoramic("B", 3.0, 114.3, 6.02, iqi_met=True).reason.verdict == NONCONFORMITY


@pytest.mark.parametrize(
    ("test_class", "found", "verdict"),
    [("A", 1.99, NONCONFORMITY), ("A", 2.0, CLEAR), ("B", 2.29, NONCONFORMITY), ("B", 2.3, CLEAR)],
)
def test_density_of_a_class(test_class: str, found: float, verdict: Verdict) -> None:
    assert iso.density(test_class, found).verdict == verdict


@pytest.mark.parametrize(
    ("found", "better", "verdict"),
    [
        (3.0, False, CLEAR),
        (2.99, False, NONCONFORMITY),
        (2.6, True, CLEAR),
        (2.59, True, NONCONFORMITY),
    ],
)
def test_density_of_the_fallback(found: float, better: bool, verdict: Verdict) -> None:
    assert iso.class_b_fallback(found, film_class_better=better).verdict == verdict


@pytest.mark.parametrize(
    ("source", "test_class", "ends"),
    [
        ("Tm-170", "A", (0, 5)), ("Tm-170", "B", (0, 5)), ("Yb-169", "A", (1, 15)),
        ("Yb-169", "B", (2, 12)), ("Se-75", "A", (10, 40)), ("Se-75", "B", (14, 40)),
        ("Ir-192", "A", (20, 100)), ("Ir-192", "B", (20, 90)), ("Co-60", "A", (40, 200)),
        ("Co-60", "B", (60, 150)),
    ],
)  # fmt: skip
def test_range_of_a_source(source: str, test_class: str, ends: tuple[int, int]) -> None:
    span = iso.source_range(source, test_class)
    assert (span.low, span.high) == ends
    assert span.high in span
    assert span.high + 0.1 not in span


def test_sources_for_a_thickness() -> None:
    assert iso.suitable_sources("A", 20.0) == ("Se-75", "Ir-192")
    assert iso.suitable_sources("B", 100.0) == ("Co-60",)
    assert iso.suitable_sources("A", 250.0) == ()


WIRES = {
    "single wall, source side, class A":
        "1.2 18|2 17|3.5 16|5 15|7 14|10 13|15 12|25 11|32 10|40 9|55 8|85 7|150 6|250 5|999 4",
    "single wall, source side, class B":
        "1.5 19|2.5 18|4 17|6 16|8 15|12 14|20 13|30 12|35 11|45 10|65 9|120 8|200 7|350 6|999 5",
    "double wall double image, source side, class A":
        "1.2 18|2 17|3.5 16|5 15|7 14|12 13|18 12|30 11|40 10|50 9|60 8|85 7|120 6|220 5|380 4|"
        "999 3",
    "double wall double image, source side, class B":
        "1.5 19|2.5 18|4 17|6 16|8 15|15 14|25 13|38 12|45 11|55 10|70 9|100 8|170 7|250 6|999 5",
    "double wall, film side, class A":
        "1.2 18|2 17|3.5 16|5 15|10 14|15 13|22 12|38 11|48 10|60 9|85 8|125 7|225 6|375 5|999 4",
    "double wall, film side, class B":
        "1.5 19|2.5 18|4 17|6 16|12 15|18 14|30 13|45 12|55 11|70 10|100 9|180 8|300 7|999 6",
}  # fmt: skip


@pytest.mark.parametrize("technique", sorted(WIRES))
def test_wire_at_and_over_every_step(technique: str) -> None:
    steps = [step.split() for step in WIRES[technique].split("|")]
    below = 0.0
    for edge, wire in steps:
        assert iso.required_wire(technique, below + 0.01) == int(wire)
        assert iso.required_wire(technique, float(edge)) == int(wire)
        below = float(edge)


def test_wire_diameters_of_the_two_series() -> None:
    assert [iso.WIRE_DIAMETERS_MM[n] for n in (1, 6, 10, 13, 16, 19)] == [
        3.2,
        1,
        0.4,
        0.2,
        0.1,
        0.05,
    ]
    assert len(iso.WIRE_DIAMETERS_MM) == 19
    assert [asme.WIRE_DIAMETERS_IN[n] for n in (1, 5, 6, 11, 16, 21)] == [
        *(0.0032, 0.008, 0.01, 0.032, 0.1, 0.32),
    ]
    metric, inch = list(iso.WIRE_DIAMETERS_MM.values()), list(asme.WIRE_DIAMETERS_IN.values())
    assert metric == sorted(metric, reverse=True)
    assert inch == sorted(inch)


@pytest.mark.parametrize(
    ("source", "test_class", "thickness", "less"),
    [
        ("Ir-192", "A", 10.0, 0), ("Ir-192", "A", 10.1, 2), ("Ir-192", "A", 24.0, 2),
        ("Ir-192", "A", 24.1, 1), ("Ir-192", "A", 30.0, 1), ("Ir-192", "A", 30.1, 0),
        ("Ir-192", "B", 10.0, 0), ("Ir-192", "B", 10.1, 1), ("Ir-192", "B", 40.0, 1),
        ("Ir-192", "B", 40.1, 0), ("Se-75", "A", 5.0, 0), ("Se-75", "A", 5.1, 1),
        ("Se-75", "A", 24.0, 1), ("Se-75", "A", 24.1, 0), ("Se-75", "B", 5.1, 1),
        ("Se-75", "B", 20.0, 1), ("Se-75", "B", 20.1, 0), ("Co-60", "A", 12.0, 0),
    ],
)  # fmt: skip
def test_relaxation_by_agreement(source: str, test_class: str, thickness: float, less: int) -> None:
    assert iso.relaxed_wire(12, source, test_class, thickness, agreed=True) == 12 - less
    assert iso.relaxed_wire(12, source, test_class, thickness, agreed=False) == 12


def test_wire_seen() -> None:
    verdicts = [iso.wire(12, seen).verdict for seen in (11, 12, 13, None)]
    assert verdicts == [NONCONFORMITY, CLEAR, CLEAR, HOLD]
    assert iso.wire(12, 11).found == "W11"


@pytest.mark.parametrize(
    ("diameter", "wall", "weld", "count"),
    [
        (100.0, 8.0, 25.0, 2),
        (100.0, 8.0, 0.0, 2),
        (3.0, 0.3, 0.0, 2),
        (50.0, 5.99, 0.0, 2),
        (50.0, 6.0, 12.5, 3),
    ],
)
def test_elliptical_exposures(diameter: float, wall: float, weld: float, count: int) -> None:
    assert iso.elliptical_exposures(diameter, wall, weld) == count
    assert iso.elliptical_exposures(diameter, wall) == count


@pytest.mark.parametrize(
    ("thickness", "limit"),
    [(0.1, 0.02), (1.999, 0.02), (2.0, 0.03), (3.0, 0.03), (3.001, 0.04), (4.0, 0.04), (4.1, 0.07)],
)
def test_unsharpness_limit(thickness: float, limit: float) -> None:
    assert asme.unsharpness_limit_in(thickness) == limit


def test_unsharpness_at_its_least_distance_is_clear() -> None:
    distance = asme.min_source_to_object_in(0.157, 0.875, 0.875)
    assert asme.unsharpness(0.157, distance, 0.875, 0.875).verdict == CLEAR
    assert asme.unsharpness(0.157, distance * 0.99, 0.875, 0.875).verdict == NONCONFORMITY
    assert asme.unsharpness_in(0.157, distance, 0.875) == pytest.approx(0.02)


IQIS = (
    "0.25 12 5 10 4|0.375 15 6 12 5|0.5 17 7 15 6|0.75 20 8 17 7|1 25 9 20 8|1.5 30 10 25 9|"
    "2 35 11 30 10|2.5 40 12 35 11|4 50 13 40 12|6 60 14 50 13|8 80 16 60 14|10 100 17 80 16|"
    "12 120 18 100 17|16 160 20 120 18|20 200 21 160 20"
)


def test_iqi_at_and_over_every_step() -> None:
    below = 0.0
    for step in IQIS.split("|"):
        edge, hole, wire, film_hole, film_wire = (float(word) for word in step.split())
        for wall in (below + 0.001, edge):
            at_source, at_film = (asme.iqi(wall, 0.0, side) for side in ("source", "film"))
            assert (at_source.hole_designation, at_source.essential_wire) == (hole, wire)
            assert (at_film.hole_designation, at_film.essential_wire) == (film_hole, film_wire)
        below = edge
    assert asme.iqi(0.25, 0.0, "film").hole_2t_in == 0.02
    assert asme.iqi(0.25, 0.0, "source").hole_2t_in == 0.025
    assert asme.iqi(0.45, 0.0, "source").hole_2t_in == 0.035
    assert asme.iqi(0.35, 0.0, "source").hole_2t_in == 0.03
    assert asme.iqi_basis_in(0.1, 0.2) == 0.3


@pytest.mark.parametrize(
    ("radiation", "composite", "low"),
    [("xray", False, 1.8), ("gamma", False, 2.0), ("xray", True, 1.3), ("gamma", True, 1.3)],
)
def test_density_range(radiation: str, composite: bool, low: float) -> None:
    span = asme.density_range(radiation, one_film_of_composite=composite)
    assert (span.low, span.high) == (low, 4.0)


@pytest.mark.parametrize(
    ("at_iqi", "radiation", "ends"),
    [
        (2.0, "", (1.7, 2.6)),
        (2.0, "gamma", (2.0, 2.6)),
        (2.0, "xray", (1.8, 2.6)),
        (3.5, "", (2.975, 4.0)),
        (1.0, "", (0.85, 1.3)),
    ],
)
def test_density_window(at_iqi: float, radiation: str, ends: tuple[float, float]) -> None:
    span = asme.density_window(at_iqi, radiation)
    assert (span.low, span.high) == pytest.approx(ends)


def test_exposures_of_small_and_large_pipe() -> None:
    assert asme.exposures("double_wall_single_view", 48.0) == (True, 3, 120)
    assert asme.exposures("double_wall_double_view_offset", 3.5) == (True, 2, 90)
    assert asme.exposures("double_wall_double_view_superimposed", 2.0) == (True, 3, 60)
    for view in ("offset", "superimposed"):
        assert not asme.exposures(f"double_wall_double_view_{view}", 3.51).allowed


@pytest.mark.parametrize(
    ("span", "on_axis", "placed"),
    [
        (360.0, True, (3, 120.0)),
        (240.0, True, (3, 120.0)),
        (240.5, True, (3, 120.0)),
        (239.0, True, (3, 119.5)),
        (0.0, True, (1, 0.0)),
        (120.1, True, (3, 60.05)),
        (120.0, True, (1, 0.0)),
        (360.0, False, (1, 0.0)),
        (200.0, False, (1, 0.0)),
    ],
)
def test_iqi_placement(span: float, on_axis: bool, placed: tuple[int, float]) -> None:
    assert asme.iqi_placement(span, on_axis=on_axis) == pytest.approx(placed)


def test_backscatter() -> None:
    images = ("lighter_than_background", "darker_than_background", "not_visible")
    reasons = [asme.backscatter(image) for image in images]
    assert [reason.verdict for reason in reasons] == [NONCONFORMITY, CLEAR, CLEAR]
    assert reasons[0].found == "lighter than background"


@pytest.mark.parametrize(
    ("surface", "verdict"),
    [(4.9, NONCONFORMITY), (5.0, CLEAR), (52.0, CLEAR), (52.1, NONCONFORMITY)],
)
def test_penetrant_temperature(surface: float, verdict: Verdict) -> None:
    assert asme.penetrant_temperature(surface).verdict == verdict


def test_welds_since_the_last_good_check() -> None:
    examined = {"a": time(7, 59), "b": time(8), "c": time(11, 30), "d": time(11, 31)}
    assert asme.welds_to_examine_again(time(8), time(11, 30), examined) == ["b", "c"]


@pytest.mark.parametrize(
    ("name", "call"),
    [
        ("test_class", lambda: iso.min_source_to_object("C", 1.0, 1.0, 1.0)),
        ("source_size_mm", lambda: iso.min_source_to_object("A", 0.0, 1.0, 1.0)),
        ("object_to_film_mm", lambda: iso.min_source_to_object("A", 1.0, 0.0, 1.0)),
        ("nominal_thickness_mm", lambda: iso.min_source_to_object("A", 1.0, 1.0, 0.0)),
        ("technique", lambda: iso.min_source_to_object_pipe("other", "A", 1.0, 10.0, 1.0)),
        ("wall_mm", lambda: iso.min_source_to_object_pipe("elliptical", "A", 1.0, 10.0, 5.0)),
        ("source_position", lambda: iso.lowest_distance_mm(1.0, "beside")),
        ("f_min_mm", lambda: iso.lowest_distance_mm(0.0, "outside")),
        ("wall_mm", lambda: iso.panoramic("A", 1.0, 10.0, 5.0, iqi_met=True)),
        ("test_class", lambda: iso.min_density("C")),
        ("source", lambda: iso.source_range("Cs-137", "A")),
        ("test_class", lambda: iso.source_range("Ir-192", "C")),
        ("penetrated_thickness_mm", lambda: iso.suitable_sources("A", 0.0)),
        ("technique", lambda: iso.required_wire("panoramic", 10.0)),
        ("thickness_mm", lambda: iso.required_wire("single wall, source side, class A", 0.0)),
        (
            "penetrated_thickness_mm",
            lambda: iso.relaxed_wire(12, "Ir-192", "A", 0.0, agreed=True),
        ),
        ("test_class", lambda: iso.relaxed_wire(12, "Ir-192", "C", 1.0, agreed=True)),
        ("outside_diameter_mm", lambda: iso.elliptical_exposures(100.1, 8.0)),
        ("wall_mm", lambda: iso.elliptical_exposures(100.0, 8.1)),
        ("weld_width_mm", lambda: iso.elliptical_exposures(100.0, 8.0, 25.1)),
        ("weld_width_mm", lambda: iso.elliptical_exposures(100.0, 8.0, -1.0)),
        ("iqi_basis_thickness_in", lambda: asme.unsharpness_limit_in(0.0)),
        ("source_size_mm", lambda: asme.unsharpness_in(0.0, 1.0, 1.0)),
        ("object_to_film_mm", lambda: asme.min_source_to_object_in(1.0, 0.0, 1.0)),
        ("wall_in", lambda: asme.iqi(0.0, 0.0, "film")),
        ("reinforcement_in", lambda: asme.iqi(1.0, -0.1, "film")),
        ("wall_in", lambda: asme.iqi(20.0, 0.1, "film")),
        ("iqi_side", lambda: asme.iqi(1.0, 0.0, "both")),
        ("radiation", lambda: asme.density_range("neutron")),
        ("density_at_iqi", lambda: asme.density_window(0.0)),
        ("technique", lambda: asme.exposures("panoramic", 1.0)),
        ("outside_diameter_in", lambda: asme.exposures("double_wall_single_view", 0.0)),
        ("span_deg", lambda: asme.iqi_placement(361.0, on_axis=True)),
        ("span_deg", lambda: asme.iqi_placement(-1.0, on_axis=True)),
        ("letter_image", lambda: asme.backscatter("grey")),
        ("check_failed_at", lambda: asme.welds_to_examine_again(time(8), time(8), {})),
    ],
)
def test_refused(name: str, call: Callable[[], object]) -> None:
    with pytest.raises(InputError) as refused:
        call()
    assert refused.value.name == name
