"""The runner itself: what counts as the same answer, and which adapter answers."""

from __future__ import annotations

from datetime import date
from math import inf
from pathlib import Path
from typing import Any

import pytest

from dossier.records.verdicts import Verdict
from tests.reference import run


def entry(**fields: Any) -> run.Entry:
    return {"id": "e1", "quantity": "q", "inputs": {"a": 1}, "expected": {"x": 1.0}, **fields}


@pytest.mark.parametrize(
    ("expected", "got", "tolerance"),
    [
        ({"x": 1.0}, {"x": 1.0, "more": 2}, None),
        ({"x": 0.3}, {"x": 0.1 + 0.2}, None),
        ({"x": 1}, {"x": 1.0}, None),
        ({"x": 1.0}, {"x": 1.05}, {"abs": 0.05}),
        ({"x": 200.0}, {"x": 201.9}, {"rel": 0.01}),
        ({"x": 200.0}, {"x": 201.9}, {"abs": 0.1, "rel": 0.01}),
        ({"x": 1.0}, {"x": 1.05}, 0.05),
        ({"x": 1.0}, {"x": 1.05}, "0.05"),
        ({"x": 1.0}, {"x": 1.05}, "± 0.05 mm"),
        ({"x": 200.0}, {"x": 201.9}, "1 %"),
        ({"x": 200.0}, {"x": 201.9}, "rel 0.01"),
        ({"x": 1.0, "y": 2.0}, {"x": 1.05, "y": 2.0}, {"x": 0.05}),
        ({"x": 1.0, "y": 2.0}, {"x": 1.05, "y": 2.0}, {"x": {"abs": 0.05}}),
        ({"range": {"min": 5, "max": "unlimited"}}, {"range": {"min": 5.0, "max": inf}}, None),
        ({"max": None}, {"max": "unlimited"}, None),
        ({"verdict": "permitted", "reason": "a"}, {"verdict": "permitted", "reason": "b"}, None),
        ({"verdict": "permitted", "note_min": "a"}, {"verdict": "permitted"}, None),
        ({"due": "2025-04-10"}, {"due": date(2025, 4, 10)}, None),
        ({"verdict": "cut-out"}, {"verdict": Verdict.CUT_OUT}, None),
        ({"set": ["b", "a"]}, {"set": {"a", "b"}}, None),
        ({"range": [3, 5]}, {"range": (3.0, 5.0)}, None),
    ],
)
def test_the_same_answer(expected: Any, got: Any, tolerance: Any) -> None:
    assert list(run.differing(expected, got, tolerance)) == []


@pytest.mark.parametrize(
    ("expected", "got", "tolerance"),
    [
        ({"x": 1.0}, {"x": 1.0001}, None),
        ({"x": 1.0}, {"x": 1.0501}, {"abs": 0.05}),
        ({"x": 200.0}, {"x": 202.1}, {"rel": 0.01}),
        ({"x": 1.0, "y": 2.0}, {"x": 1.05, "y": 2.05}, {"x": 0.05}),
        ({"x": 1.0}, {"x": 1.5}, "exact"),
        ({"x": 1.0}, {}, None),
        ({"x": None}, {}, None),
        ({"x": None}, {"x": 200}, None),
        ({"x": 200}, {"x": None}, {"abs": 1}),
        ({"x": True}, {"x": 1}, None),
        ({"x": 0}, {"x": False}, None),
        ({"x": "1"}, {"x": 1}, None),
        ({"x": ["a", "b"]}, {"x": ["b", "a"]}, None),
        ({"x": ["a", "b"]}, {"x": {"a"}}, None),
        ({"x": ["a", "b"]}, {"x": ["a"]}, None),
        ({"x": {"y": 1}}, {"x": 1}, None),
        ({"verdict": "permitted"}, {"verdict": "not_permitted"}, None),
    ],
)
def test_another_answer(expected: Any, got: Any, tolerance: Any) -> None:
    assert list(run.differing(expected, got, tolerance))


def test_an_adapter_that_lacks_an_input_does_not_answer() -> None:
    adapters = {"q": [lambda i: {"x": i["b"]}]}
    found = run.answer(entry(), adapters)
    assert (found.outcome, found.why) == ("unsupported", "no input b")
    assert run.answer(entry(), {}).outcome == "unsupported"


def test_of_several_adapters_the_one_that_reads_the_most_inputs_answers() -> None:
    adapters = {
        "q": [
            lambda i: {"x": i["a"]},
            lambda i: {"x": i["a"] + i.get("b", 0)},
            lambda i: {"x": i["c"]},
        ]
    }
    assert (
        run.answer(entry(inputs={"a": 1, "b": 2}, expected={"x": 3}), adapters).outcome == "passed"
    )


def test_an_adapter_sees_the_entry_but_never_its_expected_value() -> None:
    seen: list[run.Entry] = []

    def adapter(_: run.Entry, whole: run.Entry) -> dict[str, float]:
        seen.append(whole)
        return {"x": 1.0}

    assert run.answer(entry(edition="2012", tolerance=1), {"q": [adapter]}).outcome == "passed"
    assert seen == [{"id": "e1", "quantity": "q", "inputs": {"a": 1}, "edition": "2012"}]


def test_an_adapter_that_breaks_is_a_failed_entry() -> None:
    found = run.answer(entry(), {"q": [lambda i: {"x": i["a"] / 0}]})
    assert found.outcome == "failed"
    assert "ZeroDivisionError" in str(found)


def test_a_disputed_entry_counts_by_itself_and_shows_its_grounds() -> None:
    adapters = {"q": [lambda i: {"x": 2 * i["a"]}]}
    found = run.answer(entry(disputed="the page misprints it"), adapters)
    assert found.outcome == "disputed"
    assert "the page misprints it" in str(found)


def test_lines_closing_line_and_exit_code(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "other.yaml"
    file.write_text(
        "- {id: right, quantity: unit_conversion, inputs: {heat_input_kj_mm: 1.0},"
        " expected: {heat_input_kj_in: 25.4}}\n"
        "- {id: wrong, quantity: unit_conversion, inputs: {heat_input_kj_mm: 1.0},"
        " expected: {heat_input_kj_in: 25.0}}\n"
        "- {id: nobody, quantity: phase_of_the_moon, inputs: {}, expected: {phase: full}}\n",
        encoding="utf-8",
    )
    code = run.main([str(file)])
    lines = capsys.readouterr().out.splitlines()
    assert code == 1
    assert lines[0].startswith("wrong  FAIL  expected {'heat_input_kj_in': 25.0}  got ")
    assert lines[1].startswith("nobody  UNSUPPORTED")
    assert lines[-1] == "1 passed, 1 failed, 1 unsupported"
    assert len(lines) == 3


def test_plain_yaml_leaves_words_dates_and_times_alone(tmp_path: Path) -> None:
    file = tmp_path / "plain.yaml"
    file.write_text("- {a: NO, b: 12:30, c: 2025-04-10, d: 1e-3, e: true, f: null, g: 1_0}\n")
    assert run.load_entries(file) == [
        {"a": "NO", "b": "12:30", "c": "2025-04-10", "d": 0.001, "e": True, "f": None, "g": "1_0"}
    ]
