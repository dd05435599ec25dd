"""Times in force from signed confirmations and from the joints themselves, code by code."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from dossier.coverage.continuity import Bar, derived, timeline, uses
from dossier.coverage.view import View
from dossier.coverage.welders import in_force
from dossier.records.project import Project
from dossier.records.verdicts import CLEAR, NONCONFORMITY, worst
from dossier.records.welders import Certificate, Confirmation
from tests.checks.made import Made, certified, project, seen_on

TESTED, FIRST, LAST = date(2025, 1, 10), date(2025, 6, 20), date(2025, 12, 1)


def seen(code: str, choices: dict[str, str] | None = None, **certificate: object) -> View:
    made = [Made(number="ML-001", day=FIRST), Made(number="ML-002", day=LAST)]
    base: Project = certified(project(made), TESTED, code=code, **certificate)
    settings = replace(base.settings, choices=choices or {})
    return seen_on(replace(base, settings=settings), date(2026, 8, 1))


def held(view: View) -> Certificate:
    return view.known.welders["W01"][0].certificates[0]


def test_use_of_the_process_keeps_an_asme_qualification() -> None:
    view = seen("ASME IX:2021")
    line = timeline(view, view.known.welders["W01"][0], held(view))
    assert line.bars == (Bar(TESTED, date(2026, 5, 31)),)
    assert line.gaps == (Bar(date(2026, 6, 1), date(2026, 8, 1)),)
    assert [(entry.signed_on, entry.joint) for entry in line.confirmations] == [
        (FIRST, "ML-001"),
        (LAST, "ML-002"),
    ]
    assert worst(in_force(view, "W01", held(view), date(2026, 5, 31))) == CLEAR
    assert worst(in_force(view, "W01", held(view), date(2026, 6, 1))) == NONCONFORMITY


def test_work_after_a_lapse_revives_nothing() -> None:
    made = [Made(number="ML-001", day=date(2025, 7, 10)), Made(number="ML-002", day=LAST)]
    base = certified(project(made), TESTED, code="ASME IX:2021")
    view = seen_on(base, date(2026, 8, 1))
    line = timeline(view, view.known.welders["W01"][0], held(view))
    assert line.bars == (Bar(TESTED, date(2025, 7, 9)),)


def test_iso_asks_for_the_signature_and_the_log_may_stand_for_it_by_choice() -> None:
    iso = {"code": "ISO 9606-1:2012", "method": "9.3 b"}
    view = seen(**iso)
    assert derived(view, "W01", held(view)) == ()
    assert worst(in_force(view, "W01", held(view), FIRST)) == CLEAR
    assert worst(in_force(view, "W01", held(view), LAST)) == NONCONFORMITY
    chosen = seen(**iso, choices={"production work confirms": "log counts as signed"})
    assert worst(in_force(chosen, "W01", held(chosen), LAST)) == CLEAR


def test_a_signed_confirmation_counts_with_either() -> None:
    signed = Confirmation(signed_on=date(2025, 7, 1), by="J. Sample, coordinator")
    view = seen("ISO 9606-1:2012", method="9.3 b", confirmations=(signed,))
    line = timeline(view, view.known.welders["W01"][0], held(view))
    assert line.bars == (Bar(TESTED, date(2026, 1, 1)),)
    assert [use.joint for use in line.joints] == ["ML-001", "ML-002"]


def test_api_has_no_clock() -> None:
    view = seen("API 1104:21st")
    line = timeline(view, view.known.welders["W01"][0], held(view))
    assert (line.bars, line.gaps) == ((Bar(TESTED, None),), ())


def test_a_use_tells_whether_the_joint_was_shared() -> None:
    made = [
        Made(number="ML-001", day=FIRST),
        Made(number="ML-002", day=LAST, welders=("W01", "W09")),
    ]
    found = uses(seen_on(project(made)))
    assert [(use.joint, use.alone) for use in found["W01"]] == [("ML-001", True), ("ML-002", False)]


def test_work_of_another_holder_of_the_stamp_proves_nothing() -> None:
    view = seen("ASME IX:2021")
    (welder,) = view.known.welders["W01"]
    certificate = held(view)
    before = replace(welder, until=date(2025, 6, 1))
    other = replace(view.project, welders=(before,))
    assert derived(seen_on(other), "W01", certificate) == ()
    assert len(derived(view, "W01", certificate)) == 2
