"""Speed of intake against the bare libraries, as ratios measured in one run, turn by turn.

    .venv/bin/python benchmarks/intake.py [--joints 10000] [--lines 100000] [--rows 100000]

Each pair is timed in turns, in seconds of the processor, and the median ratio is printed beside its
target. Absolute times say little on a shared machine; the ratios hold.
"""

from __future__ import annotations

import argparse
import datetime as dt
import json
import tempfile
import time
import tracemalloc
from collections.abc import Callable, Iterator
from pathlib import Path
from statistics import median

import jsonschema_rs
import openpyxl
import orjson
import python_calamine
import xlsxwriter

from dossier.intake import read_xlsx, sheet_rows, validate
from dossier.intake.convert import Converted
from dossier.intake.raw import Told
from dossier.intake.registers import register_shape
from dossier.intake.schemas import REGISTERS, schema
from dossier.intake.sources import Source
from dossier.intake.stream_lines import plain_lines
from dossier.records.position import Position

Work = Callable[[], object]


def joint(number: int) -> dict[str, object]:
    """A joint with every field of its schema; one in fifty has three faults."""
    record = {name: own["examples"][0] for name, own in schema("joints")["properties"].items()}
    record["number"] = f"ML-{number}"
    if number % 50 == 0:
        record |= {"status": "weldd", "hi_lo_mm": -1, "colour": "red"}
    return record


def ratio(ours: Work, bare: Work, turns: int) -> tuple[float, float, float]:
    """Median ratio, and the median processor seconds of both."""
    pairs = []
    for turn in range(turns):
        taken = {}
        for work in (ours, bare) if turn % 2 else (bare, ours):
            start = time.process_time()
            work()
            taken[work] = time.process_time() - start
        pairs.append((taken[ours], taken[bare]))
    return (
        median(a / b for a, b in pairs), median(a for a, _ in pairs), median(b for _, b in pairs),
    )  # fmt: skip


def told(name: str, target: float, measured: tuple[float, float, float]) -> None:
    print(f"{name:58} {measured[0]:5.2f}x (at most {target:g}x)  "
          f"{measured[1]:8.3f} s against {measured[2]:8.3f} s", flush=True)  # fmt: skip


def validation(count: int, slow: int, turns: int) -> None:
    whole = schema("joints")
    records = [joint(number) for number in range(count)]
    converted = [Converted(record, Position("joints.jsonl", n)) for n, record in enumerate(records)]
    registry = jsonschema_rs.Registry(
        [(schema(n)["$id"], schema(n)) for n in (*REGISTERS, "common")]
    )
    bare = jsonschema_rs.Draft202012Validator(whole, registry=registry).is_valid
    plain = validate._validator(whole)

    def messages(limit: int) -> list[object]:
        return [f for record in converted[:limit] for f in validate.faults(record, whole)]

    told("validation with messages / jsonschema-rs is_valid", 5,
         ratio(lambda: messages(count), lambda: [bare(r) for r in records], turns))  # fmt: skip
    fast = messages(slow)
    gate = validate.fast_gate
    validate._GATES.clear()
    validate.fast_gate = lambda _whole: None
    try:
        assert messages(slow) == fast, "the messages differ without the gate"
        told("validation without the extra / plain jsonschema", 1.05,
             ratio(lambda: messages(slow),
                   lambda: [[*plain.iter_errors(r)] for r in records[:slow]], turns))  # fmt: skip
    finally:
        validate._GATES.clear()
        validate.fast_gate = gate


def json_lines(folder: Path, count: int, turns: int) -> None:
    path = folder / "joints.jsonl"
    with path.open("w", encoding="utf-8") as stream:
        for number in range(count):
            stream.write(json.dumps(joint(number)) + "\n")

    def bare() -> int:
        with path.open("rb") as stream:
            return sum(1 for line in stream if orjson.loads(line))

    def ours() -> int:
        return sum(1 for line in plain_lines(path, "joints.jsonl") if line[2])

    assert ours() == bare() == count
    told("JSON lines / bare orjson", 1.3, ratio(ours, bare, turns))
    tracemalloc.start()
    ours()
    print(f"{'JSON lines, most memory of the reader':58} "
          f"{tracemalloc.get_traced_memory()[1] / 1e6:5.2f} MB")  # fmt: skip
    tracemalloc.stop()


FIELDS = ["number", "line", "kind", "weld_type", "status", "kp_m", "drawing", "drawing_revision",
          "upstream_item", "upstream_heat", "downstream_item", "downstream_heat", "wps",
          "wps_revision", "position_code", "fit_up_gap_mm", "hi_lo_mm", "fit_up_by", "welded_on",
          "finished_at", "remarks"]  # fmt: skip


def log(path: Path, rows: int) -> None:
    """A log of 40 columns: 21 of the schema, the others the contractor's own."""
    book = xlsxwriter.Workbook(str(path))
    page = book.add_worksheet("Log")
    day = book.add_format({"num_format": "yyyy-mm-dd"})
    hour = book.add_format({"num_format": "yyyy-mm-dd hh:mm"})
    page.write_row(0, 0, [*FIELDS, *(f"Own {n}" for n in range(19))])
    for row in range(1, rows + 1):
        page.write_row(row, 0, [
            f"ML-{row}", "S3", "mainline", "butt", "welded", 1000 + 12.5 * row, "NL-07", "B",
            f"P-{row}", "H44812", f"P-{row + 1}", "H44813", "WPS-01", "1", "PJ", 2.0, 0.8, "I02",
        ])  # fmt: skip
        page.write_datetime(row, 18, dt.datetime(2026, 5, 1 + row % 28), day)  # noqa: DTZ001
        page.write_datetime(row, 19, dt.datetime(2026, 5, 1 + row % 28, 14, 5), hour)  # noqa: DTZ001
        page.write(row, 20, "rain cover used")
        page.write_row(row, 21, [f"w{row % 40}" if n % 2 else 1.25 * n for n in range(19)])
    book.close()


def workbook(folder: Path, rows: int, turns: int) -> None:
    source = Source("joints", "log.xlsx", folder / "log.xlsx", "", columns={f: f for f in FIELDS})
    form = register_shape("joints")

    def records() -> Iterator[object]:
        yield from read_xlsx.read(source.at, source, form, Told())[0]

    def ours() -> int:
        return sum(1 for _ in records())

    def calamine() -> int:
        book = python_calamine.CalamineWorkbook.from_path(str(source.at))
        return sum(1 for _ in book.get_sheet_by_name("Log").iter_rows())

    def bare() -> int:
        book = openpyxl.load_workbook(source.at, read_only=True, data_only=True)
        try:
            return sum(1 for _ in book["Log"].iter_rows(values_only=True))
        finally:
            book.close()

    log(source.at, rows)
    assert ours() + 1 == calamine() == rows + 1
    told("XLSX records / python-calamine", 2, ratio(ours, calamine, turns))
    found = sheet_rows.find_spec
    sheet_rows.find_spec = lambda _name: None
    try:
        log(source.at, max(rows // 5, 1))  # a fifth of the rows: this reader is slow
        told("XLSX records without the extra / openpyxl read_only", 1.15, ratio(ours, bare, turns))
    finally:
        sheet_rows.find_spec = found


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--joints", type=int, default=10_000)
    parser.add_argument("--slow", type=int, default=1_000, help="joints for plain jsonschema")
    parser.add_argument("--lines", type=int, default=100_000)
    parser.add_argument("--rows", type=int, default=100_000)
    parser.add_argument("--turns", type=int, default=3)
    chosen = parser.parse_args()
    with tempfile.TemporaryDirectory() as name:
        validation(chosen.joints, chosen.slow, chosen.turns)
        json_lines(Path(name), chosen.lines, chosen.turns)
        workbook(Path(name), chosen.rows, chosen.turns)


if __name__ == "__main__":
    main()
