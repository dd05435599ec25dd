"""Acceptance of indications by API 1104: counting, places, blanks, both systems of units."""

from __future__ import annotations

from math import inf

import pytest

from dossier.codes import (
    api_1104_21,
)
from dossier.codes.api_1104_21 import (
    fit_up,
    radiography,
    settings,
    surface,
)
from dossier.codes.api_1104_21.extent import Extent, Measure, at_most
from dossier.codes.api_1104_21.radiography import Pipe
from dossier.codes.api_1104_21.settings import SI, US
from dossier.records.examinations import Indication
from dossier.records.verdicts import (
    CLEAR,
    CUT_OUT,
    HOLD,
    NONCONFORMITY,
    NOTE,
    Basis,
    Reason,
    Verdict,
    worst,
)

PLAIN = Measure.exact


@pytest.mark.parametrize(
    ("depth", "length", "wall", "verdict"),
    [
        (0.79375, 50.8, 6.35, CLEAR),
        (0.8, 1.0, 12.7, NONCONFORMITY),
        (0.6, 1.0, 4.7752, NONCONFORMITY),
        (0.5969, 50.8, 4.7752, CLEAR),
        (0.3, 50.9, 9.53, NONCONFORMITY),
    ],
)
def test_undercut_of_a_test_weld(
    depth: float, length: float, wall: float, verdict: Verdict
) -> None:
    assert worst(surface.undercut_of_test_weld(depth, length, wall, US)) == verdict


@pytest.mark.parametrize(
    ("height", "verdict"),
    [(0.0, CLEAR), (1.5875, CLEAR), (1.6, NONCONFORMITY), (-0.1, NONCONFORMITY)],
)
def test_crown_height(height: float, verdict: Verdict) -> None:
    assert surface.crown_height(height, US).verdict == verdict


def test_metric_figures_are_used_on_their_own() -> None:
    assert surface.crown_height(1.6, SI).verdict == CLEAR
    assert fit_up.high_low(3.0, SI).verdict == CLEAR
    assert fit_up.high_low(3.1, SI).verdict == NOTE
    assert surface.undercut_bands(12.7, SI) == (0.4, 0.8)
    assert surface.undercut_bands(5.0, SI) == pytest.approx((0.3, 0.625))
    assert [Pipe(od, 3.91).small(SI) for od in (60.2, 60.3, 60.325)] == [True, False, False]
    assert [Pipe(od, 3.91).small(US) for od in (60.2996, 60.3, 60.325)] == [True, False, False]


def extent_of(longest: float, window: float, total: float) -> Extent:
    return Extent(PLAIN(longest), PLAIN(window), PLAIN(total))


@pytest.mark.parametrize(
    ("od", "share_asked"),
    [(97.0, True), (97.1, False)],  # 304.73 mm and 305.05 mm of weld: 12 in is 304.8 mm
)
def test_eight_per_cent_of_inadequate_penetration_is_for_short_welds(
    od: float, share_asked: bool
) -> None:
    weld = settings.weld_length_mm(od)
    reasons = radiography.linear("IP", extent_of(1, 1, 1), weld, US)
    assert any("in all" in r.variable for r in reasons) is share_asked


def test_a_limit_says_what_was_found_and_what_is_permitted() -> None:
    reason = at_most("IP, longest", PLAIN(26), 25.4, Basis("API 1104", "21st", "9.3.1"))
    assert (reason.found, reason.permitted) == ("26 mm (1.024 in)", "up to 25.4 mm (1 in)")
    part = at_most("IP", Measure(10, inf), 25.4, Basis("API 1104", "21st", "9.3.1"), words="x")
    assert part.found == "at least 10 mm (0.394 in), not all recorded"
    assert part.permitted == "up to 25.4 mm (1 in), x"
    some = at_most("IP", Measure(10, 20), 25.4, Basis("API 1104", "21st", "9.3.1"))
    assert some.found == "at least 10 mm (0.394 in), at most 20 mm (0.787 in)"
    assert some.verdict == CLEAR


def film(*found: Indication, od: float = 323.85, **choices: str) -> dict[str, Reason]:
    reasons = api_1104_21.accept("RT", found, od_mm=od, wall_mm=9.53, choices=choices)
    return {reason.variable: reason for reason in reasons}


def slag(kind: str, start: float | None, length: float, width: float | None, count: int = 1):
    return Indication(kind=kind, start_mm=start, length_mm=length, width_mm=width, count=count)


def test_parallel_lines_told_by_their_count() -> None:
    narrow, wide = (slag("ESI", 0, 30, width, 2) for width in (0.79375, 0.8))
    assert film(narrow)["ESI, in the worst 12 in"].verdict == CLEAR
    assert film(wide)["ESI, in the worst 12 in"].verdict == NONCONFORMITY


def test_isolated_slag_is_counted_by_number_and_place() -> None:
    name = "ISI of full width in the worst 12 in"
    assert film(slag("ISI", 0, 2, 3.175, 4))[name].found == "4"
    five = film(slag("ISI", 0, 2, 3.175, 4), slag("ISI", 300, 2, 3.175))
    assert five[name].verdict == NONCONFORMITY
    apart = film(slag("ISI", 0, 2, 3.175, 4), slag("ISI", 320, 2, 3.175))
    assert apart[name].verdict == CLEAR
    wrapped = film(slag("ISI", 1000, 2, 3.175, 4), slag("ISI", 200, 2, 3.175))
    assert wrapped[name].verdict == NONCONFORMITY
    loose = film(slag("ISI", 0, 2, 3.175, 4), slag("ISI", None, 2, 3.175))
    assert loose[name].verdict == NONCONFORMITY
    narrow = film(slag("ISI", 0, 2, 3.1, 9), slag("ISI", 10, 2, 3.175))
    assert narrow[name].found == "1"


def test_hollow_beads_without_a_place_are_held() -> None:
    bead = Indication(kind="HB", length_mm=8)
    placed = Indication(kind="HB", start_mm=0, length_mm=8)
    name = "HB, close pairs"
    assert film(bead)[name].verdict == CLEAR
    assert film(bead, placed)[name].verdict == HOLD
    assert film(placed, Indication(kind="HB", start_mm=10, length_mm=6.35))[name].verdict == CLEAR
    across = Indication(kind="HB", start_mm=1000, length_mm=8)
    assert film(placed, across)[name].verdict == NONCONFORMITY
    assert film(placed, Indication(kind="HB", start_mm=20))[name].verdict == HOLD


def test_small_pipe_burn_through_of_unknown_density_is_held() -> None:
    dark, unknown = (
        Indication(kind="BT", start_mm=0, length_mm=2, density_exceeds_base=d) for d in (True, None)
    )
    assert film(dark, unknown, od=48.3)["BT, number"].verdict == HOLD
    assert film(dark, unknown, od=48.3)["BT, number"].found == "1 to 2"
    assert film(dark, dark, od=48.3)["BT, number"].verdict == NONCONFORMITY
    assert film(unknown, od=48.3)["BT, number"].verdict == CLEAR


def test_light_concavity_accumulates_only_by_choice() -> None:
    light = Indication(kind="IC", start_mm=0, length_mm=200, density_exceeds_base=False)
    assert worst(film(light).values()) == CLEAR
    counted = film(light, **{"concavity in accumulation": "counted"})
    assert counted["AI, in the worst 12 in"].verdict == NONCONFORMITY


def test_light_burn_through_passes_with_a_reason() -> None:
    light = Indication(kind="BT", start_mm=0, length_mm=30, density_exceeds_base=False)
    assert list(film(light)) == ["BT, density of the image"]
    assert film(light)["BT, density of the image"].verdict == CLEAR


def test_crack_of_unknown_length_is_cut_out_even_where_repair_is_allowed() -> None:
    assert film(Indication(kind="C"), cracks="repair")["C"].verdict == CUT_OUT
    crater = film(Indication(kind="C crater", length_mm=5), cracks="repair")
    assert crater["C, shallow crater or star"].verdict == NONCONFORMITY


@pytest.mark.parametrize(
    ("found", "verdict"),
    [
        ({"kind": "linear", "length_mm": 1.5875}, CLEAR),
        ({"kind": "linear", "length_mm": 1.6}, HOLD),
        ({"kind": "rounded", "length_mm": 1.0, "width_mm": 2.0}, HOLD),
        ({"kind": "rounded"}, HOLD),
        ({"kind": "IF", "start_mm": 0.0, "length_mm": 25.4}, CLEAR),
        ({"kind": "IF", "start_mm": 0.0, "length_mm": 25.5}, NONCONFORMITY),
        ({"kind": "P", "length_mm": 2.4}, NONCONFORMITY),
        ({"kind": "C", "length_mm": 1.0}, CUT_OUT),
        ({"kind": "IP", "length_mm": 1.0}, HOLD),
    ],
)
def test_surface_methods(found: dict[str, object], verdict: Verdict) -> None:
    for method in ("MT", "PT"):
        one = Indication(**found)  # type: ignore[arg-type]
        reasons = api_1104_21.accept(method, [one], od_mm=323.85, wall_mm=9.53, choices={})
        assert worst(reasons) == verdict


@pytest.mark.parametrize(
    ("kind", "length", "width", "verdict"),
    [
        ("LB", 50.8, None, CLEAR),
        ("LB", 50.9, None, NONCONFORMITY),
        ("VC", 12.7, None, CLEAR),
        ("VC", 12.8, None, NONCONFORMITY),
        ("VI", 6.4, 6.35, CLEAR),
        ("VI", 6.4, 6.4, NONCONFORMITY),
        ("VI", 6.4, None, HOLD),
        ("VR", 6.35, None, CLEAR),
        ("VR", 6.4, None, NONCONFORMITY),
        ("C", 1.0, None, CUT_OUT),
    ],
)
def test_ultrasonic(kind: str, length: float, width: float | None, verdict: Verdict) -> None:
    one = Indication(kind=kind, start_mm=0, length_mm=length, width_mm=width)
    reasons = api_1104_21.accept("UT", [one], od_mm=323.85, wall_mm=9.53, choices={})
    assert worst(reasons) == verdict


def test_ultrasonic_indications_accumulate_over_kinds() -> None:
    found = [
        Indication(kind="LB", start_mm=0, length_mm=40),
        Indication(kind="LS", start_mm=100, length_mm=11),
    ]
    reasons = api_1104_21.accept("UT", found, od_mm=323.85, wall_mm=9.53, choices={})
    bad = [r.variable for r in reasons if r.verdict != CLEAR]
    assert bad == ["all relevant indications, in the worst 12 in"]


def test_undercut_seen_counts_only_where_it_is_deep_enough() -> None:
    shallow = Indication(kind="IU", start_mm=0, length_mm=300, depth_mm=0.39)
    middle = Indication(kind="EU", start_mm=0, length_mm=20, depth_mm=0.5)
    reasons = api_1104_21.accept("VT", [shallow, middle], od_mm=60.325, wall_mm=9.53, choices={})
    assert worst(reasons) == CLEAR
    long = Indication(kind="EU", start_mm=0, length_mm=32, depth_mm=0.5)
    reasons = api_1104_21.accept("VT", [long], od_mm=60.325, wall_mm=9.53, choices={})
    assert worst(reasons) == NONCONFORMITY


@pytest.mark.parametrize(
    ("found", "breaks"),
    [
        ({"kind": "IP", "length_mm": 25.0}, False),
        ({"kind": "IP", "length_mm": 25.1}, True),
        ({"kind": "IPD", "length_mm": 50.0}, False),
        ({"kind": "IPD", "length_mm": 50.1}, True),
        ({"kind": "BT", "length_mm": 6.0, "density_exceeds_base": True}, False),
        ({"kind": "BT", "length_mm": 6.1, "density_exceeds_base": True}, True),
        ({"kind": "ESI", "length_mm": 9.0, "width_mm": 1.6}, False),
        ({"kind": "ESI", "length_mm": 9.0, "width_mm": 1.61}, True),
        ({"kind": "ISI", "length_mm": 13.0, "width_mm": 3.0}, False),
        ({"kind": "ISI", "length_mm": 13.1, "width_mm": 3.0}, True),
        ({"kind": "ISI", "length_mm": 9.0, "width_mm": 3.1}, True),
        ({"kind": "P", "length_mm": 3.0}, False),
        ({"kind": "P", "length_mm": 3.1}, True),
        ({"kind": "CP", "length_mm": 13.0, "width_mm": 1.6}, False),
        ({"kind": "HB", "length_mm": 13.0}, False),
        ({"kind": "HB", "length_mm": 13.1}, True),
        ({"kind": "C crater", "length_mm": 4.0}, False),
        ({"kind": "C crater", "length_mm": 4.1}, True),
        ({"kind": "EU", "length_mm": 50.1}, True),
        ({"kind": "EU", "length_mm": 50.0}, False),
    ],
)
def test_metric_limits(found: dict[str, object], breaks: bool) -> None:
    one = Indication(start_mm=0.0, **found)  # type: ignore[arg-type]
    reasons = api_1104_21.accept("RT", [one], od_mm=323.9, wall_mm=19.1, choices={"units": "SI"})
    assert (worst(reasons) > CLEAR) is breaks


def test_metric_window_and_three_inches() -> None:
    def ipd(start: float, length: float) -> Indication:
        return Indication(kind="IPD", start_mm=start, length_mm=length)

    for second, verdict in ((25.0, CLEAR), (25.1, NONCONFORMITY)):
        found = [ipd(0, 50), ipd(100, second)]
        reasons = api_1104_21.accept("RT", found, od_mm=323.9, wall_mm=9.5, choices={"units": "SI"})
        assert worst(reasons) == verdict
    # 50 mm and 30 mm that no stretch of 300 mm holds together, though one of 12 in would
    apart = [ipd(0, 50), ipd(276, 30)]
    for units, verdict in (("SI", CLEAR), ("US", NONCONFORMITY)):
        reasons = api_1104_21.accept(
            "RT", apart, od_mm=323.9, wall_mm=9.5, choices={"units": units}
        )
        assert worst(reasons) == verdict
