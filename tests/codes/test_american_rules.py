"""American rules that take more than plain figures, and what they refuse."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from math import inf

import pytest

from dossier.codes import (
    api_1104_20,
    api_1104_21,
    cfr_192_examination,
    cfr_192_joints,
    cfr_192_records,
    cfr_192_repair,
    cfr_192_test,
    cfr_192_welders,
    cfr_195_construction,
    cfr_195_test,
    editions,
    practice,
)
from dossier.codes.api_1104_21 import (
    fillers,
    films,
    fit_up,
    papers,
    procedures,
    radiography,
    repair,
    settings,
    specimens,
    surface,
    welders,
)
from dossier.codes.api_1104_21.extent import Extent, Measure, at_most
from dossier.codes.api_1104_21.radiography import Pipe
from dossier.codes.api_1104_21.settings import SI, US
from dossier.errors import InputError
from dossier.records.examinations import Indication
from dossier.records.procedures import Span
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
from dossier.records.weld import Weld
from dossier.records.welders import Certificate, Deposit
from dossier.units import convert

TEST_DAY = date(2025, 2, 3)
E6010 = Deposit(process="111", filler="E6010", backing="none")


def paper(**changes: object) -> Certificate:
    fields: dict[str, object] = {
        "number": "T-1",
        "code": "API 1104:21st",
        "welded_on": TEST_DAY,
        "weld_type": "butt",
        "positions": ("5G",),
        "direction": "down",
        "od_mm": 323.9,
        "wall_mm": 9.53,
        "branch": True,
        "deposits": (E6010,),
    }
    return Certificate(**(fields | changes))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("changes", "multiple"),
    [
        ({}, True),
        ({"od_mm": 168.3}, True),
        ({"od_mm": 168.2}, False),
        ({"wall_mm": 6.35}, True),
        ({"wall_mm": 6.4}, True),
        ({"wall_mm": 6.3}, False),
        ({"branch": False}, False),
        ({"positions": ("6G",)}, True),
        ({"positions": ("5G", "6G")}, True),
        ({"positions": ("2G",)}, False),
        ({"positions": ("5G", "2G")}, False),
        ({"positions": ("1G",)}, False),
        ({"positions": ("5G", "nowhere")}, False),
        ({"positions": ()}, False),
        ({"od_mm": None}, False),
        ({"wall_mm": None}, False),
        ({"weld_type": "fillet"}, False),
        ({"weld_type": ""}, True),
        ({"deposits": (Deposit(process="111", backing="material"),)}, False),
        ({"deposits": (Deposit(process="111"),)}, True),
        ({"deposits": (Deposit(process="111", backing="gas"),)}, True),
    ],
)
def test_what_makes_a_multiple_qualification(changes: dict[str, object], multiple: bool) -> None:
    assert welders.is_multiple(paper(**changes)) is multiple


@pytest.mark.parametrize(
    ("choices", "position", "kind", "verdict"),
    [
        ({}, "1G", "butt", NONCONFORMITY),
        ({"fixed test covers rolled": "yes"}, "1G", "butt", CLEAR),
        ({"fixed test covers rolled": "yes"}, "2G", "butt", NONCONFORMITY),
        ({}, "5G", "fillet", NONCONFORMITY),
        ({"butt test covers lap fillet": "same position"}, "5F", "fillet", CLEAR),
        ({"butt test covers lap fillet": "same position"}, "5G", "branch", NONCONFORMITY),
    ],
)
def test_named_readings_of_single_qualification(
    choices: dict[str, str], position: str, kind: str, verdict: Verdict
) -> None:
    weld = Weld(
        process="111", position=position, direction="down", filler="E6010", od_mm=219.1,
        wall_mm=9.53, weld_type=kind, backing="none",
    )  # fmt: skip
    reasons = api_1104_21.covers(paper(branch=False, od_mm=219.1), weld, choices)
    assert worst(reasons) == verdict


def test_certificate_without_deposits_or_fields_is_held() -> None:
    weld = Weld(
        process="111", position="5G", direction="down", filler="E6010", od_mm=219.1, wall_mm=9.53,
        weld_type="butt", backing="none",
    )  # fmt: skip
    assert worst(api_1104_21.covers(paper(deposits=()), weld, {})) == HOLD
    bare = Certificate(
        number="T-1", code="API 1104:21st", welded_on=TEST_DAY, deposits=(Deposit(process="111"),)
    )
    reasons = {r.variable: r.verdict for r in api_1104_21.covers(bare, weld, {})}
    assert reasons.pop("process") == CLEAR
    assert reasons.pop("test result") == CLEAR
    assert set(reasons.values()) == {HOLD}


def test_the_deposit_that_fits_best_answers() -> None:
    both = (Deposit(process="111", filler="E7018", backing="none"), E6010)
    weld = Weld(
        process="111", position="5G", direction="down", filler="E6010", od_mm=219.1, wall_mm=9.53,
        weld_type="butt", backing="none",
    )  # fmt: skip
    for deposits in (both, both[::-1]):
        assert worst(api_1104_21.covers(paper(deposits=deposits), weld, {})) == CLEAR


def test_editions_differ_where_they_are_known_to() -> None:
    weld = Weld(
        process="136", position="5G", direction="down", filler="E71T8-K6", od_mm=219.1,
        wall_mm=9.53, weld_type="butt", backing="none",
    )  # fmt: skip
    cored = paper(deposits=(Deposit(process="136", filler="E6010", backing="none"),))
    assert worst(api_1104_21.covers(cored, weld, {})) == NONCONFORMITY
    assert worst(api_1104_20.covers(cored, weld, {})) == CLEAR
    unknown = paper(deposits=(Deposit(process="136", backing="none"),))
    assert worst(api_1104_20.covers(unknown, weld, {})) == HOLD
    found = api_1104_20.qualified_range(cored, cored.deposits[0], {})
    assert {value.basis.edition for value in found.values()} == {"20th"}


def test_validity_by_the_standard_and_by_the_company() -> None:
    ended = paper(ended_on=date(2025, 6, 1))
    assert api_1104_21.valid_until(ended, (), {}) == date(2025, 5, 31)
    assert api_1104_20.valid_until(paper(), (), {}) == date.max
    on = {
        day: worst(api_1104_21.valid_on(ended, day, (), {}))
        for day in (date(2025, 2, 2), TEST_DAY, date(2025, 5, 31), date(2025, 6, 1))
    }
    assert list(on.values()) == [NONCONFORMITY, CLEAR, CLEAR, NONCONFORMITY]
    half = {"confirmation months": "6"}
    reasons = api_1104_20.valid_on(paper(), date(2025, 8, 4), (), half)
    assert [r.basis.known for r in reasons if r.verdict != CLEAR] == ["project"]
    assert {r.basis.edition for r in reasons if r.basis.standard == "API 1104"} == {"20th"}


PLAIN = Measure.exact


@pytest.mark.parametrize(
    ("face", "wall", "verdict"),
    [
        ({}, 9.53, CLEAR),
        ({"gas_pocket_mm": 1.5875}, 9.53, CLEAR),
        ({"gas_pocket_mm": 1.6}, 9.53, NONCONFORMITY),
        ({"gas_area_percent": 2.0}, 9.53, CLEAR),
        ({"gas_area_percent": 2.1}, 9.53, NONCONFORMITY),
        ({"slag_depth_mm": 0.79375}, 9.53, CLEAR),
        ({"slag_depth_mm": 0.8}, 9.53, NONCONFORMITY),
        ({"slag_length_mm": 3.175}, 6.35, CLEAR),
        ({"slag_length_mm": 3.1}, 6.1, NONCONFORMITY),
        ({"slag_length_mm": 3.2}, 12.7, NONCONFORMITY),
        ({"slag_apart_mm": 12.7}, 9.53, CLEAR),
        ({"slag_apart_mm": 12.6}, 9.53, NONCONFORMITY),
        ({"full_penetration": False}, 9.53, NONCONFORMITY),
        ({"full_fusion": False}, 9.53, NONCONFORMITY),
    ],
)
def test_nick_break(face: dict[str, float], wall: float, verdict: Verdict) -> None:
    reasons = specimens.nick_break(specimens.NickBreak(**face), wall, US)  # type: ignore[arg-type]
    assert worst(reasons) == verdict


@pytest.mark.parametrize(
    ("opening", "wall", "edge", "verdict"),
    [
        (3.175, 6.35, 0.0, CLEAR),
        (3.2, 12.7, 0.0, NONCONFORMITY),
        (3.1, 6.1, 0.0, NONCONFORMITY),
        (0.0, 12.7, 6.3, CLEAR),
        (0.0, 12.7, 0.5, CLEAR),
        (0.0, 12.7, 6.35, NONCONFORMITY),
    ],
)
def test_bend(opening: float, wall: float, edge: float, verdict: Verdict) -> None:
    assert worst(specimens.bend(opening, wall, US, edge)) == verdict


@pytest.mark.parametrize(
    ("changes", "verdict"),
    [
        ({"crack_mm": 79.9}, CLEAR),
        ({"crack_mm": 80.0}, CUT_OUT),
        ({"company_authorized": False}, NONCONFORMITY),
        ({"qualified_procedure": False}, NONCONFORMITY),
        ({"second_crack": True}, CUT_OUT),
    ],
)
def test_crack_repair(changes: dict[str, object], verdict: Verdict) -> None:
    fields: dict[str, object] = {"weld_mm": 1000.0, "crack_mm": 20.0, "company_authorized": True}
    case = repair.CrackRepair(**(fields | changes))  # type: ignore[arg-type]
    assert worst(repair.crack_repair(case)) == verdict


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


def test_records_that_must_be_kept() -> None:
    assert [r.verdict for r in papers.welder_records(True, False)] == [CLEAR, HOLD]
    assert papers.missing_of(papers.COUPON_REPORT, papers.COUPON_REPORT) == ()
    assert cfr_192_examination.missing_of_record(cfr_192_examination.RECORD_FIELDS) == ()
    assert cfr_192_records.missing_of_test_record(cfr_192_records.TEST_RECORD_FIELDS) == ()
    assert cfr_195_construction.missing_of_record(()) == cfr_195_construction.RECORD_GROUPS
    assert practice.missing_of_joint((), ("weld_no",)) == ("weld_no",)


def weld_to_examine(**changes: object) -> cfr_192_examination.GirthWeld:
    fields: dict[str, object] = {
        "hoop_stress_percent": 50.0, "nominal_in": 12.0, "visually_approved": True,
    }  # fmt: skip
    return cfr_192_examination.GirthWeld(**(fields | changes))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("changes", "verdict"),
    [
        ({}, NONCONFORMITY),
        ({"hoop_stress_percent": 19.9, "visually_approved": False}, CLEAR),
        ({"hoop_stress_percent": 20.0}, NONCONFORMITY),
        ({"nominal_in": 4.0}, CLEAR),
        ({"nominal_in": 6.0}, NONCONFORMITY),
        ({"nominal_in": 4.0, "visually_approved": False}, NONCONFORMITY),
        ({"hoop_stress_percent": 39.9, "few_and_impractical": True}, CLEAR),
        ({"hoop_stress_percent": 39.9}, NONCONFORMITY),
        ({"hoop_stress_percent": 40.0, "few_and_impractical": True}, NONCONFORMITY),
    ],
)
def test_need_of_examination(changes: dict[str, object], verdict: Verdict) -> None:
    assert cfr_192_examination.examination_needed(weld_to_examine(**changes)).verdict == verdict


@pytest.mark.parametrize(
    ("leaking", "stress", "left", "verdict"),
    [
        (False, 20.0, 3.175, CLEAR),
        (True, 20.0, 3.175, NONCONFORMITY),
        (False, 20.1, 3.175, NONCONFORMITY),
        (False, 20.0, 3.1, NONCONFORMITY),
    ],
)
def test_repair_in_service(leaking: bool, stress: float, left: float, verdict: Verdict) -> None:
    weld = cfr_192_repair.InServiceWeld(
        leaking=leaking, hoop_stress_percent=stress, remaining_mm=left
    )
    assert worst(cfr_192_repair.in_service_repair(weld)) == verdict


def test_liquid_test_without_a_look_asks_for_the_leak_test() -> None:
    test = cfr_195_test.liquid_test(1000.0, visually_inspected=False)
    assert test.strength_kpa == 1250
    assert test.leak_kpa == pytest.approx(1100)
    assert (test.strength_hours, test.leak_hours) == (4, 4)


def test_usual_delays_are_notes_and_root_gap_is_the_procedures() -> None:
    assert practice.bead_delay(5, practice.HOT_PASS_MIN).verdict == CLEAR
    assert practice.bead_delay(5.1, practice.HOT_PASS_MIN).verdict == NOTE
    assert practice.root_gap(1.6, Span(low=1.2, high=2.0)).verdict == CLEAR
    assert practice.root_gap(2.1, Span(low=1.2, high=2.0)).verdict == NONCONFORMITY


REFUSED: tuple[Callable[[], object], ...] = (
    lambda: welders.od_group(0),
    lambda: welders.wall_group(-1),
    lambda: welders.wall_group(0),
    lambda: procedures.smys_group(0),
    lambda: procedures.travel_speed(300, Span(low=200)),
    lambda: procedures.travel_speed(300, Span(high=200)),
    lambda: specimens.procedure_specimens(0, 5, 360),
    lambda: specimens.procedure_specimens(114, 0, 360),
    lambda: specimens.procedure_specimens(114, 5, 0),
    lambda: specimens.welder_specimens(0, 5),
    lambda: specimens.nick_break(specimens.NickBreak(), 0, US),
    lambda: specimens.bend(1, 0, US),
    lambda: surface.undercut_bands(0, US),
    lambda: surface.shape(1, 0),
    lambda: radiography.parallel_lines([], US),
    lambda: radiography.linear("EU", extent_of(1, 1, 1), 1000, US),
    lambda: settings.weld_length_mm(0),
    lambda: settings.choose({"units": "cubits"}, "units"),
    lambda: films.essential_wire_mm(0),
    lambda: films.essential_wire_mm(50.9),
    lambda: papers.crossover_wall_mm(0, 1),
    lambda: papers.od_of_weld_length_mm(0),
    lambda: repair.crack_repair(repair.CrackRepair(weld_mm=0, crack_mm=1, company_authorized=True)),
    lambda: api_1104_21.accept("ET", [], od_mm=300, wall_mm=9, choices={}),
    lambda: api_1104_21.accept("RT", [], od_mm=0, wall_mm=9, choices={}),
    lambda: api_1104_21.accept("RT", [], od_mm=300, wall_mm=0, choices={}),
    lambda: cfr_192_welders.qualification_for_stress("API 1104 section 99", 10),
    lambda: cfr_192_welders.credit_for_joint(0),
    lambda: cfr_192_welders.appendix_c_bend([0, 0, 0]),
    lambda: cfr_192_joints.miter(-1, 3),
    lambda: cfr_192_examination.least_tests("class 9", 3),
    lambda: cfr_192_examination.least_tests("class 1", -1),
    lambda: cfr_192_examination.least_tests("class 1", 3, 4),
    lambda: cfr_192_repair.crack_removal(0, 1),
    lambda: cfr_192_test.greatest_hoop_stress_percent("water", 1),
    lambda: cfr_192_test.greatest_hoop_stress_percent("natural_gas", 5),
    lambda: cfr_192_test.least_hours(29, 99),
    lambda: cfr_192_test.near_building(0, 1, 1),
    lambda: cfr_192_test.factor_of_test(0, TEST_DAY),
    lambda: cfr_192_test.maop_by_test_kpa(0, 1, TEST_DAY),
    lambda: cfr_192_records.retention_of_test_record("192.999"),
    lambda: cfr_195_construction.arc_burn(1, 0),
    lambda: cfr_195_construction.least_tests_of_welder(-1),
    lambda: cfr_195_construction.least_tests_of_all(-1),
    lambda: cfr_195_construction.listed_place(1, -1, 0),
    lambda: cfr_195_test.liquid_test(0, visually_inspected=True),
    lambda: practice.bead_delay(1, Span(low=1)),
    lambda: practice.root_gap(1, Span(low=1)),
    lambda: practice.root_gap(1, Span(high=1)),
    lambda: practice.repair_rate_percent(0, 0),
    lambda: practice.repair_rate_percent(3, 4),
    lambda: practice.repair_rate_percent(3, -1),
)


@pytest.mark.parametrize("ask", REFUSED)
def test_outside_its_limits_a_rule_refuses(ask: Callable[[], object]) -> None:
    with pytest.raises(InputError, match=r"found .*, expected .+"):
        ask()


@pytest.mark.parametrize("edition", ["API 1104:20th", "API 1104:21st"])
def test_registered_editions_answer_for_all_three_faces(edition: str) -> None:
    for asked in (editions.welder_code, editions.procedure_code, editions.acceptance_code):
        assert edition == asked(edition).EDITION


@pytest.mark.parametrize("code", [api_1104_20, api_1104_21])
def test_listed_rules_exist_and_say_how_they_are_known(code: object) -> None:
    from importlib import import_module

    for rule in code.RULES:  # type: ignore[attr-defined]
        module, name = rule.function.rsplit(".", 1)
        assert callable(getattr(import_module(module), name))
        assert rule.known in ("read", "secondary", "memory", "practice", "project")
    lines = [line for line in code.NOT_COVERED if "22nd" in line]  # type: ignore[attr-defined]
    assert len(lines) == (code is api_1104_21)
    assert len(code.NOT_COVERED) > len(lines)  # type: ignore[attr-defined]


def test_groups_of_fillers_do_not_overlap() -> None:
    names = [name for group in fillers.GROUPS.values() for name in group]
    assert len(names) == len(set(names))
    assert sorted(g for family in fillers.FAMILIES for g in family) == sorted(fillers.GROUPS)


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


@pytest.mark.parametrize(
    ("written", "psi"),
    [(290.0, 42000), (289.6, 42000), (450.0, 65000), (448.0, 65000), (448.1, 65000),
     (448.2, 65000)],
)  # fmt: skip
def test_strengths_as_they_are_written(written: float, psi: int) -> None:
    assert procedures.nominal_smys(written) == convert(psi, "psi", "MPa")
    assert procedures.nominal_smys(written + 0.01) == written + 0.01


def test_words_say_what_was_found() -> None:
    found = {
        within: radiography.porosity_distribution(within, HOLD).found
        for within in (None, True, False)
    }
    assert list(found.values()) == ["not recorded", "within the charts", "beyond the charts"]
    verdicts = [radiography.porosity_distribution(w, NOTE).verdict for w in found]
    assert verdicts == [NOTE, CLEAR, NONCONFORMITY]
    beads = [
        radiography.hollow_bead(extent_of(1, 1, 1), pairs, 1000, US)[2] for pairs in (None, 0, 1)
    ]
    assert [bead.found for bead in beads] == ["not recorded", "0", "1"]
    assert [bead.verdict for bead in beads] == [HOLD, CLEAR, NONCONFORMITY]
    assert cfr_192_joints.alignment(True).found == "kept"
    assert cfr_192_joints.alignment(False).found == "not kept"
    asked = cfr_192_welders.appendix_c_requalification(TEST_DAY, TEST_DAY, True, {})
    assert asked[1].found == "yes"
    assert cfr_192_examination.each_welder(2, 0, isolated=True).found == "0 of 2, isolated"
    linked = practice.cut_out_linked("", "", [])
    assert linked.found == "no number, no status, to none"
    assert films.film_density(1.6).verdict == NONCONFORMITY
    assert surface.shape(7.62, 2.54) == "rounded"
    assert surface.shape(7.63, 2.54) == "linear"
    assert radiography.parallel_lines([0.79375, 0.5], US) == 1
    assert radiography.parallel_lines([0.8, 0.5, 0.5], US) == 3
    assert practice.golden_weld(False, 99.9, 100)[0].verdict == NONCONFORMITY
    assert worst(practice.golden_weld(False, 100, 100)) == CLEAR
    assert papers.crossover_wall_mm(12.5, 0.79375) == pytest.approx(6.35)
