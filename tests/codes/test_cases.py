"""Every rule's cases, as data: `tests/codes/<edition>/<function>.yaml`.

A file names its `rule` (module:function), standard, edition, clause, and its `cases`: id, inputs
(by keyword), expected, how (read, secondary, memory, practice, derived), and for read or secondary
a source, of the case or of the file. What `expected` may be:

- a mapping with `low_...` and `high_...`: the ends of a Range (null: no end); `holds` and `lacks`
  list values inside and outside, for open ends;
- "nothing": an empty Range; "any": a Choice that does not bind;
- a list: the values of a Choice, or the items of a sequence;
- {error: name}: an InputError about that argument;
- {attributes: {...}}, or any other mapping: attributes of what is returned (`verdict` by its
  word); of several reasons, those of the worst;
- anything else: equal to what is returned.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from importlib import import_module
from math import inf
from pathlib import Path
from typing import Any

import pytest
import yaml

from dossier.errors import InputError
from dossier.records.verdicts import Choice, Range, Verdict

LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)  # the fast one where it is built
HERE = Path(__file__).parent
HOW = {"read", "secondary", "memory", "practice", "derived"}


def case_files() -> list[Path]:
    """Files that hold the cases of one rule."""
    return [path for path in sorted(HERE.rglob("*.yaml")) if not path.stem.startswith("whole_")]


def load(path: Path) -> dict[str, Any]:
    with path.open(encoding="utf-8") as stream:
        data: dict[str, Any] = yaml.load(stream, Loader=LOADER)  # noqa: S506 - a safe loader
    return data


def cases() -> Iterator[Any]:
    for path in case_files():
        data = load(path)
        for case in data["cases"]:
            name = f"{path.parent.name}/{path.stem}/{case['id']}"
            yield pytest.param(data, case, id=name)


def rule_of(data: Mapping[str, Any]) -> Any:
    module, _, function = data["rule"].partition(":")
    return getattr(import_module(module), function)


def tolerance_of(data: Mapping[str, Any], case: Mapping[str, Any]) -> float:
    stated = case.get("tolerance", data.get("tolerance", {}))
    return float(stated["abs"] if isinstance(stated, Mapping) and stated else stated or 1e-9)


def same(got: Any, expected: Any, tolerance: float) -> bool:
    if isinstance(expected, bool) or expected is None or isinstance(expected, str):
        return bool((str(got) if isinstance(got, Verdict) else got) == expected)
    if isinstance(expected, int | float):
        return abs(got - expected) <= tolerance
    return bool(got == expected)


def check_range(got: Range, expected: Mapping[str, Any], tolerance: float) -> None:
    assert not got.nothing, got
    for key, value in expected.items():
        if key in ("holds", "lacks"):
            assert [one in got for one in value] == [key == "holds"] * len(value), (key, str(got))
            continue
        end = got.low if key.startswith("low") else got.high
        if value is None:
            assert end in (0, -inf, inf), (key, str(got))
        else:
            assert abs(end - value) <= tolerance, (key, str(got))


def check(got: Any, expected: Any, tolerance: float) -> None:
    if expected == "nothing":
        assert got.nothing, str(got)
    elif expected == "any":
        assert got.values is None, str(got)
    elif isinstance(got, Range):
        check_range(got, expected, tolerance)
    elif isinstance(got, Choice):
        assert got.values == frozenset(expected), str(got)
    elif isinstance(expected, Mapping) and not isinstance(got, Mapping):
        if type(got) is tuple:
            got = max(got, key=lambda reason: reason.verdict)
        for name, value in expected.get("attributes", expected).items():
            assert same(getattr(got, name), value, tolerance), (name, getattr(got, name))
    elif isinstance(expected, list):
        assert list(got) == expected
    else:
        assert same(got, expected, tolerance), got


@pytest.mark.parametrize(("data", "case"), list(cases()))
def test_case(data: dict[str, Any], case: dict[str, Any]) -> None:
    rule, expected = rule_of(data), case["expected"]
    inputs = dict(case["inputs"])
    arguments = inputs.pop("arguments", [])
    if isinstance(expected, Mapping) and "error" in expected:
        with pytest.raises(InputError) as caught:
            rule(*arguments, **inputs)
        assert caught.value.name == expected["error"]
        return
    check(rule(*arguments, **inputs), expected, tolerance_of(data, case))


@pytest.mark.parametrize("path", case_files(), ids=lambda path: f"{path.parent.name}/{path.stem}")
def test_case_file_says_where_its_values_come_from(path: Path) -> None:
    data = load(path)
    assert {"rule", "standard", "edition", "clause", "cases"} <= set(data)
    assert data["rule"].partition(":")[2] == path.stem, "the path is the rule's address"
    names = [case["id"] for case in data["cases"]]
    assert len(names) == len(set(names))
    for case in data["cases"]:
        assert case.get("how") in HOW, case["id"]
        if case["how"] in ("read", "secondary"):
            assert case.get("source") or data.get("source"), case["id"]
