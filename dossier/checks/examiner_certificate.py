"""Was each examiner certified for the method, at the level, with sound eyes, on that day?"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from dossier.codes.periods import months_later
from dossier.coverage.as_of import day_of
from dossier.coverage.evidence import at, paper
from dossier.coverage.joint_file import JointFile
from dossier.coverage.view import View, project_basis
from dossier.records.examinations import Examination, Examiner, ExaminerCertificate
from dossier.records.verdicts import HOLD, Basis, Finding, Reason, worst

NAME = "examiner-certificate"


def check(seen: View, file: JointFile) -> Iterator[Finding]:
    """One finding per report whose examiner was not certified on the day of examination."""
    for report in file.examinations:
        if not report.result:
            continue
        reasons = tuple(_reasons(seen, report))
        if reasons:
            examiner = seen.known.examiners.get(report.examiner)
            yield Finding(
                NAME,
                worst(reasons),
                (
                    ("joint", report.joint),
                    ("report", report.report),
                    ("examiner", report.examiner or "blank"),
                ),
                f"{report.examiner or 'Nobody named'} examined joint {report.joint} by "
                f"{report.method} ({report.report}): {reasons[0].variable} {reasons[0].found}.",
                reasons,
                (
                    *at(report, "examiner", "examined_at"),
                    *paper(report),
                    *(at(examiner) if examiner else ()),
                ),
                "Have the film read again by a certified examiner; repeat a manual examination.",
            )


def _reasons(seen: View, report: Examination) -> Iterator[Reason]:
    basis = project_basis(seen, "certification of examiners")
    examiner = seen.known.examiners.get(report.examiner)
    if examiner is None:
        yield Reason("examiner", report.examiner or "blank", "on record", basis, HOLD)
        return
    day = day_of(report.examined_at) or report.reported_on
    if day is None:
        yield Reason("day of examination", "not recorded", "recorded", basis, HOLD)
        return
    held = [c for c in examiner.certificates if c.method == report.method]
    level = seen.project.settings.requirements.examiner_level_min
    fit = [c for c in held if c.level >= level and _in_force(c, day)]
    dated = [c for c in fit if c.issued_on is not None]
    if fit and not dated:
        wanted = f"recorded, on or before {day}"
        yield Reason("day of issue", f"{fit[0].number}: not recorded", wanted, basis, HOLD)
    if not fit:
        wanted = f"{report.method} level {level} or higher on {day}"
        yield Reason("certificate", _listed(held), wanted, basis, HOLD)
        return
    yield from _eyes(seen, examiner, dated or fit, day)


def _in_force(certificate: ExaminerCertificate, day: date) -> bool:
    starts = certificate.issued_on is None or certificate.issued_on <= day
    return starts and certificate.expires_on is not None and day <= certificate.expires_on


def _listed(held: list[ExaminerCertificate]) -> str:
    listed = (f"{c.number} level {c.level} to {c.expires_on or 'no date'}" for c in held)
    return ", ".join(listed) or "none for this method"


def _eyes(
    seen: View, examiner: Examiner, fit: list[ExaminerCertificate], day: date
) -> Iterator[Reason]:
    months = seen.project.settings.requirements.near_vision_months
    tests = [c.vision_on for c in examiner.certificates if c.vision_on and c.vision_on <= day]
    if tests and day <= months_later(max(tests), months):
        return
    basis = Basis("ISO 9712", "2021", "near vision", "secondary")
    found = f"tested on {max(tests)}" if tests else f"{fit[0].number}: no test on record"
    yield Reason("near vision", found, f"tested within {months} months of {day}", basis, HOLD)
