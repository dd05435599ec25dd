"""What makes joints alike holds all that its checks look at.

Every field of every record of a joint is changed in turn: where the joint stays like the sound
one, the checks that were asked once must find nothing on it either.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import fields, replace
from datetime import date, datetime, timedelta
from typing import Any

import pytest

from benchmarks.generate import written
from dossier.checks import OF_JOINTS
from dossier.checks.alike import ASKED_ONCE, SURELY, OnceAsked, Question, Surely
from dossier.checks.stream_part import view_of
from dossier.coverage.joint_file import JointFile, files_at_hand
from dossier.coverage.view import View
from dossier.intake.joint_stream import joint_source
from dossier.records.joint_records import JointRecords
from dossier.records.treatment import HardnessTest, HeatTreatmentRecord


@pytest.fixture(scope="module")
def asked(tmp_path_factory: pytest.TempPathFactory) -> tuple[View, list[JointRecords]]:
    folder = written(tmp_path_factory.mktemp("alike"), 60, seed=2)
    source = joint_source(folder)
    [part] = source.parts(1)
    day = source.project.settings.as_of
    assert day is not None
    return view_of(source.project, day), list(source.read(part, []))


def files(seen: View, records: JointRecords) -> JointFile:
    for _, file in files_at_hand(seen, [records]):
        return file
    raise AssertionError


def variants(value: Any) -> Iterator[Any]:
    if isinstance(value, datetime):
        yield from (value + timedelta(days=400), value - timedelta(days=400), None)
    elif isinstance(value, date):
        yield from (value + timedelta(days=4000), value - timedelta(days=4000), None)
    elif value is None:
        yield from ("other", 0.0, 999.0, 1)
    elif isinstance(value, str):
        yield from (v for v in ("other", "111", "rejected", "fillet", "left", "") if v != value)
    elif isinstance(value, tuple):
        yield from ((), value[:1], (*value, *value))
    else:
        yield from (0 * value, 999 * value, None)


def changed(records: JointRecords) -> Iterator[JointRecords]:
    """The same joint with one field of one record changed."""
    for joint in one_changed(records.joint):
        yield replace(records, joint=joint)
    for name, rows in records.registers.items():
        for row in {0, len(rows) - 1} if rows else ():
            for new in one_changed(rows[row]):
                parts = [*rows[:row], new, *rows[row + 1 :]]
                yield replace(records, registers={**records.registers, name: parts})
    number = records.joint.number
    treated = {
        "heat_treatments": HeatTreatmentRecord(chart="C-1", joint=number),
        "hardness_tests": HardnessTest(report="HT-1", joint=number),
    }
    for name, added in treated.items():
        for new in one_changed(added):
            yield replace(records, registers={**records.registers, name: [new]})


def one_changed(record: Any) -> Iterator[Any]:
    for part in fields(record):
        if part.name not in ("origin", "name", "joint", "not_applicable", "number", "status"):
            for value in variants(getattr(record, part.name)):
                yield replace(record, **{part.name: value})


def with_wider(rows: Sequence[OnceAsked]) -> Iterator[tuple[Question, frozenset[str]]]:
    for question, names, wider in rows:
        yield question, names
        yield from with_wider(wider)


@pytest.mark.parametrize(
    ("question", "names"),
    [*with_wider(ASKED_ONCE)],
    ids=[question.__name__ for question, _ in with_wider(ASKED_ONCE)],
)
def test_joints_that_stay_alike_stay_sound(
    question: Question, names: frozenset[str], asked: tuple[View, list[JointRecords]]
) -> None:
    seen, joints = asked
    checks = [OF_JOINTS[name] for name in sorted(names)]
    stayed = differed = 0
    for records in (joints[0], joints[1]):
        file = files(seen, records)
        sound = question(file)
        assert not [f for check in checks for f in check(seen, file)]
        for other in changed(records):
            for _, new in files_at_hand(seen, [other]):
                if question(new) != sound:
                    differed += 1
                    continue
                stayed += 1
                try:
                    found = [f for check in checks for f in check(seen, new)]
                except (TypeError, ValueError, AttributeError):  # no record could hold the value
                    continue
                assert not found, found
    assert stayed > 100
    assert differed > 3


def test_a_wider_question_tells_apart_no_joints_that_the_narrow_one_does_not(
    asked: tuple[View, list[JointRecords]],
) -> None:
    seen, joints = asked
    for question, _, wider in ASKED_ONCE:
        for inner, _, _ in wider:
            sound = [one(files(seen, joints[0])) for one in (question, inner)]
            for other in changed(joints[0]):
                for _, new in files_at_hand(seen, [other]):
                    assert question(new) != sound[0] or inner(new) == sound[1]


@pytest.mark.parametrize(("surely", "names"), SURELY, ids=[s.__name__ for s, _ in SURELY])
def test_joints_that_are_surely_sound_have_no_findings(
    surely: Surely, names: frozenset[str], asked: tuple[View, list[JointRecords]]
) -> None:
    seen, joints = asked
    checks = [OF_JOINTS[name] for name in sorted(names)]
    sound = unsure = 0
    for records in (joints[0], joints[1]):
        for other in changed(records):
            for _, new in files_at_hand(seen, [other]):
                if not readable(surely, seen, new):
                    unsure += 1
                    continue
                sound += 1
                assert not [f for check in checks for f in check(seen, new)]
    assert sound > 100
    assert unsure > 3


def readable(surely: Surely, seen: View, file: JointFile) -> bool:
    try:
        return surely(seen, file)
    except (TypeError, ValueError, AttributeError):  # no record could hold the value
        return False
