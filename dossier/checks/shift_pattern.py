"""Do a day's figures of one welder or one examiner go beyond what the project holds for credible?

A pattern to be looked at, never an accusation: two crews under one stamp, a day entered for a
week, or a very good day all look alike here.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from dossier.coverage.as_of import day_of
from dossier.coverage.facts import Fact, Records, by_key
from dossier.coverage.view import View, project_basis
from dossier.records.position import Position
from dossier.records.verdicts import NOTE, Evidence, Finding, Range

NAME = "shift-pattern"
_DID = {"welder": "worked on", "examiner": "filmed"}


def check(seen: View) -> Iterator[Finding]:
    """One note per welder or examiner and day beyond the project's bound."""
    yield from conclude(seen, gather(seen, seen.project))


def gather(seen: View, records: Records) -> Iterator[Fact]:
    """Each joint that a welder or an examiner worked on, by the day."""
    bounds = seen.project.settings.requirements.patterns
    told: dict[tuple[str, str, str, str], Position] = {}
    if bounds.welds_per_shift_max is not None:
        for made in records.passes:
            day = day_of(made.started_at or made.finished_at)
            if day is not None:
                told.setdefault(("welder", made.welder, str(day), made.joint), made.origin)
    if bounds.films_per_shift_max is not None:
        for report in records.examinations:
            day = day_of(report.examined_at)
            if report.method == "RT" and report.examiner and day is not None:
                key = ("examiner", report.examiner, str(day), report.joint)
                told.setdefault(key, report.origin)
    for (kind, name, on, joint), origin in told.items():
        yield Fact((kind, name, on), origin, (joint,))


def conclude(seen: View, facts: Iterable[Fact]) -> Iterator[Finding]:
    """One note per welder or examiner and day beyond the project's bound."""
    bounds = seen.project.settings.requirements.patterns
    limits = {"welder": bounds.welds_per_shift_max, "examiner": bounds.films_per_shift_max}
    basis = project_basis(seen, "credible number of joints a day")
    for (kind_, name_, day), own in by_key(facts).items():
        kind, name = str(kind_), str(name_)
        joints = {fact.values[0]: Evidence(fact.origin.of(kind)) for fact in reversed(own)}
        most = limits[kind]
        if most is None or len(joints) <= most:
            continue
        yield Finding(
            NAME,
            NOTE,
            ((kind, name), ("day", str(day))),
            f"By the records {kind} {name} {_DID[kind]} {len(joints)} joints on {day}; the "
            f"project looks again above {most}.",
            (Range(0, most, basis, "joints").judge("joints that day", len(joints), NOTE),),
            tuple(reversed(joints.values())),
            "Look at the daily record of that day; several people or days may stand behind it.",
        )
