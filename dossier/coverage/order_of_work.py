"""Whether a joint was surely welded, examined, accepted, coated and lowered in order.

Most joints are plain: never repaired, every report accepted and later than the weld, every step
later than the one before it. That is told here quickly, and on the strict side. For any other
joint the checks themselves ask and say why: the question answers only "surely in order" or "ask".
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from dossier.calc.coating import holiday_test_voltage_v
from dossier.coverage.acceptance import Needed, needed
from dossier.coverage.joint_file import JointFile
from dossier.coverage.view import View, stamps_of
from dossier.records.construction import Coating, Lowering
from dossier.records.examinations import Examination

_ROUNDING_H = 0.01  # the delay is judged on hours rounded to two places


def done_in_order(seen: View, file: JointFile) -> bool:
    """Whether each step was surely sound, complete, and after all that must come before it."""
    finished = file.joint.finished_at
    if finished is None or file.repairs:
        return False
    try:
        if not (_welded(file, finished) and _examined(seen, file, finished)):
            return False
        accepted = _accepted_at(file.examinations, needed(seen, file))
        return accepted is not None and _built(seen, file, accepted)
    except TypeError:  # a day, a time or a reading is missing: compared with None it raises this
        return False


def _welded(file: JointFile, finished: datetime) -> bool:
    """Passes in turn, each ended after it began and before completion, on the day of welding."""
    begun: dict[str, datetime | None] = {}  # by side
    for made in file.passes:
        start, side = made.started_at, made.side
        if not start <= made.finished_at <= finished or start < begun.get(side, start):  # type: ignore[operator]
            return False
        begun[side] = start
    welded_on, last = file.joint.welded_on, finished.date()
    first = file.passes[0].started_at.date() if file.passes else last  # type: ignore[union-attr]
    return first <= welded_on <= last  # type: ignore[operator]


def _examined(seen: View, file: JointFile, finished: datetime) -> bool:
    """Visually and otherwise after the weld, with the delay, accepted, by none of its welders."""
    rules = seen.project.settings.requirements
    delay_h, delayed = rules.examination_delay_h, rules.delay_applies_to
    stamps = {made.welder for made in file.passes}
    visually = False
    for report in file.examinations:
        examined, method = report.examined_at, report.method
        if report.result != "accepted" or report.indications or examined < finished:  # type: ignore[operator]
            return False
        if not stamps.isdisjoint(stamps_of(seen, report.examiner)):
            return False
        if delay_h is not None and method in delayed:
            hours = (examined - finished).total_seconds() / 3600  # type: ignore[operator]
            if hours < delay_h + _ROUNDING_H:
                return False
        if not _on_paper(report):
            return False
        visually = visually or method == "VT"
    return visually


def _on_paper(report: Examination) -> bool:
    """Requested, examined and reported in this order, as far as the days are recorded."""
    requested, reported = report.requested_on, report.reported_on
    if requested is None and reported is None:
        return True
    examined = report.examined_at.date()  # type: ignore[union-attr]
    return (requested or examined) <= examined <= (reported or examined)


def _accepted_at(reports: list[Examination], needs: Iterable[Needed]) -> datetime | None:
    """When the last of the needed examinations was made, all reports being accepted."""
    latest: datetime | None = None
    for need in needs:
        for report in reports:
            if report.method in need.methods and (report.extent_percent or 0.0) >= need.percent:
                break
        else:
            return None
        if latest is None or report.examined_at > latest:  # type: ignore[operator]
            latest = report.examined_at
    return latest


def _built(seen: View, file: JointFile, accepted: datetime) -> bool:
    """Coated, holiday tested, lowered, covered and pressure tested after acceptance."""
    ready = accepted
    for coating in file.coatings:
        if coating.coated_at < accepted or coating.result == "rejected":  # type: ignore[operator]
            return False
        if not _tested(seen, coating):
            return False
        for step in (coating.coated_at, coating.holiday_tested_at) if file.lowerings else ():
            ready = step if step > ready else ready  # type: ignore[operator,assignment]
    for row in file.lowerings:
        if not file.coatings or row.lowered_at < ready or not _covered(seen, row):  # type: ignore[operator]
            return False
    tests = seen.known.tests_of(file.joint)
    return all(test.started_at is None or test.started_at >= accepted for test in tests)


def _tested(seen: View, coating: Coating) -> bool:
    """The holiday test, where there is one: of the coat, with enough voltage, nothing left."""
    if coating.holiday_tested_at is None:
        return True
    if coating.holiday_tested_at < coating.coated_at:  # type: ignore[operator]
        return False
    if coating.holidays_found > (coating.holidays_repaired or 0):  # type: ignore[operator]
        return False
    least = least_holiday_kv(seen, coating)
    if least is None:
        return not seen.project.settings.requirements.holiday_rule
    return coating.holiday_kv is not None and coating.holiday_kv >= least


def least_holiday_kv(seen: View, coating: Coating) -> float | None:
    """The least voltage of the holiday test, kV: the project's own, else by the named rule.

    None where neither asks for one, and where the rule needs a thickness that is not recorded.
    """
    rules = seen.project.settings.requirements
    if rules.holiday_kv is not None:
        return rules.holiday_kv
    if rules.holiday_rule and coating.thickness_mm is not None:
        return round(holiday_test_voltage_v(coating.thickness_mm, rules.holiday_rule) / 1000, 1)
    return None


def _covered(seen: View, row: Lowering) -> bool:
    """Deep enough by the project's own cover, and not filled before it was lowered."""
    rules = seen.project.settings.requirements
    if rules.cover_min_m is None and rules.cover_rule:
        return False  # the rule asks after the place
    if rules.cover_min_m is not None and not row.cover_m >= rules.cover_min_m:  # type: ignore[operator]
        return False
    return row.backfilled_at is None or row.backfilled_at >= row.lowered_at  # type: ignore[operator]
