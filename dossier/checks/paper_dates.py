"""Do the days and times written about a joint follow each other as they must?"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, datetime

from dossier.coverage.acceptance import finished_at, last_passes
from dossier.coverage.as_of import day_of
from dossier.coverage.evidence import at
from dossier.coverage.joint_file import JointFile
from dossier.coverage.view import View, project_basis
from dossier.records.base import Record
from dossier.records.examinations import Examination
from dossier.records.joints import Pass
from dossier.records.verdicts import HOLD, Basis, Evidence, Finding, Reason

NAME = "paper-dates"
BLANK = "not recorded"
Told = tuple[Reason, tuple[Evidence, ...]]


def check(seen: View, file: JointFile) -> Iterator[Finding]:
    """One finding per joint whose times contradict each other.

    Visual examination and the methods that wait for a delay are timed by their own checks.
    """
    basis = project_basis(seen, "order of dates")
    told = (
        *_day_of_welding(seen, file, basis),
        *_welding(file, basis),
        *_turn(file, basis),
        *(one for report in file.examinations for one in _report(seen, file, report, basis)),
        *_repairs(file, basis),
    )
    if told:
        reasons = tuple(reason for reason, _ in told)
        yield Finding(
            NAME,
            HOLD,
            (("joint", file.number),),
            " ".join(_sentences(file.number, reasons)),
            reasons,
            tuple(dict.fromkeys(proof for _, proofs in told for proof in proofs)),
            "Establish the true dates from the papers and correct the entry.",
        )


def _sentences(number: str, reasons: Sequence[Reason]) -> Iterator[str]:
    crossed = [f"{r.variable} {r.found}, not {r.permitted}" for r in reasons if r.found != BLANK]
    blank = [r.variable for r in reasons if r.found == BLANK]
    if crossed:
        yield f"The dates of joint {number} contradict each other: {'; '.join(crossed)}."
    if blank:
        yield f"Not recorded of joint {number}: {', '.join(blank)}."


def _after(name: str, later: object, earlier: object, basis: Basis) -> Reason:
    return Reason(name, _shown(later), f"from {_shown(earlier)}", basis, HOLD)


def _shown(moment: object) -> str:
    if isinstance(moment, datetime):
        return f"{moment:%Y-%m-%d %H:%M}"
    return str(moment)


def _day_of_welding(seen: View, file: JointFile, basis: Basis) -> Iterator[Told]:
    """The day of welding blank, or not among the days of the passes.

    Passes without a day may have been made on any: only what they cannot change is told. Of a
    number that stands twice, passes in another row than the joint's may be those of the other.
    """
    name, welded_on = "day of welding", file.joint.welded_on
    if welded_on is None:
        yield Reason(name, BLANK, "recorded", basis, HOLD), at(file.joint, "welded_on")
        return
    twice = len(seen.known.joints.get(file.number, ())) > 1
    if twice and any(_row_of(made) != _row_of(file.joint) for made in file.passes):
        return
    moments = [(made.started_at, made.finished_at) for made in file.passes]
    days = [moment.date() for pair in moments for moment in pair if moment]
    done = day_of(file.joint.finished_at)
    all_dated = all(start or end for start, end in moments)
    first = min(days, default=date.min) if all_dated else date.min
    known = [*days, done] if done else days
    last = max(known) if known and (done or all_dated) else date.max
    if not first <= welded_on <= last:
        wanted = f"from {first}" if welded_on < first else f"by {last}"
        proofs = (*at(file.joint, "welded_on"), *_days_read(file))
        yield Reason(name, str(welded_on), wanted, basis, HOLD), proofs


def _row_of(record: Record) -> tuple[str, str, int]:
    return record.origin.file, record.origin.sheet, record.origin.line


def _days_read(file: JointFile) -> Iterator[Evidence]:
    if file.joint.finished_at:
        yield from at(file.joint, "finished_at")
    for made in file.passes:
        name = next((n for n in ("finished_at", "started_at") if getattr(made, n)), "")
        yield from at(made, name) if name else ()


def _welding(file: JointFile, basis: Basis) -> Iterator[Told]:
    done = file.joint.finished_at
    for made in file.passes:
        start, end = made.started_at, made.finished_at
        if start and end and end < start:
            reason = _after(f"end of pass {made.number}", end, start, basis)
            yield reason, at(made, "started_at", "finished_at")
        if done and end and done < end:
            reason = _after("completion", done, end, basis)
            yield reason, (*at(file.joint, "finished_at"), *at(made, "finished_at"))
    if finished_at(file) is None and any(made.finished_at for made in file.passes):
        open_ended = [made for made in last_passes(file) if made.finished_at is None]
        reason = Reason(f"end of pass {open_ended[0].number}", BLANK, "recorded", basis, HOLD)
        yield reason, tuple(proof for made in open_ended for proof in at(made, "finished_at"))


def _turn(file: JointFile, basis: Basis) -> Iterator[Told]:
    """A pass that began before the one under it, by the same welder on the same side, did."""
    laid: dict[tuple[str, str], Pass] = {}  # the last pass: of its parts the first begun
    begun = [made for made in file.passes if made.started_at]
    for made in sorted(begun, key=lambda one: (one.number, one.started_at)):
        own = (made.side, made.welder)
        before = laid.get(own)
        if before is not None and before.number == made.number:
            continue
        if before and made.started_at < before.started_at:  # type: ignore[operator]
            name = f"start of pass {made.number}"
            reason = _after(name, made.started_at, before.started_at, basis)
            yield reason, (*at(made, "started_at"), *at(before, "started_at"))
        laid[own] = made


def _report(seen: View, file: JointFile, report: Examination, basis: Basis) -> Iterator[Told]:
    examined: date | None = day_of(report.examined_at)
    name = report.report
    if examined and report.reported_on and report.reported_on < examined:
        reason = _after(f"report {name}", report.reported_on, examined, basis)
        yield reason, at(report, "reported_on", "examined_at")
    if examined and report.requested_on and examined < report.requested_on:
        reason = _after(f"examination {name}", examined, report.requested_on, basis)
        yield reason, at(report, "requested_on", "examined_at")
    rules = seen.project.settings.requirements
    delayed = rules.examination_delay_h is not None and report.method in rules.delay_applies_to
    welded = finished_at(file)
    moment = report.examined_at
    timed = report.method != "VT" and not delayed
    if timed and moment and welded and moment < welded:
        reason = _after(f"examination {name}", moment, welded, basis)
        yield reason, (*at(report, "examined_at"), *at(file.joint, "finished_at"))


def _repairs(file: JointFile, basis: Basis) -> Iterator[Told]:
    rejections = {report.report: report for report in file.examinations}
    for repair in file.repairs:
        asked = rejections.get(repair.examination)
        if asked is None or not asked.examined_at or not repair.repaired_at:
            continue
        if repair.repaired_at < asked.examined_at:
            reason = _after(f"repair {repair.number}", repair.repaired_at, asked.examined_at, basis)
            yield reason, (*at(repair, "repaired_at"), *at(asked, "examined_at"))
