"""Every check value, one test each. One that nothing answers fails like one answered wrongly."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.reference import run

DATA = sorted((Path(__file__).parent / "data").glob("*.yaml"))
ENTRIES = [
    pytest.param(entry, id=f"{path.stem}:{entry['id']}")
    for path in DATA
    for entry in run.load_entries(path)
]
ADAPTERS, BROKEN = run.load_adapters()


def test_every_adapter_module_loads() -> None:
    assert BROKEN == []


def test_the_check_values_are_all_here() -> None:
    assert [path.stem for path in DATA] == [
        "asme", "computations", "inspection", "iso_en", "us_pipeline",
    ]  # fmt: skip
    assert len(ENTRIES) == 1359


@pytest.mark.parametrize("entry", ENTRIES)
def test_check_value(entry: run.Entry) -> None:
    found = run.answer(entry, ADAPTERS)
    assert found.outcome == ("disputed" if entry.get("disputed") else "passed"), str(found)
