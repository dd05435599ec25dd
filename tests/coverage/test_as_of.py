"""What a later record may change of an earlier day: nothing, unless it says so."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from dossier.checks import run
from dossier.coverage.view import view
from dossier.intake import load_project
from dossier.records.project import Project
from dossier.records.verdicts import Finding
from tests.trial import CLEAN, changed, read, written

EVENING = date(2026, 5, 7)


def changed_project(folder: Path, *changes: dict[str, object]) -> Project:
    folder.mkdir()
    return load_project(written(changed(read(CLEAN), list(changes)), folder))


def told(project: Project, day: date) -> list[tuple[str, str, str]]:
    found: list[Finding] = run(view(project, day))
    return [(f.check, str(f.verdict), dict(f.subject).get("joint", "")) for f in found]


LATE = {"in": "batches", "where": {"number": "B-20"}, "set": {"certificate_on": "2026-06-21"}}
MILL = {"in": "material_certificates", "where": {"number": "MC-2"},
        "set": {"issued_on": "2026-06-21"}}  # fmt: skip


def test_a_late_batch_certificate_cures_the_hold_on_its_day_and_says_so(tmp_path: Path) -> None:
    project = changed_project(tmp_path / "one", LATE)
    before, after = told(project, date(2026, 6, 20)), told(project, date(2026, 6, 21))
    for joint in ("ST-001", "FW-001"):
        assert ("consumable-batch", "hold", joint) in before
        assert ("late-certificate", "note", joint) in after
    assert {check for check, *_ in after} == {"late-certificate"}
    cured = next(f for f in run(view(project)) if f.check == "late-certificate")
    assert "cured on 2026-06-21" in cured.sentence


def test_a_late_mill_certificate_cures_the_hold_on_its_day(tmp_path: Path) -> None:
    project = changed_project(tmp_path / "one", MILL)
    assert ("item-heat-certificate", "hold", "FW-001") in told(project, date(2026, 6, 20))
    assert set(told(project, date(2026, 6, 21))) == {("late-certificate", "note", "FW-001")}


def test_later_records_leave_an_earlier_day_as_it_was(tmp_path: Path) -> None:
    plain = changed_project(tmp_path / "plain")
    later = changed_project(
        tmp_path / "later",
        {"in": "examinations", "add": {"report": "RT-9", "joint": "ML-001", "method": "RT",
                                       "examined_at": "2026-05-20T10:00", "examiner": "X1",
                                       "result": "rejected", "extent_percent": 100}},
        {"in": "welders", "where": {"stamp": "W01"},
         "set": {"certificates.1.ended_on": "2026-05-20"}},
        {"in": "instruments", "add": {"number": "CM-1", "kind": "meter",
                                      "calibrated_on": "2026-05-20", "due_on": "2027-05-20",
                                      "as_found": "out of tolerance"}},
    )  # fmt: skip
    assert told(later, EVENING) == told(plain, EVENING)
    assert told(later, date(2026, 6, 30)) != told(plain, date(2026, 6, 30))


def test_an_instrument_found_bad_later_casts_doubt_from_that_day_on(tmp_path: Path) -> None:
    meters = [
        {"in": "instruments", "add": {"number": "CM-1", "kind": "meter", "calibrated_on": on,
                                      "due_on": "2027-05-20", "as_found": found}}
        for on, found in (("2026-01-05", "in tolerance"), ("2026-05-20", "out of tolerance"))
    ]  # fmt: skip
    use = {"in": "passes", "where": {"joint": "ST-001"}, "set": {"instrument": "CM-1"}}
    project = changed_project(tmp_path / "one", *meters, use)
    doubt = ("instrument-calibration", "hold", "ST-001")
    assert doubt not in told(project, date(2026, 5, 19))
    assert doubt in told(project, date(2026, 5, 20))
