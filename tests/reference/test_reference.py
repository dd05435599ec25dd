"""Every check value, one test each; and the quantities that nothing answers yet."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest

from tests.reference import run

DATA = sorted((Path(__file__).parent / "data").glob("*.yaml"))
ENTRIES = [(path.stem, entry) for path in DATA for entry in run.load_entries(path)]
ADAPTERS, BROKEN = run.load_adapters()

# quantity -> why no rule or formula of this package answers it
LEFT_OUT: dict[str, str] = {}


def test_every_adapter_module_loads() -> None:
    assert BROKEN == []


@pytest.mark.parametrize(
    "entry", [e for _, e in ENTRIES], ids=[f"{f}:{e['id']}" for f, e in ENTRIES]
)
def test_check_value(entry: run.Entry) -> None:
    found = run.answer(entry, ADAPTERS)
    if found.outcome == "unsupported":
        pytest.xfail(str(found))
    assert found.outcome in ("passed", "disputed"), str(found)
    assert (found.outcome == "disputed") == bool(entry.get("disputed")), "a dispute that is over"


def test_quantities_left_out_are_named() -> None:
    open_ones = Counter(
        entry["quantity"]
        for _, entry in ENTRIES
        if run.answer(entry, ADAPTERS).outcome == "unsupported"
    )
    assert set(open_ones) == set(LEFT_OUT), dict(open_ones)
