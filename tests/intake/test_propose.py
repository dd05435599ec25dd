"""A map proposed from foreign headings reads the file, once its questions are answered."""

from __future__ import annotations

from datetime import datetime, timedelta
from pathlib import Path

import openpyxl
import pytest
import xlsxwriter
from openpyxl.worksheet.worksheet import Worksheet

from dossier.errors import ProjectError
from dossier.intake import load_project
from dossier.intake.heading_match import field_words, heading_of, pass_heading
from dossier.intake.propose import propose

HEAD = """schema: "1.0"
number: T-1
title: Test
client: Invented Gas Co
contractor: Example Pipelines
numbering: {pattern: '(?P<series>[A-Z]+)-(?P<sequence>[0-9]+)'}
"""
SAMPLE = Path(__file__).parents[2] / "sample_project" / "registers"


def two_row_log(path: Path) -> None:
    book = openpyxl.Workbook()
    page = book.active
    assert isinstance(page, Worksheet)
    page.title = "Woche 1"
    page["A1"] = "Schweißbuch"
    for cell, text in {"A3": "Naht", "B3": "Leitung", "C3": "Datum", "D3": "Wurzel", "F3": "Füll 1",
                       "H3": "Deck", "J3": "Spalt", "A4": "Nr.", "J4": "in"}.items():  # fmt: skip
        page[cell] = text
    for column in "DFH":
        page[f"{column}4"] = "Schweißer"
    for column in "EGI":
        page[f"{column}4"] = "Charge"
    for span in ("D3:E3", "F3:G3", "H3:I3", "B3:B4", "C3:C4"):
        page.merge_cells(span)
    page.append(["ML-1", "L1", "13.05.2026", "W1/W2", "B1", "W3", "B2", "W3", "B2", 0.05])
    page.append(["Woche 2"])
    page.append(["ML-2", "dto.", "14.05.2026", "W1/W2", "B1", "W3", "B2", None, None, 0.0625])
    book.save(path)


def test_a_wide_log_with_two_rows_of_headings(tmp_path: Path) -> None:
    two_row_log(tmp_path / "log.xlsx")
    text = propose(tmp_path / "log.xlsx")
    for line in (
        "    header_rows: 2",
        '      number: "Naht / Nr."',
        '      fit_up_gap_mm: "Spalt / in"',
        '      fit_up_gap_mm: "in"',
        "    date_order: dmy",
        '    # skip: ["Woche *"]',
        "    # unfold: {field: welder, into: side, values: [left, right]}",
        '      - columns: {welder: "Füll 1 / Schweißer", batch: "Füll 1 / Charge"}',
        '        constants: {number: "2", kind: fill}',
    ):
        assert line in text.splitlines(), line
    answered = text.replace("    # skip", "    skip").replace("    # unfold", "    unfold")
    answered = answered.replace("kind:", 'process: "111", kind:')
    answered = answered.replace("    header_rows", "    as_above: [dto.]\n    header_rows")
    (tmp_path / "project.yaml").write_text(HEAD + answered, encoding="utf-8")
    project = load_project(tmp_path)
    assert [(j.number, j.line, j.fit_up_gap_mm) for j in project.joints] == [
        ("ML-1", "L1", 1.27),
        ("ML-2", "L1", 1.5875),
    ]
    assert [(p.joint, p.number, p.kind, p.welder, p.side, p.batch) for p in project.passes] == [
        ("ML-1", 1, "root", "W1", "left", "B1"),
        ("ML-1", 1, "root", "W2", "right", "B1"),
        ("ML-1", 2, "fill", "W3", "", "B2"),
        ("ML-1", 3, "cap", "W3", "", "B2"),
        ("ML-2", 1, "root", "W1", "left", "B1"),
        ("ML-2", 1, "root", "W2", "right", "B1"),
        ("ML-2", 2, "fill", "W3", "", "B2"),
    ]


@pytest.mark.parametrize(
    ("headings", "register", "expected"),
    [
        ("Weld No.;Line;Date;KP;Hi-Lo (mm)", "joints", "number line welded_on kp_m hi_lo_mm"),
        ("Junta N°;Tramo;Fecha;Progresiva", "joints", "number line welded_on kp_m"),
        ("N° de soudure;Tronçon;Jeu", "joints", "number line fit_up_gap_mm"),
        ("Nº da solda;Trecho;Abertura de raiz", "joints", "number line fit_up_gap_mm"),
        ("Номер стыка;Участок;Дата сварки;Зазор", "joints", "number line welded_on"),
        ("Стык;Проход;Клеймо сварщика;Партия", "passes", "joint number welder batch"),
        ("Naht;Lage;Prozess;Schweißer-Nr.;Strom [A]", "passes", "joint number process current_a"),
        ("Pipe no.;Heat no.;OD (in);WT (mm)", "items", "number heat od_mm wall_mm"),
        ("Report No.;Weld No.;Method;Exam date", "examinations", "report joint examined_at"),
    ],
)  # fmt: skip
def test_headings_of_six_languages(
    tmp_path: Path, headings: str, register: str, expected: str
) -> None:
    (tmp_path / "log.csv").write_text(headings + "\n", encoding="utf-8")
    lines = propose(tmp_path / "log.csv").splitlines()
    assert f"  {register}:" in lines
    fields = [
        line.split(":")[0].strip()
        for line in lines
        if line.startswith("      ") and "#" not in line
    ]
    assert set(expected.split()) <= set(fields)


def test_a_date_order_that_the_dates_do_not_settle_is_asked(tmp_path: Path) -> None:
    for dates, told in (
        (["03/04/2026"], "    # date_order: dmy or mdy"),
        (["03/04/2026", "03/25/2026"], "    date_order: mdy"),
        (["25.03.2026", "03.04.2026"], "    date_order: dmy"),
        (["25.03.2026", "03.25.2026"], "    # date_order: dmy or mdy"),
    ):
        rows = "".join(f"ML-1;L;{day}\n" for day in dates)
        (tmp_path / "log.csv").write_text("Weld no.;Line;Date\n" + rows, encoding="utf-8")
        assert told in propose(tmp_path / "log.csv").splitlines()


def test_the_sample_station_log_reads_as_its_own_map_does(tmp_path: Path) -> None:
    text = propose(SAMPLE / "station-log.xlsx")
    (tmp_path / "station-log.xlsx").write_bytes((SAMPLE / "station-log.xlsx").read_bytes())
    head = HEAD.replace("'(?P<series>[A-Z]+)-(?P<sequence>[0-9]+)'", "'(?P<series>[A-Z]+-).*'")
    (tmp_path / "project.yaml").write_text(head + text, encoding="utf-8")
    project = load_project(tmp_path)
    own = load_project(SAMPLE.parent)
    names = {joint.number for joint in project.joints}
    assert len(names) == len(project.joints) == 32
    for field in ("kind", "welder", "process", "current_a", "travel_mm_min", "preheat_c"):
        wanted = [getattr(p, field) for p in own.passes if p.joint in names]
        assert [getattr(p, field) for p in project.passes] == wanted, field


def test_no_table_and_no_known_heading(tmp_path: Path) -> None:
    (tmp_path / "log.csv").write_text("x;y\n1;2\n", encoding="utf-8")
    (tmp_path / "log.txt").write_text("x", encoding="utf-8")
    for name, told in (
        ("log.csv", "known headings"),
        ("log.txt", "the ending .txt"),
        ("no.csv", "no such file"),
    ):
        with pytest.raises(ProjectError, match=told):
            propose(tmp_path / name)


def test_words_for_one_field_lead_to_no_other() -> None:
    assert field_words("joints")["weld no"] == "number"
    assert field_words("passes")["weld no"] == "joint"
    assert pass_heading(heading_of("R3 A")) is not None
    assert pass_heading(heading_of("Remarks")) is None


WIDE = ("Joint No.", "Line", "Weld date", "KP (km)", "WPS", "Hi-Lo (mm)", "Pipe up", "Pipe down")
RUNS = ("Root", "Hot", "Fill 1", "Fill 2", "Cap")
OF_A_RUN = ("Welder", "Batch", "A", "V")


def wide_log(path: Path, joints: int) -> None:
    """Twenty-eight columns a joint, a title over them and the week's totals in between."""
    book = xlsxwriter.Workbook(path)
    sheet = book.add_worksheet("Log")
    day = book.add_format({"num_format": "dd.mm.yyyy"})
    sheet.write(0, 0, "Welding log, spread north")
    for column, heading in enumerate(WIDE):
        sheet.merge_range(2, column, 3, column, heading)
    for run, name in enumerate(RUNS):
        first = len(WIDE) + run * len(OF_A_RUN)
        sheet.merge_range(2, first, 2, first + len(OF_A_RUN) - 1, name)
        sheet.write_row(3, first, OF_A_RUN)
    line = 4
    for number in range(1, joints + 1):
        sheet.write_row(line, 0, [f"ML-{number}", "L1"])
        sheet.write_datetime(line, 2, datetime(2026, 5, 1) + timedelta(number // 20), day)  # noqa: DTZ001
        sheet.write_row(line, 3, [number / 100, "WPS-1", 0.5, f"P-{number}", f"P-{number + 1}"])
        for run in range(len(RUNS)):
            welders = f"W{run + 1:02d}/W{run + 11}"
            values = [welders, f"B{run}", 100 + run + number % 7, 24.5]
            sheet.write_row(line, len(WIDE) + run * len(OF_A_RUN), values)
        line += 1
        if not number % 100:
            sheet.write(line, 0, f"Total of week {number // 100}")
            line += 1
    book.close()


def test_a_wide_log_of_five_hundred_joints(tmp_path: Path) -> None:
    wide_log(tmp_path / "log.xlsx", 500)
    text = propose(tmp_path / "log.xlsx")
    assert '    # skip: ["Total*"]' in text.splitlines()
    answered = text.replace("    # skip", "    skip").replace("    # unfold", "    unfold")
    answered = answered.replace("kind:", 'process: "111", kind:')
    (tmp_path / "project.yaml").write_text(HEAD + answered, encoding="utf-8")
    project = load_project(tmp_path)
    assert [joint.number for joint in project.joints] == [f"ML-{n}" for n in range(1, 501)]
    assert {joint.number: joint.kp_m for joint in project.joints}["ML-437"] == pytest.approx(4370)
    assert len(project.passes) == 500 * len(RUNS) * 2  # a half each of two welders
    last = [p for p in project.passes if p.joint == "ML-500"][-2:]
    assert [(p.number, p.kind, p.welder, p.side, p.batch, p.current_a) for p in last] == [
        (5, "cap", "W05", "left", "B4", 104 + 500 % 7),
        (5, "cap", "W15", "right", "B4", 104 + 500 % 7),
    ]
