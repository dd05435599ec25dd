"""The workbook for data entry: what it offers, and that nothing is lost on the way back."""

from __future__ import annotations

import dataclasses
import io
import random
import re
import shutil
import subprocess
import zipfile
from collections.abc import Callable
from datetime import date, datetime, time
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from dossier.errors import InputError, ProjectError
from dossier.intake import load_project
from dossier.intake.entry_layout import NAMES, layout, shape_at
from dossier.intake.entry_mark import FIRST_ROW, HEADING_ROW, HELP_ROW, PATH_ROW
from dossier.intake.entry_rows import joined_texts, split_texts
from dossier.intake.entry_workbook import entry_workbook, write_workbook
from dossier.intake.schemas import REGISTERS
from dossier.intake.shape import Shape
from dossier.records.base import Record
from dossier.records.joints import Joint, JointName
from dossier.records.materials import Item
from dossier.records.project import Project
from dossier.records.welders import Certificate, Welder

HERE = Path(__file__).parent
SAMPLE = HERE.parents[1] / "sample_project"
EVERY = HERE / "accepted" / "every_register"
ACCEPTED = sorted(path for path in (HERE / "accepted").iterdir() if path.is_dir())


def told(record: Any) -> Any:
    """A record as plain data without the places it was read from.

    Names answered "n/a" count where they stand: a certificate kept in a file of its own tells of
    them itself, one inside of its welder is told of by the welder as well.
    """
    if isinstance(record, tuple):
        return [told(part) for part in record]
    if not dataclasses.is_dataclass(record):
        return record
    data = {f.name: told(getattr(record, f.name)) for f in dataclasses.fields(record)}
    if isinstance(record, Record):
        del data["origin"]
        inner = [
            f"{f.name}."
            for f in dataclasses.fields(record)
            if any(isinstance(p, Record) for p in _parts(getattr(record, f.name)))
        ]
        own = {n for n in record.not_applicable if not n.startswith(tuple(inner) or ("\0",))}
        data["not_applicable"] = own
    return data


def _parts(value: Any) -> tuple[Any, ...]:
    return value if isinstance(value, tuple) else ()


def folder_of(project: Project, source: Path, folder: Path, declared: str = "") -> Path:
    """A project whose only register file is the workbook of `project`."""
    folder.mkdir(parents=True, exist_ok=True)
    text = (source / "project.yaml").read_text(encoding="utf-8").split("registers:")[0]
    registers = declared or "  workbook: records.xlsx\n"
    (folder / "project.yaml").write_text(f"{text}registers:\n{registers}", encoding="utf-8")
    (folder / "records.xlsx").write_bytes(entry_workbook(project))
    return folder


def same(one: Project, other: Project) -> None:
    for name in REGISTERS:
        assert told(getattr(one, name)) == told(getattr(other, name)), name


def changed(folder: Path, change: Callable[[Any], None]) -> None:
    """Open the workbook, change it, and save it as somebody at a desk would."""
    book = openpyxl.load_workbook(folder / "records.xlsx")
    change(book)
    book.save(folder / "records.xlsx")


def column_of(page: Any, path: str) -> str:
    return next(cell.column_letter for cell in page[PATH_ROW] if cell.value == path)


def put(book: Any, sheet: str, row: int, **values: object) -> None:
    page = book[sheet]
    for name, value in values.items():
        path = name.replace("__", ":", 1)
        page[f"{column_of(page, path)}{row}"].value = value


def faults_of(folder: Path) -> list[str]:
    with pytest.raises(ProjectError) as caught:
        load_project(folder)
    return [str(fault) for fault in caught.value.faults]


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
        assert (page.page_setup.orientation, page.page_setup.paperSize) == ("landscape", 9)
        assert page.protection.sheet
        assert page[f"A{HEADING_ROW}"].protection.locked
        assert not page.column_dimensions["A"].protection.locked
    assert book["Joints"][f"{column_of(book['Joints'], 'hi_lo_mm')}{HEADING_ROW}"].value == (
        "Hi-lo [mm]"
    )
    assert book["Joints"]["A4"].value.endswith("*")
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
    page = book["Coatings"]
    letter = column_of(page, "humidity_percent")
    rule = next(r for r in page.data_validations.dataValidation if f"{letter}5" in r.sqref)
    assert rule.formula1 == (
        f"=IF(ISNUMBER({letter}5),AND(ISNUMBER({letter}5),{letter}5>=0,{letter}5<=100),"
        f'LOWER({letter}5)="n/a")'
    )
    assert rule.error == "A number in %, 0 to 100 %, or n/a."


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


def test_new_rows_are_read(tmp_path: Path) -> None:
    folder = folder_of(load_project(EVERY), EVERY, tmp_path)

    def enter(book: Any) -> None:
        put(book, "Welders", 40, stamp="W99", name="New Person", since=date(2026, 5, 1))
        owner = {"of__welders.stamp": "W99", "number": "C-99", "code": "API 1104:21st"}
        put(book, "Welder certificates", 60, **owner, welded_on=date(2026, 4, 1), positions="PA;PF")

    changed(folder, enter)
    welder = load_project(folder).welders[-1]
    assert (welder.stamp, welder.since) == ("W99", date(2026, 5, 1))
    assert welder.certificates[0].positions == ("PA", "PF")
    assert str(welder.certificates[0].origin) == "records.xlsx, Welder certificates!A60"
    assert str(welder.certificates[0].origin.of("welded_on")).endswith("!E60")


def test_a_single_register_of_the_workbook(tmp_path: Path) -> None:
    declared = "  lines: records.xlsx\n  welders: {file: records.xlsx}\n"
    project = load_project(EVERY)
    again = load_project(folder_of(project, EVERY, tmp_path, declared))
    assert told(again.welders) == told(project.welders)
    assert told(again.lines) == told(project.lines)
    assert again.joints == ()


def test_faults_name_the_cell(tmp_path: Path) -> None:
    folder = folder_of(load_project(EVERY), EVERY, tmp_path)

    def spoil(book: Any) -> None:
        put(book, "Joints", 90, number="ML-900", line="L1", status="weldd", hi_lo_mm="thick")
        put(book, "Welder certificates", 91, **{"of__welders.stamp": "W00", "number": "C-1"})
        put(book, "Heats", 92, number="H1")
        put(book, "Batches", 93, number="B-93", size_mm=-1)
        row = book["Welder certificates"].max_row + 5
        stamp = book["Welders"]["A5"].value
        put(book, "Welder certificates", row, **{"of__welders.stamp": stamp, "code": "API 1104"})
        book["Items"].merge_cells("A100:A101")

    changed(folder, spoil)
    found = faults_of(folder)
    joint = column_of(openpyxl.load_workbook(folder / "records.xlsx")["Joints"], "status")
    assert any(f"Joints!{joint}90: status: found" in f and '"welded"?' in f for f in found)
    assert any("Joints!R90: hi_lo_mm" in f and "one number" in f for f in found)
    assert any("Welder certificates!A91" in f and "no row with stamp W00" in f for f in found)
    assert any("Heats!A92" in f and "nothing that says which" in f for f in found)
    assert any("Batches!F93" in f and "-1 mm" in f for f in found)
    assert any("certificates.2.number: found nothing" in f and "!A96" in f for f in found)
    assert any("the merged cells A100:A101" in f for f in found)


def test_a_number_that_a_spreadsheet_made_is_a_doubt(tmp_path: Path) -> None:
    folder = folder_of(load_project(EVERY), EVERY, tmp_path)
    changed(folder, lambda book: put(book, "Items", 80, number="P-80", heat=1.2e46))
    found = [d for d in load_project(folder).doubts if d.place.place == "Items!C80"]
    assert [d.field for d in found] == ["heat"]
    assert not found[0].certain


def test_formulas_are_read_by_their_value_and_told_of(tmp_path: Path) -> None:
    folder = folder_of(load_project(EVERY), EVERY, tmp_path)
    changed(folder, lambda book: put(book, "Items", 80, number="P-80", wall_mm="=6+6.7"))
    assert any("a formula without a stored value" in fault for fault in faults_of(folder))


@pytest.mark.parametrize(
    ("change", "expected"),
    [
        (lambda b: b["Lists"].__setitem__("B1", "9.0"), 'the schema version "9.0"'),
        (lambda b: b.remove(b["Heats"]), "the sheet Heats"),
        (lambda b: b["Heats"].__setitem__("C2", "numbr"), 'Did you mean "number"?'),
        (lambda b: b["Heats"].__setitem__("D2", "number"), "the field of another column"),
        (lambda b: b["Lists"].__setitem__("A1", "something"), "another workbook"),
        (lambda b: b["Lines"].delete_rows(PATH_ROW), "the unknown field"),
    ],
    ids=["version", "sheet", "field", "twice", "foreign", "row"],
)
def test_a_workbook_that_was_taken_apart_is_refused(
    tmp_path: Path, change: Callable[[Any], None], expected: str
) -> None:
    folder = folder_of(load_project(EVERY), EVERY, tmp_path)
    changed(folder, change)
    assert any(expected in fault for fault in faults_of(folder))


@pytest.mark.parametrize(
    ("declared", "expected"),
    [
        ("  workbook: absent.xlsx\n", "no such file"),
        ("  workbook: ../records.xlsx\n", "below the project folder"),
        ("  workbook: project.yaml\n", "cannot be opened"),
    ],
)
def test_declared_wrongly(tmp_path: Path, declared: str, expected: str) -> None:
    folder = folder_of(load_project(EVERY), EVERY, tmp_path, declared)
    assert any(expected in fault for fault in faults_of(folder))


ODD = [
    True, 1e308, -1, 0.1, 1.2e46, datetime(1900, 1, 1), datetime(9999, 12, 31, 23, 59, 59),  # noqa: DTZ001
    time(1, 2), "=1/0", "#REF!", "\u202e\u200b", "n/a", "N.A.", ";;", '"', "1,5", "12+450",
]  # fmt: skip


def test_odd_cells_anywhere_raise_nothing_but_faults(tmp_path: Path) -> None:
    folder = folder_of(load_project(EVERY), EVERY, tmp_path)

    def spoil(book: Any) -> None:
        for sheet in layout():
            page = book[sheet.name]
            for turn in range(len(ODD)):
                for index in range(len(sheet.columns)):
                    page.cell(FIRST_ROW + 2 + turn, index + 1).value = ODD[
                        (turn + index) % len(ODD)
                    ]

    changed(folder, spoil)
    found = faults_of(folder)
    assert len(found) > 500
    assert all(fault.startswith("records.xlsx, ") for fault in found)


def test_damaged_parts_raise_nothing_but_faults(tmp_path: Path) -> None:
    folder = folder_of(load_project(EVERY), EVERY, tmp_path)
    with zipfile.ZipFile(folder / "records.xlsx") as book:
        parts = {name: book.read(name) for name in book.namelist()}
    chance = random.Random(7)  # noqa: S311 - the same damage in every run
    refused = 0
    for _ in range(40):
        name = chance.choice(sorted(parts))
        damaged = bytearray(parts[name])
        for _ in range(chance.randint(1, 6)):
            damaged[chance.randrange(len(damaged))] = chance.choice(b'<>"/ 0Zz&\x00\xff')
        with zipfile.ZipFile(folder / "records.xlsx", "w") as book:
            for part, content in parts.items():
                book.writestr(part, bytes(damaged) if part == name else content)
        try:
            load_project(folder)
        except ProjectError:
            refused += 1
    assert 0 < refused < 40
