"""The clearance list: who may go on, what holds the others up, and the cure that frees most."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

import pytest

from dossier import checks
from dossier.coverage.view import view
from dossier.documents.clearance import STAGES, Clearance, clearance, clearance_as_data
from dossier.documents.clearance_text import clearance_rows, clearance_text
from dossier.errors import InputError
from dossier.intake import load_project
from tests.trial import CLEAN, changed, read, written

LAST_DAY = date(2026, 6, 30)


def made(
    folder: Path, stage: str, *changes: dict[str, Any], as_of: date = LAST_DAY
) -> Clearance:  # fmt: skip
    seen = view(load_project(written(changed(read(CLEAN), list(changes)), folder)), as_of)
    return clearance(seen, checks.run(seen), stage)


def test_every_joint_stands_in_one_list(tmp_path: Path) -> None:
    for stage in STAGES:
        folder = tmp_path / stage
        folder.mkdir()
        found = made(folder, stage)
        listed = [*found.free, *found.done, *(number for number, _ in found.held)]
        assert sorted(listed) == ["FW-001", "HW-001", "ML-001", "ML-002", "ST-001"]


def test_the_sound_project_has_nothing_to_cure_before_coating(tmp_path: Path) -> None:
    found = made(tmp_path, "coating")
    assert found.held == ()
    assert found.cures == ()
    assert "ML-001" in found.done  # coated already
    assert "FW-001" in found.free


def test_one_certificate_frees_all_joints_of_its_batch(tmp_path: Path) -> None:
    no_paper = {"in": "batches", "where": {"number": "B-10"},
                "set": {"certificate": None, "certificate_kind": None}}  # fmt: skip
    hot_late = {"in": "passes", "where": {"joint": "ST-001", "number": 1}, "set": {"preheat_c": 40}}
    uncoated = [{"in": "coatings", "where": {"joint": n}, "remove": True} for n in ("ML-001",)]
    unlowered = [{"in": "lowerings", "where": {"joint": n}, "remove": True} for n in ("ML-001",)]
    found = made(tmp_path, "coating", no_paper, hot_late, *uncoated, *unlowered)
    first = found.cures[0]
    assert "ML-001" in first.joints
    assert first.frees
    assert [c.about for c in found.cures if "B-10" in c.about], found.cures
    freed = [len(cure.frees) for cure in found.cures]
    assert freed == sorted(freed, reverse=True)


def test_a_joint_with_two_faults_is_freed_by_neither_alone(tmp_path: Path) -> None:
    found = made(
        tmp_path, "coating",
        {"in": "passes", "where": {"joint": "ST-001", "number": 1}, "set": {"preheat_c": 40}},
        {"in": "examinations", "where": {"joint": "ST-001", "method": "RT"}, "remove": True},
    )  # fmt: skip
    about = [cure for cure in found.cures if "ST-001" in cure.joints]
    assert len(about) >= 2
    assert all("ST-001" not in cure.frees for cure in about)


def test_a_concession_lets_the_joint_go_on(tmp_path: Path) -> None:
    fault = {"in": "passes", "where": {"joint": "ST-001", "number": 1}, "set": {"preheat_c": 40}}
    signed = {"in": "concessions", "add": {
        "number": "CON-1", "title": "Preheat", "checks": ["preheat-and-interpass"],
        "joints": ["ST-001"], "disposition": "accept as is", "approver": "G. Sample",
        "signed_on": "2026-06-01"}}  # fmt: skip
    (tmp_path / "a").mkdir()
    (tmp_path / "b").mkdir()
    held = {number for number, _ in made(tmp_path / "a", "coating", fault).held}
    assert held == {"ST-001"}
    after = {number for number, _ in made(tmp_path / "b", "coating", fault, signed).held}
    assert "ST-001" not in after


def test_earlier_stages_come_first(tmp_path: Path) -> None:
    found = made(tmp_path, "handover", {"in": "coatings", "where": {"joint": "ML-001"},
                                        "remove": True})  # fmt: skip
    why = dict(found.held)["ML-001"]
    assert any("not coated" in told for told in why)


LOWERED = {"in": "lowerings", "where": {"joint": "ML-001"}}
COATED = {"in": "coatings", "where": {"joint": "ML-001"}}


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ({**COATED, "set": {"holiday_tested_at": None}}, ["no holiday test"]),
        ({**LOWERED, "remove": True}, ["not lowered"]),
        ({**LOWERED, "set": {"backfilled_at": None}}, ["not backfilled"]),
    ],
)
def test_what_an_earlier_stage_still_lacks_is_told(
    tmp_path: Path, change: dict[str, Any], told: list[str]
) -> None:
    why = dict(made(tmp_path, "handover", change).held).get("ML-001", ())
    assert [one for one in why if one.startswith("ML-001: ")] == [f"ML-001: {t}" for t in told]


def test_what_is_not_welded_yet_waits_for_its_welding(tmp_path: Path) -> None:
    found = made(tmp_path, "coating", as_of=date(2026, 5, 1))
    assert all(any("not welded yet" in told for told in why) for _, why in found.held)
    assert found.free == ()


def test_text_and_rows_tell_the_same(tmp_path: Path) -> None:
    found = made(
        tmp_path, "coating",
        {"in": "passes", "where": {"joint": "ST-001", "number": 1}, "set": {"preheat_c": 40}},
    )  # fmt: skip
    text = clearance_text(found)
    assert max(map(len, text.splitlines())) <= 100
    assert "1 may not yet" in text
    assert "frees 1, helps 1: joint ST-001" in text
    rows = {row[0]: row[1] for row in clearance_rows(found).rows}
    assert rows["ST-001"] == "held up"
    data = clearance_as_data(found)
    assert data["held"][0]["joint"] == "ST-001"
    assert data["cures"][0]["frees"] == ["ST-001"]


def test_a_stage_of_another_name_is_refused(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="handover"):
        made(tmp_path, "painting")
