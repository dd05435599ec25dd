"""Versions of files and the steps between them, shown with steps that are made up here."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import pytest

from dossier.errors import InputError, ProjectError
from dossier.intake.entry_workbook import entry_workbook
from dossier.intake.load import load_project
from dossier.intake.migrations import (
    MIGRATIONS,
    Migration,
    file_versions,
    migrate_project,
    migrated,
    steps_from,
)
from dossier.intake.schemas import VERSION

EVERY = Path(__file__).parent / "accepted" / "every_register"


def _renamed(register: str, record: Mapping[str, object]) -> Mapping[str, object]:
    if register != "welders":
        return record
    return {("stamp" if name == "mark" else name): value for name, value in record.items()}


def _with_employer(register: str, record: Mapping[str, object]) -> Mapping[str, object]:
    return {**record, "employer": "unknown"} if register == "welders" else record


# An invented past: before 1.0 a stamp was called a mark, and before that nobody was employed.
STEPS = (
    Migration("0.8", "0.9", "employer", _with_employer),
    Migration("0.9", "1.0", "mark is called stamp", _renamed),
)


def test_every_step_leads_to_the_version_of_the_schemas() -> None:
    for migration in MIGRATIONS:
        assert steps_from(migration.source)[-1].target == VERSION


def test_steps_are_taken_in_their_order() -> None:
    assert [step.target for step in steps_from("0.8", STEPS)] == ["0.9", "1.0"]
    assert steps_from("1.0", STEPS) == ()
    record = {"mark": "W1", "name": "A"}
    assert migrated("welders", record, steps_from("0.8", STEPS)) == {
        "stamp": "W1", "name": "A", "employer": "unknown",
    }  # fmt: skip
    assert record == {"mark": "W1", "name": "A"}


@pytest.mark.parametrize(
    ("stated", "told"),
    [
        ("1.1", "the newer version 1.1, expected 1.0 or older"),
        ("10.0", "the newer version 10.0"),
        ("0.7", "the version 0.7, expected one of 0.8, 0.9, 1.0"),
        ("one", 'expected a version as "1.0"'),
    ],
)
def test_versions_that_cannot_be_brought_up_to_date(stated: str, told: str) -> None:
    with pytest.raises(InputError, match=told):
        steps_from(stated, STEPS)


def test_steps_that_lead_in_a_circle_end() -> None:
    round_about = (Migration("0.8", "0.9", "", _renamed), Migration("0.9", "0.8", "", _renamed))
    with pytest.raises(InputError, match="the version 0"):
        steps_from("0.8", round_about)


YAML = """\
# People who weld.
# Kept by the site office.
schema: "0.8"
records:
  - mark: W01
    name: "NO"
    since: 2026-02-01
    certificates:
      - {number: 010, code: "API 1104:21st", welded_on: 2025-12-01, branch: yes, document: }
"""
JSON = '{"schema": "0.9", "records": [{"number": 12E45, "maker": "é", "wall_mm": 12.70}]}'


def old_project(folder: Path) -> Path:
    text = (EVERY / "project.yaml").read_text(encoding="utf-8").split("registers:")[0]
    registers = "registers:\n  welders: welders.yaml\n  items: items.json\n  joints: joints.csv\n"
    (folder / "project.yaml").write_text(text + registers, encoding="utf-8")
    (folder / "welders.yaml").write_text(YAML, encoding="utf-8")
    (folder / "items.json").write_text(JSON, encoding="utf-8")
    (folder / "joints.csv").write_text("number,line\n", encoding="utf-8")
    return folder


def test_files_tell_their_versions_and_steps(tmp_path: Path) -> None:
    told = [str(version) for version in file_versions(old_project(tmp_path), STEPS)]
    assert told == [
        "project.yaml: 1.0, up to date",
        "welders.yaml: 0.8, older (to 0.9: employer; to 1.0: mark is called stamp)",
        "items.json: 0.9, older (to 1.0: mark is called stamp)",
        "joints.csv: states no version",
    ]


def test_files_are_brought_up_to_date_and_keep_their_values(tmp_path: Path) -> None:
    folder = old_project(tmp_path)
    before = (folder / "project.yaml").read_bytes()
    changed = migrate_project(folder, STEPS)
    assert [version.file for version in changed] == ["welders.yaml", "items.json"]
    assert (folder / "project.yaml").read_bytes() == before
    text = (folder / "welders.yaml").read_text(encoding="utf-8")
    assert text.startswith('# People who weld.\n# Kept by the site office.\nschema: "1.0"\n')
    project = load_project(folder)
    (welder,) = project.welders
    assert (welder.stamp, welder.name, welder.employer) == ("W01", "NO", "unknown")
    (certificate,) = welder.certificates
    assert (certificate.number, certificate.branch, certificate.document) == ("010", True, None)
    (item,) = project.items
    assert (item.number, item.maker, item.wall_mm) == ("12E45", "é", 12.7)
    assert "12.70" in (folder / "items.json").read_text(encoding="utf-8")
    assert migrate_project(folder, STEPS) == []


@pytest.mark.parametrize(
    ("file", "text", "told"),
    [
        ("welders.yaml", YAML.replace("0.8", "3.4"), "the newer version 3.4"),
        ("welders.yaml", YAML.replace("W01", "*same"), "undefined alias"),
        ("welders.yaml", YAML.replace("W01", "!!int 1"), "values written out"),
        ("items.json", '{"schema": "0.9", "records": [', "no JSON"),
        ("items.json", None, "no such file"),
    ],
)
def test_nothing_is_written_when_one_file_cannot_be(
    tmp_path: Path, file: str, text: str | None, told: str
) -> None:
    folder = old_project(tmp_path)
    path = folder / file
    path.unlink() if text is None else path.write_text(text, encoding="utf-8")
    before = {p.name: p.read_bytes() for p in folder.iterdir()}
    with pytest.raises(ProjectError) as caught:
        migrate_project(folder, STEPS)
    assert told in str(caught.value)
    assert {p.name: p.read_bytes() for p in folder.iterdir()} == before


def test_a_workbook_tells_its_version(tmp_path: Path) -> None:
    folder = old_project(tmp_path)
    text = (folder / "project.yaml").read_text(encoding="utf-8").split("registers:")[0]
    registers = "registers:\n  workbook: book.xlsx\n"
    (folder / "project.yaml").write_text(text + registers, encoding="utf-8")
    (folder / "book.xlsx").write_bytes(entry_workbook(load_project(EVERY)))
    assert [v.stated for v in file_versions(folder, STEPS)] == ["1.0", "1.0"]
