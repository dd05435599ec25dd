"""Whatever stands in a cell or a file, reading ends in records or in faults of our own."""

from __future__ import annotations

import csv
import io
from math import isfinite
from pathlib import Path

import openpyxl
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from openpyxl.cell.cell import ILLEGAL_CHARACTERS_RE
from openpyxl.worksheet.worksheet import Worksheet

from dossier.errors import Fault, InputError, ProjectError
from dossier.intake import load_project, values
from dossier.records.joints import Joint

HEAD = """schema: "1.0"
number: T-1
title: Test
client: Invented Gas Co
contractor: Example Pipelines
numbering: {pattern: '(?P<series>[A-Z]+)-(?P<sequence>[0-9]+)'}
registers:
"""
FIELDS = ["number", "line", "hi_lo_mm", "kp_m", "welded_on", "finished_at", "document.page"]
QUIET = settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
LIKELY = st.sampled_from(
    ["", "n/a", "0", "-1", "12,7", "1.270,5", "1,270", "0.5 in", "1/0 in", "1e999", "NaN", "inf",
     "12+450", "2026-05-03", "03/04/2026", "2026-05-03 14:05", "31.02.2026 10:00", "ML-1", "²", "٣",
     "=1+1", "#N/A", "true", "1_000", "0x10", "9" * 40, "--5", "5 %", "a\nb", "\ud800", "12:30"]
)  # fmt: skip
CELLS = st.one_of(LIKELY, st.text(max_size=12))
OPTIONS = st.sampled_from(
    ["", ", decimal: ','", ", decimal: '.', date_order: mdy", ", date_order: dmy"]
)


def attempt(folder: Path) -> None:
    """Load the project. Any error but ours goes through and fails the test."""
    records: tuple[Joint, ...] = ()
    faults: tuple[Fault, ...] | None = None
    try:
        records = load_project(folder).joints
    except ProjectError as error:
        faults = error.faults
    assert faults != ()
    assert all(fault.file and fault.expected for fault in faults or ())
    assert all(joint.number and joint.line for joint in records)


def declare(folder: Path, source: str) -> None:
    (folder / "project.yaml").write_text(HEAD + f"  joints: {source}\n", encoding="utf-8")


@QUIET
@given(rows=st.lists(st.lists(CELLS, max_size=8), max_size=4), options=OPTIONS)
def test_cells_of_a_csv_file(tmp_path: Path, rows: list[list[str]], options: str) -> None:
    text = io.StringIO()
    csv.writer(text).writerows([FIELDS, *rows])
    (tmp_path / "j.csv").write_bytes(text.getvalue().encode("utf-8", "surrogatepass"))
    declare(tmp_path, f"{{file: j.csv, delimiter: ','{options}}}")
    attempt(tmp_path)


NUMBERS = st.one_of(
    st.integers(), st.floats(), st.booleans(), st.datetimes(), st.dates(), st.times()
)


def _writable(cell: object) -> object:
    if not isinstance(cell, str):
        return cell
    return ILLEGAL_CHARACTERS_RE.sub("", cell.replace("\ud800", ""))


@QUIET
@given(rows=st.lists(st.lists(st.one_of(CELLS, NUMBERS, st.none()), max_size=8), max_size=3))
def test_cells_of_a_workbook(tmp_path: Path, rows: list[list[object]]) -> None:
    book = openpyxl.Workbook()
    page = book.active
    assert isinstance(page, Worksheet)
    page.append(FIELDS)
    for row in rows:
        page.append([_writable(cell) for cell in row])
    try:
        book.save(tmp_path / "j.xlsx")
    except (ValueError, UnicodeEncodeError, TypeError):
        return  # not a workbook that openpyxl can write
    declare(tmp_path, "j.xlsx")
    attempt(tmp_path)


BROKEN = st.one_of(
    st.binary(max_size=60),
    st.text(alphabet='[]{}:,"\\-?&*!|>%@`#\n \tabn01.~', max_size=40).map(str.encode),
)


@QUIET
@given(content=BROKEN, ending=st.sampled_from(["yaml", "json", "jsonl", "csv", "xlsx"]))
def test_files_of_anything(tmp_path: Path, content: bytes, ending: str) -> None:
    (tmp_path / f"j.{ending}").write_bytes(content)
    declare(tmp_path, f"j.{ending}")
    attempt(tmp_path)


@QUIET
@given(content=BROKEN)
def test_a_project_file_of_anything(tmp_path: Path, content: bytes) -> None:
    for text in (content, HEAD.encode() + content):
        (tmp_path / "project.yaml").write_bytes(text)
        attempt(tmp_path)


@pytest.mark.parametrize("ending", ["yaml", "json", "jsonl"])
def test_values_nested_without_end(tmp_path: Path, ending: str) -> None:
    (tmp_path / f"j.{ending}").write_text("[" * 50_000, encoding="utf-8")
    declare(tmp_path, f"j.{ending}")
    with pytest.raises(ProjectError):
        load_project(tmp_path)


@settings(max_examples=300, deadline=None)
@given(
    text=CELLS, decimal=st.sampled_from(["", ".", ","]), unit=st.sampled_from(["", "mm", "m", "°C"])
)
def test_a_number_is_read_or_refused(text: str, decimal: str, unit: str) -> None:
    try:
        value = values.number(text, unit, decimal=decimal)
    except InputError:
        value = 0.0
    assert isfinite(value)


@settings(max_examples=200, deadline=None)
@given(day=st.dates(), order=st.sampled_from(["dmy", "mdy", "ymd"]), mark=st.sampled_from("./-"))
def test_a_date_is_read_as_it_was_written(day: object, order: str, mark: str) -> None:
    year, month, dom = str(day).split("-")
    text = mark.join({"y": year, "m": month, "d": dom}[part] for part in order)
    assert values.iso_date(text, order) == str(day)
