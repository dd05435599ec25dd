"""The auditors' questions on the sound trial project and on planted defects."""

from __future__ import annotations

import copy
from pathlib import Path
from typing import Any

import pytest

from dossier import checks
from dossier.checks.one_joint import findings_on
from dossier.coverage.questions import QUESTIONS, ask, question_named
from dossier.coverage.questions.face import ALL_CHECKS, PARAMETERS, Answer
from dossier.coverage.view import View, view
from dossier.errors import InputError
from dossier.intake import load_project
from tests.trial import CLEAN, changed, read, written

SOUND = {"joint": "ML-001", "welder": "W01", "wps": "WPS-A", "batch": "B-10", "heat": "H1"}


@pytest.fixture(scope="module")
def sound(tmp_path_factory: pytest.TempPathFactory) -> View:
    return view(load_project(written(read(CLEAN), tmp_path_factory.mktemp("sound"))))


def spoilt(folder: Path, *changes: dict[str, Any]) -> View:
    return view(load_project(written(changed(read(CLEAN), list(changes)), folder)))


def answer(seen: View, name: str, **given: str) -> Answer:
    question = question_named(name)
    found = checks.run(seen) if question.checks else []
    return ask(seen, found, question, given)


def column(of: Answer, name: str) -> list[str]:
    place = of.columns.index(name)
    return [row[place] for row in of.rows]


def test_twenty_questions_and_more_each_with_known_parameters() -> None:
    assert len(QUESTIONS) >= 20
    for question in QUESTIONS.values():
        assert question.asks.endswith("?")
        assert set(question.needs) | set(question.takes) <= set(PARAMETERS)
        assert set(question.checks) <= {*checks.ALL, ALL_CHECKS}


@pytest.mark.parametrize("name", QUESTIONS)
def test_every_question_is_answered_in_full_rows_that_tell_where(name: str, sound: View) -> None:
    question = QUESTIONS[name]
    found = answer(sound, name, **{need: SOUND[need] for need in question.needs})
    assert all(len(row) == len(found.columns) for row in found.rows)
    assert found.rows or found.note
    if found.rows and "read from" in found.columns:
        assert any(".yaml, line" in place for place in column(found, "read from"))


@pytest.mark.parametrize("name", [n for n, q in QUESTIONS.items() if q.needs])
def test_a_question_without_what_it_needs_says_what_that_is(name: str, sound: View) -> None:
    with pytest.raises(InputError, match=QUESTIONS[name].needs[0]):
        answer(sound, name)


@pytest.mark.parametrize(
    ("name", "given"),
    [
        ("no-such", {}),
        ("welder", {"welder": "W01", "colour": "red"}),
        ("welder", {"welder": "W99"}),
        ("welder", {"welder": "W01", "since": "1 March"}),
        ("share", {"by": "moon"}),
        ("used-twice", {"film": "F-0"}),
        ("heat", {"heat": "H-0"}),
        ("not-accepted", {"line": "XX"}),
    ],
)
def test_a_wrong_question_is_refused_with_what_was_expected(
    name: str, given: dict[str, str], sound: View
) -> None:
    with pytest.raises(InputError):
        answer(sound, name, **given)


def test_a_mistyped_value_gets_the_nearest_one(sound: View) -> None:
    with pytest.raises(InputError, match="ML-001"):
        answer(sound, "joint", joint="ML-01")


def test_who_welded_names_the_certificate_that_covers(sound: View) -> None:
    found = answer(sound, "who-welded", joint="ML-001")
    assert set(column(found, "welder")) == {"W01"}
    assert ("yes", "yes") in zip(column(found, "covers"), column(found, "in force"), strict=True)


def test_a_welder_is_told_to_be_outside_with_the_reason(tmp_path: Path) -> None:
    # A position that no certificate covers makes one deposit stand out.
    seen = spoilt(
        tmp_path, {"in": "welders", "where": {"stamp": "W01"}, "set": {"certificates": []}}
    )
    found = answer(seen, "welder", welder="W01")
    assert set(column(found, "certificate")) == {"none for this process"}
    assert f"{len(found.rows)} without a certificate" in found.note


def test_days_narrow_the_answer(sound: View) -> None:
    assert answer(sound, "welder", welder="W01", since="2026-05-05").rows == ()
    assert answer(sound, "welder", welder="W01", day="2026-05-04").rows
    assert answer(sound, "welder", welder="W01", process="141").rows == ()


def test_measured_lists_only_what_is_wrong_unless_a_joint_is_named(tmp_path: Path) -> None:
    seen = spoilt(
        tmp_path,
        {"in": "passes", "where": {"joint": "ST-001", "number": 1}, "set": {"preheat_c": 40}},
    )
    wrong = answer(seen, "measured")
    assert column(wrong, "variable") == ["preheat"]
    assert column(wrong, "verdict") == ["nonconformity"]
    every = answer(seen, "measured", joint="ST-001")
    assert len(every.rows) > 5
    assert "clear" in column(every, "verdict")


def test_a_heat_that_differs_does_not_agree(tmp_path: Path) -> None:
    seen = spoilt(
        tmp_path,
        {"in": "joints", "where": {"number": "ML-001"}, "set": {"upstream_heat": "H7"}},
    )
    found = answer(seen, "heat", heat="H7")
    assert column(found, "all agree") == ["no"]
    assert "1 of them not in agreement" in found.note


def test_a_heat_not_yet_welded_is_told_from_its_item_and_of_paper_alone_refused(
    tmp_path: Path,
) -> None:
    heats = [{"number": "H4"}, {"number": "H7"}, {"number": "H8"}]
    pipe = {"number": "P-8", "kind": "pipe", "heat": "H7", "certificate": "MC-2"}
    seen = spoilt(
        tmp_path,
        {"in": "material_certificates", "where": {"number": "MC-2"}, "set": {"heats": heats}},
        {"in": "items", "add": pipe},
    )
    found = answer(seen, "heat", heat="H7")
    told = ("joint", "item", "heat of the item", "heat on the certificate", "all agree")
    row = ["not welded", "P-8", "H7", "H7", "yes"]
    assert [column(found, name) for name in told] == [[value] for value in row]
    with pytest.raises(InputError, match="stands only on a certificate"):
        answer(seen, "heat", heat="H8")


def test_a_batch_leads_to_its_joints_and_certificate(sound: View) -> None:
    found = answer(sound, "batch", batch="B-10")
    assert set(column(found, "joint")) >= {"ML-001", "ML-002"}
    assert "certificate" in found.note


def test_what_is_not_accepted_tells_why_and_how_old(tmp_path: Path) -> None:
    seen = spoilt(tmp_path, {"in": "examinations", "where": {"report": "RT-1"}, "remove": True})
    found = answer(seen, "not-accepted")
    assert list(zip(column(found, "joint"), column(found, "owed"), strict=True)) == [
        ("ML-001", "RT")
    ]
    assert column(found, "days") == ["57"]
    assert "no report" in column(found, "why")


def test_an_examination_too_soon_stands_first(tmp_path: Path) -> None:
    seen = spoilt(
        tmp_path,
        {"in": "examinations", "where": {"report": "RT-1"},
         "set": {"examined_at": "2026-05-04T11:00"}},
    )  # fmt: skip
    found = answer(seen, "delay")
    assert found.rows[0][0] == "ML-001"
    assert column(found, "kept")[0] == "no"
    assert column(found, "hours")[0] == "1.0"


def test_a_joint_coated_before_acceptance_is_too_early(tmp_path: Path) -> None:
    seen = spoilt(
        tmp_path,
        {"in": "coatings", "where": {"joint": "ML-001"}, "set": {"coated_at": "2026-05-04T12:00"}},
    )
    found = answer(seen, "too-early")
    assert ("ML-001", "coated") in [(row[0], row[1]) for row in found.rows]
    assert answer(seen, "too-early", joint="ML-002").rows == ()


def test_the_gap_in_the_numbers_is_listed(tmp_path: Path) -> None:
    seen = spoilt(
        tmp_path,
        {"in": "joints", "where": {"number": "ML-002"}, "remove": True},
        {"in": "passes", "where": {"joint": "ML-002"}, "remove": True},
        {"in": "joints", "add": {"number": "ML-003", "line": "ML", "status": "planned"}},
    )
    found = answer(seen, "numbers")
    assert ("ML-002", "missing") in [(row[0], row[1]) for row in found.rows]


def test_everything_on_a_joint_holds_its_findings(tmp_path: Path) -> None:
    seen = spoilt(
        tmp_path,
        {"in": "passes", "where": {"joint": "ST-001", "number": 1}, "set": {"preheat_c": 40}},
    )
    found = answer(seen, "joint", joint="ST-001")
    steps = column(found, "step")
    assert {"joint", "member", "pass", "batch", "examination", "finding"} <= set(steps)
    assert "nonconformity" in column(found, "when")


def test_the_findings_on_one_joint_are_those_of_a_full_run(tmp_path: Path) -> None:
    seen = spoilt(
        tmp_path,
        {"in": "passes", "where": {"joint": "ST-001", "number": 1}, "set": {"preheat_c": 40}},
        {"in": "examinations", "where": {"report": "RT-1"}, "remove": True},
    )
    full = checks.run(seen)
    assert len({f.about("joint") for f in full}) > 1
    for number in seen.known.joints:
        assert findings_on(seen, number) == [f for f in full if f.about("joint") == number]


def test_what_changed_between_revisions_is_told_field_by_field(tmp_path: Path) -> None:
    registers = read(CLEAN)
    old = next(one for one in registers["procedures"] if one["number"] == "WPS-A")
    new = {**copy.deepcopy(old), "revision": "2", "valid_from": "2026-06-01", "preheat_min_c": 999,
           "status": "issued"}  # fmt: skip
    registers["procedures"].append(new)
    seen = view(load_project(written(registers, tmp_path)))
    found = answer(seen, "revision", wps="WPS-A", day="2026-05-04")
    assert "change of preheat_min_c" in column(found, "what")
    assert "revision 1 of WPS-A was in force" in found.note
