"""Was any work entered on a day on which, by the project's own calendar, nobody worked?"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from dossier.coverage.as_of import day_of
from dossier.coverage.evidence import at
from dossier.coverage.joint_file import JointFile
from dossier.coverage.view import View, project_basis
from dossier.records.verdicts import HOLD, Evidence, Finding, Reason

NAME = "work-day"


def asked(seen: View) -> bool:
    """Whether the project names days without work."""
    return bool(seen.project.settings.requirements.patterns.no_work_days)


def check(seen: View, file: JointFile) -> Iterator[Finding]:
    """One finding per joint and day without work on which it was welded or repaired."""
    closed = seen.project.settings.requirements.patterns.no_work_days
    entered: dict[date, list[Evidence]] = {}
    for day, proof in _welding(file):
        if day in closed:
            entered.setdefault(day, []).append(proof)
    basis = project_basis(seen, "days without work")
    for day, proofs in entered.items():
        yield Finding(
            NAME,
            HOLD,
            (("joint", file.number), ("day", str(day))),
            f"Joint {file.number} is entered as welded on {day}, a day without work.",
            (Reason("day of welding", str(day), "a day of work", basis, HOLD),),
            tuple(dict.fromkeys(proofs)),
            "Establish the day from the daily record, and correct the date or the calendar.",
        )


def _welding(file: JointFile) -> Iterator[tuple[date, Evidence]]:
    if file.joint.welded_on:
        yield file.joint.welded_on, at(file.joint, "welded_on")[0]
    for made in file.passes:
        day = day_of(made.started_at or made.finished_at)
        if day:
            yield day, at(made, "started_at")[0]
    for repair in file.repairs:
        day = day_of(repair.repaired_at)
        if day:
            yield day, at(repair, "repaired_at")[0]
