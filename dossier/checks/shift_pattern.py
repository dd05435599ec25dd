"""Do a day's figures of one welder or one examiner go beyond what the project holds for credible?

A pattern to be looked at, never an accusation: two crews under one stamp, a day entered for a
week, or a very good day all look alike here.
"""

from __future__ import annotations

from collections.abc import Iterator

from dossier.coverage import welder_days
from dossier.coverage.facts import Groups, Records, Told, by_key, shared
from dossier.coverage.view import View, project_basis
from dossier.records.verdicts import NOTE, Evidence, Finding, Range
from dossier.units import counted

NAME = "shift-pattern"
_EXAMINER = "examiner"
_DID = {welder_days.WELDER: "worked on", _EXAMINER: "filmed"}


def check(seen: View) -> Iterator[Finding]:
    """One note per welder or examiner and day beyond the project's bound."""
    for gather in FACTS.values():
        yield from conclude(seen, by_key(gather(seen, seen.project)))


def _films(seen: View, records: Records) -> Iterator[Told]:
    """Each joint that an examiner filmed, by the day."""
    if seen.project.settings.requirements.patterns.films_per_shift_max is None:
        return
    told: set[tuple[str, str, str]] = set()
    for report in records.examinations:
        if report.method != "RT" or not report.examiner or report.examined_at is None:
            continue
        day = str(report.examined_at.date())
        key = (report.examiner, day, report.joint)
        if key not in told:
            told.add(key)
            yield (_EXAMINER, report.examiner, day), report.origin, (report.joint,)


FACTS = {welder_days.QUESTION: welder_days.gather, "films-by-day": _films}


def conclude(seen: View, groups: Groups) -> Iterator[Finding]:
    """One note per welder or examiner and day beyond the project's bound."""
    bounds = seen.project.settings.requirements.patterns
    limits = {
        welder_days.WELDER: bounds.welds_per_shift_max,
        _EXAMINER: bounds.films_per_shift_max,
    }
    basis = project_basis(seen, "credible number of joints a day")
    least = min((most for most in limits.values() if most is not None), default=None)
    if least is None:
        return
    for (kind_, name_, day), own in shared(groups, least=int(least)):
        kind, name = str(kind_), str(name_)
        joints = {fact.values[0]: Evidence(fact.origin.of(kind)) for fact in reversed(own)}
        most = limits[kind]
        if most is None or len(joints) <= most:
            continue
        yield Finding(
            NAME,
            NOTE,
            ((kind, name), ("day", str(day))),
            f"By the records {kind} {name} {_DID[kind]} {counted(len(joints), 'joint')} on {day}; "
            f"the project looks again above {most}.",
            (Range(0, most, basis, "joints").judge("joints that day", len(joints), NOTE),),
            tuple(reversed(joints.values())),
            "Look at the daily record of that day; several people or days may stand behind it.",
        )
