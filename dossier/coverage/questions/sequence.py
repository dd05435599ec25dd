"""What was done before its time, and what was conceded."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, datetime

from dossier.coverage.acceptance import cleared_at
from dossier.coverage.joint_file import JointFile
from dossier.coverage.questions.face import (
    ALL_CHECKS,
    Answer,
    Given,
    Question,
    on_record,
    page,
    table,
    wanted,
    where,
)
from dossier.coverage.questions.joints import files
from dossier.coverage.view import View
from dossier.records.papers import Concession
from dossier.records.verdicts import Finding

Row = tuple[object, ...]


def too_early(seen: View, found: Sequence[Finding], given: Given) -> Answer:
    """Joints that were coated, lowered, buried or tested before they were accepted."""
    del found
    rows = []
    for file in files(seen, given):
        if file.joint.status != "welded":
            continue
        free = cleared_at(seen, file)
        for step, moment, place in _steps(seen, file):
            if moment is not None and (free is None or moment < free):
                rows.append((file.number, step, moment, free or "not yet", place))
    return table(("joint", "step", "done", "accepted", "read from"), rows,
                 "Compared with the moment of the last needed examination that was accepted, not "
                 "with the day of its report.")  # fmt: skip


def _steps(seen: View, file: JointFile) -> Iterator[tuple[str, datetime | None, str]]:
    for c in file.coatings:
        yield "coated", c.coated_at, where(c, "coated_at")
    for low in file.lowerings:
        yield "lowered", low.lowered_at, where(low, "lowered_at")
        yield "backfilled", low.backfilled_at, where(low, "backfilled_at")
    for test in seen.known.tests_of(file.joint):
        yield f"pressure test {test.number}", test.started_at, where(test, "started_at")


def concessions(seen: View, found: Sequence[Finding], given: Given) -> Answer:
    """Each concession with the findings that it answers, who signed it, before or after."""
    listed = {c.number: c for c in seen.project.concessions}
    if "concession" in given:
        on_record("concession", given["concession"], listed)
    rows: list[Row] = []
    for c in seen.project.concessions:
        if not wanted(given, concession=c.number):
            continue
        answered = [f for f in found if f.conceded_by == c.number]
        rows += [_answered(seen, c, f) for f in answered]
        if not answered:
            rows.append((c.number, "answers no finding", "", "", c.approver, c.signed_on, "",
                         where(c), page(c.document)))  # fmt: skip
    left = sum(not f.conceded_by and f.verdict > 1 for f in found)
    return table(
        ("concession", "finding", "verdict", "told", "approver", "signed", "against the welding",
         "read from", "page"), rows, f"{left} findings of hold or worse are answered by none.",
    )  # fmt: skip


def _answered(seen: View, concession: Concession, finding: Finding) -> Row:
    joints = seen.known.joints.get(finding.about("joint"), [])
    welded = joints[0].welded_on if joints else None
    return (concession.number, finding.id, str(finding.verdict), finding.sentence,
            concession.approver, concession.signed_on, _order(concession.signed_on, welded),
            where(concession), page(concession.document))  # fmt: skip


def _order(signed: date | None, welded: date | None) -> str:
    if signed is None or welded is None:
        return "not known"
    return "before" if signed < welded else "the same day" if signed == welded else "after"


QUESTIONS = (
    Question("too-early", "Was any joint coated, lowered, buried or tested before acceptance?",
             too_early, takes=("joint", "line")),
    Question("concessions", "Which concession answers which finding, signed by whom, before or "
             "after the welding?", concessions, takes=("concession",), checks=(ALL_CHECKS,)),
)  # fmt: skip
