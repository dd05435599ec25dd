"""Was the time that the project asks for left between welding and examination?

Hydrogen cracks may open hours after welding: an earlier examination proves nothing but what it
rejects, and a later one of no less extent stands in its place.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from dossier.coverage.acceptance import welding_before
from dossier.coverage.evidence import at, paper
from dossier.coverage.joint_file import JointFile
from dossier.coverage.view import View, project_basis
from dossier.records.examinations import Examination
from dossier.records.verdicts import CLEAR, HOLD, Finding, Range

NAME = "examination-delay"


def check(seen: View, file: JointFile) -> Iterator[Finding]:
    """One finding per report of an examination that came too early."""
    rules = seen.project.settings.requirements
    if rules.examination_delay_h is None:
        return
    for report in file.examinations:
        if report.method not in rules.delay_applies_to or report.result == "rejected":
            continue
        hours = _hours(file, report)
        if hours is not None and hours >= rules.examination_delay_h:
            continue
        if _made_again(file, report, rules.examination_delay_h):
            continue
        basis = project_basis(seen, "delay before examination")
        limit = Range(rules.examination_delay_h, float("inf"), basis, "h")
        reason = limit.judge("time after welding", hours, HOLD)
        if reason.verdict != CLEAR:
            yield Finding(
                NAME,
                reason.verdict,
                (("joint", file.number), ("report", report.report)),
                f"{report.method} of joint {file.number} ({report.report}) was made "
                f"{reason.found} after welding; {reason.permitted} is asked for.",
                (reason,),
                (*at(file.joint, "finished_at"), *at(report, "examined_at"), *paper(report)),
                "Repeat the examination: a result obtained too early does not prove the weld "
                "free from delayed cracks.",
            )


def _made_again(file: JointFile, early: Examination, least_h: float) -> bool:
    """Whether the same method accepted no less of the weld later on, and in time."""
    return any(
        report.method == early.method
        and report.result == "accepted"
        and early.examined_at is not None
        and report.examined_at is not None
        and report.examined_at > early.examined_at
        and (report.extent_percent or 0.0) >= (early.extent_percent or 0.0)
        and (_hours(file, report) or 0.0) >= least_h
        for report in file.examinations
    )


def _hours(file: JointFile, report: Examination) -> float | None:
    examined: datetime | None = report.examined_at
    welded = welding_before(file, examined) if examined else None
    if examined is None or welded is None:
        return None
    return round((examined - welded).total_seconds() / 3600, 2)
