"""The workbook for data entry read back: new rows, faults by their cell, odd and damaged books."""

from __future__ import annotations

import random
import zipfile
from collections.abc import Callable
from datetime import date, datetime, time
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from dossier.errors import ProjectError
from dossier.intake import load_project
from dossier.intake.entry_layout import layout
from dossier.intake.entry_mark import FIRST_ROW, PATH_ROW
from tests.intake.entry_books import (
    EVERY,
    changed,
    column_of,
    faults_of,
    folder_of,
    put,
    told,
)


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
