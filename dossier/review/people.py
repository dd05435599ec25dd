"""Welders for the page: certificates with what they cover, times in force, and the matrix."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from typing import Any

from dossier.codes.face import DEPOSIT
from dossier.coverage.continuity import BY_WORK, Timeline, timeline
from dossier.coverage.view import View
from dossier.documents import welder_matrix
from dossier.documents.answers import Answers, answers_of
from dossier.documents.certificate_sheet import lane
from dossier.documents.sheet import coded, day
from dossier.errors import InputError
from dossier.records.verdicts import CLEAR, Reason
from dossier.records.weld import Weld
from dossier.records.welders import Certificate, Welder
from dossier.review.pack import plain_table

_MOST_REASONS = 20_000  # pairs of certificate and need; beyond them the page says only the letter


def people(seen: View) -> dict[str, Any]:
    """Welders with their timelines, the table of certificates and the coverage matrix."""
    answers = answers_of(seen.project)
    matrix = welder_matrix.context(seen, answers, "")
    ordered = sorted(seen.project.welders, key=lambda w: (w.stamp, w.since or date.min))
    return {
        "welders": [_welder(seen, one) for one in ordered],
        "certificates": plain_table(matrix["by_welder"]),
        "needs": plain_table(matrix["needs"]),
        "coverage": [plain_table(part) for part in matrix["by_need"]],
        "legend": matrix["legend"],
        "lapses": plain_table(matrix["lapses"]),
        "why": _why(ordered, answers, [need.weld for need in welder_matrix.joint_needs(seen)]),
    }


def _welder(seen: View, one: Welder) -> dict[str, Any]:
    return {
        "stamp": one.stamp,
        "name": one.name,
        "employer": one.employer,
        "since": day(one.since),
        "until": day(one.until),
        "read": str(one.origin),
        "lanes": [_lane(one, certificate, timeline(seen, one, certificate))
                  for certificate in one.certificates],
    }  # fmt: skip


def _lane(one: Welder, certificate: Certificate, told: Timeline) -> dict[str, Any]:
    """Bars, gaps, confirmations and days of work of one certificate, as its sheet shows them."""
    shown = lane(one, told)
    paper = certificate.document
    return {
        "certificate": certificate.number,
        "code": coded(certificate.code),
        "process": certificate.processes,
        "tested": day(certificate.welded_on),
        "read": str(certificate.origin),
        "document": [paper.document, paper.page] if paper else ["", 0],
        "bars": [[day(since), day(until)] for since, until in shown.bars],
        "gaps": [[day(since), day(until)] for since, until in shown.gaps],
        "work": [day(one) for one in shown.work],
        "ticks": [
            [day(c.signed_on), c.by, c.process or "all", c.joint,
             *([c.document.document, c.document.page] if c.document else ["", 0])]
            for c in told.confirmations if c.by != BY_WORK
        ],
    }  # fmt: skip


def _why(ordered: Sequence[Welder], answers: Answers, needs: Sequence[Weld]) -> list[list[str]]:
    """What each certificate lacks for each need: stamp, certificate, need, reason."""
    held = sum(len(one.certificates) for one in ordered)
    if held * len(needs) > _MOST_REASONS:
        return []
    return [
        [one.stamp, certificate.number, f"N{place}", told]
        for one in ordered
        for certificate in one.certificates
        for place, need in enumerate(needs, start=1)
        for told in _lacks(certificate, need, answers)
    ]


def _lacks(certificate: Certificate, need: Weld, answers: Answers) -> Iterator[str]:
    try:
        reasons = answers.covers(certificate, need)
    except InputError as error:
        yield str(error)
        return
    yield from (_told(r) for r in reasons if r.verdict > CLEAR and r.variable != DEPOSIT)


def _told(reason: Reason) -> str:
    return f"{reason.variable}: {reason.found}; permitted {reason.permitted} ({reason.basis})"
