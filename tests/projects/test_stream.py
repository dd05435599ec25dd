"""The checks over joint files: the very findings of the same project held in memory."""

from __future__ import annotations

import json
import shutil
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from benchmarks.generate import written as generated
from dossier.checks import OF_PROJECT, doubtful_reading, run
from dossier.checks.stream import check_stream
from dossier.checks.stream_part import BY_CONCERN, BY_DOUBTS, BY_FACTS, BY_REGISTERS
from dossier.cli import main
from dossier.coverage.view import View, view
from dossier.errors import ProjectError
from dossier.intake import load_project
from dossier.intake.joint_stream import joint_source
from dossier.records.verdicts import Finding
from tests.folding import folded
from tests.trial import CLEAN, DEFECTS, changed, read, spoilt, written

SAMPLE = Path(__file__).parents[2] / "sample_project"


def streamed(folder: Path, workers: int = 1) -> list[Finding]:
    return list(check_stream(joint_source(folder), workers))


def told(findings: list[Finding]) -> list[tuple[str, str, str, tuple[str, ...]]]:
    """All of the findings, in their order, but the places of the evidence.

    An item stands with both its joints. Held in memory it is of the first line that gives it, in
    a stream of the line of the joint that is asked.
    """
    return [
        (f.id, str(f.verdict), f.sentence, tuple(map(str, f.reasons)))
        for f in findings
        if f.check != doubtful_reading.NAME
    ]


def verdicts(findings: list[Finding]) -> set[tuple[str, str]]:
    """Sentences may name files, which folding renames; doubts are of the files themselves."""
    return {(f.id, str(f.verdict)) for f in findings if f.check != doubtful_reading.NAME}


@pytest.mark.parametrize("path", [CLEAN, *DEFECTS], ids=lambda path: path.stem)
def test_a_folded_project_gives_the_findings_of_the_project(path: Path, tmp_path: Path) -> None:
    defect = read(path) if path != CLEAN else {"change": []}
    registers = changed(read(CLEAN), defect["change"])
    folder = spoilt(written(registers, tmp_path), defect.get("files", []))
    plainly = run(view(load_project(folder)))
    folded(folder)
    in_memory = run(view(load_project(folder)))
    assert told(streamed(folder)) == told(in_memory)
    assert verdicts(in_memory) == verdicts(plainly)


@pytest.fixture(scope="module")
def long(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return generated(tmp_path_factory.mktemp("long"), 600, seed=3)


@pytest.fixture(scope="module")
def in_memory(long: Path) -> View:
    return view(load_project(long))


def test_one_and_two_processes_and_the_whole_in_memory_agree(long: Path, in_memory: View) -> None:
    findings = run(in_memory)
    assert len({finding.check for finding in findings}) > 10
    alone = streamed(long)
    assert told(alone) == told(findings)
    assert streamed(long, 2) == alone
    lines = [json.loads(line) for line in (long / "joints.jsonl").read_text().splitlines()]
    own = {joint["number"]: nth for nth, joint in enumerate(lines, 1)}
    first: dict[str, int] = {}
    for nth, joint in enumerate(lines, 1):
        for item in joint["items"]:
            first.setdefault(item["number"], nth)
    differing = 0
    for one, other in zip(alone, findings, strict=True):
        assert replace(one, evidence=()) == replace(other, evidence=())
        for shown, proof in zip(one.evidence, other.evidence, strict=True):
            if shown != proof:  # an item: here of the joint's own line, there of the first one
                assert shown.position is not None
                assert proof.position is not None
                number = one.about("joint")
                assert shown.position.line == own[number]
                items = lines[own[number] - 1]["items"]
                assert proof.position.line in {first[item["number"]] for item in items}
                differing += 1
    assert differing


def test_lines_under_a_law_are_judged_alike(tmp_path: Path) -> None:
    """Shares of each day and the clocks of welders, which rest on earlier joints."""
    folder = generated(tmp_path, 240, seed=5)
    lines = json.loads((folder / "lines.json").read_text())
    for record, law in zip(lines["records"], ("49 CFR 192", "49 CFR 195"), strict=True):
        record |= {"regulation": law, "location_class": 3, "design_pressure_bar": 70}
    (folder / "lines.json").write_text(json.dumps(lines))
    path = folder / "joints.jsonl"
    joints = [json.loads(line) for line in path.read_text().splitlines()]
    for joint in joints[::2]:
        joint["examinations"] = [r for r in joint["examinations"] if r["method"] == "VT"]
    for joint in joints[-40:]:  # welded again after a year
        joint |= later(joint)
    path.write_text("".join(json.dumps(j, separators=(",", ":")) + "\n" for j in joints))
    project = folder / "project.yaml"
    project.write_text(project.read_text().replace("2026-", "2027-"))
    findings = run(view(load_project(folder)))
    by_law = {f.check for f in findings if any("49 CFR" in r.basis.standard for r in f.reasons)}
    assert by_law >= {"examination-share", "welder-continuity"}
    assert told(streamed(folder, 2)) == told(findings)


def later(joint: dict[str, Any]) -> dict[str, Any]:
    """The joint a year later."""
    moved: dict[str, Any] = json.loads(json.dumps(joint).replace('"2026-', '"2027-'))
    return moved


def test_joints_asked_by_themselves_give_what_joints_asked_once_give(in_memory: View) -> None:
    found = []
    for joint in in_memory.project.joints:
        alone = replace(in_memory.project, joints=(joint,))
        found += run(replace(in_memory, project=alone, sound={}), {"welder-range", "fit-up"})
    assert sorted(f.id for f in found) == sorted(
        f.id for f in run(replace(in_memory, sound={}), {"welder-range", "fit-up"})
    )


def test_the_sample_folded_gives_the_findings_of_the_sample(tmp_path: Path) -> None:
    folder = tmp_path / "sample"
    shutil.copytree(SAMPLE, folder)
    plainly = run(view(load_project(folder)))
    folded(folder)
    in_memory = run(view(load_project(folder)))
    assert [f.id for f in in_memory] == [f.id for f in streamed(folder, 2)]
    assert told(streamed(folder)) == told(in_memory)
    # Folded, what hangs on a number that stands twice hangs on the first joint of that number.
    twice = {f.about("joint") for f in plainly if "times in the log" in f.sentence}
    assert twice
    assert once(in_memory, twice) == once(plainly, twice)


def once(findings: list[Finding], twice: set[str]) -> set[tuple[str, str]]:
    return verdicts([f for f in findings if f.about("joint") not in twice])


def test_an_item_given_in_two_ways_is_refused(tmp_path: Path) -> None:
    folder = folded(written(read(CLEAN), tmp_path))
    path = folder / "folded.jsonl"
    first, *rest = path.read_text().splitlines()
    path.write_text("\n".join([first.replace('"length_m": 12.0', '"length_m": 11.0'), *rest]))
    with pytest.raises(ProjectError, match="P-2"):
        streamed(folder)
    with pytest.raises(ProjectError, match="P-2"):
        load_project(folder)


def test_lines_with_faults_are_told_all_together(tmp_path: Path) -> None:
    folder = folded(written(read(CLEAN), tmp_path))
    path = folder / "folded.jsonl"
    text = path.read_text().replace('"current_a": 110.0', '"current_a": "much"')
    text = text.replace("ST-001", "?")
    path.write_text(text)
    with pytest.raises(ProjectError) as streamed_:
        streamed(folder)
    with pytest.raises(ProjectError) as loaded:
        load_project(folder)
    assert {str(f) for f in streamed_.value.faults} == {str(f) for f in loaded.value.faults}
    assert any(fault.field == "passes.1.current_a" for fault in loaded.value.faults)


def test_the_command_prints_the_stream_as_lines(
    long: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["check", str(long), "--format", "jsonl", "--workers", "2"]) == 1
    ids = [json.loads(text)["id"] for text in capsys.readouterr().out.splitlines()]
    assert ids == [finding.id for finding in streamed(long)]
    sound = folded(written(read(CLEAN), tmp_path))
    assert main(["check", str(sound), "--format", "jsonl"]) == 0
    assert not capsys.readouterr().out


def test_every_question_of_the_whole_project_has_its_way_in_the_stream() -> None:
    ways = [*BY_FACTS, *BY_CONCERN, BY_DOUBTS, *BY_REGISTERS]
    assert {module.NAME for module in ways} >= set(OF_PROJECT)
    assert len({module.NAME for module in ways}) == len(ways)
