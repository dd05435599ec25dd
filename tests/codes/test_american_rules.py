"""American rules that take more than plain figures, and the list of them."""

from __future__ import annotations

from datetime import date

import pytest

from dossier.codes import (
    api_1104_20,
    api_1104_21,
    cfr_192,
    cfr_192_examination,
    cfr_192_joints,
    cfr_192_records,
    cfr_192_repair,
    cfr_192_welders,
    cfr_195,
    cfr_195_construction,
    cfr_195_test,
    editions,
    practice,
)
from dossier.codes.api_1104_21 import (
    fillers,
    films,
    papers,
    procedures,
    radiography,
    repair,
    specimens,
    surface,
    welders,
)
from dossier.codes.api_1104_21.extent import Extent, Measure
from dossier.codes.api_1104_21.settings import US
from dossier.records.procedures import Span
from dossier.records.verdicts import (
    CLEAR,
    CUT_OUT,
    HOLD,
    NONCONFORMITY,
    NOTE,
    Verdict,
    worst,
)
from dossier.records.weld import Weld
from dossier.records.welders import Certificate, Deposit
from dossier.units import convert


def extent_of(longest: float, window: float, total: float) -> Extent:
    return Extent(*(Measure.exact(length) for length in (longest, window, total)))


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
        (False, 0.0, 3.175, CLEAR),
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


@pytest.mark.parametrize("edition", ["API 1104:20th", "API 1104:21st"])
def test_registered_editions_answer_for_all_three_faces(edition: str) -> None:
    for asked in (editions.welder_code, editions.procedure_code, editions.acceptance_code):
        assert edition == asked(edition).EDITION


@pytest.mark.parametrize("code", [api_1104_20, api_1104_21, cfr_192, cfr_195])
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
