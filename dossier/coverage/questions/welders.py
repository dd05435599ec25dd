"""What a welder did, and whether the time that a certificate is good for was ever overrun."""

from __future__ import annotations

from collections.abc import Sequence

from dossier.coverage.continuity import Timeline, timeline
from dossier.coverage.joint_file import joint_file
from dossier.coverage.questions.face import (
    Answer,
    Given,
    Question,
    between,
    on_record,
    table,
    wanted,
    where,
)
from dossier.coverage.questions.joints import held
from dossier.coverage.view import View
from dossier.coverage.work import work_of
from dossier.records.verdicts import Finding
from dossier.units import counted

Row = tuple[object, ...]
GAP = "gap"


def welder(seen: View, found: Sequence[Finding], given: Given) -> Answer:
    """Every deposit of one welder in a time, with the certificate that covers it or why none."""
    del found
    stamp = on_record("welder", given["welder"], seen.known.welders)
    rows = []
    for joint in seen.project.joints:
        for work in work_of(seen, joint_file(seen, joint)):
            inside = any(between(given, day) for day in work.days or (None,))
            if work.welder == stamp and inside and wanted(given, process=work.weld.process):
                rows.append(_best(list(held(seen, work))))
    outside = sum(row[7] is not True or row[8] is not True for row in rows)
    joints = len({row[0] for row in rows})
    return table(
        ("joint", "welder", "name", "process", "deposit mm", "days", "certificate", "covers",
         "in force", "why not", "read from"), rows,
        f"{counted(len(rows), 'deposit')} in {counted(joints, 'joint')}, {outside} without a "
        "certificate that covers it and was in force.",
    )  # fmt: skip


def _best(rows: list[Row]) -> Row:
    """The certificate that serves, else the one that says most about why none does."""
    return max(rows, key=lambda row: (row[7] is True, row[8] is True))


def clock(seen: View, found: Sequence[Finding], given: Given) -> Answer:
    """What kept each certificate of a welder in force, event by event, and any gap between."""
    del found
    stamp = on_record("welder", given["welder"], seen.known.welders)
    rows = [
        (stamp, certificate.number, certificate.processes, *row)
        for person in seen.known.welders[stamp]
        for certificate in person.certificates
        if "process" not in given or given["process"] in certificate.processes.split("/")
        for row in _events(timeline(seen, person, certificate))
    ]
    gaps = sum(row[5] == GAP for row in rows)
    return table(
        ("welder", "certificate", "process", "from", "until", "what", "told", "read from"), rows,
        f"By the rule of the code under which each certificate was tested, to {seen.as_of}. "
        f"{gaps} gaps.",
    )  # fmt: skip


def _events(line: Timeline) -> list[Row]:
    certificate = line.certificate
    place = where(certificate)
    rows: list[Row] = [(certificate.welded_on, None, "test piece welded", certificate.wps, place)]
    rows += [(bar.since, bar.until, "in force", "", place) for bar in line.bars]
    rows += [(gap.since, gap.until, GAP, "no proof in time", place) for gap in line.gaps]
    for one in line.confirmations:
        what = "renewal test" if one.renewal else "confirmation"
        told = f"{one.by}, joint {one.joint}" if one.joint else one.by
        rows.append((one.signed_on, None, what, told, place))
    if certificate.ended_on:
        rows.append((certificate.ended_on, None, "ended", "", place))
    return sorted(rows, key=lambda row: (str(row[0]), str(row[2])))


QUESTIONS = (
    Question("welder", "Which joints did a welder weld in a time, and was any outside his range?",
             welder, ("welder",), ("since", "until", "day", "process")),
    Question("clock", "Was the time within which a welder's certificate must be confirmed ever "
             "overrun?", clock, ("welder",), ("process",)),
)  # fmt: skip
