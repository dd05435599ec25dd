"""Traceable, verifiable, complete: each test falls when its proof is taken away."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from dossier.coverage.joint_file import joint_file
from dossier.coverage.record_tests import RecordTest, letters, record_tests
from dossier.coverage.view import view
from dossier.intake import load_project
from tests.trial import CLEAN, changed, read, written

NUMBER = "ML-001"


def looked_at(folder: Path, *changes: dict[str, Any]) -> dict[str, RecordTest]:
    seen = view(load_project(written(changed(read(CLEAN), [PAGES, *changes]), folder)))
    joint = seen.known.joints[NUMBER][0]
    return {test.name: test for test in record_tests(seen, joint_file(seen, joint))}


# The trial project names no page for what these changes give one.
PAGES: dict[str, Any] = {"in": "project", "set": {}}


@pytest.fixture
def sound(tmp_path: Path) -> dict[str, RecordTest]:
    return looked_at(tmp_path)


def test_each_test_has_points_with_evidence(sound: dict[str, RecordTest]) -> None:
    for test in sound.values():
        assert test.points
        assert all(point.evidence and point.told for point in test.points)
        assert test.holds == (not test.missing)


@pytest.mark.parametrize(
    ("test", "change", "missing"),
    [
        ("traceable", {"in": "items", "where": {"number": "P-1"}, "set": {"certificate": "MC-0"}},
         "heat H1: no certificate on record"),
        ("traceable", {"in": "batches", "where": {"number": "B-10"}, "remove": True},
         "batch B-10: not on record"),
        ("traceable", {"in": "items", "where": {"number": "P-1"}, "set": {"heat": "H99"}},
         "heat H99: not on certificate"),
        ("verifiable", {"in": "joints", "where": {"number": NUMBER},
                        "set": {"upstream_heat": "H99"}}, "H99 on no certificate"),
        ("verifiable", {"in": "examinations", "where": {"joint": NUMBER}, "remove": True},
         "weld confirmed: no report"),
        ("complete", {"in": "passes", "where": {"joint": NUMBER}, "remove": True},
         "passes: none on record"),
        ("complete", {"in": "examinations", "where": {"report": "RT-1"},
                      "set": {"reported_on": None}}, "reported on is blank"),
        ("complete", {"in": "joints", "where": {"number": NUMBER}, "set": {"wps": "WPS-0"}},
         "WPS: not on record"),
    ],
)  # fmt: skip
def test_a_test_falls_with_its_proof(
    test: str, change: dict[str, Any], missing: str, tmp_path: Path
) -> None:
    found = looked_at(tmp_path, change)
    assert not found[test].holds
    assert any(missing in told for told in found[test].missing), found[test].missing


def test_not_applicable_is_an_answer(tmp_path: Path) -> None:
    found = looked_at(
        tmp_path,
        {"in": "examinations", "where": {"report": "RT-1"}, "set": {"reported_on": "n/a"}},
    )
    assert not any("reported on" in told for told in found["complete"].missing)


def test_a_page_past_the_end_of_its_document_is_no_proof(tmp_path: Path) -> None:
    found = looked_at(
        tmp_path,
        {"in": "examinations", "where": {"report": "RT-1"},
         "set": {"document": {"document": "D-1", "page": 99}}},
    )  # fmt: skip
    assert any(told.startswith("report RT-1: D-1") for told in found["traceable"].missing)


def test_letters_show_what_holds(sound: dict[str, RecordTest]) -> None:
    shown = letters(sound.values())
    assert len(shown) == 3
    for letter, test in zip(shown, sound.values(), strict=True):
        assert letter == (test.name[0].upper() if test.holds else "–")
    assert letters([RecordTest("complete", ())]) == "–"
