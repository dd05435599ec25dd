"""How long joints took from stage to stage, and how long those wait that have not gone on."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from statistics import median

from dossier.coverage.acceptance import cleared_at, finished_at
from dossier.coverage.as_of import day_of
from dossier.coverage.joint_file import JointFile, joint_file
from dossier.coverage.view import View
from dossier.documents.figures.shares import Part
from dossier.documents.sheet import Figure, columns, row, table
from dossier.drawings.age_chart import Age, age_chart

Moment = date | datetime | None


@dataclass(frozen=True, slots=True)
class Wait:
    """One joint between two stages: the day the first was done, and the second if it was."""

    stage: str
    since: date
    until: date | None


STAGES = ("welded to examined", "examined to reported", "rejected to repaired",
          "repaired to examined", "accepted to coated", "coated to holiday test",
          "coated to lowered", "lowered to backfilled")  # fmt: skip


def ages(seen: View) -> Part:
    """One row a stage: how many went on and in how many days, how many wait and for how long."""
    heads = columns(
        ("Stage", 24), ("Gone on", 10, "right"), ("Median days", 12, "right"),
        ("Longest days", 12, "right"), ("Waiting", 10, "right"),
        ("Median days waiting", 16, "right"),
        ("Oldest days waiting", 16, "right"),
    )  # fmt: skip
    waits = [w for file in _files(seen) for w in _waits(seen, file)]
    rows, bars = [], []
    for stage in STAGES:
        own = [w for w in waits if w.stage == stage]
        took = [(w.until - w.since).days for w in own if w.until is not None]
        left = [(seen.as_of - w.since).days for w in own if w.until is None]
        rows.append(row([stage, str(len(took)), *_told(took), str(len(left)), *_told(left)]))
        if left:
            bars.append(Age(stage, median(left), max(left), f"{len(left)} waiting"))
    title = "Age by stage"
    note = (
        f"Days, counted to {seen.as_of}. A joint waits when the first event is on record and the "
        "second is not; one that was cut out waits for nothing."
    )
    svg = age_chart(title, bars) if bars else ""
    return table(title, heads, rows, note), Figure(svg=svg, note="")


def _told(days: Sequence[int]) -> list[str]:
    return [f"{median(days):g}", str(max(days))] if days else ["", ""]


def _files(seen: View) -> Iterator[JointFile]:
    for joints in seen.known.joints.values():
        if joints[0].status == "welded":
            yield joint_file(seen, joints[0])


def _waits(seen: View, file: JointFile) -> Iterator[Wait]:
    volumetric = [e for e in file.examinations if e.method in ("RT", "UT")]
    first = min((e.examined_at for e in volumetric if e.examined_at), default=None)
    coated = min((c.coated_at for c in file.coatings if c.coated_at), default=None)
    tested = min((c.holiday_tested_at for c in file.coatings if c.holiday_tested_at), default=None)
    lowered = min((x.lowered_at for x in file.lowerings if x.lowered_at), default=None)
    filled = min((x.backfilled_at for x in file.lowerings if x.backfilled_at), default=None)
    welded = finished_at(file) or file.joint.welded_on
    pairs: list[tuple[str, Moment, Moment]] = [(STAGES[0], welded, first)]
    pairs += [(STAGES[1], e.examined_at, e.reported_on) for e in volumetric]
    pairs += list(_repaired(file))
    pairs += [
        (STAGES[4], cleared_at(seen, file), coated),
        (STAGES[5], coated, tested),
        (STAGES[6], coated, lowered),
        (STAGES[7], lowered, filled),
    ]
    for stage, since, until in pairs:
        start, end = day_of(since), day_of(until)
        if start is not None and (end is None or end >= start):
            yield Wait(stage, start, end)


def _repaired(file: JointFile) -> Iterator[tuple[str, Moment, Moment]]:
    reports = {e.report: e for e in file.examinations}
    asked = {r.examination: r for r in file.repairs}
    for e in file.examinations:
        if e.result == "rejected" and e.method in ("RT", "UT"):
            repair = asked.get(e.report)
            yield STAGES[2], e.examined_at, repair.repaired_at if repair else None
    for r in file.repairs:
        after = reports.get(r.examined_by)
        yield STAGES[3], r.repaired_at, after.examined_at if after else None
