"""Time and memory of the cross-check against a bare parse of the same file, and its growth.

    .venv/bin/python benchmarks/check.py 1000 10000 100000

prints, for each number of joints, the seconds of a bare orjson parse, those of all checks in one
process and in two, the ratios, the ratio for ten checks ("/10 ch") and for ten single rules
("/10 ru", see `rules.py`), and the greatest resident memory of one process. Every figure comes from
a process of its own; the kinds of runs take turns. Seconds are processor time of the busiest
process, so that other work on the machine weighs less; --wall takes the clock instead.
"""

from __future__ import annotations

import argparse
import json
import resource
import subprocess
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass
from multiprocessing import parent_process
from multiprocessing.util import Finalize
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

KINDS = ("parse", "1", "2")


@dataclass(frozen=True)
class Measured:
    """A source that notes what reading each part took of its process."""

    inner: Any
    notes: Path

    @property
    def project(self) -> Any:
        return self.inner.project

    def parts(self, count: int) -> Any:
        return self.inner.parts(count)

    def read(self, part: Any, faults: Any) -> Iterator[Any]:
        if parent_process() is not None:
            # Told when the worker ends, so that what it does after reading counts as well.
            Finalize(None, note, (self.notes / f"{part.start}.json",), exitpriority=10)
        yield from self.inner.read(part, faults)


def note(path: Path) -> None:
    """Leave what this process took."""
    path.write_text(json.dumps(used()), encoding="utf-8")


def used() -> dict[str, float]:
    """Processor seconds and greatest resident memory of this process, MB."""
    own = resource.getrusage(resource.RUSAGE_SELF)
    return {"cpu_s": own.ru_utime + own.ru_stime, "peak_mb": own.ru_maxrss / 1024}


def parse(folder: Path) -> int:
    """Every line read by orjson and let go of."""
    import orjson

    count = 0
    with (folder / "joints.jsonl").open("rb") as lines:
        for line in lines:
            orjson.loads(line)
            count += 1
    return count


def check(folder: Path, workers: int, notes: Path) -> int:
    """All checks; the number of findings."""
    from dossier.checks.stream import check_stream
    from dossier.intake.joint_stream import joint_source

    source = Measured(joint_source(folder), notes)
    return sum(1 for _ in check_stream(source, workers))


def one(kind: str, folder: Path) -> dict[str, float]:
    """One run in this process: seconds, memory, and what was counted."""
    before, started = used()["cpu_s"], time.perf_counter()
    with TemporaryDirectory() as notes:
        count = parse(folder) if kind == "parse" else check(folder, int(kind), Path(notes))
        wall_s = time.perf_counter() - started
        own = used()
        workers = [json.loads(path.read_text()) for path in Path(notes).iterdir()]
    if kind == "2" and not workers:
        raise RuntimeError("no worker told what it took")
    cpu_s = own["cpu_s"] - before + max((part["cpu_s"] for part in workers), default=0.0)
    peak_mb = max(part["peak_mb"] for part in (own, *workers))
    return {"wall_s": wall_s, "cpu_s": cpu_s, "peak_mb": peak_mb, "count": count}


def measured(folder: Path, rounds: int) -> dict[str, list[dict[str, float]]]:
    """All kinds of runs in turns, each in a process of its own."""
    runs: dict[str, list[dict[str, float]]] = {kind: [] for kind in KINDS}
    for _ in range(rounds):
        for kind in KINDS:
            command = [sys.executable, __file__, "--one", kind, str(folder)]
            told = subprocess.run(command, check=True, capture_output=True, text=True)
            runs[kind].append(json.loads(told.stdout))
    return runs


def row(joints: int, runs: dict[str, list[dict[str, float]]], clock: str) -> str:
    """A line of the table."""
    from benchmarks.rules import COUNT
    from dossier.checks import ALL

    seconds = {kind: median(run[clock] for run in rows) for kind, rows in runs.items()}
    peak = {kind: max(run["peak_mb"] for run in rows) for kind, rows in runs.items()}
    bare = seconds["parse"]
    cells = [f"{joints:9,}", f"{bare:8.2f}"]
    for kind in KINDS[1:]:
        ratio = seconds[kind] / bare
        each_us = seconds[kind] / joints * 1e6
        cells += [f"{seconds[kind]:8.2f}", f"{each_us:8.0f}", f"{ratio:6.1f}"]
        cells += [f"{ratio / count * 10:6.2f}" for count in (len(ALL), COUNT)]
        cells += [f"{peak[kind]:5.0f}"]
    return " ".join([*cells, f"{runs['1'][-1]['count']:9,.0f}"])


def main() -> None:
    """Measure, and print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("joints", nargs="*", type=int, default=[1_000, 10_000, 100_000])
    parser.add_argument("--rounds", type=int, default=3)
    parser.add_argument("--wall", action="store_true")
    parser.add_argument("--one", nargs=2, metavar=("KIND", "FOLDER"))
    arguments = parser.parse_args()
    if arguments.one:
        kind, folder = arguments.one
        print(json.dumps(one(kind, Path(folder))))
        return
    from benchmarks.generate import written

    heads = f"{'us/joint':>8} {'ratio':>6} {'/10 ch':>6} {'/10 ru':>6} {'MB':>5}"
    sides = " ".join(f"{f'{n} proc s':>8} {heads}" for n in (1, 2))
    print(f"{'joints':>9} {'parse s':>8} {sides} {'findings':>9}")
    for joints in arguments.joints:
        with TemporaryDirectory(prefix="dossier-bench-") as temporary:
            folder = written(Path(temporary), joints)
            runs = measured(folder, arguments.rounds)
            print(row(joints, runs, "wall_s" if arguments.wall else "cpu_s"), flush=True)


if __name__ == "__main__":
    main()
