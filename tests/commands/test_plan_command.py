"""`dossier plan` as typed: forms, days, what-if, files, and the sheet in the dossier."""

from __future__ import annotations

import json
from pathlib import Path

import openpyxl
import pikepdf
import pytest

from dossier.cli import main
from dossier.coverage.view import view
from dossier.documents.printed import PRINTED
from dossier.documents.printed.face import Asked
from dossier.intake import load_project
from dossier.intake.shape import shape
from tests.trial import CLEAN, read, written

Capture = pytest.CaptureFixture[str]
SAMPLE = str(Path(__file__).parents[2] / "sample_project")
HEAVY = """
- stamp: W10
  name: Emeka Adeyanju-Cole
  certificates:
    - number: TRY-1
      code: "API 1104:21st"
      welded_on: 2026-07-05
      product: pipe
      weld_type: butt
      positions: [H-L045]
      direction: up
      wall_mm: 20.6
      od_mm: 610
      deposits: [{process: "111", filler: E7016, filler_group: "3", backing: none, root: true}]
"""


@pytest.fixture
def heavy(tmp_path: Path) -> str:
    path = tmp_path / "welders.yaml"
    path.write_text(HEAVY, encoding="utf-8")
    return str(path)


def _data(capsys: Capture, *more: str) -> dict[str, dict[str, list[dict[str, str]]]]:
    assert main(["plan", SAMPLE, "--format", "json", *more]) == 0
    found: dict[str, dict[str, list[dict[str, str]]]] = json.loads(capsys.readouterr().out)
    return found


def test_text_fits_the_screen_and_carries_the_proof(capsys: Capture) -> None:
    assert main(["plan", SAMPLE]) == 0
    told = capsys.readouterr().out
    assert "Further welder tests: 2, proven the fewest: no choice of 1 answers all" in told
    assert "Joints that nobody may weld yet: TI-7, TI-8, PT-29, PT-30." in told
    tables = told[told.index("WHAT THE PLANNED") :]
    assert max(map(len, tables.splitlines())) <= 100


def test_days_bound_the_lapses(capsys: Capture) -> None:
    assert _data(capsys)["lapses"]["rows"] == []
    assert len(_data(capsys, "--days", "120")["lapses"]["rows"]) == 4


def test_what_if_changes_the_plan_and_marks_it_a_trial(heavy: str, capsys: Capture) -> None:
    before, after = _data(capsys), _data(capsys, "--with", heavy)
    assert [row["Joints that wait"] for row in before["tests"]["rows"]] == [
        "PT-29, PT-30", "TI-7, TI-8",
    ]  # fmt: skip
    assert [row["Joints that wait"] for row in after["tests"]["rows"]] == ["PT-29, PT-30"]
    assert (before["status"], after["status"]) == ("issued", "trial")
    (need,) = (row for row in after["staff"]["rows"] if row["Joints"] == "TI-7, TI-8")
    assert need["May weld it"] == "W10"


def test_a_register_of_another_kind_is_refused(tmp_path: Path, capsys: Capture) -> None:
    path = tmp_path / "lines.yaml"
    needed = shape("lines").required
    path.write_text(json.dumps([dict.fromkeys(needed, "API 1104:21st")]), encoding="utf-8")
    assert main(["plan", SAMPLE, "--with", str(path)]) == 2
    assert "welders with certificates, or procedure tests" in capsys.readouterr().err


def test_files_hold_every_table(tmp_path: Path, capsys: Capture) -> None:
    data = _data(capsys)
    assert main(["plan", SAMPLE, "--out", str(tmp_path)]) == 0
    book = openpyxl.load_workbook(tmp_path / "work-ahead.xlsx")
    assert book.sheetnames == [name for name, part in data.items() if "rows" in part]
    assert book["tests"].max_row == 4 + len(data["tests"]["rows"])
    with pikepdf.open(tmp_path / "work-ahead.pdf") as pdf:
        assert len(pdf.pages) >= 2


def test_a_project_with_nothing_ahead_prints_no_sheet(tmp_path: Path) -> None:
    sound = load_project(written(read(CLEAN), tmp_path))
    assert list(PRINTED["work-ahead"].make(Asked(view(sound)))) == []


def test_the_sheet_of_the_sample_has_every_part() -> None:
    (sheet,) = PRINTED["work-ahead"].make(Asked(view(load_project(Path(SAMPLE)))))
    assert sheet["head"]["number"] == "BG-2-WAH-0001"
    rows = {name: len(part["rows"]["rows"]) for name, part in sheet["content"].items()}
    assert (rows["needs"], rows["tests"], rows["pieces"], rows["consumables"]) == (12, 2, 2, 4)
