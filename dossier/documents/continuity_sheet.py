"""The clocks of the welders: times in force, confirmations, joints, breaks and lapses ahead."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from itertools import groupby
from typing import TypedDict

from dossier.coverage.continuity import Bar, Timeline, timeline
from dossier.coverage.view import View
from dossier.documents.answers import Answers
from dossier.documents.certificate_sheet import chart
from dossier.documents.lapses import lapses
from dossier.documents.sheet import Figure, Head, Row, Table, columns, day, head, row, table
from dossier.records.welders import Certificate, Welder

LANES = 12  # certificates on one chart


class Continuity(TypedDict):
    """All data of the continuity sheet."""

    head: Head
    charts: list[Figure]
    breaks: Table
    lapses: Table


def context(seen: View, answers: Answers, number: str) -> Continuity:
    """Plain data of the continuity sheet as of the day of the view."""
    told = [(welder, timeline(seen, welder, held)) for welder, held in held_by(seen)]
    return Continuity(
        head=head(seen, number=number, title="Welder continuity"),
        charts=[
            chart("Certificates in time", told[start : start + LANES], seen)
            for start in range(0, len(told), LANES)
        ],
        breaks=_breaks([one for _, one in told]),
        lapses=lapses(seen, answers),
    )


def held_by(seen: View) -> Iterator[tuple[Welder, Certificate]]:
    """Every passed certificate with its holder, by stamp and day of the test."""
    for welder in sorted(seen.project.welders, key=lambda w: (w.stamp, w.since or date.min)):
        for held in sorted(welder.certificates, key=lambda c: (c.welded_on, c.number)):
            if held.result == "passed":
                yield welder, held


def _breaks(told: list[Timeline]) -> Table:
    heads = columns(
        ("Stamp", 7), ("Certificate", 13), ("Process", 10), ("Not in force from", 13), ("To", 11),
        ("Days", 7, "right"), ("Joints with the process meanwhile", 39),
    )  # fmt: skip
    rows = [_break(one, gap) for one in told for gap in one.gaps]
    note = (
        "Another certificate may cover the joints named: the cross-check report decides, this "
        "table only shows where to look."
    )
    return table("Breaks", heads, rows, note)


def _break(told: Timeline, gap: Bar) -> Row:
    until = gap.until or gap.since
    joints = sorted({use.joint for use in told.joints if gap.since <= use.day <= until})
    return row(
        [told.stamp, told.certificate.number, told.certificate.processes, day(gap.since),
         day(until), str((until - gap.since).days + 1), _runs(joints) or "none"],
        ["", "", "", "", "", "", "hold" if joints else ""],
    )  # fmt: skip


def _runs(joints: list[str]) -> str:
    """Joint numbers, neighbours of one series drawn together ("ML-001 to ML-004")."""
    told = []
    for _, group in groupby(enumerate(joints), key=lambda pair: _step(pair[1], pair[0])):
        names = [name for _, name in group]
        told.append(names[0] if len(names) < 3 else f"{names[0]} to {names[-1]}")
        if len(names) == 2:
            told.append(names[1])
    return ", ".join(told)


def _step(name: str, place: int) -> tuple[str, int]:
    """Equal for neighbours: the letters, and the number less its place in the list."""
    series = name.rstrip("0123456789")
    figures = name[len(series) :]
    return (series, int(figures) - place) if figures else (name, place)
