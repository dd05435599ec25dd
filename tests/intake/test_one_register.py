"""A register file outside of any project."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from dossier.errors import ProjectError
from dossier.intake import load_project, load_register
from dossier.records.procedures import Pqr
from dossier.records.welders import Welder

SAMPLE = Path(__file__).parents[2] / "sample_project"
ONE_PQR = {"number": "PQR-9", "code": "API 1104:21st", "welded_on": "2026-02-09"}


@pytest.mark.parametrize(
    ("file", "register"),
    [
        ("welders.yaml", "welders"),
        ("procedure-tests.yaml", "pqrs"),
        ("procedures.yaml", "procedures"),
        ("mill-certificates.yaml", "material_certificates"),
        ("examiners.yaml", "examiners"),
        ("repairs.yaml", "repairs"),
        ("lines.yaml", "lines"),
        ("concessions.yaml", "concessions"),
    ],
)
def test_a_register_reads_alone_as_in_its_project(file: str, register: str) -> None:
    records = load_register(SAMPLE / "registers" / file)
    project = getattr(load_project(SAMPLE), register)
    assert len(records) == len(project)
    assert [type(record) for record in records] == [type(record) for record in project]


@pytest.mark.parametrize("name", ["pqrs.json", "tests-of-2026.json", "tests.jsonl"])
def test_json_and_json_lines(tmp_path: Path, name: str) -> None:
    path = tmp_path / name
    text = json.dumps(ONE_PQR)
    path.write_text(text if name.endswith("l") else f"[{text}]", encoding="utf-8")
    (record,) = load_register(path)
    assert isinstance(record, Pqr)
    assert (record.number, record.origin.file) == ("PQR-9", str(path))


def test_the_name_of_the_file_decides_before_the_fields(tmp_path: Path) -> None:
    path = tmp_path / "welders.yaml"
    path.write_text("- {stamp: W1, name: A, employr: B}\n", encoding="utf-8")
    with pytest.raises(ProjectError, match='Did you mean "employer"'):
        load_register(path)
    path.write_text("- {stamp: W1, name: A}\n", encoding="utf-8")
    (record,) = load_register(path)
    assert isinstance(record, Welder)


@pytest.mark.parametrize(
    ("name", "text", "told"),
    [
        ("absent.yaml", None, "no such file"),
        ("a.toml", "x = 1\n", "the ending .toml"),
        ("a.yaml", "- {colour: red, taste: sweet, size: 3}\n", "the fields colour, size, taste"),
        ("a.yaml", "- {number: ML-1, line: L1, upstream_item: P-1}\n", "found joints"),
        ("welders.yaml", "- {stamp: W1, name: A}\n- {stamp: W1, name: B}\n", "again (first at"),
        ("a.yaml", "stamp: W1\n", "no list"),
    ],
)
def test_refused_with_the_reason(tmp_path: Path, name: str, text: str | None, told: str) -> None:
    path = tmp_path / name
    if text is not None:
        path.write_text(text, encoding="utf-8")
    with pytest.raises(ProjectError) as caught:
        load_register(path)
    assert told in str(caught.value)


def test_an_empty_file_holds_no_record(tmp_path: Path) -> None:
    path = tmp_path / "welders.yaml"
    path.write_text("", encoding="utf-8")
    assert load_register(path) == ()
