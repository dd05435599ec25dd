"""The page on hostile input names tests that exist, one at least for each threat and fault."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.hostile.inputs import TARGETS

ROOT = Path(__file__).parents[2]
PAGE = (ROOT / "docs" / "security.md").read_text(encoding="utf-8")
ROWS = [line for line in PAGE.splitlines() if line.startswith("| ") and "Threat" not in line
        and "| Fault |" not in line]  # fmt: skip
NAMED = sorted(set(re.findall(r"`(tests/[^`]+)`", PAGE)))


@pytest.mark.parametrize("named", NAMED)
def test_each_named_test_exists(named: str) -> None:
    path, _, name = named.partition("::")
    assert f"\ndef {name}(" in (ROOT / path).read_text(encoding="utf-8")


def test_each_row_says_what_happens_and_names_a_test() -> None:
    assert len(ROWS) > 30
    for line in ROWS:
        cells = [cell.strip() for cell in line.strip("|").split("|")]
        assert len(cells) == 3, line
        assert all(cells), line
        assert "`tests/" in cells[2], line


def test_the_figure_is_of_a_run_in_which_nothing_got_through() -> None:
    found = re.search(r"([0-9]+,[0-9]{3}) inputs of ([0-9]+) kinds", PAGE)
    assert found
    assert int(found[2]) == len(TARGETS)
    assert "none got through" in PAGE
