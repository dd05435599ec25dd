"""Workbooks as they come: dates, formulas, errors, merged cells, stray formats, bombs."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Callable
from datetime import date, datetime
from pathlib import Path

import openpyxl
import pytest
from openpyxl.worksheet.worksheet import Worksheet

from dossier.errors import ProjectError
from dossier.intake import load_project
from dossier.records.project import Project

HEAD = """schema: "1.0"
number: T-1
title: Test
client: Invented Gas Co
contractor: Example Pipelines
numbering: {pattern: '(?P<series>[A-Z]+)-(?P<sequence>[0-9]+)'}
registers:
"""
FIELDS = ["number", "line", "welded_on", "finished_at", "hi_lo_mm", "wps", "position_code"]
Read = Callable[..., Project]


@pytest.fixture
def read(tmp_path: Path) -> Read:
    """Load a project whose joints are in the workbook that `fill` has filled."""

    def reading(fill: Callable[[Worksheet], None], source: str = "") -> Project:
        book = openpyxl.Workbook()
        page = book.active
        assert isinstance(page, Worksheet)
        page.title = "Log"
        fill(page)
        book.save(tmp_path / "log.xlsx")
        declared = f"  joints: {{file: log.xlsx{source}}}\n"
        (tmp_path / "project.yaml").write_text(HEAD + declared, encoding="utf-8")
        return load_project(tmp_path)

    return reading


def faults(read: Read, fill: Callable[[Worksheet], None], source: str = "") -> list[str]:
    with pytest.raises(ProjectError) as caught:
        read(fill, source)
    return [str(fault) for fault in caught.value.faults]


def test_cells_of_every_kind(read: Read) -> None:
    def fill(page: Worksheet) -> None:
        page.append(FIELDS)
        page.append(["ML-1", 7, date(2026, 5, 3), datetime(2026, 5, 3, 14, 5), 0.8, 10.0, None])  # noqa: DTZ001
        page.append(["ML-2", "007", "2026-05-03", datetime(2026, 5, 3), 1, "n/a", "  PJ\u00a0 "])  # noqa: DTZ001
        page["D3"].number_format = "yyyy-mm-dd hh:mm"

    first, second = read(fill).joints
    assert (first.line, first.wps, second.line) == ("7", "10", "007")
    assert first.welded_on == second.welded_on == date(2026, 5, 3)
    assert first.finished_at == datetime(2026, 5, 3, 14, 5)  # noqa: DTZ001
    assert second.finished_at == datetime(2026, 5, 3)  # noqa: DTZ001
    assert (second.wps, second.not_applicable, second.position_code) == (
        "",
        frozenset({"wps"}),
        "PJ",
    )
    assert str(second.origin.of("hi_lo_mm")) == "log.xlsx, Log!E3"


def test_headings_below_a_title_and_other_columns(read: Read) -> None:
    def fill(page: Worksheet) -> None:
        page.append(["Weld log"])
        page.merge_cells("A1:D1")
        page.append(["Colour", "Weld\u00a0No. ", "SPREAD"])
        page.append(["red", "ML-1", "S1"])
        page.append([None, None, None])
        page.append(["green", None, None])  # no mapped column is filled: not a record
        page.append(["red", "ML-2", "S1"])
        page.merge_cells("A3:A4")

    source = ", sheet: Log, header_row: 2, columns: {number: weld no., line: Spread}"
    project = read(fill, source)
    assert [str(j.origin.of("number")) for j in project.joints] == [
        "log.xlsx, Log!B3",
        "log.xlsx, Log!B6",
    ]


def test_merged_cells_are_reported_and_never_filled_in(read: Read) -> None:
    def fill(page: Worksheet) -> None:
        page.append(["number", "line"])
        page.append(["ML-1", "S1"])
        page.append(["ML-2", None])
        page.merge_cells("B2:B3")

    found = faults(read, fill)
    assert found[0].startswith("log.xlsx, Log!B2: found the merged cells B2:B3")
    assert found[1].startswith("log.xlsx, Log!B3: line: found nothing")


def test_errors_and_formulas_never_calculated(read: Read) -> None:
    def fill(page: Worksheet) -> None:
        page.append(["number", "line", "hi_lo_mm", "wps", "drawing"])
        page.append(["ML-1", "S1", "=0.4*2", "#N/A", "=A2"])
        page["D2"].data_type = "e"

    assert faults(read, fill) == [
        "log.xlsx, Log!C2: hi_lo_mm: found a formula without a stored value, expected a value.",
        'log.xlsx, Log!D2: wps: found "#N/A", an error, expected a value.',
        "log.xlsx, Log!E2: drawing: found a formula without a stored value, expected a value.",
    ]


def test_a_stored_formula_counts_by_its_value(read: Read, tmp_path: Path) -> None:
    def fill(page: Worksheet) -> None:
        page.append(["number", "line", "hi_lo_mm"])
        page.append(["ML-1", "S1", "=0.4*2"])

    assert len(faults(read, fill)) == 1
    stored = io.BytesIO()
    with zipfile.ZipFile(tmp_path / "log.xlsx") as old, zipfile.ZipFile(stored, "w") as new:
        for name in old.namelist():
            text = old.read(name)
            if name.endswith("sheet1.xml"):
                assert b"<f>0.4*2</f><v />" in text or b"<f>0.4*2</f><v></v>" in text
                text = text.replace(b"<v />", b"<v>0.8</v>").replace(b"<v></v>", b"<v>0.8</v>")
            new.writestr(name, text)
    (tmp_path / "log.xlsx").write_bytes(stored.getvalue())
    assert load_project(tmp_path).joints[0].hi_lo_mm == 0.8


def test_a_percentage_is_what_the_cell_shows(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    page = book.active
    assert isinstance(page, Worksheet)
    page.append(["report", "joint", "method", "extent_percent"])
    page.append(["R-1", "ML-1", "RT", 0.15])
    page["D2"].number_format = "0%"
    book.save(tmp_path / "ndt.xlsx")
    declared = HEAD + "  examinations: ndt.xlsx\n"
    (tmp_path / "project.yaml").write_text(declared, encoding="utf-8")
    assert load_project(tmp_path).examinations[0].extent_percent == 15.0


def test_a_stray_format_far_below_costs_nothing(read: Read) -> None:
    def fill(page: Worksheet) -> None:
        page.append(["number", "line"])
        page.append(["ML-1", "S1"])
        page["A1048576"].number_format = "0.00"

    assert len(read(fill).joints) == 1


def test_a_sheet_that_is_not_there(read: Read) -> None:
    def fill(page: Worksheet) -> None:
        page.append(["number", "line"])

    found = faults(read, fill, ", sheet: log")
    assert found == [
        'log.xlsx: found the sheets Log, expected the sheet "log". Did you mean "Log"?'
    ]
    assert faults(read, fill, ", header_row: 4")[0].startswith(
        "log.xlsx, Log!A4: found no headings"
    )


@pytest.mark.parametrize("content", [b"", b"PK\x03\x04 not a book", b"number,line\n"])
def test_no_workbook_at_all(read: Read, tmp_path: Path, content: bytes) -> None:
    read(lambda page: page.append(["number", "line"]))
    (tmp_path / "log.xlsx").write_bytes(content)
    with pytest.raises(ProjectError, match="a sound XLSX workbook"):
        load_project(tmp_path)


def test_a_bomb_is_not_unpacked(read: Read, tmp_path: Path) -> None:
    read(lambda page: page.append(["number", "line"]))
    with zipfile.ZipFile(tmp_path / "log.xlsx", "a", zipfile.ZIP_DEFLATED) as book:
        book.writestr("xl/media/zeros.bin", bytes(20_000_000))
    with pytest.raises(ProjectError, match="a workbook of ordinary size"):
        load_project(tmp_path)


def test_entities_are_not_expanded(read: Read, tmp_path: Path) -> None:
    read(lambda page: page.append(["number", "line"]))
    entity = b'<?xml version="1.0"?><!DOCTYPE x [<!ENTITY a "b">]><workbook>&a;</workbook>'
    stored = io.BytesIO()
    with zipfile.ZipFile(tmp_path / "log.xlsx") as old, zipfile.ZipFile(stored, "w") as new:
        for name in old.namelist():
            new.writestr(name, entity if name == "xl/workbook.xml" else old.read(name))
    (tmp_path / "log.xlsx").write_bytes(stored.getvalue())
    with pytest.raises(ProjectError, match=r"cannot be opened \(EntitiesForbidden\)"):
        load_project(tmp_path)
