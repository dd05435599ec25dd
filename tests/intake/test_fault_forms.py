"""The faults of a project as text, JSON and SARIF: the same faults in each."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from dossier.errors import Fault, ProjectError
from dossier.intake import load_project
from dossier.intake.fault_forms import faults_as_data, faults_as_sarif, faults_as_text

REFUSED = Path(__file__).parent / "refused"


def refused(name: str) -> ProjectError:
    with pytest.raises(ProjectError) as caught:
        load_project(REFUSED / name)
    return caught.value


def test_text_groups_by_file_and_gives_the_total() -> None:
    error = refused("ten_kinds_at_once")
    text = faults_as_text(error)
    files = {fault.file for fault in error.faults}
    heads = [line for line in text.splitlines()[:-1] if not line.startswith("  ")]
    assert [head.partition(" (")[0] for head in heads] == sorted(files)
    assert len([line for line in text.splitlines() if line.startswith("  ")]) == len(error.faults)
    assert text.splitlines()[-1] == (
        f"{len(error.faults)} faults in {len(files)} files; nothing was written."
    )


def many(count: int) -> ProjectError:
    return ProjectError(
        [Fault(f"{'ab'[n % 2]}.yaml", f"line {n}", "kind", "x", "y") for n in range(count)]
    )


def test_the_first_fifty_are_shown_with_the_total() -> None:
    lines = faults_as_text(many(120)).splitlines()
    assert len([line for line in lines if line.startswith("  ")]) == 50
    assert lines[0] == "a.yaml (60 faults)"
    assert lines[-2:] == [
        "The first 50 are shown; 70 more are not.",
        "120 faults in 2 files; nothing was written.",
    ]
    assert "are shown" not in faults_as_text(many(50))


@pytest.mark.parametrize("folder", sorted(REFUSED.iterdir()), ids=lambda path: path.name)
def test_every_form_holds_every_fault(folder: Path) -> None:
    error = refused(folder.name)
    data = json.loads(json.dumps(faults_as_data(error)))
    assert data["total"] == len(error.faults) == sum(data["files"].values())
    assert [fault["message"] for fault in data["faults"]] == [str(f) for f in error.faults]
    log = json.loads(json.dumps(faults_as_sarif(error)))
    (run,) = log["runs"]
    assert len(run["results"]) == len(error.faults)
    for result, fault in zip(run["results"], error.faults, strict=True):
        assert result["ruleId"] == run["tool"]["driver"]["rules"][result["ruleIndex"]]["id"]
        assert fault.expected in result["message"]["text"]
        region = result["locations"][0]["physicalLocation"].get("region")
        if fault.place.startswith("line "):
            assert region == {"startLine": int(fault.place.removeprefix("line "))}
        else:
            assert region is None


def test_cells_and_odd_file_names_in_sarif() -> None:
    fault = Fault("day log/weld #1.xlsx", "Log!C7", "wps", '"x"', "a procedure", "Did you mean y?")
    (result,) = faults_as_sarif(ProjectError([fault]))["runs"][0]["results"]
    (location,) = result["locations"]
    assert location["physicalLocation"]["artifactLocation"] == {"uri": "day%20log/weld%20%231.xlsx"}
    assert location["logicalLocations"] == [{"fullyQualifiedName": "Log!C7 wps"}]
    assert (
        result["message"]["text"] == 'Log!C7: wps: found "x", expected a procedure. Did you mean y?'
    )
