"""What a section must hold: present, missing, not required, n/a; drafts refused; front sheets."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

from dossier.cli import main
from dossier.handover import build
from dossier.handover.build import DraftError
from dossier.handover.completeness import (
    MISSING,
    NOT_APPLICABLE,
    NOT_REQUIRED,
    PRESENT,
    completeness,
)
from dossier.handover.conditions import CONDITIONS
from dossier.handover.sections import CONTENTS
from dossier.handover.volumes import Needed, Section, Volume, load_volumes, presets
from dossier.records.joints import Line
from dossier.records.papers import Document
from tests.documents import example
from tests.documents.reading import flat, pdf_text
from tests.handover import small
from tests.handover.conftest import Made

PROJECT = example.project(3)


def state(needed: Needed, *unreadable: tuple[str, str]) -> str:
    volumes = [Volume("V", (Section("S", needed=(needed,)), Section("Rest", papers=("*",))))]
    return completeness(PROJECT, volumes, unreadable)[0].state


@pytest.mark.parametrize(
    ("needed", "told"),
    [
        (Needed("a", registers=("joints",)), PRESENT),
        (Needed("a", registers=("pressure_tests", "joints")), PRESENT),
        (Needed("a", registers=("pressure_tests",)), MISSING),
        (Needed("a", papers=("welder certificate",)), PRESENT),
        (Needed("a", papers=("pressure test",)), MISSING),
        (Needed("a", registers=("joints",), papers=("pressure test",)), MISSING),
        (Needed("a", registers=("heat_treatments",), when="heat treatment was done"), NOT_REQUIRED),
        (Needed("a", registers=("pressure_tests",), not_applicable="no test"), NOT_APPLICABLE),
    ],
)
def test_a_record_is_in_one_of_four_states(needed: Needed, told: str) -> None:
    assert state(needed) == told


def test_a_paper_that_cannot_be_read_is_not_there() -> None:
    needed = Needed("a", papers=("welder certificate",))
    assert state(needed, ("D-002", "locked by a password")) == MISSING


def test_a_paper_that_no_section_gathers_is_not_there() -> None:
    needed = Needed("a", papers=("welder certificate",))
    other = Section("Other", papers=("procedure test",))

    def told(*sections: Section) -> tuple[str, str]:
        volumes = [Volume("V", (Section("S", needed=(needed,)), *sections))]
        held = completeness(PROJECT, volumes, [])[0]
        return held.state, held.told

    assert told(other) == (MISSING, "0 filed, 1 that no section gathers")
    assert told(other, Section("W", papers=("welder certificate",))) == (PRESENT, "1 filed")
    assert told(other, Section("Rest", papers=("*",))) == (PRESENT, "1 filed")


def test_papers_that_cannot_be_bound_are_gaps_of_their_section() -> None:
    volumes = [
        Volume("V", (Section("S", papers=("procedure test",)), Section("Rest", papers=("*",))))
    ]
    held = completeness(PROJECT, volumes, [("D-003", "missing"), ("D-001", "locked")])
    assert [(one.section, one.state, one.told) for one in held] == [
        ("Rest", MISSING, "locked"),
        ("S", MISSING, "missing"),
    ]


@pytest.mark.parametrize("name", presets())
def test_every_preset_names_only_what_exists_and_who_asks(name: str) -> None:
    volumes = load_volumes(name, Path("nowhere"), frozenset(CONTENTS))
    needed = [one for v in volumes for s in v.sections for one in s.needed]
    assert len(needed) > 15
    assert all(one.asked_by for one in needed)
    held = completeness(PROJECT, volumes, [])
    assert {one.state for one in held} >= {PRESENT, MISSING, NOT_REQUIRED}
    filed = {kind for v in volumes for s in v.sections for kind in s.papers}
    assert {kind for one in needed for kind in one.papers} <= filed
    assert "*" in filed


def test_every_condition_can_hold_and_not_hold() -> None:
    empty = replace(
        PROJECT, joints=(), passes=(), examinations=(), repairs=(), coatings=(), lowerings=(),
        instruments=(), settings=replace(PROJECT.settings, requirements=type(
            PROJECT.settings.requirements)()),
    )  # fmt: skip
    assert [name for name, holds in CONDITIONS.items() if holds(empty)] == ["always"]
    assert CONDITIONS["anything is welded"](PROJECT)
    assert CONDITIONS["anything was repaired"](PROJECT)
    assert CONDITIONS["radiography is used"](PROJECT)
    assert not CONDITIONS["ultrasound is used"](PROJECT)
    line = replace(PROJECT.lines[0], regulation="49 CFR 195")
    assert isinstance(line, Line)
    assert CONDITIONS["a line is under 49 CFR 195"](replace(PROJECT, lines=(line,)))
    assert not CONDITIONS["a line is under 49 CFR 192"](replace(PROJECT, lines=(line,)))


def test_an_unwanted_draft_is_refused_before_anything_is_written(
    made: Made, tmp_path: Path
) -> None:
    out = tmp_path / "out"
    with pytest.raises(DraftError, match="Nothing was written") as refused:
        build(made.seen, made.findings, made.project, out, how=made.how(drafts=False))
    assert made.findings[0].sentence in str(refused.value)
    assert small.tree(out) == {}


def test_the_command_line_refuses_a_draft_with_exit_1(
    made: Made, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    store = ["--store", str(made.own_store()), "--workers", "1"]
    assert (
        main(["build", str(made.project), "--out", str(tmp_path / "o"), "--no-draft", *store]) == 1
    )
    assert "No draft is wanted" in capsys.readouterr().err


def test_gaps_are_printed_first_and_stamped_on_every_page(made: Made, tmp_path: Path) -> None:
    lost = Document(number="D-9", title="Lost film", kind="radiographic report", file="no.pdf")
    project = replace(made.seen.project, documents=(*made.seen.project.documents, lost))
    out = tmp_path / "out"
    build(replace(made.seen, project=project), [], made.project, out, how=made.how())
    pages = [
        flat(text)
        for text in pdf_text((out / "dossier.pdf").read_bytes(), how="-raw").split("\f")[:-1]
    ]
    assert [page for page in pages if "DRAFT: 1 gap" not in page] == []
    assert "Completeness of this dossier" in pages[1]
    assert pages[1].index("Gaps") < pages[1].index("D-9 Lost film") < pages[1].index("Records by")
    assert "Revision history" in pages[2]
    assert "for review" in pages[2]
    issue = json.loads((out / "issue.json").read_bytes())
    assert (issue["state"], issue["gaps"]) == ("draft", 1)
    gap = [one for one in issue["completeness"] if one["state"] == MISSING]
    assert [(one["section"], one["told"]) for one in gap] == [
        ("Papers", "the file no.pdf is missing")
    ]
