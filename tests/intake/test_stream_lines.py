"""JSON lines one at a time: the same records as in one piece, in memory that stays flat."""

from __future__ import annotations

import json
import tracemalloc
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from dossier.errors import Fault, ProjectError
from dossier.intake import read_json, stream_lines
from dossier.intake.stream_lines import plain_lines, stream_raw, stream_records

LINES = [
    '{"number": "P-1", "heat": "44812", "wall_mm": 12.7}',
    '{"number": "P-2", "heat": 12E45}',
    '{"number": "P-3", "heat": "a \\"quoted\\" one", "wall_mm": 010}',
    '{"number": "P-4", "number": "P-5"}',
    '{"number" : "P-6", "number":"P-7"}',
    '{"number": "P-8", "heat": "x\\u0022y", "wall_mm": null}',
    "",
    "[1]",
    '{"number": "P-9"} {}',
    '{"number": "P-10", "wall_mm": 1e400}',
    '{"number": "P-11", "od_mm": {}}',
    '{"number": "P-12", "heat": {"number": "1", "number": "2"}}',
    '{"number": "P-13", "heat": {"number": 12E45}}',
    '{"number": "P-14", "document": 5}',
]


def test_the_quick_reader_loses_nothing(tmp_path: Path) -> None:
    path = tmp_path / "items.jsonl"
    path.write_text("\n".join(LINES), encoding="utf-8")
    careful, expected = read_json.read_lines(path, "f")
    faults: list[Fault] = []
    quick = list(stream_raw(path, "f", "items", faults))
    assert [str(fault) for fault in faults] == [str(fault) for fault in expected]
    shown = [[(k, str(v)) for k, v in raw.data.items()] for raw in quick]
    assert shown == [[(k, str(v)) for k, v in raw.data.items()] for raw in careful]
    assert [raw.origin.line for raw in quick] == [raw.origin.line for raw in careful]
    assert [data is not None for *_, data in plain_lines(path, "f")][:6] == [
        True, True, False, False, False, True,
    ]  # fmt: skip


KEYS = st.sampled_from(["number", "heat", "wall_mm"])
VALUES = st.one_of(st.text(max_size=4), st.integers(-9, 9), st.just(None), st.booleans())


@settings(max_examples=200, deadline=None,
          suppress_health_check=[HealthCheck.function_scoped_fixture])  # fmt: skip
@given(pairs=st.lists(st.tuples(KEYS, VALUES), max_size=4), space=st.sampled_from(["", " ", "\t"]))
def test_a_name_given_twice_is_never_lost(
    tmp_path: Path, pairs: list[tuple[str, object]], space: str
) -> None:
    inside = ",".join(f'"{key}"{space}:{json.dumps(value)}' for key, value in pairs)
    path = tmp_path / "x.jsonl"
    path.write_text(f"{{{inside}}}\n", encoding="utf-8")
    (found,) = plain_lines(path, "x")
    if len({key for key, _ in pairs}) < len(pairs):
        assert found[2] is None
    elif found[2] is not None:
        assert found[2] == dict(pairs)


def test_commas_that_stand_elsewhere_hide_no_name_given_twice(tmp_path: Path) -> None:
    nested = '{"number": "P-1", "document": {"document": "D-1", "page": 3}}'
    told = {
        nested: True,
        '{"number": "P-1", "remarks": "a, b", "document": {"document": "D-1", "page": 3}}': True,
        '{"number": "P-1", "number": "P-2", "document": {"document": "D-1"}}': False,
        '{"number": "P-1", "document": {"document": "D-1", "document": "D-2"}}': False,
        '{"number": "P-1", "document": {}, "number": "P-2"}': False,
        '{"document": {"a": 1, "b": 2}, "document": {"a": 1, "b": 2}}': False,
        '{"document": {"a": {"c": 1, "c": 2}, "b": 2}}': False,
        '{"document": [{"a": 1, "a": 2}, 3]}': False,
        '{"document": [{"a": 1, "b": 2}, 3]}': True,
        '{"document": "1,2", "number": "P-1"}': True,
        "{}": True,
    }  # fmt: skip
    path = tmp_path / "x.jsonl"
    path.write_text("".join(f"{nested}\n{line}\n" for line in told), encoding="utf-8")
    found = [data is not None for *_, data in plain_lines(path, "x")]
    assert found[::2] == [True] * len(told)
    assert dict(zip(told, found[1::2], strict=True)) == told


def test_records_are_built_one_at_a_time(tmp_path: Path) -> None:
    path = tmp_path / "items.jsonl"
    path.write_text("\n".join([LINES[0], LINES[1], '{"number": 5, "wall_mm": "x"}']), "utf-8")
    stream = stream_records(path, "items")
    first, second = next(stream), next(stream)
    assert (first.origin.line, second.origin.line) == (1, 2)
    assert getattr(second, "heat", "") == "12E45"
    assert getattr(first, "wall_mm", 0) == 12.7
    with pytest.raises(ProjectError, match="line 3: wall_mm"):
        next(stream)
    with pytest.raises(ProjectError, match="no such file"):
        next(stream_records(tmp_path / "no.jsonl", "items"))
    path.write_bytes(b'{"number": "\xff"}\n')
    with pytest.raises(ProjectError, match="line 1: found bytes that are no utf-8"):
        next(stream_records(path, "items"))


def test_without_the_quick_reader_all_is_the_same(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "items.jsonl"
    path.write_text("\n".join(LINES[:2]), encoding="utf-8")
    quick = list(stream_records(path, "items"))
    monkeypatch.setattr(stream_lines, "_loads", lambda: lambda _content: None)
    assert list(stream_records(path, "items")) == quick


def test_memory_stays_flat(tmp_path: Path) -> None:
    peaks = []
    for count in (2_000, 8_000):
        path = tmp_path / f"{count}.jsonl"
        path.write_text((LINES[0] + "\n") * count, encoding="utf-8")
        tracemalloc.start()
        assert sum(1 for _ in stream_records(path, "items")) == count
        peaks.append(tracemalloc.get_traced_memory()[1])
        tracemalloc.stop()
    assert peaks[1] < 1.5 * peaks[0] + 200_000
