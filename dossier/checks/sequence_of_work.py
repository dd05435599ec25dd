"""Was the joint accepted before it was coated, and coated and tested before it was lowered?

Compared is the day of examination, not that of the report.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime

from dossier.coverage.acceptance import cleared_at, finished_at
from dossier.coverage.evidence import at, paper
from dossier.coverage.joint_file import JointFile
from dossier.coverage.order_of_work import least_holiday_kv
from dossier.coverage.view import View, project_basis
from dossier.records.construction import Coating
from dossier.records.verdicts import HOLD, NONCONFORMITY, Evidence, Finding, Range, Reason, worst

NAME = "sequence-of-work"
_AGAIN = "Expose the joint, examine and test what was missed, and coat it again."
_PAPER = (
    "Show the coating and holiday report; what was not done is done before the pipe is covered."
)


def check(seen: View, file: JointFile) -> Iterator[Finding]:
    """One finding for a joint whose work was done out of order."""
    reasons = tuple(_reasons(seen, file))
    if reasons:
        yield Finding(
            NAME,
            worst(reasons),
            (("joint", file.number),),
            f"Joint {file.number}, order of work: "
            f"{'; '.join(f'{r.variable} {r.found}' for r in reasons)}.",
            reasons,
            _proof(file),
            _PAPER if all(r.found == "not recorded" for r in reasons) else _AGAIN,
        )


def _proof(file: JointFile) -> tuple[Evidence, ...]:
    return (
        *(proof for coating in file.coatings for proof in paper(coating)),
        *(proof for lowering in file.lowerings for proof in paper(lowering)),
        *(proof for report in file.examinations for proof in at(report, "examined_at")),
    )


def _reasons(seen: View, file: JointFile) -> Iterator[Reason]:
    coated = min([c.coated_at for c in file.coatings if c.coated_at], default=None)
    lowered = min([row.lowered_at for row in file.lowerings if row.lowered_at], default=None)
    cleared = cleared_at(seen, file)
    yield from _coated(seen, file, cleared)
    if coated is None and lowered is not None and _before(lowered, cleared):
        yield _after(seen, "lowered", lowered, cleared, "accepted")
    laid = any(row.lowered_at or row.backfilled_at for row in file.lowerings)
    for coating in file.coatings:
        yield from _coating(seen, file, coating, laid)
        if not _coated_again(file, coating):
            yield from _holiday(seen, coating, lowered)
    if lowered and not file.coatings:
        basis = project_basis(seen, "field coating")
        yield Reason("coating", "no record before lowering", "on record", basis, HOLD)
    if lowered is not None and coated is not None and lowered < coated:
        yield _after(seen, "lowered", lowered, coated, "coated")


def _coated(seen: View, file: JointFile, cleared: datetime | None) -> Iterator[Reason]:
    """Each coating of a weld that was not finished, or not accepted then.

    The last coating is held against all that is on record, an earlier one against what had been
    examined and repaired by then: a film may be rejected, and the weld repaired, after it.
    """
    done = finished_at(file)
    moments = sorted({c.coated_at for c in file.coatings if c.coated_at})
    for coated in moments:
        free = cleared if coated == moments[-1] else cleared_at(seen, _known_by(file, coated))
        if _before(coated, free):
            yield _after(seen, "coated", coated, free, "accepted")
        if done is not None and coated < done != free:
            yield _after(seen, "coated", coated, done, "finished")


def _known_by(file: JointFile, moment: datetime) -> JointFile:
    """The file without the examinations and repairs that came after a moment."""
    return replace(
        file,
        examinations=[r for r in file.examinations if (r.examined_at or moment) <= moment],
        repairs=[r for r in file.repairs if (r.repaired_at or moment) <= moment],
    )


def _coating(seen: View, file: JointFile, coating: Coating, laid: bool) -> Iterator[Reason]:
    """A coating that was rejected and left; one without its time on a joint that was laid."""
    basis = project_basis(seen, "field coating")
    if coating.result == "rejected":
        if not _coated_again(file, coating):
            found = f"{coating.report} rejected{', and the joint laid' if laid else ''}"
            verdict = NONCONFORMITY if laid else HOLD
            yield Reason("coating", found, "accepted, or coated again", basis, verdict)
    elif laid and coating.coated_at is None and "coated_at" not in coating.not_applicable:
        yield Reason("coated", "not recorded", "recorded", basis, HOLD)


def _coated_again(file: JointFile, coating: Coating) -> bool:
    """Whether another coating that was not rejected took the place of a rejected one."""
    return coating.result == "rejected" and any(
        other.result != "rejected"
        and (
            other.coated_at is None
            or coating.coated_at is None
            or other.coated_at >= coating.coated_at
        )
        for other in file.coatings
    )


def _before(moment: datetime, step: datetime | None) -> bool:
    """Whether a moment lies before a step; it does too when that never happened."""
    return step is None or moment < step


def _after(seen: View, step: str, moment: datetime, before: datetime | None, what: str) -> Reason:
    """A step that was taken before another that it must follow."""
    basis = project_basis(seen, "order of work")
    when = f"{before:%Y-%m-%d %H:%M}" if before else "not yet"
    return Reason(step, f"{moment:%Y-%m-%d %H:%M}", f"after {what}: {when}", basis, NONCONFORMITY)


def _holiday(seen: View, coating: Coating, lowered: datetime | None) -> Iterator[Reason]:
    basis = project_basis(seen, "holiday test")
    tested = coating.holiday_tested_at
    if lowered is not None and _before(lowered, tested):
        yield _after(seen, "lowered", lowered, tested, "holiday test")
    if tested is None:
        return
    if coating.coated_at is not None and tested < coating.coated_at:
        yield _after(seen, "holiday tested", tested, coating.coated_at, "coated")
    if coating.holidays_found is None and "holidays_found" not in coating.not_applicable:
        yield Reason("holidays", "not recorded", "recorded", basis, HOLD)
    if (coating.holidays_found or 0) > (coating.holidays_repaired or 0):
        found = f"{coating.holidays_found} found, {coating.holidays_repaired or 0} repaired"
        yield Reason("holidays", found, "all repaired", basis, NONCONFORMITY)
    rules = seen.project.settings.requirements
    if rules.holiday_kv is None and rules.holiday_rule and coating.thickness_mm is None:
        wanted = f"recorded, as rule {rules.holiday_rule} needs it"
        yield Reason("coating thickness", "not recorded", wanted, basis, HOLD)
    least = least_holiday_kv(seen, coating)
    if least is not None and (coating.holiday_kv is None or coating.holiday_kv < least):
        limit = Range(least, float("inf"), basis, "kV")
        reason = limit.judge("holiday test voltage", coating.holiday_kv)
        if reason.verdict:
            yield reason
