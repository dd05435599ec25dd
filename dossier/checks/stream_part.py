"""One part of the joints of a long project: asked joint by joint, what is left is laid aside."""

from __future__ import annotations

import gc
import pickle
from collections.abc import Collection, Hashable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import date
from operator import attrgetter
from pathlib import Path
from types import ModuleType
from typing import Any, Protocol

from dossier.checks import (
    ALL,
    certificate_dates,
    conceded,
    concession_scope,
    doubtful_reading,
    evidence_document,
    examination_share,
    film_numbers,
    joint_number_ledger,
    joint_status,
    line_share,
    nonconformity_closed,
    of_file,
    pipe_end,
    procedure_supported,
    pup_balance,
    radiograph_header,
    report_reuse,
    section_pressure,
    shift_pattern,
    signature_complete,
    tracer_welds,
    welder_whereabouts,
)
from dossier.coverage.as_of import joint_known_on, known_on
from dossier.coverage.facts import Gather, Shelf, Told
from dossier.coverage.joint_file import JointFile, files_at_hand
from dossier.coverage.lookup import lookup
from dossier.coverage.view import Uses, View
from dossier.errors import Fault
from dossier.records.doubts import Doubt
from dossier.records.joint_records import JointRecords
from dossier.records.papers import Concession
from dossier.records.project import Project
from dossier.records.verdicts import Finding

# Questions about the whole project, by what they need of the joints: a few values of each, a few
# joints in full, or nothing. A test holds these against the register of checks.
BY_FACTS: tuple[ModuleType, ...] = (
    joint_number_ledger, joint_status, film_numbers, report_reuse, examination_share, line_share,
    welder_whereabouts, shift_pattern, pipe_end,
)  # fmt: skip
BY_CONCERN: tuple[ModuleType, ...] = (
    pup_balance, section_pressure, evidence_document, nonconformity_closed, radiograph_header,
    tracer_welds, concession_scope,
)  # fmt: skip
BY_DOUBTS = doubtful_reading
BY_REGISTERS: tuple[ModuleType, ...] = (procedure_supported, signature_complete, certificate_dates)
ITEMS = "items"  # facts that hold what is given of an item against each other
_KEPT = attrgetter(
    "kind", "heat", "certificate", "grade", "material_group", "smys_mpa", "od_mm", "wall_mm",
    "length_m", "parent", "maker", "coating",
)  # fmt: skip
_GIVEN = 2_000  # items remembered, mostly those of the joints beside
_COLLECTED = 10_000  # joints between two looks for cycles, should there be any
_RUN = 2_000  # findings sorted in memory before they go to the disk
_PLACE = {name: place for place, name in enumerate(ALL)}


class Source(Protocol):
    """Where joints come from: it can be sent to another process, and read there in parts."""

    @property
    def project(self) -> Project:
        """All registers but those that hang on the joints."""
        ...

    def parts(self, count: int) -> Sequence[Any]:
        """About `count` parts, in order."""
        ...

    def read(self, part: Any, faults: list[Fault]) -> Iterable[JointRecords]:
        """The joints of a part; `faults` takes up what is none."""
        ...


@dataclass(frozen=True, slots=True)
class Task:
    """A part of the joints to be checked, and where to leave what comes of it."""

    source: Source
    part: Any
    as_of: date
    names: frozenset[str]
    folder: Path
    uses: Uses


@dataclass(slots=True)
class Done:
    """What a part gave besides the facts and findings in its folder."""

    folder: Path
    runs: int = 0  # sorted runs of findings
    kept: list[JointFile] = field(default_factory=list)  # joints that a question is about
    doubts: list[Doubt] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)


def view_of(project: Project, day: date) -> View:
    """A project as known on a day."""
    known = known_on(project, day)
    return View(known, day, lookup(known))


def gathers_of(names: Collection[str]) -> dict[str, Gather]:
    """What is laid aside for the questions chosen; what two of them keep stands once."""
    chosen = (module.FACTS for module in BY_FACTS if module.NAME in names)
    return {question: gather for facts in chosen for question, gather in facts.items()}


@contextmanager
def seldom_collected() -> Iterator[None]:
    """Records hold no cycles: looking for these at every turn costs a twentieth of the time."""
    before = gc.isenabled()
    gc.freeze()
    gc.disable()
    try:
        yield
    finally:
        gc.unfreeze()
        if before:
            gc.enable()


@seldom_collected()
def part_done(task: Task) -> Done:
    """Ask the joints of a part all that can be asked of each alone."""
    seen = view_of(task.source.project, task.as_of)
    seen.uses.update(task.uses)
    done, shelf = Done(task.folder), Shelf(task.folder)
    findings = Sorted(task.folder, seen.project.concessions)
    gathers = gathers_of(task.names)
    by_concern = [module for module in BY_CONCERN if module.NAME in task.names]
    told: set[Hashable] = set()
    given: dict[Hashable, tuple[Any, ...]] = {}
    read = task.source.read(task.part, done.faults)
    known = (joint_known_on(records, task.as_of) for records in read)
    for nth, (records, file) in enumerate(files_at_hand(seen, known), 1):
        if nth % _COLLECTED == 0:
            gc.collect()
        if done.faults:
            continue  # only what is wrong with the lines to come is wanted now
        findings.put(of_file(seen, file, task.names))
        for question, gather in gathers.items():
            shelf.put(question, gather(seen, file))
        shelf.put(ITEMS, _of_items(records, given))
        if records.doubts or _concern(seen, file, by_concern, told):
            done.kept.append(file)
            done.doubts += records.doubts
    shelf.write()
    findings.write()
    done.runs = findings.runs
    return done


def _concern(
    seen: View, file: JointFile, modules: Iterable[ModuleType], told: set[Hashable]
) -> bool:
    """Whether a question is about this joint and not yet about one that is just like it."""
    new = [
        about
        for module in modules
        for name in module.concerns(seen, file)
        if (about := (module.NAME, name)) not in told
    ]
    told.update(new)
    return bool(new)


def _of_items(records: JointRecords, given: dict[Hashable, tuple[Any, ...]]) -> Iterator[Told]:
    """What is told of each item, unless it was `given` alike a short while ago.

    What many items have in common stands in `given` once, and so in what is laid aside.
    """
    if len(given) > _GIVEN:
        given.clear()
    for item in records.registers["items"]:
        kept = _KEPT(item)
        if given.get(item.number) != kept:
            kept = given[item.number] = given.setdefault(kept, kept)
            yield (item.number,), item.origin, kept


def order(finding: Finding) -> tuple[int, int, tuple[tuple[str, str], ...]]:
    """Severest first, then by check and subject."""
    return -finding.verdict, _PLACE[finding.check], finding.subject


class Sorted:
    """Findings on the disk, in sorted runs, each answered by its concession."""

    def __init__(self, folder: Path, concessions: Sequence[Concession]) -> None:
        self.folder = folder
        self.concessions = concessions
        self.held: list[Finding] = []
        self.runs = 0

    def put(self, findings: Iterable[Finding]) -> None:
        """Take findings in."""
        for finding in findings:
            self.held.append(conceded(finding, self.concessions))
        if len(self.held) >= _RUN:
            self.write()

    def write(self) -> None:
        """Write what is still in memory."""
        with (self.folder / f"{self.runs}.run").open("wb") as stream:
            for finding in sorted(self.held, key=order):
                pickle.dump(finding, stream)
        self.held, self.runs = [], self.runs + 1


def run_of(folder: Path, nth: int) -> Iterator[Finding]:
    """The findings of one sorted run."""
    with (folder / f"{nth}.run").open("rb") as stream:
        while True:
            try:
                yield pickle.load(stream)  # noqa: S301  written by this very run
            except EOFError:
                return
