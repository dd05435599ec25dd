"""Published figures on order of work, coating, cover, pressure tests and fit-up, by the checks."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, datetime, time
from pathlib import Path
from typing import Any

import pytest
import yaml

from dossier.checks import (
    coating_conditions,
    cover_and_backfill,
    examination_complete,
    fit_up,
    hardness,
    section_pressure,
    sequence_of_work,
    wall_transition,
)
from dossier.coverage.joint_file import joint_file
from dossier.coverage.view import View
from dossier.records.base import Paper
from dossier.records.construction import Coating, Lowering
from dossier.records.project import Examined, Project
from dossier.records.treatment import HardnessTest
from dossier.records.verdicts import HOLD, NONCONFORMITY, NOTE, Finding, Reason
from dossier.units import convert
from tests.checks.made import seen_on, sound

DATA = Path(__file__).parents[1] / "reference" / "data"


def cases(*quantities: str, file: str = "inspection.yaml") -> list[Any]:
    stored = yaml.safe_load((DATA / file).read_text(encoding="utf-8"))
    found = [case for case in stored if case["quantity"] in quantities]
    assert {case["quantity"] for case in found} == set(quantities)
    return [pytest.param(case, id=case["id"]) for case in found]


def changed(base: Project, **registers: object) -> Project:
    return replace(base, **registers)  # type: ignore[arg-type]


def with_rules(base: Project, **rules: object) -> Project:
    own = replace(base.settings.requirements, **rules)  # type: ignore[arg-type]
    return replace(base, settings=replace(base.settings, requirements=own))


def on_line(base: Project, line: str, **values: object) -> Project:
    lines = tuple(replace(x, **values) if x.id == line else x for x in base.lines)  # type: ignore[arg-type]
    return replace(base, lines=lines)


def on_joint(base: Project, number: str, **values: object) -> Project:
    joints = tuple(
        replace(j, **values) if j.number == number else j  # type: ignore[arg-type]
        for j in base.joints
    )
    return replace(base, joints=joints)


def asked(check: Any, base: Project, number: str = "ML-001") -> list[Finding]:
    seen: View = seen_on(base)
    joint = next(j for j in base.joints if j.number == number)
    return list(check(seen, joint_file(seen, joint)))


def reasons(findings: list[Finding], variable: str) -> Iterator[Reason]:
    return (r for f in findings for r in f.reasons if r.variable == variable)


def moment(day: str, hour: int) -> datetime:
    return datetime.combine(date.fromisoformat(day), time(hour))


@pytest.mark.parametrize("case", cases("joint_chronology"))
def test_order_of_work(case: dict[str, Any]) -> None:
    days = case["inputs"]
    base = sound()
    welded = moment(days["welded"], 10)
    base = on_joint(base, "ML-001", welded_on=welded.date(), finished_at=welded)
    base = changed(
        base,
        passes=tuple(p for p in base.passes if p.joint != "ML-001"),
        examinations=tuple(
            replace(e, examined_at=moment(days["ndt"], 12)) if e.joint == "ML-001" else e
            for e in base.examinations
        ),
        coatings=(
            Coating(
                report="FC-1",
                joint="ML-001",
                coated_at=moment(days["coated"], 14),
                holiday_tested_at=moment(days["holiday"], 8),
                holiday_kv=15,
                holidays_found=0,
                thickness_mm=2,
            ),
        ),
        lowerings=(Lowering(joint="ML-001", lowered_at=moment(days["lowered"], 9)),),
    )
    findings = asked(sequence_of_work.check, base)
    assert [f.verdict for f in findings] == ([NONCONFORMITY] if "pair" in case["expected"] else [])
    if "pair" in case["expected"]:
        late, _, early = case["expected"]["pair"].partition(" after ")
        (reason,) = findings[0].reasons
        assert reason.variable == {"coating": "coated", "lowering": "lowered"}[early]
        assert {"ndt": "accepted", "holiday": "holiday test"}[late] in reason.permitted


COVER_PLACES = {
    "class_1": "class 1",
    "class_2_3_4": "class 2, 3, 4",
    "any_other": "any other",
    "industrial_commercial_residential": "industrial, commercial or residential",
    "inland_water_100_ft_or_more": "inland water",
    "drainage_ditch_road_rail": "drainage ditch, road or rail",
}


@pytest.mark.parametrize("case", cases("cover_192", "cover_195"))
def test_cover(case: dict[str, Any]) -> None:
    asks = case["inputs"]
    rule = f"49 CFR {case['quantity'].removeprefix('cover_')}"
    row = Lowering(
        joint="ML-001",
        location=COVER_PLACES[asks["location"]],
        ground=asks["excavation"],
        cover_m=convert(asks["measured_in"], "in", "m"),
    )
    base = with_rules(changed(sound(), lowerings=(row,)), cover_min_m=None, cover_rule=rule)
    findings = asked(cover_and_backfill.check, base)
    short = case["expected"]["verdict"] == "short"
    assert [f.verdict for f in findings] == ([NONCONFORMITY] if short else [])
    least = convert(case["expected"]["min_in"], "in", "m")
    if short:
        assert findings[0].reasons[0].permitted == f"from {round(least, 3):g} m"
    barely = changed(base, lowerings=(replace(row, cover_m=least - 0.002),))
    assert [f.verdict for f in asked(cover_and_backfill.check, barely)] == [NONCONFORMITY]


@pytest.mark.parametrize("case", cases("dew_point_margin"))
@pytest.mark.parametrize("read", [True, False], ids=["read", "computed"])
def test_climate_of_coating(case: dict[str, Any], *, read: bool) -> None:
    asks, expected = case["inputs"], case["expected"]
    coating = replace(
        sound().coatings[0],
        air_c=asks["air_c"],
        humidity_percent=asks["humidity_pct"],
        steel_c=asks["steel_c"],
        dew_point_c=expected["dew_point_c"] if read else None,
    )
    findings = asked(coating_conditions.check, changed(sound(), coatings=(coating,)))
    good = expected["verdict"] == "coat"
    assert [f.verdict for f in findings] == ([] if good else [NONCONFORMITY])


VOLTAGE_RULES = {
    "hv-sp0274-93-8-mil": "sp0274",
    "hv-sp0274-2-mm-250": "sp0274-um",
    "hv-sp0274-2-5-mm-7900": "sp0274-mm",
    "hv-d5162-0-5": "d5162",
    "hv-d5162-1-5": "d5162",
    "hv-d5162-at-1-00": "d5162",
    "hv-sp0490-16-mil": "sp0490",
    "hv-fjc-25-kv-cap": "iso-21809-3",
}
UNIT_OF = {"thickness_mil": "mil", "thickness_um": "µm", "thickness_mm": "mm"}


@pytest.mark.parametrize(
    "case", [c for c in cases("holiday_test_voltage") if c.values[0]["id"] in VOLTAGE_RULES]
)
def test_holiday_voltage(case: dict[str, Any]) -> None:
    ((name, thickness),) = case["inputs"].items()
    thickness_mm = convert(thickness, UNIT_OF[name], "mm")
    rules = {"holiday_kv": None, "holiday_rule": VOLTAGE_RULES[case["id"]]}
    asked_kv = case["expected"]["volts"] / 1000
    for kv, verdicts in ((asked_kv + 0.06, []), (asked_kv - 0.1, [NONCONFORMITY])):
        coating = replace(sound().coatings[0], thickness_mm=thickness_mm, holiday_kv=kv)
        base = with_rules(changed(sound(), coatings=(coating,)), **rules)
        assert [f.verdict for f in asked(sequence_of_work.check, base)] == verdicts, kv


def findings_of(base: Project, **values: object) -> list[Finding]:
    """The findings of the sound pressure test so changed, under its project's rule."""
    test = replace(base.pressure_tests[0], **values)  # type: ignore[arg-type]
    return list(section_pressure.check(seen_on(changed(base, pressure_tests=(test,)))))


# What the record of 192.517 holds when nothing is left out.
WHOLE: dict[str, Any] = {
    "company": "Quiet Testing",
    "responsible": "M. Ostrander",
    "medium": "water",
    "duration_h": 8.0,
    "required_h": None,
    "elevations": "level",
    "leaks": 0,
    "document": Paper(document="D-1"),
}
ITEM_OF = {
    "operator_and_responsible_name": "responsible",
    "test_company": "company",
    "test_medium": "medium",
    "test_pressure": "pressure_bar",
    "test_duration": "duration_h",
    "pressure_readings": "document",
    "elevation_variations": "elevations",
    "leaks_and_failures": "leaks",
}
BLANK = {"pressure_bar": None, "duration_h": None, "document": None, "leaks": None}


def under_gas_rule() -> Project:
    return with_rules(on_line(sound(), "ST", location_class=1), pressure_test_rule="49 CFR 192")


@pytest.mark.parametrize("case", cases("strength_test_hours", file="us_pipeline.yaml")[:1])
def test_hours_of_a_strength_test(case: dict[str, Any]) -> None:
    hours = float(case["expected"]["min_hours"])
    assert findings_of(under_gas_rule(), **WHOLE | {"duration_h": hours}) == []
    (finding,) = findings_of(under_gas_rule(), **WHOLE | {"duration_h": hours - 0.1})
    assert finding.verdict == NONCONFORMITY


MEDIA = {"air_or_inert": "nitrogen", "natural_gas": "natural gas"}


@pytest.mark.parametrize("case", cases("gas_test_max_hoop", file="us_pipeline.yaml"))
def test_gas_as_medium(case: dict[str, Any]) -> None:
    asks = case["inputs"]
    base = on_line(under_gas_rule(), "ST", location_class=asks["class_location"])
    pipe = next(item for item in base.items if item.number == "T-1")
    assert pipe.wall_mm
    assert pipe.od_mm
    assert pipe.smys_mpa
    limit = case["expected"]["max_hoop_stress_pct_smys"]
    for percent, verdicts in ((limit - 0.5, []), (limit + 0.5, [NONCONFORMITY])):
        bar = 10 * percent / 100 * pipe.smys_mpa * 2 * pipe.wall_mm / pipe.od_mm
        values = WHOLE | {
            "medium": MEDIA[asks["medium"]],
            "pressure_bar": bar,
            "required_bar": None,
        }
        assert [f.verdict for f in findings_of(base, **values)] == verdicts


@pytest.mark.parametrize(
    "case",
    [c for c in cases("record_completeness") if c.values[0]["inputs"]["record_set"] == "192_517"],
)
def test_record_of_a_pressure_test(case: dict[str, Any]) -> None:
    missing = [ITEM_OF[item] for item in case["expected"]["missing"]]
    blanks = {name: BLANK.get(name, "") for name in missing}
    findings = findings_of(under_gas_rule(), **WHOLE | blanks)
    assert [f.verdict for f in findings] == ([HOLD] if missing else [])
    if missing:
        (reason,) = reasons(findings, "record")
        assert missing[0].removesuffix("s") in reason.found


@pytest.mark.parametrize("case", cases("liquid_test", file="us_pipeline.yaml"))
def test_pressure_of_a_liquid_line(case: dict[str, Any]) -> None:
    mop = convert(case["inputs"]["mop_psig"], "psi", "bar")
    least = convert(case["expected"]["min_strength_psig"], "psi", "bar")
    base = with_rules(
        on_line(sound(), "ST", design_pressure_bar=mop), pressure_test_rule="49 CFR 195"
    )
    own = {"required_bar": None, "required_h": None, "duration_h": 4.0}
    assert findings_of(base, **own | {"pressure_bar": least + 0.001}) == []
    (finding,) = findings_of(base, **own | {"pressure_bar": least - 0.1})
    assert finding.verdict == NONCONFORMITY
    (short,) = findings_of(base, **own | {"pressure_bar": least + 1, "duration_h": 3.9})
    assert [r.variable for r in short.reasons] == ["test time"]


@pytest.mark.parametrize("case", cases("liquid_test_medium", file="us_pipeline.yaml"))
def test_medium_of_a_liquid_line(case: dict[str, Any]) -> None:
    base = with_rules(
        on_line(sound(), "ST", design_pressure_bar=80), pressure_test_rule="49 CFR 195"
    )
    findings = findings_of(base, medium=case["inputs"]["medium"])
    refused = case["expected"]["verdict"] == "not_permitted"
    assert bool(list(reasons(findings, "test medium"))) == refused
    assert findings_of(base, medium="water") == []


@pytest.mark.parametrize("case", cases("high_low", file="us_pipeline.yaml"))
def test_hi_lo_by_the_advice_of_the_code(case: dict[str, Any]) -> None:
    offset_mm = convert(case["inputs"]["offset_in"], "in", "mm")
    findings = asked(fit_up.check, on_joint(sound(), "ML-001", hi_lo_mm=offset_mm))
    beyond = case["expected"]["verdict"] == "beyond_advisory_limit"
    assert [f.verdict for f in findings] == ([NOTE] if beyond else [])


@pytest.mark.parametrize("case", cases("transition_weld", file="us_pipeline.yaml"))
def test_transition_keeps_its_record(case: dict[str, Any]) -> None:
    base = with_rules(sound(), transition_record=True)
    assert asked(wall_transition.check, base) == []
    thick = tuple(replace(i, wall_mm=12.7) if i.number == "P-2" else i for i in base.items)
    findings = asked(wall_transition.check, changed(base, items=thick))
    assert [f.verdict for f in findings] == ([HOLD] if case["inputs"]["unequal_wall"] else [])
    assert case["expected"]["verdict"] == "flag"


@pytest.mark.parametrize("case", cases("hardness_limit"))
def test_hardness_in_sour_service(case: dict[str, Any]) -> None:
    asks, expected = case["inputs"], case["expected"]
    base = on_line(sound(), "ML", service="sour gas")
    for value, verdicts in (
        (asks["hardness_hv10"], [NONCONFORMITY] if expected["verdict"] == "reject" else []),
        (expected["limit_hv"], []),
    ):
        test = HardnessTest(report="HD-2", joint="ML-001", zone=asks["location"], values=(value,))
        findings = asked(hardness.check, changed(base, hardness_tests=(test,)))
        assert [f.verdict for f in findings] == verdicts


@pytest.mark.parametrize("case", cases("golden_weld", file="us_pipeline.yaml"))
def test_golden_weld_is_examined_twice(case: dict[str, Any]) -> None:
    asks = case["inputs"]
    golden = Examined(kinds=("golden",), methods=("VT", "RT", "UT"))
    base = with_rules(on_joint(sound(), "ML-001", kind="golden"), examined=(golden,))
    report = next(e for e in base.examinations if e.report == "RT-1")
    other = replace(report, report="UT-1", method="UT", extent_percent=asks["ut_pct"])
    findings = asked(
        examination_complete.check, changed(base, examinations=(*base.examinations, other))
    )
    assert [f.about("method") for f in findings] == ["UT"]
    whole = replace(other, extent_percent=100.0)
    again = changed(base, examinations=(*base.examinations, whole))
    assert asked(examination_complete.check, again) == []
    assert case["expected"]["verdict"] == "not_permitted"
