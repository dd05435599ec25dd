"""Published figures on shares, clocks, sampling and film density, through the checks themselves."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
import yaml

from dossier.checks import (
    examination_share,
    examination_technique,
    tracer_welds,
    welder_continuity,
)
from dossier.coverage.joint_file import joint_file
from dossier.coverage.view import View
from dossier.records.project import Progressive, Project
from dossier.records.verdicts import HOLD, NONCONFORMITY, Finding
from tests.checks.made import Made, certified, project, seen_on

DATA = Path(__file__).parents[1] / "reference" / "data"
DAY = date(2026, 5, 4)
LINES = {
    "class1": {"location_class": 1},
    "class2": {"location_class": 2},
    "class3_4_or_crossing": {"location_class": 3},
    "tie_in": {"location_class": 1},
}


def cases(*quantities: str) -> list[Any]:
    found = [
        case
        for name in ("us_pipeline.yaml", "inspection.yaml")
        for case in yaml.safe_load((DATA / name).read_text(encoding="utf-8"))
        if case["quantity"] in quantities
    ]
    assert {case["quantity"] for case in found} == set(quantities)
    return [pytest.param(case, id=case["id"]) for case in found]


def day(value: str) -> date:
    return date.fromisoformat(value)


def days_welds(
    count: int, tested: int, left_out: int = 0, kind: str = "mainline", *, each: bool = True
) -> list[Made]:
    """A day's welds, the first of them examined; each by another welder, or all by one."""
    return [
        Made(
            number=f"ML-{n:03d}",
            day=DAY,
            welders=(f"W{n:03d}" if each else "W01",),
            kind=kind,
            tested_on=DAY + timedelta(days=1) if n < tested else None,
            impracticable="valve beside it" if tested <= n < tested + left_out else "",
            buried=True,
        )
        for n in range(count)
    ]


def short(made: list[Made], about: str, regulation: str, **line: object) -> list[Finding]:
    seen = seen_on(project(made, regulation=regulation, **line))
    return [f for f in examination_share.check(seen) if f.about(about)]


@pytest.mark.parametrize("case", cases("ndt_min_count_gas"))
def test_least_number_of_a_day(case: dict[str, Any]) -> None:
    given, least = case["inputs"], case["expected"]["min_welds_tested"]
    welds, line = given["field_butt_welds_that_day"], LINES[given["zone"]]
    assert not short(days_welds(welds, least), "zone", "49 CFR 192", **line)
    (finding,) = short(days_welds(welds, least - 1), "zone", "49 CFR 192", **line)
    assert finding.verdict == NONCONFORMITY
    assert finding.reasons[0].found == f"{least - 1} of {welds}"
    assert finding.reasons[0].basis.clause == "192.243(d)"


@pytest.mark.parametrize("case", cases("ndt_day_gas", "ndt_day_liquid_listed"))
def test_day_with_welds_that_are_impracticable(case: dict[str, Any]) -> None:
    given = case["inputs"]
    liquid = case["quantity"] == "ndt_day_liquid_listed"
    zone = given.get("zone", "")
    kind = "crossing" if liquid else "tie-in" if zone == "tie_in" else "mainline"
    welds = given.get("field_butt_welds_that_day") or given["girth_welds_that_day"]
    made = days_welds(welds, given["welds_tested"], given.get("welds_impracticable", 0), kind)
    found = short(made, "zone", "49 CFR 195" if liquid else "49 CFR 192", **LINES.get(zone, {}))
    assert bool(found) == (case["expected"]["verdict"] == "reject")
    assert all(finding.verdict == NONCONFORMITY for finding in found)


@pytest.mark.parametrize("case", cases("sample_each_welder"))
def test_each_welder_of_a_day(case: dict[str, Any]) -> None:
    given = case["inputs"]
    own = days_welds(given["welder_welds_that_day"], given["welder_welds_tested"], each=False)
    others = [
        Made(number=f"ML-5{n:02d}", day=DAY, welders=("W77",), tested_on=DAY + timedelta(days=1))
        for n in range(9)
    ]
    found = short([*own, *others], "welder", "49 CFR 192", location_class=1)
    assert [f.about("welder") for f in found] == ["W01"]
    assert found[0].reasons[0].basis.clause == "192.243(e)"


@pytest.mark.parametrize("case", cases("ndt_min_count_liquid_welder"))
def test_least_number_of_a_welder_on_a_liquid_line(case: dict[str, Any]) -> None:
    welds = case["inputs"]["girth_welds_by_welder_that_day"]
    least = case["expected"]["min_welds_tested"]
    assert not short(days_welds(welds, least, each=False), "welder", "49 CFR 195")
    (finding,) = short(days_welds(welds, least - 1, each=False), "welder", "49 CFR 195")
    assert finding.verdict == NONCONFORMITY


def test_a_share_is_a_hold_while_the_welds_lie_open() -> None:
    made = [Made(number=f"ML-{n:03d}", day=DAY, welders=(f"W{n}",)) for n in range(3)]
    found = short(made, "zone", "49 CFR 192", location_class=3)
    assert [f.verdict for f in found] == [HOLD]


def clock(base: Project, number: str = "ML-001") -> list[Finding]:
    seen: View = seen_on(base)
    joint = seen.known.joints[number][0]
    found = list(welder_continuity.check(seen, joint_file(seen, joint)))
    return [finding for finding in found if finding.about("welder") == "W01"]


def worked(on: date, *tests: date, used: date | None = None, law: str = "49 CFR 192") -> Project:
    """A weld on a day by W01; before it whole tested welds, and use of the process without test."""
    earlier = [
        Made(number=f"ML-1{n:02d}", day=test, tested_on=test) for n, test in enumerate(tests)
    ]
    if used is not None:
        earlier.append(Made(number="ML-200", day=used, welders=("W01", "W09")))
    made = [Made(number="ML-001", day=on), *earlier]
    return project(made, regulation=law, location_class=3)


@pytest.mark.parametrize(
    "case", cases("welder_process_currency_gas", "welder_tested_weld_currency_gas")
)
def test_six_months_of_the_gas_law(case: dict[str, Any]) -> None:
    given = case["inputs"]
    last = given.get("last_welded_with_process_date") or given["last_accepted_tested_weld_date"]
    found = clock(certified(worked(day(given["weld_date"])), day(last)))
    assert bool(found) == (case["expected"]["verdict"] == "not_permitted")


def test_a_tested_weld_keeps_a_process_for_seven_months_and_a_half() -> None:
    (case,) = cases("welder_process_currency_gas_by_test")
    given = case.values[0]["inputs"]
    tested, on = day(given["last_accepted_tested_weld_date"]), day(given["weld_date"])
    base = certified(worked(on, date(2024, 11, 1), tested), date(2024, 10, 1))
    named = [r.basis.clause for f in clock(base) for r in f.reasons]
    assert "192.229(b)" not in named


@pytest.mark.parametrize("case", cases("welder_ongoing_status_two_per_year"))
def test_two_tested_welds_a_year(case: dict[str, Any]) -> None:
    first, *tests = [day(value) for value in case["inputs"]["accepted_test_dates"]]
    on = date(2026, 3, 10)
    base = certified(worked(on, *tests, used=date(2026, 2, 10)), first)
    assert bool(clock(base)) == (case["expected"]["verdict"] == "not_permitted")


def test_a_shared_weld_does_not_count_but_asks_for_the_other_record() -> None:
    (case,) = cases("welder_credit_for_shared_joint")
    stamps = tuple(f"W0{n + 1}" for n in range(case.values[0]["inputs"]["welders_on_joint"]))
    shared = Made(number="ML-100", day=date(2026, 1, 5), welders=stamps, tested_on=date(2026, 1, 6))
    made = [shared, Made(number="ML-001", day=DAY)]
    base = project(made, regulation="49 CFR 192", location_class=3)
    (finding,) = clock(certified(base, date(2025, 9, 1)))
    assert finding.verdict == HOLD
    assert finding.reasons[0].basis.clause == "192.229(c)"


@pytest.mark.parametrize("case", cases("welder_currency_liquid"))
def test_clock_of_the_liquid_law(case: dict[str, Any]) -> None:
    given = case["inputs"]
    on, used = day(given["weld_date"]), day(given["last_welded_with_process_date"])
    base = worked(on, used=used, law="49 CFR 195")
    found = clock(certified(base, day(given["last_accepted_tested_weld_date"])))
    assert bool(found) == (case["expected"]["verdict"] == "not_permitted")


def test_without_a_law_there_is_no_clock() -> None:
    assert clock(certified(worked(DAY, law=""), date(2020, 1, 6))) == []


def lot(*tiers: int, shot: int) -> list[Finding]:
    """The finding on a lot whose first joint was rejected and cut out.

    `tiers` are the failures among the further welds, `shot` how many of these were examined.
    """
    made = [
        Made(number="ML-001", day=DAY, tested_on=DAY, result="rejected", status="cut out"),
        Made(number="ML-900", day=DAY),
    ]
    asked, roots = 2, ["RT-ML-001"]
    for tier, failures in enumerate((*tiers, 0)):
        names = [f"ML-{tier + 1}{n:02d}" for n in range(min(asked, shot))]
        shot -= len(names)
        made += [
            Made(
                number=name,
                day=DAY,
                tested_on=DAY,
                result="rejected" if n < failures else "accepted",
                status="cut out" if n < failures else "welded",
                more={"tracer_for": roots[min(n // 2, len(roots) - 1)]},
            )
            for n, name in enumerate(names)
        ]
        asked, roots = 2 * failures, [f"RT-{name}" for name in names[:failures]] or roots
    base = project(made)
    rules = replace(base.settings.requirements, progressive=Progressive(methods=("RT",)))
    asking = replace(base, settings=replace(base.settings, requirements=rules))
    return list(tracer_welds.check(seen_on(asking)))


@pytest.mark.parametrize("case", cases("b313_progressive"))
def test_rounds_of_progressive_sampling(case: dict[str, Any]) -> None:
    given, expected = case["inputs"], case["expected"]
    if "defective_in_third" in given:
        (finding,) = lot(2, 1, shot=6)
        assert finding.reasons[0].found == "not examined: ML-900"
        return
    second = given.get("defective_in_second")
    before = 0 if second is None else 2
    due = expected["extra_samples"]
    tiers = () if second is None else (second,)
    (finding,) = lot(*tiers, shot=before + due - 1)
    assert finding.reasons[0].found == f"1 due, {before + due - 1} examined"
    assert lot(*tiers, shot=before + due) == []


@pytest.mark.parametrize("case", cases("film_density"))
def test_film_density(case: dict[str, Any]) -> None:
    density = case["inputs"]["density_hd"]
    base = project([Made(number="ML-001", day=DAY, tested_on=DAY, more={"density": density})])
    seen = seen_on(base)
    file = joint_file(seen, seen.project.joints[0])
    found = list(examination_technique.check(seen, file))
    assert bool(found) == (case["expected"]["verdict"] == "reject")
