"""The checks over joints that are handed on one at a time, in memory that does not grow.

Each joint is asked by itself. Questions about the whole project are of three kinds:
- weighed by facts (`FACTS`, `conclude`): each joint leaves a few plain values on the disk;
- about a few joints (`concerns`): those are kept, and the check is asked of them alone;
- about the other registers only: the check is asked of these.
Findings are the same, and in the same order, as `checks.run` gives for the project in memory.

Memory grows with the joints only where a project asks for progressive sampling (any joint may
belong to the lot of a rejection found later) or is judged by earlier work (49 CFR, ASME IX).
"""

from __future__ import annotations

import heapq
import multiprocessing
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from contextlib import contextmanager
from dataclasses import replace
from datetime import date
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from dossier.checks import ALL, OF_FINDINGS, OF_PROJECT, asked_of, concession_scope
from dossier.checks.stream_facts import Weighing, of_registers, weighed
from dossier.checks.stream_part import (
    BY_CONCERN,
    BY_DOUBTS,
    BY_REGISTERS,
    Done,
    Sorted,
    Source,
    Task,
    order,
    part_done,
    run_of,
    view_of,
)
from dossier.coverage.as_of import joint_known_on, last_day
from dossier.coverage.continuity import rests_on_work, uses_of
from dossier.coverage.facts import PARTS, Shelf
from dossier.coverage.lookup import lookup
from dossier.coverage.view import Use, Uses, View
from dossier.errors import Fault, ProjectError
from dossier.records.joint_records import JointRecords
from dossier.records.materials import Item
from dossier.records.project import Project
from dossier.records.verdicts import Finding

_HANGING = ("passes", "repairs", "examinations", "heat_treatments", "hardness_tests", "coatings",
            "lowerings", "items")  # fmt: skip

Each = Callable[..., Iterable[Any]]  # `map`, by whatever processes


def check_stream(
    source: Source, workers: int = 1, names: Iterable[str] = (), as_of: date | None = None
) -> Iterator[Finding]:
    """All findings of the checks named (all by default), in the order of `checks.run`.

    Raises ProjectError: lines that are no joints, items that are given in two ways.
    """
    chosen = frozenset(names) or frozenset(ALL)
    project = source.project
    day = as_of or project.settings.as_of or _last_day(source)
    seen = view_of(project, day)
    asked = asked_of(seen, chosen)
    seen.uses.update(_uses(source, seen) if rests_on_work(seen) else {})
    with TemporaryDirectory(prefix="dossier-") as temporary:
        folders = (_folder(temporary, nth) for nth in range(1_000))
        last = next(folders)
        tasks = [
            Task(source, part, day, asked, next(folders), seen.uses)
            for part in source.parts(workers)
        ]
        with _side_by_side(workers if len(tasks) > 1 else 1) as each:
            done = list(each(part_done, tasks))
            _refuse([fault for one in done for fault in one.faults])
            findings, own = Sorted(last, seen.project.concessions), Shelf(next(folders))
            findings.put(of_registers(seen, asked, own))
            runs = [(one.folder, nth) for one in done for nth in range(one.runs)]
            shelves = (own.folder, *(one.folder for one in done))
            tray = Weighing(seen.project, day, asked, shelves, range(PARTS), last)
            runs += _weighed(each, tray, workers, folders)
        whole = _with_kept(source, seen, done)
        findings.put(_of_whole(whole, asked))
        findings.write()
        runs += [(last, nth) for nth in range(findings.runs)]
        of_findings = _of_findings(whole, runs) if chosen & set(OF_FINDINGS) else []
        for finding in _merged(runs, of_findings):
            if finding.check in chosen:
                yield finding


def _folder(temporary: str, nth: int) -> Path:
    path = Path(temporary) / str(nth)
    path.mkdir()
    return path


def _merged(runs: Sequence[tuple[Path, int]], more: Sequence[Finding]) -> Iterator[Finding]:
    rows = [run_of(folder, nth) for folder, nth in runs]
    return heapq.merge(*rows, sorted(more, key=order), key=order)


@contextmanager
def _side_by_side(workers: int) -> Iterator[Each]:
    """The function `map`, or one that spreads the work over processes."""
    if workers < 2:
        yield map
        return
    context = multiprocessing.get_context("forkserver")
    with ProcessPoolExecutor(workers, mp_context=context) as pool:
        yield pool.map


def _weighed(
    each: Each, all_of_it: Weighing, workers: int, folders: Iterator[Path]
) -> Iterator[tuple[Path, int]]:
    """The runs of findings on what lies on the shelves, and on what is laid there meanwhile."""
    shelves = all_of_it.shelves
    while shelves:
        tasks = [
            replace(all_of_it, shelves=shelves, parts=parts, folder=next(folders))
            for parts in (all_of_it.parts[nth::workers] for nth in range(workers))
        ]
        done = list(each(weighed, tasks))
        _refuse([fault for one in done for fault in one.faults])
        yield from ((one.folder, nth) for one in done for nth in range(one.runs))
        shelves = tuple(one.folder for one in done if one.further)


def _refuse(faults: list[Fault]) -> None:
    if faults:
        raise ProjectError(faults)


def _with_kept(source: Source, seen: View, done: Sequence[Done]) -> View:
    """The view with the joints that questions are about, and the pipes that pups were cut from."""
    kept = [file for one in done for file in one.kept]
    project = seen.project
    items = {item.number: item for file in kept for item in file.items}
    wanted = {item.parent for item in (*items.values(), *project.items) if item.parent}
    items |= _found_items(source, wanted - set(items) - set(seen.known.items))
    own = {name: [*getattr(project, name)] for name in _HANGING if name != "items"}
    for file in kept:
        for name, rows in own.items():
            rows += getattr(file, name)
    hanging: dict[str, Any] = {name: tuple(dict.fromkeys(rows)) for name, rows in own.items()}
    whole = replace(
        project,
        **hanging,
        joints=(*project.joints, *(file.joint for file in kept)),
        items=(*project.items, *(i for i in items.values() if i.number not in seen.known.items)),
        doubts=(*project.doubts, *(doubt for one in done for doubt in one.doubts)),
    )
    return View(whole, seen.as_of, lookup(whole))


def _found_items(source: Source, numbers: set[str]) -> dict[str, Item]:
    """The items of these numbers, wherever in the joints they are given."""
    if not numbers:
        return {}
    return {
        item.number: item
        for records in _read(source)
        for item in records.registers["items"]
        if item.number in numbers
    }


def _of_whole(whole: View, names: frozenset[str]) -> Iterator[Finding]:
    for module in (*BY_REGISTERS, *BY_CONCERN, BY_DOUBTS):
        if module.NAME in names and module.NAME in OF_PROJECT:
            yield from module.check(whole)


def _of_findings(whole: View, runs: Sequence[tuple[Path, int]]) -> list[Finding]:
    """What the checks of findings find, given those that a concession names."""
    checks = {name for paper in whole.project.concessions for name in paper.checks}
    ids = {name for paper in whole.project.concessions for name in paper.findings}
    named = tuple(f for f in _merged(runs, ()) if f.check in checks or f.id in ids)
    return list(concession_scope.check(whole, named, ALL))


def _read(source: Source) -> Iterator[JointRecords]:
    for part in source.parts(1):
        yield from source.read(part, [])


def _last_day(source: Source) -> date:
    """The last day on record, which takes a reading of its own."""
    return max(
        (last_day(_alone(source.project, records)) for records in _read(source)),
        default=date.min,
    )


def _alone(project: Project, records: JointRecords) -> Project:
    rows: dict[str, Any] = {
        name: (*getattr(project, name), *records.registers[name]) for name in _HANGING
    }
    return replace(project, **rows, joints=(*project.joints, records.joint))


def _uses(source: Source, seen: View) -> Uses:
    """The work of every stamp by day, where earlier work is what a certificate rests on."""
    found: dict[str, set[Use]] = defaultdict(set)
    for records in _read(source):
        known = joint_known_on(records, seen.as_of)
        rows: dict[str, list[Any]] = known.registers
        for stamp, use in uses_of(
            known.joint, rows["passes"], rows["repairs"], rows["examinations"]
        ):
            found[stamp].add(use)
    return {stamp: tuple(sorted(rows)) for stamp, rows in found.items()}
