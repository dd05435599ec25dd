"""Lots of progressive sampling: whose they are, what opens them, what does not close them."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

from dossier.checks import tracer_welds
from dossier.coverage.tracers import LotKey, lots
from dossier.coverage.view import View
from dossier.records.project import Progressive
from dossier.records.verdicts import HOLD, NONCONFORMITY, Finding
from tests.checks.made import Made, project, seen_on

DAY, NEXT = date(2026, 5, 4), date(2026, 5, 5)
BOTH = ("W01", "W02")


def joint(number: str, **more: Any) -> Made:
    return Made(number=number, day=more.pop("day", DAY), tested_on=NEXT, **more)


def rejected(number: str, **more: Any) -> Made:
    return joint(number, result="rejected", status="cut out", **more)


def tracer(number: str, root: str, **more: Any) -> Made:
    fields = {"tracer_for": f"RT-{root}", **more.pop("fields", {})}
    return joint(number, more=fields, **more)


def sampled(*made: Made, **rules: Any) -> View:
    base = project(made)
    asked = replace(base.settings.requirements, progressive=Progressive(methods=("RT",), **rules))
    return seen_on(replace(base, settings=replace(base.settings, requirements=asked)))


def found(view: View) -> list[Finding]:
    return list(tracer_welds.check(view))


def rules_of(view: View) -> Progressive:
    rules = view.project.settings.requirements.progressive
    assert rules is not None
    return rules


def test_two_further_welds_close_a_lot() -> None:
    closed = sampled(rejected("ML-001"), tracer("ML-002", "ML-001"), tracer("ML-003", "ML-001"))
    assert found(closed) == []
    (lot,) = lots(closed, rules_of(closed))
    assert (lot.key, lot.shot) == (LotKey("W01", "ML", "all"), 2)


def test_a_weld_of_another_welder_is_no_tracer() -> None:
    view = sampled(
        rejected("ML-001"),
        tracer("ML-002", "ML-001"),
        tracer("ML-003", "ML-001", welders=("W02",)),
    )
    (finding,) = found(view)
    assert finding.verdict == NONCONFORMITY
    assert [r.variable for r in finding.reasons] == ["further welds", "weld offered for ML-001"]


def test_a_weld_made_after_the_rejection_is_held() -> None:
    late = tracer("ML-003", "ML-001", day=date(2026, 5, 6))
    (finding,) = found(sampled(rejected("ML-001"), tracer("ML-002", "ML-001"), late))
    assert [(r.variable, r.verdict) for r in finding.reasons] == [("age of a further weld", HOLD)]


def test_a_weld_of_another_month_is_not_of_the_lot() -> None:
    old = tracer("ML-003", "ML-001", day=date(2026, 4, 28))
    made = (rejected("ML-001"), tracer("ML-002", "ML-001"), old)
    assert found(sampled(*made)) == []
    (finding,) = found(sampled(*made, period="month"))
    assert dict(finding.subject)["lot"] == "2026-05"
    assert finding.verdict == NONCONFORMITY
    (finding,) = found(sampled(*made, period="week"))
    assert dict(finding.subject)["lot"] == "2026-W19"


def test_a_rejection_of_a_shared_joint_must_name_its_welder() -> None:
    (finding,) = found(sampled(rejected("ML-001", welders=BOTH)))
    assert (finding.verdict, finding.about("joint")) == (HOLD, "ML-001")
    named = rejected("ML-001", welders=BOTH, more={"rejected_welder": "W02"})
    (finding,) = found(sampled(named))
    assert finding.about("welder") == "W02"


def test_a_tracer_that_fails_in_the_part_of_another_welder() -> None:
    other = {"rejected_welder": "W02"}
    made = (
        rejected("ML-001"),
        tracer("ML-002", "ML-001"),
        tracer("ML-003", "ML-001", welders=BOTH, result="rejected", status="cut out", fields=other),
    )
    assert [f.about("welder") for f in found(sampled(*made))] == ["W02"]
    strict = found(sampled(*made, other_welder="same lot"))
    assert [f.about("welder") for f in strict] == ["W01", "W02"]


def test_lines_that_the_rule_does_not_govern_open_no_lot() -> None:
    assert found(sampled(rejected("ML-001"), lines=("ST",))) == []


def test_a_rejected_weld_that_was_left_is_not_answered_by_others() -> None:
    left = joint("ML-001", result="rejected")
    (finding,) = found(sampled(left, tracer("ML-002", "ML-001"), tracer("ML-003", "ML-001")))
    assert finding.verdict == NONCONFORMITY
    assert [r.variable for r in finding.reasons] == ["rejected weld"]
