"""The engine and the naive loops give one answer to every welder question of 2,000 joints."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

from benchmarks.generate import written
from dossier.checks import run
from dossier.coverage.view import View, view
from dossier.intake.joint_stream import joint_source
from dossier.records.project import Project
from tests.coverage.naive_welders import CHECK_OF, Answer, answers

JOINTS = 2_000
CHECKS = tuple(dict.fromkeys(CHECK_OF.values()))
PIECE = 10  # joints asked at a time: nested loops over all of them would take hours


def by_the_engine(seen: View) -> set[tuple[str, str, str]]:
    return {(f.check, f.about("joint"), f.about("welder")) for f in run(seen, CHECKS)}


def in_memory(folder: Path) -> Project:
    """All records of the folder, read quickly."""
    source = joint_source(folder)
    read = [records for part in source.parts(1) for records in source.read(part, [])]
    items = {i.number: i for records in read for i in records.registers["items"]}
    return replace(
        source.project,
        joints=tuple(records.joint for records in read),
        passes=tuple(made for records in read for made in records.registers["passes"]),
        items=tuple(items.values()),
    )


def pieces(project: Project) -> list[Project]:
    """The project cut into pieces of a few joints, each with its own passes and items."""
    found = []
    for start in range(0, len(project.joints), PIECE):
        joints = project.joints[start : start + PIECE]
        lines = {joint.origin.line for joint in joints}
        members = {n for j in joints for n in (j.upstream_item, j.downstream_item)}
        found.append(
            replace(
                project,
                joints=joints,
                passes=tuple(p for p in project.passes if p.origin.line in lines),
                items=tuple(i for i in project.items if i.number in members),
            )
        )
    return found


def with_gaps(folder: Path) -> Path:
    """Some welders miss a confirmation, leave, tested thin, or never took one of the tests.

    Of some the test that covers lapsed, and only one too thin is in force.
    """
    path = folder / "welders.json"
    file = json.loads(path.read_text(encoding="utf-8"))
    for number, welder in enumerate(file["records"]):
        if number % 11 == 0:
            welder["until"] = "2026-01-06"
        if number % 13 == 0:
            welder["certificates"][1]["welded_on"] = "2025-05-02"
            welder["certificates"][1]["confirmations"] = []
        if number % 5 == 3:
            iso = welder["certificates"][1]
            thin = {**iso["deposits"][0], "deposit_mm": 2}
            welder["certificates"].append({**iso, "number": f"Q-T{number}", "deposits": [thin]})
            iso.update(welded_on="2025-05-02", confirmations=[])
        if number % 23 == 0:
            welder["certificates"][1]["deposits"][0]["deposit_mm"] = 2
        if number % 17 == 0:
            del welder["certificates"][0]
        if number % 19 == 0:
            welder["certificates"][-1]["ended_on"] = "2026-01-07"
    path.write_text(json.dumps(file), encoding="utf-8")
    return folder


def over_two_days(project: Project) -> Project:
    """The project with the fourth pass of every third joint welded a day later."""
    day = timedelta(days=1)
    passes = tuple(
        replace(made, started_at=made.started_at + day, finished_at=made.finished_at + day)
        if made.number == 4 and made.origin.line % 3 == 0 and made.started_at and made.finished_at
        else made
        for made in project.passes
    )
    return replace(project, passes=passes)


def test_engine_and_naive_loops_agree(tmp_path: Path) -> None:
    seen = view(over_two_days(in_memory(with_gaps(written(tmp_path, JOINTS, seed=11)))))
    naive: list[Answer] = [a for piece in pieces(seen.project) for a in answers(piece)]
    expected = {(CHECK_OF[wrong], joint, stamp) for joint, stamp, _, wrong in naive}
    assert by_the_engine(seen) == expected
    assert {check for check, _, _ in expected} == set(CHECKS)
