"""Joint files: the quick reader gives what the careful one gives, and leaves it what is odd."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from benchmarks.generate import records_of
from dossier.errors import Fault
from dossier.intake import joint_stream
from dossier.intake.joint_files import NESTED, joint_file_schema
from dossier.intake.joint_stream import parts, read_part
from dossier.intake.numbering import reader
from dossier.records.joint_records import JointRecords
from dossier.records.project import Numbering

GRAMMAR = Numbering(pattern=r"(?P<series>[A-Z]+)-(?P<sequence>\d+)")


def line(**changed: Any) -> dict[str, Any]:
    (joint,) = records_of(1, seed=1)
    return {**joint, **changed}


def read(path: Path, count: int = 1) -> tuple[list[JointRecords], list[Fault]]:
    faults: list[Fault] = []
    found = [
        records
        for part in parts(path, path.name, count)
        for records in read_part(part, reader(GRAMMAR), faults)
    ]
    return found, faults


def carefully(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> tuple[list[JointRecords], list[Fault]]:
    with monkeypatch.context() as without:
        without.setattr(joint_stream, "_codec", lambda: (None, None))
        return read(path)


def in_file(folder: Path, *lines: str) -> Path:
    path = folder / "joints.jsonl"
    path.write_text("".join(f"{text}\n" for text in lines), encoding="utf-8")
    return path


@pytest.mark.parametrize("gaps", [(",", ":"), (", ", ": ")])
def test_both_ways_read_the_same_records(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, gaps: tuple[str, str]
) -> None:
    repaired = line(
        number="ML-0000077",
        repairs=[{"number": "R-1", "examination": "RT-1", "excavated": True, "length_mm": 40}],
        document={"document": "D-1", "page": 2},
        finished_at="2026-01-05T07:30:15",
        remarks="wind, then rain: no shelter",
    )
    rows = [*records_of(40, seed=5), repaired]
    path = in_file(tmp_path, *(json.dumps(row, separators=gaps) for row in rows))
    with monkeypatch.context() as alone:
        alone.setattr(joint_stream, "_Careful", lambda _: None)  # the quick way has to do it
        quick = read(path)
    assert not quick[1]
    assert len(quick[0]) == 41
    assert quick == carefully(path, monkeypatch)
    assert [records.joint.origin.line for records in quick[0]] == list(range(1, 42))


ODD = {
    "blank": {"remarks": ""},
    "null": {"remarks": None},
    "spaces around": {"remarks": " late "},
    "not applicable": {"transition": "n/a"},
    "not applicable, in other words": {"transition": "Not applicable"},
    "not applicable, with points": {"transition": "n.a."},
    "other letters": {"drawing": "D-Ä1"},
    "a power of ten": {"upstream_heat": "1.2E+46"},
    "a quote": {"remarks": 'the "late" one'},
    "a figure for text": {"upstream_heat": 45},
    "a day in words": {"welded_on": "5 January 2026"},
    "whole number with a point": {"passes": [{**line()["passes"][0], "number": 1.0}]},
    "two welders": {"passes": [{**line()["passes"][0], "welder": "W1/W2"}]},
    "n/a inside": {"passes": [{**line()["passes"][0], "gas_l_min": "n/a"}]},
}


@pytest.mark.parametrize("change", ODD.values(), ids=ODD)
def test_what_is_written_oddly_is_read_with_care(
    change: dict[str, Any], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    text = json.dumps(line(**change), separators=(",", ":"), ensure_ascii=False)
    path = in_file(tmp_path, text)
    found = read(path)
    assert found == carefully(path, monkeypatch)
    (records,), faults = found
    assert not faults
    assert records.joint.number == "ML-0000001"


def test_the_mark_that_some_editors_set_before_a_file_is_passed_over(tmp_path: Path) -> None:
    path = in_file(tmp_path, *(json.dumps(row) for row in records_of(2, seed=1)))
    path.write_text(path.read_text(encoding="utf-8"), encoding="utf-8-sig")
    found, faults = read(path)
    assert (len(found), faults) == (2, [])


@pytest.mark.parametrize(
    ("text", "field"),
    [
        ('{"number":"ML-1","line":"A","number":"ML-2"}', ""),
        ('{"number": "ML-1", "line": "A", "number": "ML-2"}', ""),
        ('{"number":"ML-1"}', "line"),
        ('{"number":"ML-1","line":"A","wps_nr":"W"}', "wps_nr"),
        ('{"number":"ML-1","line":"A","passes":[{"number":0,"kind":"cap"}]}', "passes.1.number"),
        ('{"number":"ML 1","line":"A"}', "number"),
        ('{"number":"ML-1","line":"A","welded_on":"2026-02-30"}', "welded_on"),
        ('\ufeff{"number":"ML-1","line":"A"}', ""),
        ("[1]", ""),
        ("{", ""),
    ],
)
def test_faults_name_the_line_and_the_field(text: str, field: str, tmp_path: Path) -> None:
    good = json.dumps(line(), separators=(",", ":"))
    found, faults = read(in_file(tmp_path, good, text, good))
    assert len(found) == 2
    assert field in {fault.field for fault in faults}
    assert {fault.place for fault in faults} == {"line 2"}


@pytest.mark.parametrize("count", [1, 2, 3, 7, 50])
def test_parts_are_whole_lines_in_order(count: int, tmp_path: Path) -> None:
    rows = [json.dumps({"number": f"ML-{n}", "line": "A" * n}) for n in range(1, 30)]
    found, faults = read(in_file(tmp_path, *rows), count)
    assert not faults
    assert [(r.joint.name.sequence, r.joint.origin.line) for r in found] == [
        (n, n) for n in range(1, 30)
    ]


def test_the_schema_of_a_line_is_that_of_its_registers() -> None:
    fields = joint_file_schema()["properties"]
    assert set(NESTED) <= set(fields)
    assert "joint" not in fields["passes"]["items"]["properties"]
    assert fields["passes"]["items"]["required"] == ["number", "kind", "process", "welder"]
