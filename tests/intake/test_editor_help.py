"""What editors and readers are told of the schemas: bundles, settings, the guide to the records."""

from __future__ import annotations

import json
import os
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml
from jsonschema import Draft202012Validator

from dossier.errors import InputError, ProjectError
from dossier.intake import load_project
from dossier.intake.editor_help import write_editor_help
from dossier.intake.record_guide import record_guide
from dossier.intake.schema_bundle import NAMES, bundled
from dossier.intake.starter import start_project

HERE = Path(__file__).parent
ROOT = HERE.parents[1]
EVERY = HERE / "accepted" / "every_register"
SAMPLE = HERE.parent.parent / "sample_project"


class _EditorYaml(yaml.SafeLoader):
    """YAML as an editor reads it by version 1.2: no dates, and only true and false are answers."""


_EditorYaml.yaml_implicit_resolvers = {}
for _tag, _rule, _first in (
    ("bool", "true|false", "tf"),
    ("null", "~|null|", ["~", "n", ""]),
    ("int", "[-+]?[0-9]+", "-+0123456789"),
    ("float", r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?", "-+.0123456789"),
):
    _EditorYaml.add_implicit_resolver(
        f"tag:yaml.org,2002:{_tag}", re.compile(f"^(?:{_rule})$"), list(_first)
    )


def _references(part: Any) -> Iterator[str]:
    if isinstance(part, dict):
        if isinstance(part.get("$ref"), str):
            yield part["$ref"]
        for inner in part.values():
            yield from _references(inner)
    elif isinstance(part, list):
        for inner in part:
            yield from _references(inner)


@pytest.mark.parametrize("name", NAMES)
def test_a_bundle_is_whole_and_sound(name: str) -> None:
    whole = bundled(name)
    Draft202012Validator.check_schema(whole)
    for reference in _references(whole):
        assert reference.removeprefix("#/$defs/") in whole["$defs"], reference


@pytest.mark.parametrize(
    "file", sorted((EVERY / "registers").glob("*.yaml")), ids=lambda path: path.stem
)
def test_an_editor_finds_nothing_wrong_with_sound_files(file: Path) -> None:
    data = yaml.load(file.read_text(encoding="utf-8"), _EditorYaml)  # noqa: S506 - safe subclass
    errors = Draft202012Validator(bundled(file.stem)).iter_errors(data)
    assert [error.message for error in errors] == []


@pytest.mark.parametrize("file", sorted(SAMPLE.rglob("*.yaml")), ids=lambda path: path.name)
def test_the_sample_names_its_schemas_and_keeps_to_them(file: Path) -> None:
    text = file.read_text(encoding="utf-8")
    start = "# yaml-language-server: $schema="
    schema = file.parent / text.splitlines()[0].removeprefix(start)
    validator = Draft202012Validator(json.loads(schema.read_text(encoding="utf-8")))
    data = yaml.load(text, _EditorYaml)  # noqa: S506 - safe subclass
    assert [error.message for error in validator.iter_errors(data)] == []


@pytest.mark.parametrize(
    ("record", "sound"),
    [
        ({"number": "P-1"}, True),
        ({"number": "P-1", "wall_mm": 7.1, "heat": "n/a"}, True),
        ({"number": "P-1", "wall_mm": "n/a", "heat": None}, True),
        ({"number": "P-1", "wall_mm": "thick"}, False),
        ({"number": "P-1", "wall_mm": -1}, False),
        ({"number": "n/a", "wall": 7.1}, False),
        ({"wall_mm": 7.1}, False),
        ({"number": None}, False),
    ],
)
def test_an_editor_knows_blanks_and_answers(record: dict[str, object], sound: bool) -> None:
    validator = Draft202012Validator(bundled("items"))
    assert validator.is_valid([record]) == sound
    assert validator.is_valid({"schema": "1.0", "records": [record]}) == sound
    assert Draft202012Validator(bundled("items", file=False)).is_valid(record) == sound


def test_an_editor_knows_dates_words_and_references() -> None:
    validator = Draft202012Validator(bundled("joints", file=False))
    joint: dict[str, object] = {"number": "ML-1", "line": "L1"}
    for name, value, sound in (
        ("welded_on", "2026-05-03", True), ("welded_on", "n/a", True),
        ("welded_on", "3.5.2026", False), ("status", "void", True), ("status", "n/a", True),
        ("status", "weldd", False), ("document", "n/a", True), ("document", None, True),
        ("document", {"document": "D-1"}, True), ("document", {"page": 1}, False),
    ):  # fmt: skip
        assert validator.is_valid({**joint, name: value}) == sound, (name, value)


@pytest.mark.parametrize(
    ("values", "sound"),
    [([212, 220], True), ("n/a", True), (None, True), ([212, "n/a"], False), ([None], False)],
)
def test_an_editor_takes_no_answer_for_one_value_of_several(values: object, *, sound: bool) -> None:
    test = {"report": "HD-1", "joint": "ML-1", "zone": "cap", "values": values}
    assert Draft202012Validator(bundled("hardness_tests")).is_valid([test]) == sound


def test_an_unknown_schema_is_refused_with_a_suggestion() -> None:
    with pytest.raises(InputError, match='Did you mean "welders"'):
        bundled("weldres")


def test_a_new_project_helps_its_editor(tmp_path: Path) -> None:
    written = start_project(tmp_path / "new")
    folder = tmp_path / "new"
    assert folder / ".vscode" / "settings.json" in written
    for path in [path for path in written if path.suffix == ".yaml"]:
        first = path.read_text(encoding="utf-8").splitlines()[0]
        schema = path.parent / first.removeprefix("# yaml-language-server: $schema=")
        Draft202012Validator.check_schema(json.loads(schema.read_text(encoding="utf-8")))
    settings = json.loads((folder / ".vscode/settings.json").read_text(encoding="utf-8"))
    assert settings["yaml.schemas"][".schemas/welders.schema.json"] == ["welders.yaml"]
    assert load_project(folder).welders == ()


def test_settings_that_are_there_stay(tmp_path: Path) -> None:
    text = (EVERY / "project.yaml").read_text(encoding="utf-8").split("registers:")[0]
    text += "registers:\n  welders: {file: a/welders.yaml}\n  items: items.json\n"
    (tmp_path / "project.yaml").write_text(text, encoding="utf-8")
    path = tmp_path / ".vscode" / "settings.json"
    path.parent.mkdir()
    other = {"fileMatch": ["x.json"], "url": "./x.schema.json"}
    path.write_text(json.dumps({"editor.rulers": [100], "json.schemas": [other]}))
    write_editor_help(tmp_path)
    write_editor_help(tmp_path)
    settings = json.loads(path.read_text(encoding="utf-8"))
    assert settings["editor.rulers"] == [100]
    assert settings["json.schemas"] == [
        other, {"fileMatch": ["/items.json"], "url": "./.schemas/items.schema.json"},
    ]  # fmt: skip
    assert settings["yaml.schemas"][".schemas/welders.schema.json"] == ["a/welders.yaml"]
    path.write_text("{ // mine\n}")
    with pytest.raises(ProjectError, match="plain JSON"):
        write_editor_help(tmp_path)


def test_the_guide_to_the_records_is_up_to_date() -> None:
    path = ROOT / "docs" / "records.md"
    if os.environ.get("DOSSIER_WRITE_DOCS"):
        path.write_text(record_guide(), encoding="utf-8", newline="\n")
    assert path.read_text(encoding="utf-8") == record_guide(), (
        "the schemas have changed: run this test with DOSSIER_WRITE_DOCS=1 and look at the result"
    )


def test_the_guide_names_every_field() -> None:
    guide = record_guide()
    assert "| `certificates[].deposits[].layers` |" in guide
    assert "| `document.page` |" in guide
    assert "| `hi_lo_mm` |" in guide
    assert all(f"## {name}\n" in guide for name in NAMES if name != "project")
    for line in guide.splitlines():
        if line.startswith("| "):
            assert line.replace("\\|", "").count("|") == 6, line
