"""Commands on a project as a user types them: forms of findings, questions, lists, figures."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest

from dossier import doctor
from dossier.cli import main
from dossier.commands import NAMES
from dossier.coverage.questions import QUESTIONS
from tests.trial import CLEAN, PROJECTS, changed, read, written

Capture = pytest.CaptureFixture[str]


@pytest.fixture
def sound(tmp_path: Path) -> str:
    folder = tmp_path / "sound"
    folder.mkdir()
    return str(written(read(CLEAN), folder))


@pytest.fixture
def faulty(tmp_path: Path) -> str:
    folder = tmp_path / "faulty"
    folder.mkdir()
    defect = read(PROJECTS / "defects" / "preheat_low.yaml")
    return str(written(changed(read(CLEAN), defect["change"]), folder))


def test_help_lists_every_command(capsys: Capture) -> None:
    with pytest.raises(SystemExit) as ended:
        main(["--help"])
    assert ended.value.code == 0
    told = capsys.readouterr().out
    assert all(name in told for name in NAMES)


def test_findings_in_every_form_with_the_same_exit_code(faulty: str, capsys: Capture) -> None:
    told = {}
    for form in ("text", "json", "jsonl", "sarif", "junit"):
        assert main(["check", faulty, "--format", form]) == 1
        told[form] = capsys.readouterr().out
    (finding,) = json.loads(told["json"])["findings"]
    assert json.loads(told["jsonl"]) == finding
    (result,) = json.loads(told["sarif"])["runs"][0]["results"]
    assert result["partialFingerprints"]["findingId/v1"] == finding["id"]
    suites = ET.fromstring(told["junit"])  # noqa: S314 - our own text
    assert suites.get("failures") == "1"
    assert finding["id"] in told["text"]


def test_a_sound_project_prints_no_line_of_json_lines(sound: str, capsys: Capture) -> None:
    assert main(["check", sound, "--format", "jsonl"]) == 0
    assert capsys.readouterr().out == ""


def test_only_the_checks_named_stand_in_the_forms(faulty: str, capsys: Capture) -> None:
    main(["check", faulty, "--only", "heat-input", "--format", "sarif"])
    (rule,) = json.loads(capsys.readouterr().out)["runs"][0]["tool"]["driver"]["rules"]
    assert rule["id"] == "heat-input"


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


@pytest.mark.parametrize(
    ("setting", "coloured"),
    [({}, True), ({"NO_COLOR": "1"}, False), ({"NO_COLOR": ""}, True), ({"TERM": "dumb"}, False)],
)
def test_colour_only_where_it_is_shown_and_wanted(
    setting: dict[str, str], coloured: bool, faulty: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv("NO_COLOR", raising=False)
    monkeypatch.setenv("TERM", "xterm")
    for name, value in setting.items():
        monkeypatch.setenv(name, value)
    screen = Terminal()
    monkeypatch.setattr("sys.stdout", screen)
    main(["check", faulty])
    assert ("\x1b[" in screen.getvalue()) is coloured


def test_no_colour_into_a_pipe(faulty: str, capsys: Capture) -> None:
    main(["check", faulty])
    assert "\x1b[" not in capsys.readouterr().out


def test_ask_without_a_question_lists_them(sound: str, capsys: Capture) -> None:
    assert main(["ask", sound]) == 0
    told = capsys.readouterr().out
    assert all(f"{question.asks}" in told for question in QUESTIONS.values())


def test_a_question_in_three_forms(sound: str, capsys: Capture) -> None:
    asked = ["ask", sound, "batch", "batch=B-10"]
    assert main(asked) == 0
    text = capsys.readouterr().out
    assert main([*asked, "--format", "csv"]) == 0
    rows = list(csv.DictReader(io.StringIO(capsys.readouterr().out)))
    assert main([*asked, "--format", "json"]) == 0
    data = json.loads(capsys.readouterr().out)
    assert [row["joint"] for row in rows] == [row["joint"] for row in data["rows"]]
    assert f"{len(rows)} rows." in text
    assert data["given"] == {"batch": "B-10"}


def test_csv_cells_never_start_a_formula(tmp_path: Path, capsys: Capture) -> None:
    registers = read(CLEAN)
    for made in registers["passes"]:
        if made["joint"] == "ML-001":
            made["welder"] = "=1+1"
    folder = str(written(registers, tmp_path))
    assert main(["ask", folder, "batch", "batch=B-10", "--format", "csv"]) == 0
    rows = list(csv.DictReader(io.StringIO(capsys.readouterr().out)))
    assert "'=1+1" in {row["welder"] for row in rows}


@pytest.mark.parametrize(
    "words", [["no-such"], ["welder"], ["welder", "W01"], ["welder", "welder=W01", "x=1"]]
)
def test_a_wrong_question_is_a_matter_of_usage(
    words: list[str], sound: str, capsys: Capture
) -> None:
    assert main(["ask", sound, *words]) == 2
    captured = capsys.readouterr()
    assert captured.out == ""
    assert captured.err


def test_as_of_reaches_the_questions(sound: str, capsys: Capture) -> None:
    asked = ["ask", sound, "welder", "welder=W01", "--format", "json"]
    main([*asked, "--as-of", "2026-05-03"])
    assert json.loads(capsys.readouterr().out)["rows"] == []
    main(asked)
    assert json.loads(capsys.readouterr().out)["rows"]


def test_draw_repeats_itself_and_brings_the_evidence(sound: str, capsys: Capture) -> None:
    drawn = ["draw", sound, "--seed", "3", "--joints", "2", "--format", "json"]
    assert main(drawn) == 0
    first = json.loads(capsys.readouterr().out)
    main(drawn)
    assert json.loads(capsys.readouterr().out) == first
    assert len(first["joints"]) == 2
    for one in first["joints"]:
        assert any(record["what"].startswith("pass") for record in one["records"])
        assert {"proof_of", "document", "page", "file"} == set(one["pages"][0])
    assert main(["draw", sound, "--seed", "3", "--joints", "2"]) == 0
    told = capsys.readouterr().out
    assert "seed 3" in told
    assert max(map(len, told.splitlines())) <= 100
    assert main(["draw", sound, "--seed", "3", "--joints", "0"]) == 2


def test_ready_tells_with_its_exit_code_whether_all_may_go_on(
    sound: str, faulty: str, capsys: Capture
) -> None:
    assert main(["ready", sound, "--for", "coating"]) == 0
    capsys.readouterr()
    assert main(["ready", faulty, "--for", "coating", "--format", "json"]) == 1
    data = json.loads(capsys.readouterr().out)
    assert [one["joint"] for one in data["held"]] == ["ST-001"]
    assert main(["ready", faulty, "--for", "coating", "--format", "csv"]) == 1
    rows = list(csv.DictReader(io.StringIO(capsys.readouterr().out)))
    assert {row["joint"] for row in rows if row["for coating"] == "held up"} == {"ST-001"}


def test_figures_are_written_where_asked(sound: str, tmp_path: Path, capsys: Capture) -> None:
    assert main(["figures", sound, "--out", str(tmp_path / "f")]) == 0
    paths = [Path(line) for line in capsys.readouterr().out.splitlines()]
    assert {"figures.xlsx", "figures.pdf"} <= {path.name for path in paths}
    assert all(path.stat().st_size for path in paths)


def test_history_tells_where_each_row_was_read_and_what_the_record_lacks(
    sound: str, capsys: Capture
) -> None:
    assert main(["history", sound, "ML-001", "--format", "json"]) == 0
    data = json.loads(capsys.readouterr().out)
    for name in ("members", "passes", "consumables", "examinations", "after"):
        labels = [column["label"] for column in data[name]["columns"]]
        assert labels[-1] == "Read from"
        assert all("line" in row["cells"][-1] for row in data[name]["rows"])
    assert [row["cells"][0] for row in data["tests"]["rows"]] == [
        "traceable", "verifiable", "complete"]  # fmt: skip
    assert data["welders"]["rows"][0]["cells"][0] == "W01"


@pytest.mark.parametrize("given", ["joint", "=ML-001", "="])
def test_a_value_that_is_no_pair_is_refused(given: str, sound: str, capsys: Capture) -> None:
    assert main(["ask", sound, "joint", given]) == 2
    assert f"found {given}, expected key=value" in capsys.readouterr().err


def test_a_check_that_does_not_exist_is_refused_before_anything_is_read(capsys: Capture) -> None:
    assert main(["check", "no such folder", "--only", "heat-input", "--only", "beauty"]) == 2
    told = capsys.readouterr().err
    assert "--only" in told
    assert "found beauty," in told
    assert "heat-input" in told


@pytest.mark.parametrize(
    ("present", "needed", "code"), [(True, True, 0), (False, False, 0), (False, True, 4)]
)
def test_only_what_is_needed_and_missing_counts(
    present: bool, needed: bool, code: int, capsys: Capture, monkeypatch: pytest.MonkeyPatch
) -> None:
    item = doctor.Item("fonts", present, needed, "told")
    monkeypatch.setattr(doctor, "examine", lambda: iter([item]))
    assert main(["doctor"]) == code
    assert capsys.readouterr().out == f"{'ok     ' if present else 'missing'}  fonts: told\n"


def test_templates_of_the_project_are_told_from_those_of_the_tool(
    sound: str, capsys: Capture
) -> None:
    own = Path(sound) / "templates"
    own.mkdir()
    (own / "rates.html").write_text("<p>own</p>", encoding="utf-8")
    assert main(["templates", "list", sound]) == 0
    rows = [line.split() for line in capsys.readouterr().out.splitlines()]
    whose = {row[0]: row[1] for row in rows}
    assert {name for name, who in whose.items() if who == "project"} == {"rates.html"}
    assert set(whose.values()) == {"project", "dossier"}
