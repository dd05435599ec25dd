"""What is told of files that are read all the same: how they are written, and every doubt."""

from __future__ import annotations

from pathlib import Path

import pytest

from dossier.intake import load_project
from dossier.records.project import Project

HERE = Path(__file__).parent
TOLD = sorted(path.parent for path in (HERE / "accepted").glob("*/told.txt"))


def told(project: Project) -> str:
    lines = list(project.readings)
    for doubt in project.doubts:
        kind = "note" if doubt.certain else "HOLD"
        lines.append(
            f'{kind} {doubt.place}: {doubt.field or "row"} "{doubt.raw}" '
            f'read as "{doubt.read_as}": {doubt.why}'
        )
    return "\n".join(lines) + "\n"


@pytest.mark.parametrize("folder", TOLD, ids=[path.name for path in TOLD])
def test_read_and_told(folder: Path) -> None:
    assert told(load_project(folder)) == (folder / "told.txt").read_text(encoding="utf-8")


def test_every_trap_has_a_file() -> None:
    assert len(TOLD) >= 30
    files = [p for kind in ("accepted", "refused") for p in (HERE / kind).rglob("*") if p.is_file()]
    assert len(files) >= 60


def test_an_unfolded_row_keeps_its_place_and_tells_the_side() -> None:
    project = load_project(HERE / "accepted" / "two_welders_by_side")
    assert [(p.welder, p.side, str(p.origin)) for p in project.passes] == [
        ("W12", "left", "p.csv, line 2"),
        ("W07", "right", "p.csv, line 2"),
        ("W12", "", "p.csv, line 3"),
    ]
    by_pass = load_project(HERE / "accepted" / "two_welders_by_pass").passes
    assert [(p.welder, p.number) for p in by_pass] == [("W12", 3), ("W07", 4), ("W12", 5)]


def test_values_above_and_merged_values_reach_the_records() -> None:
    above = load_project(HERE / "accepted" / "as_above_declared").joints
    assert [(j.line, j.drawing, j.fit_up_by) for j in above] == [
        ("L1", "D1", "A. Sample"),
        ("L1", "D1", ""),
        ("L1", "D2", "B. Sample"),
    ]
    merged = load_project(HERE / "accepted" / "book_merged_declared").joints
    assert [(j.line, j.fit_up_by) for j in merged] == [
        ("L1", "A. Sample"),
        ("L1", "A. Sample"),
        ("L1", ""),
        ("L2", ""),
    ]


def test_two_rows_of_headings_reach_the_passes() -> None:
    runs = load_project(HERE / "accepted" / "book_two_rows_of_headings").passes
    assert [(p.joint, p.kind, p.side, p.welder) for p in runs] == [
        ("ML-1", "root", "left", "W1"),
        ("ML-1", "root", "right", "W2"),
        ("ML-1", "cap", "left", "W3"),
        ("ML-1", "cap", "right", "W4"),
        ("ML-2", "root", "left", "W1"),
        ("ML-2", "root", "right", "W1"),
        ("ML-2", "cap", "left", "W3"),
    ]


def test_dates_by_their_own_epoch_and_in_two_columns() -> None:
    (mac,) = load_project(HERE / "accepted" / "book_days_from_1904").joints
    assert str(mac.welded_on) == "2026-05-03"
    first, second = load_project(HERE / "accepted" / "date_and_time_in_two_columns").joints
    assert (str(first.finished_at), second.finished_at) == ("2026-05-03 14:05:00", None)


def test_hidden_rows_and_sheets_that_follow_each_other() -> None:
    left_out = load_project(HERE / "accepted" / "book_hidden_left_out").joints
    assert [(j.number, j.drawing) for j in left_out] == [("ML-1", ""), ("ML-3", "")]
    joined = load_project(HERE / "accepted" / "book_sheets_joined").joints
    assert [str(j.origin) for j in joined] == ["log.xlsx, Week 1!A2",
                                               "log.xlsx, Week 2!A2"]  # fmt: skip


def test_encodings_and_decimal_marks_found_out() -> None:
    western = load_project(HERE / "accepted" / "western_text_not_declared").joints
    assert [(j.hi_lo_mm, j.remarks) for j in western] == [
        (0.5, "geprüft"), (1.25, ""), (0.8, "Übergang"), (1.125, ""),
    ]  # fmt: skip
    (cyrillic,) = load_project(HERE / "accepted" / "cyrillic_text_not_declared").joints
    assert cyrillic.remarks == "принят без замечаний"
    spaced = load_project(HERE / "accepted" / "no_break_and_thin_spaces").joints
    assert [(j.line, j.kp_m, j.drawing) for j in spaced] == [
        ("L 1", 12450.5, "D1"),
        ("L1", 1250.0, "D2"),
    ]


def test_books_of_other_programs() -> None:
    one, two = load_project(HERE / "accepted" / "book_by_another_writer").joints
    assert (one.hi_lo_mm, one.drawing, one.remarks) == (0.8, "0012", "cap ground")
    assert (str(one.welded_on), str(two.finished_at)) == ("2026-05-03", "2026-05-04 00:00:00")
    first, second = load_project(HERE / "accepted" / "book_by_an_office_program").joints
    assert (first.hi_lo_mm, second.line, second.drawing) == (0.8, "L1", "007")
    assert str(second.finished_at) == "2026-05-04 00:00:00"
