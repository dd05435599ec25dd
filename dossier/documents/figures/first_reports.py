"""The first volumetric report of each joint: what the repair rates count."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from math import ceil, pi

from dossier.coverage.as_of import day_of
from dossier.coverage.joint_file import JointFile, joint_file
from dossier.coverage.view import View
from dossier.records.examinations import Examination, Indication

METHODS = ("RT", "UT")
REJECTED = "rejected"


@dataclass(frozen=True, slots=True)
class First:
    """A joint with the first radiographic or ultrasonic report on it that gave a result."""

    file: JointFile
    report: Examination

    @property
    def rejected(self) -> bool:
        """The first report rejected the joint."""
        return self.report.result == REJECTED

    @property
    def day(self) -> date | None:
        """The day of the examination; of the report where that is not recorded."""
        return day_of(self.report.examined_at) or self.report.reported_on

    @property
    def week(self) -> str:
        """The ISO week of that day, "" where no day is recorded."""
        if self.day is None:
            return ""
        year, week, _ = self.day.isocalendar()
        return f"{year}-W{week:02d}"

    @property
    def circumference_mm(self) -> float | None:
        """Length of the weld at the outside, None where no diameter is on record."""
        return None if self.file.od_mm is None else pi * self.file.od_mm

    @property
    def examined_mm(self) -> float | None:
        """Length of weld that the report covers; the whole where it gives no extent."""
        around = self.circumference_mm
        extent = self.report.extent_percent
        return None if around is None else around * (100.0 if extent is None else extent) / 100.0

    @property
    def rejected_mm(self) -> float:
        """Summed length of the indications of a rejected report, at most what was examined."""
        if not self.rejected:
            return 0.0
        found = sum(i.length_mm or 0.0 for i in self.report.indications)
        return min(found, self.examined_mm or found)

    @property
    def rejected_films(self) -> int:
        """Films of a rejected report that show an indication; one where none can be placed."""
        if not (self.rejected and self.report.films):
            return 0
        places = {p for i in self.report.indications for p in self._films_of(i)}
        return max(1, len(places))

    def _films_of(self, found: Indication) -> range:
        """Which films, counted around from the datum, an indication lies on."""
        around, count = self.circumference_mm, len(self.report.films)
        if around is None or found.start_mm is None:
            return range(0)
        each = around / count
        first = int(found.start_mm // each)
        last = max(first + 1, ceil((found.start_mm + (found.length_mm or 0.0)) / each))
        return range(first, min(last, count))


def first_reports(seen: View) -> list[First]:
    """In the order of examination; a number used twice counts once, since nothing tells apart."""
    found = list(_each(seen))
    return sorted(found, key=lambda one: (str(one.day), one.file.number))


def _each(seen: View) -> Iterator[First]:
    for joints in seen.known.joints.values():
        file = joint_file(seen, joints[0])
        reports = [e for e in file.examinations if e.method in METHODS and e.result]
        if joints[0].status in ("welded", "cut out") and reports:
            yield First(file, min(reports, key=lambda e: (str(e.examined_at), e.report)))
