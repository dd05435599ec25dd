"""The facts that joints left on the disk, weighed part by part, by several processes if need be."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path

from dossier.checks.stream_part import (
    BY_FACTS,
    ITEMS,
    Sorted,
    gathers_of,
    seldom_collected,
    view_of,
)
from dossier.coverage.facts import Groups, Shelf, shared, taken
from dossier.coverage.view import View
from dossier.errors import Fault
from dossier.records.project import Project
from dossier.records.verdicts import Finding


@dataclass(frozen=True, slots=True)
class Weighing:
    """Some parts of what lies on the shelves, and where to leave what comes of it."""

    project: Project  # as known on the day
    as_of: date
    names: frozenset[str]
    shelves: tuple[Path, ...]
    parts: range
    folder: Path


@dataclass(slots=True)
class Weighed:
    """What came of it besides the findings in the folder."""

    folder: Path
    runs: int = 0  # sorted runs of findings
    further: int = 0  # facts to be weighed in their turn, on a shelf in the folder
    faults: list[Fault] = field(default_factory=list)


def of_registers(seen: View, names: frozenset[str], shelf: Shelf) -> Iterator[Finding]:
    """Lay aside what the registers in memory tell, and find what they tell by themselves."""
    for question, gather in gathers_of(names).items():
        shelf.put(question, gather(seen, seen.project))
    shelf.write()
    for module in BY_FACTS:
        if module.NAME in names and hasattr(module, "of_registers"):
            yield from module.of_registers(seen)


@seldom_collected()
def weighed(task: Weighing) -> Weighed:
    """Ask the questions about the whole project of these parts."""
    seen = view_of(task.project, task.as_of)
    done, further = Weighed(task.folder), Shelf(task.folder)
    findings = Sorted(task.folder, seen.project.concessions)
    asked = [(m, name) for m in BY_FACTS if m.NAME in task.names for name in m.FACTS]
    for part in taken(task.shelves, task.parts):
        done.faults += _given_in_two_ways(part.pop(ITEMS, {}))
        for module, question in asked:
            for result in module.conclude(seen, part.get(question, {})):
                if isinstance(result, Finding):
                    findings.put((result,))
                else:
                    further.put(question, (result,))
                    done.further += 1
        part.clear()  # before the next one is read
    further.write()
    findings.write()
    done.runs = findings.runs
    return done


def _given_in_two_ways(groups: Groups) -> Iterator[Fault]:
    """A fault for each line that gives an item otherwise than the first one does."""
    for (number,), given in shared(groups, least=2):
        for fact in given:
            if fact.values != given[0].values:
                found = f'"{number}" in another way (first at {given[0].origin})'
                place = fact.origin.place
                yield Fault(fact.origin.file, place, "number", found, "the same each time")
