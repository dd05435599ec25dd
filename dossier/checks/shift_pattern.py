"""Do a day's figures of one welder or one examiner go beyond what the project holds for credible?

A pattern to be looked at, never an accusation: two crews under one stamp, a day entered for a
week, or a very good day all look alike here.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from datetime import date

from dossier.coverage.as_of import day_of
from dossier.coverage.evidence import at
from dossier.coverage.view import View, project_basis
from dossier.records.verdicts import NOTE, Basis, Evidence, Finding, Range

NAME = "shift-pattern"
Days = dict[tuple[str, date], dict[str, Evidence]]  # who, day -> joint -> where it is written


def check(seen: View) -> Iterator[Finding]:
    """One note per welder or examiner and day beyond the project's bound."""
    bounds = seen.project.settings.requirements.patterns
    basis = project_basis(seen, "credible number of joints a day")
    if bounds.welds_per_shift_max is not None:
        days = _welding(seen)
        yield from _beyond(days, ("welder", "worked on"), bounds.welds_per_shift_max, basis)
    if bounds.films_per_shift_max is not None:
        days = _films(seen)
        yield from _beyond(days, ("examiner", "filmed"), bounds.films_per_shift_max, basis)


def _welding(seen: View) -> Days:
    days: Days = defaultdict(dict)
    for made in seen.project.passes:
        day = day_of(made.started_at or made.finished_at)
        if day is not None:
            days[made.welder, day].setdefault(made.joint, at(made, "welder")[0])
    return days


def _films(seen: View) -> Days:
    days: Days = defaultdict(dict)
    for report in seen.project.examinations:
        day = day_of(report.examined_at)
        if report.method == "RT" and report.examiner and day is not None:
            days[report.examiner, day].setdefault(report.joint, at(report, "examiner")[0])
    return days


def _beyond(days: Days, words: tuple[str, str], most: int, basis: Basis) -> Iterator[Finding]:
    kind, did = words
    limit = Range(0, most, basis, "joints")
    for (name, day), joints in days.items():
        if len(joints) <= most:
            continue
        yield Finding(
            NAME,
            NOTE,
            ((kind, name), ("day", str(day))),
            f"By the records {kind} {name} {did} {len(joints)} joints on {day}; the project "
            f"looks again above {most}.",
            (limit.judge("joints that day", len(joints), NOTE),),
            tuple(joints.values()),
            "Look at the daily record of that day; several people or days may stand behind it.",
        )
