"""The American cases kept as data: each file names its rule, each case its inputs and the answer.

A range answers with its ends, a choice with its values, reasons with their worst verdict, numbers
of specimens by name; anything else is compared as it is.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import asdict, is_dataclass
from importlib import import_module
from math import inf
from pathlib import Path
from typing import Any

import pytest
import yaml

from dossier.records.verdicts import Choice, Range, Reason, worst

HERE = Path(__file__).parent
FOLDERS = ("api_1104_20", "api_1104_21", "cfr_192", "cfr_195", "practice")
KNOWN = ("read", "secondary", "memory", "practice")


def cases() -> Iterator[Any]:
    for folder in FOLDERS:
        for path in sorted((HERE / folder).glob("*.yaml")):
            with path.open(encoding="utf-8") as stream:
                data = yaml.safe_load(stream)
            for case in data["cases"]:
                yield pytest.param(data, case, id=f"{folder}-{path.stem}-{case['id']}")


def plain(got: object) -> object:
    """What a rule answers, as the data writes it."""
    if isinstance(got, Range):
        unit = got.unit.lower()
        high = None if got.high == inf else got.high
        return {f"low_{unit}": got.low, f"high_{unit}": high}
    if isinstance(got, Choice):
        return sorted(got.values or ())
    if isinstance(got, Reason):
        return {"verdict": str(got.verdict)}
    if isinstance(got, tuple):
        return {"verdict": str(worst(got))}
    if is_dataclass(got) and not isinstance(got, type):
        return asdict(got)
    return got


def same(expected: object, got: object, within: float) -> bool:
    if isinstance(expected, Mapping) and isinstance(got, Mapping):
        return expected.keys() == got.keys() and all(
            same(value, got[key], within) for key, value in expected.items()
        )
    if isinstance(expected, float | int) and isinstance(got, float | int):
        return abs(expected - got) <= within + 1e-12
    return expected == got


@pytest.mark.parametrize(("rule", "case"), list(cases()))
def test_case(rule: Mapping[str, Any], case: Mapping[str, Any]) -> None:
    assert case["how"] in KNOWN
    assert case["how"] not in ("read", "secondary") or case["source"]["title"]
    module, name = rule["rule"].split(":")
    got = plain(getattr(import_module(module), name)(**case["inputs"]))
    within = rule.get("tolerance", {}).get("abs", 0.0)
    assert same(case["expected"], got, within), f"expected {case['expected']}, got {got}"
