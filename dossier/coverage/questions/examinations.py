"""What was examined, by whom, when, and what came of it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from datetime import date

from dossier.coverage.acceptance import accepted, last_welding, needed, welding_before
from dossier.coverage.as_of import day_of
from dossier.coverage.joint_file import JointFile
from dossier.coverage.questions.face import (
    Answer,
    Given,
    Question,
    between,
    page,
    table,
    wanted,
    where,
    words,
)
from dossier.coverage.questions.joints import files
from dossier.coverage.shares import shares
from dossier.coverage.view import View
from dossier.errors import InputError
from dossier.records.examinations import Examination
from dossier.records.verdicts import CLEAR, Finding
from dossier.units import counted

Row = tuple[object, ...]
VOLUMETRIC = ("RT", "UT")


def not_accepted(seen: View, found: Sequence[Finding], given: Given) -> Answer:
    """Joints that lack an accepted examination, why, and for how many days."""
    del found
    rows = []
    for file in files(seen, given):
        if file.joint.status != "welded":
            continue
        for need in needed(seen, file):
            if accepted(file, need) is None:
                welded = file.joint.welded_on
                age = (seen.as_of - welded).days if welded else None
                rows.append((file.number, file.joint.line, need.title, f"{need.percent:g} %",
                             _why(file, need.methods), welded, age, where(file.joint)))  # fmt: skip
    rows.sort(key=lambda row: (-(row[6] or 0), row[0]))
    return table(("joint", "line", "owed", "extent", "why", "welded", "days", "read from"), rows,
                 "Oldest first.")  # fmt: skip


def _why(file: JointFile, methods: Sequence[str]) -> str:
    reports = [e for e in file.examinations if e.method in methods]
    if not reports:
        return "no report"
    last = max(reports, key=lambda e: str(e.examined_at))
    welded = last_welding(file)
    if last.result == "accepted" and welded and last.examined_at and last.examined_at < welded:
        return f"last: {last.report}, older than the last welding of {words(welded)}"
    extent = "" if last.extent_percent is None else f", {last.extent_percent:g} %"
    return f"last: {last.report}, {last.result or 'not yet read'}{extent}"


_BY = ("day", "line", "kind", "welder", "law")


def share(seen: View, found: Sequence[Finding], given: Given) -> Answer:
    """The share of welds examined by radiography or ultrasound, of each day, line or welder."""
    del found
    by = given.get("by", "day")
    if by not in _BY:
        raise InputError("by", found=by, expected=" or ".join(_BY))
    if by == "law":
        return _by_law(seen, given)
    made: dict[str, list[JointFile]] = defaultdict(list)
    for file in files(seen, {k: v for k, v in given.items() if k in ("line",)}):
        inside = file.joint.status in ("welded", "cut out") and between(given, file.joint.welded_on)
        for name in _groups(file, by) if inside else ():
            made[name].append(file)
    rows = [(name, *_share(group)) for name, group in sorted(made.items())]
    asked = "; ".join(
        f"{line.id} {line.examination_percent:g} % of the joints"
        for line in seen.project.lines if line.examination_percent is not None
    )  # fmt: skip
    return table(
        (by, "welds", "examined in full", "examined in part", "share in full %", "rejected first",
         "not examined"), rows,
        f"In full: over 100 % of the circumference. Asked of the lines: {asked or 'no share'}.",
    )  # fmt: skip


def _by_law(seen: View, given: Given) -> Answer:
    """What the regulation of each line asks of a day's welds, zone by zone, welder by welder."""
    rows = [
        (s.line, s.day, s.kind, s.name, s.reason.found, s.reason.permitted, str(s.reason.verdict),
         str(s.reason.basis), " ".join(w.joint for w in s.welds if not w.examined))
        for s in shares(seen)
        if wanted(given, line=s.line) and between(given, s.day)
    ]  # fmt: skip
    short = sum(row[6] != str(CLEAR) for row in rows)
    return table(
        ("line", "day", "counted by", "of", "examined", "permitted", "verdict", "basis",
         "not examined"), rows,
        f"{short} of {len(rows)} short. Lines that fall under no regulation are not counted.",
    )  # fmt: skip


def _groups(file: JointFile, by: str) -> list[str]:
    if by == "welder":
        return sorted({made.welder for made in file.passes})
    values = {"day": str(file.joint.welded_on or "no date"), "line": file.joint.line,
              "kind": file.joint.kind}  # fmt: skip
    return [values[by]]


def _share(group: Sequence[JointFile]) -> Row:
    full = part = rejected = 0
    without = []
    for file in group:
        reports = [e for e in file.examinations if e.method in VOLUMETRIC and e.result]
        extent = max((e.extent_percent or 0.0 for e in reports), default=0.0)
        full += extent >= 100
        part += bool(reports) and extent < 100
        first = min(reports, key=lambda e: str(e.examined_at), default=None)
        rejected += first is not None and first.result == "rejected"
        if not reports:
            without.append(file.number)
    return (len(group), full, part, f"{100 * full / len(group):.1f}", rejected,
            " ".join(without))  # fmt: skip


def examiners(seen: View, found: Sequence[Finding], given: Given) -> Answer:
    """Each report with the certificate that its examiner held for that method on that day."""
    del found
    rows = []
    for e in _reports(seen, given):
        person = seen.known.examiners.get(e.examiner)
        day = day_of(e.examined_at) or e.reported_on
        rows.append((e.report, e.joint, e.method, day, e.examiner or "blank",
                     *_certified(seen, e, day), where(e, "examiner"),
                     where(person) if person else "not on record"))  # fmt: skip
    return table(
        ("report", "joint", "method", "day", "examiner", "certificate", "level", "until",
         "last vision test", "valid that day", "read from", "examiner read from"), rows,
    )  # fmt: skip


def _reports(seen: View, given: Given) -> Iterator[Examination]:
    for e in seen.project.examinations:
        asked = wanted(given, examiner=e.examiner, method=e.method, joint=e.joint)
        if asked and between(given, day_of(e.examined_at) or e.reported_on):
            yield e


def _certified(seen: View, report: Examination, day: date | None) -> Row:
    person = seen.known.examiners.get(report.examiner)
    own = [c for c in person.certificates if c.method == report.method] if person else []
    if not own or day is None:
        return "none for this method", None, None, None, False
    level = seen.project.settings.requirements.examiner_level_min
    fit = [c for c in own if c.level >= level and (c.issued_on or day) <= day
           and c.expires_on is not None and day <= c.expires_on]  # fmt: skip
    best = max(fit or own, key=lambda c: (c.level, str(c.expires_on)))
    return best.number, best.level, best.expires_on, best.vision_on, bool(fit)


def delay(seen: View, found: Sequence[Finding], given: Given) -> Answer:
    """Hours from the end of welding to each examination, against the delay asked for."""
    del found
    rules = seen.project.settings.requirements
    least = rules.examination_delay_h
    rows = []
    for file in files(seen, given):
        for e in file.examinations:
            if e.method not in rules.delay_applies_to or not wanted(given, method=e.method):
                continue
            end = welding_before(file, e.examined_at) if e.examined_at else None
            hours = (e.examined_at - end).total_seconds() / 3600 if e.examined_at and end else None
            kept = None if least is None or hours is None else hours >= least
            rows.append((file.number, e.report, e.method, end, e.examined_at,
                         None if hours is None else f"{hours:.1f}", kept, where(e)))  # fmt: skip
    rows.sort(key=lambda row: (row[6] is True, row[6] is False, row[0]))
    asked = "The project asks for no delay" if least is None else f"Asked for: {least:g} h"
    return table(("joint", "report", "method", "welding ended", "examined", "hours", "kept",
                  "read from"), rows, f"{asked}. What is not known comes first, then what was not "
                 "kept.")  # fmt: skip


def repairs(seen: View, found: Sequence[Finding], given: Given) -> Answer:
    """Every repair as a chain: what asked for it, what was done, what proved it."""
    del found
    reports = {(e.joint, e.report): e for e in seen.project.examinations}
    rows = []
    for file in files(seen, given):
        for r in file.repairs:
            asked = reports.get((r.joint, r.examination))
            after = reports.get((r.joint, r.examined_by))
            rows.append((
                r.joint, r.number, r.order, r.defect, r.clock, r.length_mm,
                f"{r.examination} {asked.result if asked else 'not on record'}",
                f"{r.wps} rev. {r.wps_revision}", r.welder, r.repaired_at,
                f"{r.examined_by or '-'} {after.result if after else 'not on record'}",
                where(r), page(r.document),
            ))  # fmt: skip
    return table(
        ("joint", "repair", "times in this place", "defect", "clock", "length mm", "asked for by",
         "WPS", "welder", "repaired", "proved by", "read from", "page"), rows,
        f"{counted(len(rows), 'repair')} in {counted(len({row[0] for row in rows}), 'joint')}.",
    )  # fmt: skip


QUESTIONS = (
    Question("not-accepted", "Which joints have no accepted examination, why, and since when?",
             not_accepted, takes=("joint", "line")),
    Question("share", "Was the required share of welds examined, each day, line, kind and welder?",
             share, takes=("by", "line", "since", "until", "day")),
    Question("repairs", "Which repairs were made: defect, procedure, proof, how often in one "
             "place?", repairs, takes=("joint", "line")),
    Question("examiner", "Was each examiner certified for the method and level on that day?",
             examiners, takes=("examiner", "method", "joint", "since", "until", "day")),
    Question("delay", "Was the delay between welding and examination kept?",
             delay, takes=("joint", "line", "method")),
)  # fmt: skip
