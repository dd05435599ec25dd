"""Commands as a user types them: what goes to stdout, what to stderr, and the exit code."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import Any

import pytest

from dossier.cli import main
from tests.trial import CLEAN, PROJECTS, changed, read, written

ROOT = Path(__file__).parent.parent


@pytest.fixture
def sound(tmp_path: Path) -> Path:
    folder = tmp_path / "sound"
    folder.mkdir()
    return written(read(CLEAN), folder)


@pytest.fixture
def faulty(tmp_path: Path) -> Path:
    folder = tmp_path / "faulty"
    folder.mkdir()
    defect = read(PROJECTS / "defects" / "hot_pass_late.yaml")
    return written(changed(read(CLEAN), defect["change"]), folder)


def printed(capsys: pytest.CaptureFixture[str]) -> Any:
    return json.loads(capsys.readouterr().out)


def test_a_sound_project_is_clean(sound: Path) -> None:
    assert main(["check", str(sound)]) == 0


def test_a_finding_makes_exit_1_and_fail_on_decides(faulty: Path) -> None:
    assert main(["check", str(faulty)]) == 1
    assert main(["check", str(faulty), "--fail-on", "cut-out"]) == 0


def test_json_findings_have_the_promised_form(
    faulty: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    main(["check", str(faulty), "--format", "json"])
    data = printed(capsys)
    assert (data["project"], data["as_of"]) == ("TW-1", "2026-06-30")
    assert data["counts"]["nonconformity"] == 1
    (finding,) = data["findings"]
    assert finding["check"] == "pass-interval"
    assert finding["subject"] == {"joint": "ML-001", "pass": "2"}
    (reason,) = finding["reasons"]
    assert reason["found"] == "5 min"
    assert reason["permitted"] == "up to 3 min"
    assert set(reason["basis"]) >= {"standard", "edition", "clause"}
    assert {"file", "line"} <= set(finding["evidence"][0])
    assert finding["cure"]


def test_only_asks_the_named_checks(faulty: Path) -> None:
    assert main(["check", str(faulty), "--only", "heat-input"]) == 0
    assert main(["check", str(faulty), "--only", "no-such-check"]) == 2


def test_as_of_does_not_see_later_records(faulty: Path) -> None:
    assert main(["check", str(faulty), "--as-of", "2026-05-03"]) == 0


def test_a_broken_project_tells_all_faults_and_writes_nothing(
    sound: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    joints = (sound / "joints.yaml").read_text(encoding="utf-8")
    (sound / "joints.yaml").write_text(joints.replace("kind: mainline", "kin: mainline", 1))
    (sound / "lines.yaml").unlink()
    out = tmp_path / "out"
    assert main(["build", str(sound), "--out", str(out)]) == 3
    told = capsys.readouterr().err
    assert "joints.yaml" in told
    assert "lines.yaml" in told
    assert not out.exists()


def test_new_starts_a_project_that_loads(tmp_path: Path) -> None:
    assert main(["new", str(tmp_path / "fresh")]) == 0
    assert main(["check", str(tmp_path / "fresh")]) == 0
    assert main(["new", str(tmp_path / "fresh")]) == 3


def test_history_of_a_joint_and_a_mistyped_one(
    sound: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["history", str(sound), "ML-001"]) == 0
    told = capsys.readouterr().out
    assert all(part in told for part in ("H1", "W01", "RT-1", "FC-1"))
    assert main(["history", str(sound), "ML-01"]) == 2
    assert "ML-001" in capsys.readouterr().err


def test_calc_answers_with_formula_and_source(capsys: pytest.CaptureFixture[str]) -> None:
    asked = ["calc", "arc_energy_kj_mm", "voltage_v=24", "current_a=180", "travel_mm_min=300"]
    assert main([*asked, "--format", "json"]) == 0
    answer = printed(capsys)
    assert answer["result"] == pytest.approx(0.864)
    assert answer["source"]
    assert main(["calc", "arc_energy_kj_mm", "voltage_v"]) == 2


def test_range_prints_clauses(sound: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["range", str(sound / "welders.yaml"), "--format", "json"]) == 0
    rows = printed(capsys)
    assert {"variable", "permitted", "basis", "known"} <= set(rows[0]["qualified"][0])


def test_doctor_names_every_library(capsys: pytest.CaptureFixture[str]) -> None:
    code = main(["doctor"])
    told = capsys.readouterr().out
    assert code in (0, 4)
    assert "weasyprint" in told


def test_a_copy_of_the_sample_is_checked_the_same(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    copy = shutil.copytree(ROOT / "sample_project", tmp_path / "copy with spaces ü")
    main(["check", str(ROOT / "sample_project"), "--format", "json"])
    first = printed(capsys)
    main(["check", str(copy), "--format", "json"])
    assert printed(capsys) == first
