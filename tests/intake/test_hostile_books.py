"""Workbooks made to hurt: refused, or read in bounded time and memory, with a clear message."""

from __future__ import annotations

import io
import random
import resource
import time
import zipfile
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
import xlsxwriter
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from dossier.errors import Fault, ProjectError
from dossier.intake import load_project, sheet_rows
from dossier.records.joints import Joint

HEAD = """schema: "1.0"
number: T-1
title: Test
client: Invented Gas Co
contractor: Example Pipelines
numbering: {pattern: '(?P<series>[A-Z]+)-(?P<sequence>[0-9]+)'}
registers:
  joints: {file: log.xlsx, header_row: 2, header_rows: 1}
"""
MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
LONGEST_S = 30
MOST_KB = 500_000


@pytest.fixture(autouse=True)
def _bounded() -> Iterator[None]:
    """No test here may take more than 30 s or add 500 MB to what the process had at most."""
    before, start = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss, time.monotonic()
    yield
    assert time.monotonic() - start < LONGEST_S
    assert resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before < MOST_KB


def plain_book() -> bytes:
    stored = io.BytesIO()
    book = xlsxwriter.Workbook(stored)
    page = book.add_worksheet("Sheet")
    for number, row in enumerate((["Log"], ["number", "line"], ["ML-1", "L1"], ["ML-2", "L1"])):
        page.write_row(number, 0, row)
    book.close()
    return stored.getvalue()


PLAIN = plain_book()
SHEET = "xl/worksheets/sheet1.xml"


def rewritten(folder: Path, change: Callable[[str, bytes], bytes]) -> Path:
    """A project whose workbook is a plain one with its parts changed."""
    (folder / "project.yaml").write_text(HEAD, encoding="utf-8")
    with (
        zipfile.ZipFile(io.BytesIO(PLAIN)) as old,
        zipfile.ZipFile(folder / "log.xlsx", "w", zipfile.ZIP_DEFLATED) as new,
    ):
        for name in old.namelist():
            new.writestr(name, change(name, old.read(name)))
    return folder


def outcome(folder: Path) -> tuple[tuple[Joint, ...], tuple[Fault, ...]]:
    """The joints, or the faults. Any error but ours goes through and fails the test."""
    try:
        return load_project(folder).joints, ()
    except ProjectError as error:
        return (), error.faults


def in_sheet(old: bytes, new: bytes) -> Callable[[str, bytes], bytes]:
    def change(name: str, text: bytes) -> bytes:
        if name != SHEET:
            return text
        assert old in text
        return text.replace(old, new, 1)

    return change


def test_a_million_empty_rows_with_a_format(tmp_path: Path) -> None:
    rows = b"".join(b'<row r="%d"><c r="A%d" s="1"/></row>' % (n, n) for n in range(5, 1_000_005))
    folder = rewritten(tmp_path, in_sheet(b"</sheetData>", rows + b"</sheetData>"))
    assert [joint.number for joint in load_project(folder).joints] == ["ML-1", "ML-2"]


def test_a_million_columns_of_one_row(tmp_path: Path) -> None:
    cells = b"".join(b'<c r="%s5" s="1"/>' % c for c in (b"XFD", b"XFC")) * 100
    row = b'<row r="5">' + cells + b"</row></sheetData>"
    folder = rewritten(tmp_path, in_sheet(b"</sheetData>", row))
    assert len(load_project(folder).joints) == 2


@pytest.mark.parametrize("fill", [False, True])
def test_forty_thousand_merged_cells(tmp_path: Path, fill: bool) -> None:
    refs = b"".join(b'<mergeCell ref="A%d:B%d"/>' % (n, n + 1) for n in range(10, 80_010, 2))
    merged = b'</sheetData><mergeCells count="40000">' + refs + b"</mergeCells>"
    folder = rewritten(tmp_path, in_sheet(b"</sheetData>", merged))
    if fill:
        text = (folder / "project.yaml").read_text(encoding="utf-8")
        (folder / "project.yaml").write_text(text.replace("s: 1}", "s: 1, merged: fill}"), "utf-8")
        assert len(load_project(folder).joints) == 2
        return
    with pytest.raises(ProjectError) as caught:
        load_project(folder)
    assert len(caught.value.faults) == 40_000
    assert str(caught.value.faults[0]).startswith("log.xlsx, Sheet!A10: found the merged cells A10")


def test_one_merged_cell_over_the_whole_sheet(tmp_path: Path) -> None:
    merged = b'</sheetData><mergeCells><mergeCell ref="A3:XFD1048576"/></mergeCells>'
    folder = rewritten(tmp_path, in_sheet(b"</sheetData>", merged))
    text = (folder / "project.yaml").read_text(encoding="utf-8")
    (folder / "project.yaml").write_text(text.replace("s: 1}", "s: 1, merged: fill}"), "utf-8")
    joints = load_project(folder).joints
    assert [(joint.number, joint.line) for joint in joints] == [("ML-1", "ML-1"), ("ML-1", "ML-1")]


def test_a_bomb_of_shared_texts(tmp_path: Path) -> None:
    def change(name: str, text: bytes) -> bytes:
        if name != "xl/sharedStrings.xml":
            return text
        return text.replace(b"</sst>", b"<si><t>" + b"x" * 30_000_000 + b"</t></si></sst>")

    with pytest.raises(ProjectError, match="a workbook of ordinary size"):
        load_project(rewritten(tmp_path, change))


@pytest.mark.parametrize("part", [SHEET, "xl/workbook.xml", "xl/sharedStrings.xml"])
@pytest.mark.parametrize(
    "entity",
    [
        b'<!DOCTYPE x [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;">]>',
        b'<!DOCTYPE x [<!ENTITY a SYSTEM "file:///etc/hostname">]>',
        b'<!DOCTYPE x SYSTEM "file:///etc/hostname">',
    ],
)
def test_entities_of_any_part_are_not_taken(tmp_path: Path, part: str, entity: bytes) -> None:
    def change(name: str, text: bytes) -> bytes:
        if name != part:
            return text
        head, mark, rest = text.partition(b"?>")
        text = head + mark + entity + rest if mark else entity + text
        return text.replace(b"L1", b"&b;" if b"ENTITY b" in entity else b"&a;")

    folder = rewritten(tmp_path, change)
    joints, faults = outcome(folder)
    assert {joint.line for joint in joints} <= {"L1"}  # a type without entities in use
    assert faults or not entity.startswith(b"<!DOCTYPE x [") or joints


@pytest.mark.parametrize(
    ("old", "new"),
    [
        (b'<row r="3"', b'<row r="99999999999999"'),
        (b'<row r="3"', b'<row r="x"'),
        (b'r="A3"', b'r="ZZZZZZ3"'),
        (b'r="A3"', b'r=""'),
        (b't="s"', b't="nothing"'),
        (b"<v>0</v>", b"<v>999999</v>"),
        (b"<v>0</v>", b"<v>-1</v>"),
        (b"</sheetData>", b""),
        (b"<sheetData>", b"<sheetData><sheetData>"),
    ],
)
@pytest.mark.parametrize("quick", [True, False])
def test_broken_sheets(
    tmp_path: Path, old: bytes, new: bytes, quick: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    if not quick:
        monkeypatch.setattr(sheet_rows, "find_spec", lambda _name: None)
    folder = rewritten(tmp_path, in_sheet(old, new))
    joints, faults = outcome(folder)
    assert len(joints) <= 2
    assert all(fault.expected for fault in faults)


@settings(max_examples=60, deadline=None,
          suppress_health_check=[HealthCheck.function_scoped_fixture])  # fmt: skip
@given(seed=st.integers(0, 2**32), count=st.integers(1, 12))
def test_a_mutated_workbook_raises_only_our_errors(tmp_path: Path, seed: int, count: int) -> None:
    chance = random.Random(seed)  # noqa: S311

    def change(name: str, text: bytes) -> bytes:
        if not name.startswith("xl/") or chance.random() < 0.4:
            return text
        spoiled = bytearray(text)
        for _ in range(count):
            place = chance.randrange(len(spoiled))
            spoiled[place : place + chance.randrange(3)] = chance.choice(
                [b"", b"0", b"-", b'"', b"<", b"</c>", b"\xff", b"e9", b"AAAA", b"&amp;"]
            )
        return bytes(spoiled)

    folder = rewritten(tmp_path, change)
    joints, faults = outcome(folder)
    assert faults or all(joint.number for joint in joints)


@settings(max_examples=30, deadline=None,
          suppress_health_check=[HealthCheck.function_scoped_fixture])  # fmt: skip
@given(seed=st.integers(0, 2**32))
def test_a_workbook_with_spoiled_bytes_raises_only_our_errors(tmp_path: Path, seed: int) -> None:
    chance = random.Random(seed)  # noqa: S311
    spoiled = bytearray(PLAIN)
    for _ in range(chance.randrange(1, 40)):
        spoiled[chance.randrange(len(spoiled))] = chance.randrange(256)
    (tmp_path / "project.yaml").write_text(HEAD, encoding="utf-8")
    (tmp_path / "log.xlsx").write_bytes(spoiled)
    joints, faults = outcome(tmp_path)
    assert faults or all(joint.number for joint in joints)
