"""What people write into cells, and what it is read as."""

from __future__ import annotations

import pytest

from dossier.errors import InputError
from dossier.intake import values


@pytest.mark.parametrize(
    ("text", "unit", "written_in", "decimal", "value"),
    [
        ("12.7", "mm", "", "", 12.7),
        ("12,7", "mm", "", "", 12.7),
        ("12,7", "mm", "", ",", 12.7),
        ("1.270", "mm", "", ",", 1270.0),  # with a declared comma, a point groups thousands
        ("1,270", "mm", "", ".", 1270.0),
        ("1,270", "mm", "", ",", 1.27),
        ("1.270", "mm", "", "", 1.27),
        ("0.5", "mm", "in", "", 12.7),
        ("0,5", "mm", "in", ",", 12.7),
        ("0.5 in", "mm", "", "", 12.7),
        ("20 mm", "mm", "in", "", 20.0),  # a unit beside the figure wins over the declared one
        ("250", "°C", "°F", "", 121.11111111111111),
        ("-12", "°C", "", "", -12.0),
        ("12+450", "m", "", "", 12450.0),
        ("12+450,5", "m", "", "", 12450.5),
        ("2,6", "", "", "", 2.6),
        (" 0 ", "", "", "", 0.0),
        ("100 %", "%", "", "", 100.0),
        ("1e3", "mm", "", "", 1000.0),
    ],
)
def test_numbers(text: str, unit: str, written_in: str, decimal: str, value: float) -> None:
    assert values.number(text, unit, written_in, decimal) == value


@pytest.mark.parametrize(
    ("text", "unit", "decimal"),
    [
        ("1,270", "mm", ""),
        ("12.75", "mm", ","),
        ("12,75", "mm", "."),
        ("1.27.5", "mm", ""),
        ("12 V", "mm", ""),
        ("12 °C", "mm", ""),
        ("2.6 mm", "", ""),
        ("12+45", "m", ""),
        ("12+4500", "m", ""),
        ("1e999", "mm", ""),
        ("inf", "mm", ""),
        ("nan", "", ""),
        ("12O", "mm", ""),
        ("0x10", "", ""),
        ("1_000", "", ""),
        ("10 - 12", "mm", ""),
    ],
)
def test_what_is_no_number(text: str, unit: str, decimal: str) -> None:
    with pytest.raises(InputError, match="expected"):
        values.number(text, unit, decimal=decimal)


@pytest.mark.parametrize(
    ("text", "order", "value"),
    [
        ("2026-05-03", "", "2026-05-03"),
        ("2026-05-03", "dmy", "2026-05-03"),
        ("03/05/2026", "dmy", "2026-05-03"),
        ("05/03/2026", "mdy", "2026-05-03"),
        ("3-May-2026", "", "2026-05-03"),
        ("29 February 2024", "", "2024-02-29"),
        ("2026/5/3", "ymd", "2026-05-03"),
    ],
)
def test_dates(text: str, order: str, value: str) -> None:
    assert values.iso_date(text, order) == value


@pytest.mark.parametrize(
    ("text", "order"),
    [
        ("03/05/2026", ""),
        ("13/14/2026", "dmy"),
        ("2026-02-29", ""),
        ("03/05/26", "dmy"),
        ("46145", ""),
        ("3 Mai 2026", ""),
        ("2026-05-03T10:00", ""),
        ("May 2026", ""),
        ("03/05-2026", "dmy"),
    ],
)
def test_what_is_no_date(text: str, order: str) -> None:
    with pytest.raises(InputError, match="expected"):
        values.iso_date(text, order)


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("2026-05-03T14:05", "2026-05-03T14:05"),
        ("2026-05-03 14:05:00", "2026-05-03T14:05"),
        ("2026-05-03T14:05:30", "2026-05-03T14:05:30"),
        ("3 May 2026 9:30", "2026-05-03T09:30"),
    ],
)
def test_times(text: str, value: str) -> None:
    assert values.iso_time(text) == value


@pytest.mark.parametrize(
    "text",
    ["2026-05-03", "14:05", "2026-05-03T14:05Z", "2026-05-03T24:00", "2026-05-03 14:60", "noon"],
)
def test_what_is_no_time(text: str) -> None:
    with pytest.raises(InputError, match="expected"):
        values.iso_time(text)


@pytest.mark.parametrize(("text", "value"), [("YES", True), ("n", False), ("false", False)])
def test_answers(text: str, value: bool) -> None:
    assert values.yes_or_no(text) is value


@pytest.mark.parametrize("text", ["", "1", "x", "on", "maybe"])
def test_what_is_no_answer(text: str) -> None:
    with pytest.raises(InputError, match="expected yes or no"):
        values.yes_or_no(text)


@pytest.mark.parametrize("text", ["n/a", "N/A", " N.A. ", "not applicable"])
def test_not_applicable(text: str) -> None:
    assert values.is_not_applicable(text)


@pytest.mark.parametrize("text", ["", "-", "0", "none", "NA", "nil"])
def test_what_is_an_answer_of_its_own(text: str) -> None:
    assert not values.is_not_applicable(text)
