"""The workbook for data entry: what it offers, and that nothing is lost on the way back."""

from __future__ import annotations

import dataclasses
import io
import re
import shutil
import subprocess
import zipfile
from datetime import date
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from dossier.errors import InputError
from dossier.intake import load_project
from dossier.intake.entry_layout import NAMES, WHICH, layout, shape_at
from dossier.intake.entry_mark import FIRST_ROW, HEADING_ROW, HELP_ROW, PATH_ROW
from dossier.intake.entry_rows import joined_texts, split_texts
from dossier.intake.entry_workbook import entry_workbook, write_workbook
from dossier.intake.shape import Shape
from dossier.records.joints import Joint, JointName
from dossier.records.materials import Item
from dossier.records.project import Project
from dossier.records.welders import Certificate, Welder
from tests.intake.entry_books import (
    ACCEPTED,
    EVERY,
    SAMPLE,
    column_of,
    folder_of,
    same,
    told,
)


@pytest.mark.parametrize("source", [SAMPLE, *ACCEPTED], ids=lambda path: path.name)
def test_nothing_is_lost(source: Path, tmp_path: Path) -> None:
    project = load_project(source)
    again = load_project(folder_of(project, source, tmp_path))
    same(project, again)
    # What is odd in the records themselves is told of again; the workbook adds no doubt.
    assert [str(d) for d in again.doubts if d.raw != d.read_as or not project.doubts] == []


def test_nothing_is_lost_through_another_spreadsheet(tmp_path: Path) -> None:
    office = shutil.which("soffice")
    if office is None:
        pytest.skip("LibreOffice is not installed")
    project = load_project(EVERY)
    folder = folder_of(project, EVERY, tmp_path / "project")
    for kind, source in (("ods", folder / "records.xlsx"), ("xlsx", tmp_path / "records.ods")):
        profile = f"-env:UserInstallation=file://{tmp_path}/profile"
        command = [office, profile, "--headless", "--convert-to", kind, "--outdir", str(tmp_path)]
        subprocess.run([*command, str(source)], check=True, capture_output=True, timeout=180)
    shutil.copy(tmp_path / "records.xlsx", folder / "records.xlsx")
    same(project, load_project(folder))


def test_equal_records_give_equal_bytes() -> None:
    project = load_project(EVERY)
    assert entry_workbook(project) == entry_workbook(project)


def test_written_to_a_new_folder(tmp_path: Path) -> None:
    out = write_workbook(EVERY, tmp_path / "new" / "records.xlsx")
    assert openpyxl.load_workbook(out).sheetnames[:3] == ["Legend", "Lines", "Joints"]


def _paths(form: Shape, start: str = "") -> set[str]:
    """Every field that a record of the shape can hold, lists of objects apart."""
    found = set()
    for name, part in form.fields.items():
        if part.kind == "object":
            found |= _paths(part, f"{start}{name}.")
        elif part.kind != "list" or part.item is None or part.item.kind != "object":
            found.add(start + name)
    return found


def test_every_field_of_every_register_has_a_column() -> None:
    assert {sheet.path for sheet in layout()} == set(NAMES)
    for sheet in layout():
        own = {column.path for column in sheet.columns if not column.owner}
        assert own == _paths(shape_at(sheet.path)), sheet.name
        assert len({column.heading for column in sheet.columns}) == len(sheet.columns), sheet.name


@pytest.fixture(scope="module")
def book() -> Any:
    return openpyxl.load_workbook(io.BytesIO(entry_workbook(load_project(EVERY))))


def test_headings_help_and_the_page(book: Any) -> None:
    for sheet in layout():
        page = book[sheet.name]
        heads = [cell.value for cell in page[HEADING_ROW]]
        assert heads == [column.heading for column in sheet.columns]
        assert all(cell.value for cell in page[HELP_ROW]), sheet.name
        assert page.row_dimensions[PATH_ROW].hidden
        assert page.freeze_panes.endswith(str(FIRST_ROW))
        assert page.auto_filter.ref.startswith(f"A{HEADING_ROW}:")
        assert page.print_title_rows == f"${HEADING_ROW}:${HEADING_ROW}"
        setup = page.page_setup
        assert (setup.orientation, setup.paperSize, setup.fitToHeight) == ("landscape", 9, 0)
        assert page.protection.sheet
        assert page[f"A{HEADING_ROW}"].protection.locked
        assert not page.column_dimensions["A"].protection.locked
    assert book["Joints"][f"{column_of(book['Joints'], 'hi_lo_mm')}{HEADING_ROW}"].value == (
        "Hi-lo [mm]"
    )
    assert book["Joints"]["A4"].value.endswith("*")
    legend = book["Legend"].page_setup
    assert (legend.fitToWidth, legend.fitToHeight) == (1, 1)
    assert book["Lists"].sheet_state == "veryHidden"
    assert book.security.lockStructure


def test_drop_down_lists_go_by_names_that_exist(book: Any) -> None:
    lists = 0
    for sheet in layout():
        for rule in book[sheet.name].data_validations.dataValidation:
            assert len(rule.formula1) <= 255
            if rule.type == "list":
                lists += 1
                where = book.defined_names[rule.formula1.lstrip("=")].attr_text
                for name in re.findall(r"'?([A-Z][A-Za-z ]+)'?!", where):
                    assert name in book.sheetnames
    assert lists > 60
    wps = next(
        rule
        for rule in book["Joints"].data_validations.dataValidation
        if f"{column_of(book['Joints'], 'wps')}{FIRST_ROW}" in rule.sqref
    )
    assert (wps.type, wps.errorStyle) == ("list", "warning")
    assert "'Procedures'!$A$5:INDEX(" in book.defined_names[wps.formula1.lstrip("=")].attr_text


def test_limits_come_from_the_schema(book: Any) -> None:
    letter, rule = rule_of(book["Coatings"], "humidity_percent")
    assert rule.formula1 == (
        f"=IF(ISNUMBER({letter}5),AND(ISNUMBER({letter}5),{letter}5>=0,{letter}5<=100),"
        f'LOWER({letter}5)="n/a")'
    )
    assert rule.error == "A number in %, 0 to 100 %, or n/a."


def test_which_of_several_counts_from_one(book: Any) -> None:
    sheets = [s.name for s in layout() if any(c.path == WHICH for c in s.columns)]
    assert sheets
    for name in sheets:
        _, rule = rule_of(book[name], WHICH)
        assert rule.error == "A whole number, 1 or more, or n/a."


def rule_of(page: Any, path: str) -> tuple[str, Any]:
    """The letter of a column, and what may be entered in it."""
    letter = column_of(page, path)
    rules = page.data_validations.dataValidation
    return letter, next(rule for rule in rules if f"{letter}{FIRST_ROW}" in rule.sqref)


def test_closed_lists_take_na_only_where_it_may_be_blank(book: Any) -> None:
    def words(sheet: str, path: str) -> list[object]:
        letter = column_of(book[sheet], path)
        rules = book[sheet].data_validations.dataValidation
        rule = next(r for r in rules if f"{letter}{FIRST_ROW}" in r.sqref)
        name, _, area = book.defined_names[rule.formula1.lstrip("=")].attr_text.partition("!")
        return [cell.value for (cell,) in book[name.strip("'")][area.replace("$", "")]]

    assert words("Joints", "status") == ["planned", "welded", "cut out", "void", "n/a"]
    assert "n/a" not in words("Passes", "process")
    assert words("Examiner certificates", "level") == [1, 2, 3]


def _project(**registers: Any) -> Project:
    return dataclasses.replace(
        Project(settings=load_project(EVERY).settings), lines=load_project(EVERY).lines, **registers
    )


TRAPS = [
    '=HYPERLINK("http://example.invalid","x")', "+1", "-1", "@SUM(A1)", "00135", "12E45", "5-6",
    "TRUE", "#N/A", "1.10", "_x0041_", "_x005F_x0041_", "a\nb", "a\tb", "'quoted", '"', "3/4",
    "№ 7 Ørsted", "null", "0", "x" * 3000,
]  # fmt: skip


def test_text_stays_text_and_is_no_formula(tmp_path: Path) -> None:
    items = tuple(Item(number=f"P-{i}", maker=text, heat=text) for i, text in enumerate(TRAPS))
    project = _project(items=items)
    folder = folder_of(project, EVERY, tmp_path)
    assert [item.maker for item in load_project(folder).items] == TRAPS
    with zipfile.ZipFile(folder / "records.xlsx") as parts:
        for name in parts.namelist():
            if re.fullmatch(r"xl/worksheets/sheet(?!1\.)\d+\.xml", name):
                assert not re.search(rb"<f[ >/]", parts.read(name)), name


def test_figures_keep_all_their_digits(tmp_path: Path) -> None:
    figures = [0.1 + 0.2, 1 / 3, 93.33333333333333, 1e-7, 12450.0, 1234567.890123456]
    items = tuple(Item(number=f"P-{i}", wall_mm=value) for i, value in enumerate(figures))
    folder = folder_of(_project(items=items), EVERY, tmp_path)
    assert [item.wall_mm for item in load_project(folder).items] == figures


def test_blank_not_applicable_and_zero(tmp_path: Path) -> None:
    name = JointName(written="ML-117", base="ML-117")
    joint = Joint(
        number="ML-117", name=name, line="L1", hi_lo_mm=0.0, fit_up_gap_mm=None, status="welded",
        not_applicable=frozenset({"kp_m", "document", "status"}),
    )  # fmt: skip
    certificate = Certificate(
        number="C-1", code="API 1104:21st", welded_on=date(2026, 1, 5),
        not_applicable=frozenset({"issued_on", "deposits", "positions"}),
    )  # fmt: skip
    welders = (
        Welder(stamp="W1", name="A", certificates=(certificate,)),
        Welder(stamp="W2", name="B", not_applicable=frozenset({"certificates", "since"})),
    )
    project = _project(joints=(joint,), welders=welders)
    again = load_project(folder_of(project, EVERY, tmp_path))
    found = again.joints[0]
    assert (found.hi_lo_mm, found.fit_up_gap_mm, found.kp_m) == (0.0, None, None)
    assert found.not_applicable == joint.not_applicable
    assert told(again.welders) == told(welders)


def test_equal_certificates_keep_their_own_confirmations(tmp_path: Path) -> None:
    project = load_project(EVERY)
    welder = next(w for w in project.welders if w.certificates)
    first = welder.certificates[0]
    second = dataclasses.replace(first, deposits=first.deposits[:1], confirmations=())
    doubled = dataclasses.replace(welder, certificates=(first, second, first))
    project = dataclasses.replace(project, welders=(doubled,))
    same(project, load_project(folder_of(project, EVERY, tmp_path)))


@pytest.mark.parametrize(
    "parts",
    [["PA", "PF"], ["a;b", "c"], ['say "x"', '"'], ["n/a"], ["two\nlines", "x"], ["-", "=1"]],
)
def test_several_texts_in_one_cell(parts: list[str]) -> None:
    assert split_texts(joined_texts(parts)) == parts


def test_line_breaks_part_values_as_well() -> None:
    assert split_texts("PA\nPF; PC;;") == ["PA", "PF", "PC"]


def test_a_text_too_long_for_a_cell_is_refused() -> None:
    with pytest.raises(InputError, match="32767"):
        entry_workbook(_project(items=(Item(number="P-1", maker="x" * 32_768),)))
