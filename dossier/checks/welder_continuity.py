"""Was a certificate that covers the weld in force on each day of welding?"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from dossier.coverage.evidence import paper
from dossier.coverage.joint_file import JointFile
from dossier.coverage.view import View
from dossier.coverage.welders import Held, held_for, in_force
from dossier.coverage.work import Work, work_of
from dossier.records.verdicts import CLEAR, Evidence, Finding, Reason, worst

NAME = "welder-continuity"


def check(seen: View, file: JointFile) -> Iterator[Finding]:
    """One finding per joint, welder and process welded while every fit certificate had lapsed.

    A certificate that lacks only thickness counts as fit: its thickness is found elsewhere.
    """
    for work in work_of(seen, file):
        fit = [one for one in held_for(seen, work) if one.covers or one.lacks_only_deposit]
        for day in work.days:
            reasons = [(one, in_force(seen, one.certificate, day)) for one in fit]
            if fit and all(worst(found) != CLEAR for _, found in reasons):
                yield _finding(work, day, reasons)
                break


def _finding(work: Work, day: date, reasons: list[tuple[Held, tuple[Reason, ...]]]) -> Finding:
    best, found = min(reasons, key=lambda pair: worst(pair[1]))
    certificate = best.certificate
    broken = tuple(reason for reason in found if reason.verdict != CLEAR)
    return Finding(
        NAME,
        worst(broken),
        (
            ("joint", work.joint.number),
            ("welder", work.welder),
            ("process", work.weld.process),
        ),
        f"{work.welder} welded joint {work.joint.number} on {day}, when certificate "
        f"{certificate.number} was not in force: {broken[0].variable}, {broken[0].found}.",
        broken,
        (
            *(Evidence(origin) for origin in work.origins),
            *paper(certificate),
            *(
                Evidence(None, c.document.document, c.document.page)
                for c in certificate.confirmations
                if c.document
            ),
        ),
        "Show the missing confirmation, signed at the time, or have the weld dispositioned by "
        "the welding engineer.",
    )
