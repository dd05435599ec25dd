"""Welder certificates that end soon unless somebody signs: what is due, for whom, by when."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from dossier.coverage.view import View
from dossier.documents.answers import Answers
from dossier.documents.sheet import Row, Table, coded, columns, day, row, table
from dossier.records.verdicts import CLEAR, HOLD, worst
from dossier.records.welders import Certificate

AHEAD = timedelta(days=60)
_URGENT = timedelta(days=14)


def lapses(seen: View, answers: Answers, ahead: timedelta = AHEAD) -> Table:
    """Certificates in force whose last day lies within the time ahead, soonest first."""
    heads = columns(
        ("Stamp", 6), ("Name", 14), ("Certificate", 11), ("Code", 15), ("Process", 8),
        ("Last day", 9), ("Days left", 7, "right"), ("Needed to go on", 30),
    )  # fmt: skip
    rows = [line for _, line in sorted(_due(seen, answers, ahead), key=lambda pair: pair[0])]
    last = day(seen.as_of + ahead)
    note = f"Certificates in force on {day(seen.as_of)} whose last day is not after {last}."
    return table(f"Lapses ahead, next {ahead.days} days", heads, rows, note)


def _due(
    seen: View, answers: Answers, ahead: timedelta
) -> Iterator[tuple[tuple[date, str, str], Row]]:
    for welder in seen.project.welders:
        for certificate in welder.certificates:
            if certificate.result != "passed" or certificate.ended_on is not None:
                continue
            until = answers.valid_until(certificate)
            left = until - seen.as_of
            in_force = worst(answers.in_force(certificate, seen.as_of)) <= HOLD
            if not in_force or not timedelta(0) <= left <= ahead:
                continue
            cells = [welder.stamp, welder.name, certificate.number, coded(certificate.code),
                     certificate.processes, day(until), str(left.days),
                     needed(certificate, answers, until)]  # fmt: skip
            mark = "bad" if left <= _URGENT else "soon"
            yield (
                (until, welder.stamp, certificate.number),
                row(cells, ["", "", "", "", "", mark, "", ""]),
            )


def needed(certificate: Certificate, answers: Answers, until: date) -> str:
    """What the code misses on the day after the last day, in words."""
    reasons = answers.in_force(certificate, until + timedelta(days=1))
    missed = [r for r in reasons if r.verdict > CLEAR]
    return "; ".join(f"{r.variable}: {r.permitted} ({r.basis.clause})" for r in missed)
