"""Was the joint accepted before it was coated, and coated and tested before it was lowered?

Compared is the day of examination, not that of the report.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from dossier.calc.coating import holiday_test_voltage_v
from dossier.coverage.acceptance import cleared_at, finished_at
from dossier.coverage.evidence import at, paper
from dossier.coverage.joint_file import JointFile
from dossier.coverage.view import View, project_basis
from dossier.records.construction import Coating
from dossier.records.verdicts import HOLD, NONCONFORMITY, Evidence, Finding, Range, Reason, worst

NAME = "sequence-of-work"


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
            "Expose the joint, examine and test what was missed, and coat it again.",
        )


def _proof(file: JointFile) -> tuple[Evidence, ...]:
    return (
        *(proof for coating in file.coatings for proof in paper(coating)),
        *(proof for lowering in file.lowerings for proof in paper(lowering)),
        *(proof for report in file.examinations for proof in at(report, "examined_at")),
    )


def _reasons(seen: View, file: JointFile) -> Iterator[Reason]:
    coated = min((c.coated_at for c in file.coatings if c.coated_at), default=None)
    lowered = min((row.lowered_at for row in file.lowerings if row.lowered_at), default=None)
    yield from _after(seen, "coated", coated, cleared_at(seen, file), "accepted")
    if not coated:
        yield from _after(seen, "lowered", lowered, cleared_at(seen, file), "accepted")
    yield from _after_if_known(seen, "coated", coated, finished_at(file), "finished")
    for coating in file.coatings:
        yield from _holiday(seen, coating, lowered)
    if lowered and not file.coatings:
        basis = project_basis(seen, "field coating")
        yield Reason("coating", "no record before lowering", "on record", basis, HOLD)
    yield from _after_if_known(seen, "lowered", lowered, coated, "coated")


def _after(
    seen: View, step: str, moment: datetime | None, before: datetime | None, what: str
) -> Iterator[Reason]:
    """A step that must follow another; it is broken too when the other never happened."""
    if moment is None or (before is not None and moment >= before):
        return
    basis = project_basis(seen, "order of work")
    when = f"{before:%Y-%m-%d %H:%M}" if before else "not yet"
    yield Reason(step, f"{moment:%Y-%m-%d %H:%M}", f"after {what}: {when}", basis, NONCONFORMITY)


def _after_if_known(
    seen: View, step: str, moment: datetime | None, before: datetime | None, what: str
) -> Iterator[Reason]:
    if before is not None:
        yield from _after(seen, step, moment, before, what)


def _holiday(seen: View, coating: Coating, lowered: datetime | None) -> Iterator[Reason]:
    basis = project_basis(seen, "holiday test")
    tested = coating.holiday_tested_at
    yield from _after(seen, "lowered", lowered, tested, "holiday test")
    if tested is None:
        return
    if (coating.holidays_found or 0) > (coating.holidays_repaired or 0):
        found = f"{coating.holidays_found} found, {coating.holidays_repaired or 0} repaired"
        yield Reason("holidays", found, "all repaired", basis, NONCONFORMITY)
    rules = seen.project.settings.requirements
    if rules.holiday_kv is None and rules.holiday_rule and coating.thickness_mm is None:
        wanted = f"recorded, as rule {rules.holiday_rule} needs it"
        yield Reason("coating thickness", "not recorded", wanted, basis, HOLD)
    least = _least_kv(seen, coating)
    if least is not None and (coating.holiday_kv is None or coating.holiday_kv < least):
        limit = Range(least, float("inf"), basis, "kV")
        reason = limit.judge("holiday test voltage", coating.holiday_kv)
        if reason.verdict:
            yield reason


def _least_kv(seen: View, coating: Coating) -> float | None:
    rules = seen.project.settings.requirements
    if rules.holiday_kv is not None:
        return rules.holiday_kv
    if rules.holiday_rule and coating.thickness_mm is not None:
        return round(holiday_test_voltage_v(coating.thickness_mm, rules.holiday_rule) / 1000, 1)
    return None
