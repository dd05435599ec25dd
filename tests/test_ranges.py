"""Ranges of a numeric variable: what lies inside, how they read, and what they say of a value."""

from __future__ import annotations

from math import inf

import pytest

from dossier.records.verdicts import CLEAR, HOLD, NONCONFORMITY, Basis, Range, Verdict

BASIS = Basis("PS-1", "A", "4")
CLOSED = Range(5, 10, BASIS)
OPEN = Range(5, 10, BASIS, low_open=True, high_open=True)


@pytest.mark.parametrize(
    ("value", "closed", "open_"),
    [
        (5.0, True, False),
        (10.0, True, False),
        (5.0 - 5e-7, True, False),  # noise of a conversion decides nothing
        (10.0 + 5e-7, True, False),
        (5.0 + 5e-7, True, False),
        (10.0 - 5e-7, True, False),
        (5.0 + 2e-6, True, True),
        (10.0 - 2e-6, True, True),
        (5.0 - 2e-6, False, False),
        (10.0 + 2e-6, False, False),
    ],
)
def test_the_ends_belong_to_a_range_unless_they_are_open(
    value: float, closed: bool, open_: bool
) -> None:
    assert (value in CLOSED, value in OPEN) == (closed, open_)


@pytest.mark.parametrize(
    ("range_", "told"),
    [
        (CLOSED, "5 to 10 mm"),
        (OPEN, "more than 5 to less than 10 mm"),
        (Range(0, 10, BASIS), "up to 10 mm"),
        (Range(0, 10, BASIS, high_open=True), "less than 10 mm"),
        (Range(3, inf, BASIS), "from 3 mm"),
        (Range(3, inf, BASIS, low_open=True), "more than 3 mm"),
        (Range(0, inf, BASIS), "any"),
        (Range(0, inf, BASIS, low_open=True), "more than 0 mm"),
        (Range(2, 4, BASIS, unit=""), "2 to 4"),
        (Range.none(BASIS, "no test"), "nothing: no test"),
    ],
)
def test_a_range_in_words(range_: Range, told: str) -> None:
    assert str(range_) == told


@pytest.mark.parametrize(
    ("value", "found", "permitted", "verdict"),
    [
        (7.0, "7 mm", "5 to 10 mm", CLEAR),
        (10.4, "10.4 mm", "5 to 10 mm", NONCONFORMITY),
        (10.004, "10.004 mm", "5 to 10 mm", NONCONFORMITY),  # not "10 mm"
        (4.9996, "4.9996 mm", "5 to 10 mm", NONCONFORMITY),
        (None, "not recorded", "5 to 10 mm", HOLD),
    ],
)
def test_a_value_outside_never_reads_as_if_it_stood_on_the_limit(
    value: float | None, found: str, permitted: str, verdict: Verdict
) -> None:
    told = CLOSED.judge("wall", value)
    assert (told.found, told.permitted, told.verdict) == (found, permitted, verdict)
    assert CLOSED.judge("wall", 12.0, HOLD).verdict == HOLD


@pytest.mark.parametrize(
    ("standard", "edition", "title"),
    [
        ("API 1104", "21st", "API 1104, 21st edition"),
        ("API 1104", "22nd", "API 1104, 22nd edition"),
        ("ISO 9606-1", "2012", "ISO 9606-1:2012"),
        ("EN 10204", "2004", "EN 10204:2004"),
        ("ASME B31.3", "2022", "ASME B31.3, 2022"),
        ("PS-1", "first", "PS-1, first"),
        ("PS-1", "", "PS-1"),
    ],
)
def test_a_standard_with_its_edition_as_the_trade_writes_it(
    standard: str, edition: str, title: str
) -> None:
    assert Basis(standard, edition, "").title == title
    assert str(Basis(standard, edition, "4.2")) == f"{title}, 4.2"
