"""Rules on radiation work, dates, cover, records and viewing: at, under and over each step."""

from collections.abc import Callable
from datetime import date

import pytest

from dossier.calc.cautions import CAUTIONS, caution
from dossier.codes import (
    api_rp_577,
    api_rp_582_2016,
    cfr_10_20,
    cfr_10_34,
    cfr_10_73,
    cfr_192_cover,
    cfr_192_design,
    cfr_195_cover,
    construction_records,
    field_coating_practice,
    instruments,
    iso_9712_2021,
    iso_12944_7_2017,
    iso_15156_2,
    joint_sequence,
    viewing_conditions,
)
from dossier.errors import InputError
from dossier.records.verdicts import CLEAR, HOLD, NONCONFORMITY, Verdict, worst

DAY = date(2025, 6, 2)


def test_the_caution_of_radiation_is_carried() -> None:
    assert caution("radiation") == cfr_10_20.CAUTION == cfr_10_34.CAUTION
    assert f"{caution('radiation')} {CAUTIONS['source-security']}" == cfr_10_73.CAUTION


def test_dose_limits() -> None:
    limits = cfr_10_20.dose_limits_rem
    assert limits("minor_worker", "year") == {
        what: pytest.approx(rem / 10) for what, rem in limits("adult_worker", "year").items()
    }
    assert limits("public", "any_one_hour") == {"external_unrestricted": 0.002}
    assert limits("public", "year") == {"total_effective": 0.1}
    assert limits("unborn_child", "pregnancy") == {"total_effective": 0.5}


@pytest.mark.parametrize(
    ("dose", "area"),
    [
        (0.0, "none"),
        (5.0, "none"),
        (5.1, "radiation_area"),
        (100.0, "radiation_area"),
        (100.1, "high_radiation_area"),
    ],
)
def test_posting(dose: float, area: str) -> None:
    assert cfr_10_20.area_posting(dose) == area


@pytest.mark.parametrize(
    ("site", "people", "verdict"),
    [
        ("temporary_jobsite", 1, NONCONFORMITY),
        ("temporary_jobsite", 2, CLEAR),
        ("permanent_installation", 0, NONCONFORMITY),
        ("permanent_installation", 1, CLEAR),
    ],
)
def test_crew(site: str, people: int, verdict: Verdict) -> None:
    assert cfr_10_34.crew(site, people).verdict == verdict


@pytest.mark.parametrize(
    ("site", "watched", "locked", "found"),
    [
        ("temporary_jobsite", True, False, "watched"),
        ("temporary_jobsite", False, True, "not watched"),
        ("permanent_installation", False, True, "locked"),
        ("permanent_installation", False, False, "not watched"),
    ],
)
def test_surveillance(site: str, watched: bool, locked: bool, found: str) -> None:
    reason = cfr_10_34.surveillance(
        site, continuous_direct_visual=watched, every_entry_locked=locked
    )
    assert reason.found == found
    assert (reason.verdict == CLEAR) == (found != "not watched")


def test_an_installation_counts_as_open_until_its_lock_is_shown() -> None:
    reason = cfr_10_34.surveillance("permanent_installation", continuous_direct_visual=False)
    assert reason.verdict == NONCONFORMITY


def test_survey_and_dosimeter() -> None:
    made, skipped = (cfr_10_34.survey(survey_after_exposure=done) for done in (True, False))
    assert (made.found, made.verdict) == ("made", CLEAR)
    assert (skipped.found, skipped.verdict) == ("not made", NONCONFORMITY)
    assert cfr_10_34.dosimeter(0.0).verdict == CLEAR
    assert cfr_10_34.dosimeter(200.0).verdict == CLEAR
    assert cfr_10_34.dosimeter(201.0).verdict == NONCONFORMITY
    assert cfr_10_34.posting_required()


@pytest.mark.parametrize(
    ("source", "gbq"), [("Ir-192", 800.0), ("Se-75", 2000.0), ("Co-60", 300.0), ("Yb-169", 3000.0)]
)
def test_security_threshold(source: str, gbq: float) -> None:
    assert cfr_10_73.under_security_rules({source: gbq})
    assert not cfr_10_73.under_security_rules({source: gbq * 0.999})
    assert cfr_10_73.security_fraction({source: gbq / 2}) == pytest.approx(0.5)


def test_sources_add_up() -> None:
    assert cfr_10_73.under_security_rules({"Ir-192": 400.0, "Co-60": 150.0})
    assert cfr_10_73.security_fraction({}) == 0


def test_design_factors() -> None:
    assert [cfr_192_design.design_factor(n) for n in (1, 2, 3, 4)] == [0.72, 0.60, 0.50, 0.40]
    assert cfr_192_design.joint_factor("seamless") == 1.0
    assert cfr_192_design.joint_factor("furnace_lap_welded") == 0.8
    assert cfr_192_design.joint_factor("furnace_butt_welded") == 0.6
    welded = ("electric_resistance", "electric_flash", "submerged_arc", "double_submerged_arc")
    assert {cfr_192_design.joint_factor(f"{name}_welded") for name in welded} == {1.0}


@pytest.mark.parametrize(
    ("gas_f", "factor"),
    [
        (-20.0, 1.0), (250.0, 1.0), (251.0, 0.99934), (300.0, 0.967), (325.0, 0.95),
        (350.0, 0.933), (400.0, 0.9), (425.0, 0.8835), (450.0, 0.867),
    ],
)  # fmt: skip
def test_temperature_factor(gas_f: float, factor: float) -> None:
    assert cfr_192_design.temperature_factor(gas_f) == pytest.approx(factor)


@pytest.mark.parametrize(
    ("location", "normal", "rock"),
    [
        ("industrial_commercial_residential", 36, 30),
        ("inland_water_100_ft_or_more", 48, 18),
        ("drainage_ditch_road_rail", 36, 36),
        ("deepwater_port_safety_zone", 48, 24),
        ("gulf_of_mexico_inlets", 36, 18),
        ("other_offshore_under_12_ft", 36, 18),
        ("any_other", 30, 18),
    ],
)
def test_cover_of_liquid_lines(location: str, normal: int, rock: int) -> None:
    for excavation, least in (("normal", normal), ("rock", rock)):
        assert cfr_195_cover.min_cover_in(location, excavation) == least
        assert cfr_195_cover.cover(location, excavation, least).verdict == CLEAR
        assert cfr_195_cover.cover(location, excavation, least - 0.1).verdict == NONCONFORMITY
        assert cfr_195_cover.cover(location, excavation, None).verdict == HOLD
        assert cfr_195_cover.min_cover_mm(location, excavation) == round(least * 25.4)


@pytest.mark.parametrize(
    ("location", "normal", "rock"),
    [
        ("class_1", 30, 18),
        ("class_2_3_4", 36, 24),
        ("drainage_ditch_road_rail", 36, 24),
        ("navigable_water", 48, 24),
    ],
)
def test_cover_of_gas_lines(location: str, normal: int, rock: int) -> None:
    for excavation, least in (("normal", normal), ("rock", rock)):
        assert cfr_192_cover.cover(location, excavation, least).verdict == CLEAR
        assert cfr_192_cover.cover(location, excavation, least - 0.1).verdict == NONCONFORMITY


@pytest.mark.parametrize(
    ("item", "due"),
    [
        ("densitometer", "2025-11-28"),
        ("step wedge comparison film", "2026-08-30"),
        ("radiation survey meter", "2026-02-28"),
        ("sealed source leak test", "2026-02-28"),
        ("magnetic yoke dead weight check", "2026-02-28"),
        ("UV-A radiometer or light meter", "2026-08-30"),
    ],
)
def test_intervals_to_the_last_day(item: str, due: str) -> None:
    last, until = date(2025, 8, 30), date.fromisoformat(due)
    assert instruments.due_on(item, last) == until
    assert instruments.in_date(item, last, until).verdict == CLEAR
    late = instruments.in_date(item, last, date.fromordinal(until.toordinal() + 1))
    assert late.verdict == NONCONFORMITY
    assert late.permitted == f"until {due}"
    assert instruments.in_date(item, None, until).verdict == HOLD
    assert instruments.in_date(item, last, last).verdict == CLEAR


def test_people_to_the_last_day() -> None:
    last = date(2024, 2, 29)
    assert iso_9712_2021.vision_test_until(last) == date(2025, 2, 28)
    assert iso_9712_2021.vision_test(last, date(2025, 2, 28)).verdict == CLEAR
    assert iso_9712_2021.vision_test(last, date(2025, 3, 1)).verdict == NONCONFORMITY
    assert iso_9712_2021.vision_test(last, last).verdict == CLEAR
    assert iso_9712_2021.examiner_certificate_until(last) == date(2029, 2, 28)
    assert iso_9712_2021.examiner_certificate(last, date(2029, 2, 28)).verdict == CLEAR
    late = iso_9712_2021.examiner_certificate(last, date(2029, 3, 1))
    assert late.verdict == NONCONFORMITY
    assert late.permitted == "2024-02-29 to 2029-02-28"


def test_records() -> None:
    for name, (items, _) in construction_records.RECORD_SETS.items():
        assert construction_records.missing_items(name, items) == []
        assert construction_records.completeness(name, items).verdict == CLEAR
        for item in items:
            rest = [other for other in items if other != item]
            assert construction_records.missing_items(name, rest) == [item]
            lacking = construction_records.completeness(name, rest)
            assert lacking.verdict == HOLD
            assert lacking.found == f"missing: {item.replace('_', ' ')}"
            assert lacking.permitted == f"{len(items)} items"
    counts = {name: len(items) for name, (items, _) in construction_records.RECORD_SETS.items()}
    assert counts == {"195_266": 9, "192_517": 8, "rt_report": 16, "ped_final": 10}
    assert construction_records.retention("low_pressure_test_record").period == "5_years"


def test_order_of_work() -> None:
    steps = list(joint_sequence.STEPS)
    rising = {step: date.fromordinal(DAY.toordinal() + n) for n, step in enumerate(steps)}
    assert joint_sequence.disorders(rising) == []
    assert joint_sequence.disorders(dict.fromkeys(steps, DAY)) == []
    assert joint_sequence.disorders(dict.fromkeys(steps)) == []
    for n, step in enumerate(steps[:-1]):
        swapped = rising | {step: rising[steps[n + 1]], steps[n + 1]: rising[step]}
        pair = (joint_sequence.STEPS[step], joint_sequence.STEPS[steps[n + 1]])
        assert joint_sequence.disorders(swapped) == [pair]
    reason = joint_sequence.in_order({"ndt": rising["coated"], "coated": DAY})[0]
    assert (reason.found, reason.verdict) == ("ndt after coating", NONCONFORMITY)


def test_field_coating_practice() -> None:
    assert field_coating_practice.min_peel_tests(50, 1) == 1
    assert field_coating_practice.min_peel_tests(51, 1) == 2
    assert field_coating_practice.min_peel_tests(51, 4) == 4
    assert field_coating_practice.min_peel_tests(20, 1, joints_per_test=10) == 2
    actions = [field_coating_practice.holiday_disposition(n) for n in (0, 1, 2, 3)]
    assert actions == ["accept", *["patch_and_test_again"] * 2, "strip_and_replace"]


def test_climate() -> None:
    dry = iso_12944_7_2017.climate(20.0, 85.0, 30.0)
    assert [reason.verdict for reason in dry] == [CLEAR, CLEAR]
    assert iso_12944_7_2017.climate(20.0, 0.5, 30.0)[1].verdict == CLEAR
    assert iso_12944_7_2017.climate(20.0, 85.1, 30.0)[1].verdict == NONCONFORMITY
    # At 100 % the dew point is the air's own temperature.
    assert iso_12944_7_2017.climate(20.0, 100.0, 23.0)[0].verdict == CLEAR
    assert iso_12944_7_2017.climate(20.0, 100.0, 22.99)[0].verdict == NONCONFORMITY
    assert "dew point of 20.0 °C" in iso_12944_7_2017.climate(20.0, 100.0, 23.0)[0].variable


def test_hardness_and_ferrite() -> None:
    for location in iso_15156_2.LOCATIONS:
        assert iso_15156_2.hardness_limit_hv(location) == 250.0
    assert iso_15156_2.hardness_limit_hv("cap", cap_agreed=True) == 275.0
    assert iso_15156_2.hardness_limit_hv("root", cap_agreed=True) == 250.0
    assert iso_15156_2.hardness("root", 0.5).verdict == CLEAR
    assert iso_15156_2.hardness("root", 250.0).verdict == CLEAR
    assert iso_15156_2.hardness("cap", 275.0, cap_agreed=True).verdict == CLEAR
    assert iso_15156_2.hardness("cap", 260.0).verdict == NONCONFORMITY
    assert iso_15156_2.hardness("root", None).verdict == HOLD
    verdicts = [api_rp_582_2016.ferrite("weld_metal", pct).verdict for pct in (29.9, 30, 65, 65.1)]
    assert verdicts == [NONCONFORMITY, CLEAR, CLEAR, NONCONFORMITY]


def test_viewing() -> None:
    assert not worst(viewing_conditions.visual(350.0, 600.0, 30.0))
    assert not worst(viewing_conditions.visual(350.0, 0.5, 90.0))
    assert not worst(viewing_conditions.uv_light(10.0, 0.0))
    assert viewing_conditions.uv_uw_cm2(2.5) == 250.0
    for bad in (
        (350.0, 600.0, 90.5),
        (349.0, 600.0, 30.0),
        (350.0, 601.0, 30.0),
        (350.0, 600.0, 29.0),
    ):
        assert worst(viewing_conditions.visual(*bad)) == NONCONFORMITY
    assert not worst(viewing_conditions.uv_light(10.0, 19.9))
    assert worst(viewing_conditions.uv_light(9.9, 19.9)) == NONCONFORMITY
    assert worst(viewing_conditions.uv_light(10.0, 20.0)) == NONCONFORMITY
    verdicts = [api_rp_577.film_reader(level).verdict for level in (1, 2, 3, None)]
    assert verdicts == [NONCONFORMITY, CLEAR, CLEAR, HOLD]


@pytest.mark.parametrize(
    ("current", "legs", "least"),
    [
        *(("ac", 3.0, 10), ("ac", 6.0, 10), ("dc", 2.0, 30), ("dc", 4.0, 30)),
        *(("dc", 4.1, 40), ("dc", 6.0, 40)),
    ],
)
def test_yoke(current: str, legs: float, least: float) -> None:
    assert viewing_conditions.yoke_lift(current, legs, least).verdict == CLEAR
    assert viewing_conditions.yoke_lift(current, legs, least - 0.1).verdict == NONCONFORMITY
    assert viewing_conditions.yoke_lift(current, legs, None).verdict == HOLD


@pytest.mark.parametrize(
    "call",
    [
        lambda: cfr_10_20.dose_limits_rem("public", "week"),
        lambda: cfr_10_20.area_posting(-1.0),
        lambda: cfr_10_34.crew_needed("yard"),
        lambda: cfr_10_34.surveillance("yard", continuous_direct_visual=True),
        lambda: cfr_10_34.dosimeter(-1.0),
        lambda: cfr_10_73.security_fraction({"Cs-137": 1.0}),
        lambda: cfr_10_73.security_fraction({"Ir-192": -1.0}),
        lambda: cfr_192_design.design_factor(5),
        lambda: cfr_192_design.joint_factor("glued"),
        lambda: cfr_192_design.temperature_factor(450.1),
        lambda: cfr_192_design.temperature_factor(-460.0),
        lambda: cfr_192_cover.min_cover_in("sea", "normal"),
        lambda: cfr_192_cover.min_cover_in("class_1", "sand"),
        lambda: cfr_195_cover.min_cover_in("sea", "normal"),
        lambda: cfr_195_cover.min_cover_in("any_other", "sand"),
        lambda: instruments.due_on("ruler", DAY),
        lambda: instruments.in_date("densitometer", date(2025, 6, 3), DAY),
        lambda: iso_9712_2021.vision_test(date(2025, 6, 3), DAY),
        lambda: iso_9712_2021.examiner_certificate(date(2025, 6, 3), DAY),
        lambda: construction_records.missing_items("diary", []),
        lambda: construction_records.retention("diary"),
        lambda: joint_sequence.disorders({"painted": DAY}),
        lambda: field_coating_practice.min_peel_tests(-1, 1),
        lambda: field_coating_practice.min_peel_tests(1, -1),
        lambda: field_coating_practice.min_peel_tests(1, 1, 0),
        lambda: field_coating_practice.holiday_disposition(-1),
        lambda: iso_15156_2.hardness_limit_hv("flange"),
        lambda: api_rp_582_2016.ferrite_range("base_metal"),
        lambda: viewing_conditions.uv_uw_cm2(-1.0),
        lambda: viewing_conditions.yoke_lift_range_lb("three-phase", 4.0),
        lambda: viewing_conditions.yoke_lift_range_lb("ac", 2.9),
        lambda: viewing_conditions.yoke_lift_range_lb("dc", 1.9),
        lambda: viewing_conditions.yoke_lift_range_lb("dc", 6.1),
    ],
)
def test_refused(call: Callable[[], object]) -> None:
    with pytest.raises(InputError):
        call()
