"""Do the films of a girth weld together reach as far round as their report says?"""

from __future__ import annotations

from collections.abc import Iterator
from math import inf, pi

from dossier.coverage.evidence import at, paper
from dossier.coverage.joint_file import JointFile
from dossier.coverage.view import View, project_basis
from dossier.records.verdicts import CLEAR, HOLD, Finding, Range
from dossier.units import counted

NAME = "circumference-closed"


def check(seen: View, file: JointFile) -> Iterator[Finding]:
    """One finding per report whose films are shorter than the extent that it states.

    Asked where number and length of the films, the extent and the diameter are recorded.
    """
    basis = project_basis(seen, "films over the whole extent")
    for report in file.examinations:
        if report.film_mm is None or not report.films or not report.extent_percent:
            continue
        if file.od_mm is None:
            continue
        around_mm = round(pi * file.od_mm * report.extent_percent / 100, 1)
        shown_mm = len(report.films) * report.film_mm
        reason = Range(around_mm, inf, basis).judge("length of films", shown_mm, HOLD)
        if reason.verdict != CLEAR:
            yield Finding(
                NAME,
                HOLD,
                (("joint", file.number), ("report", report.report)),
                f"{counted(len(report.films), 'film')} of {report.report} cover {shown_mm:g} mm of "
                f"joint {file.number}; {report.extent_percent:g} % of it are {around_mm:g} mm.",
                (reason,),
                (*at(report, "films", "film_mm", "extent_percent"), *paper(report)),
                "Show the films that are missing, or examine the rest of the weld.",
            )
