"""What values say as text, remembered for a sheet; and how far a sheet reaches by its XML."""

from __future__ import annotations

import io
from datetime import date, datetime, time
from typing import Any

import pytest

from dossier.intake.book_parts import Page, _scan
from dossier.intake.value_texts import ValueTexts, value_text


def test_true_and_one_are_kept_apart_in_whatever_order_they_come() -> None:
    known = ValueTexts()
    for row in ([1.0, "a"], [True, 1, 0.0], [False, 0, -0.0], [1, True]):
        assert known.of(row) == [value_text(value) for value in row]
    assert known.of([True, 1.0, False, 0.0]) == ["true", "1", "false", "0"]


def test_what_is_remembered_stays_in_bounds_and_right() -> None:
    known = ValueTexts()
    for number in range(30_000):
        assert known.of([f"ML-{number}", number + 0.5]) == [f"ML-{number}", f"{number}.5"]
    assert len(known) <= 10_002


@pytest.mark.parametrize(
    ("value", "enough"),
    [
        ("x", True), (None, True), (True, True), (-1e14, True), (datetime(1950, 1, 1), True),  # noqa: DTZ001
        (1e15, False), (-(10**15), False), (float("nan"), False), (time(8), False),
        (datetime(1949, 12, 31, 8), False), (date(1900, 1, 1), False),  # noqa: DTZ001
    ],
)  # fmt: skip
def test_values_that_depend_on_the_format_of_their_cell_are_seen(value: Any, enough: bool) -> None:
    known = ValueTexts()
    known.of(["a", 1.0, value])
    assert known.enough is enough
    known.of(["a", 1.0])
    assert known.enough is enough


def test_days_and_midnights_are_known_as_days() -> None:
    midnight, noon, day = datetime(2026, 5, 1), datetime(2026, 5, 1, 12), date(2026, 5, 2)  # noqa: DTZ001
    known = ValueTexts()
    assert known.of([midnight, noon, day]) == ["2026-05-01", "2026-05-01T12:00:00", "2026-05-02"]
    assert known.days == {midnight, day}


@pytest.mark.parametrize(
    ("references", "last_row", "last_column"),
    [
        (["A1", "Z9"], 9, 25),
        (["AN1", "AN9"], 9, 39),
        (["AN1", "AO9"], 9, 40),
        (["AN1", "BA9"], 9, 52),
        (["GR1", "FZ9"], 9, 199),
        (["ZZ1", "AAA9"], 9, 702),
        (["XFD1", "A9"], 9, 16_383),
        (["A99999"], 99_999, 25),
        (["A100000", "AB100001"], 100_001, 27),
    ],
)
def test_a_sheet_reaches_as_far_as_its_cells(
    references: list[str], last_row: int, last_column: int
) -> None:
    rows = [(r.lstrip("ABCDEFGNORXZ"), r) for r in references]
    page = Page("Log")
    for number, reference in rows:  # a block for each, what came before is known
        _scan(io.BytesIO(f'<row r="{number}"><c r="{reference}"/></row>'.encode()), page)
    assert (page.last_row, page.last_column) == (last_row, last_column)
    assert page.dense


def test_a_cell_that_names_a_row_far_below_its_own_is_seen() -> None:
    page = Page("Log")
    _scan(io.BytesIO(b'<row r="1"><c r="A1"/></row><row r="2"><c r="B1048576"/></row>'), page)
    assert not page.dense
