"""Was a certificate that covers the weld in force on each day of welding?

In force by the clock of its own code, with what was signed and what the joints prove, and, on a
line under 49 CFR 192 or 195, by the clocks of the law.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from dossier.coverage.evidence import paper
from dossier.coverage.joint_file import JointFile
from dossier.coverage.legal_clocks import legal_reasons
from dossier.coverage.view import View
from dossier.coverage.welders import Held, held_for, holder, in_force
from dossier.coverage.work import Work, work_of
from dossier.records.verdicts import CLEAR, Evidence, Finding, Reason, worst

NAME = "welder-continuity"


def check(seen: View, file: JointFile) -> Iterator[Finding]:
    """One finding per joint, welder and process welded while every fit certificate had lapsed.

    A certificate that lacks only thickness counts as fit: its thickness is found elsewhere.
    """
    for work in work_of(seen, file):
        fit = [one for one in held_for(seen, work) if one.covers or one.lacks_only_deposit]
        welder = holder(seen, work)
        if welder is None or not fit:
            continue
        for day in work.days:
            reasons = [(one, in_force(seen, work.welder, one.certificate, day)) for one in fit]
            if all(worst(found) != CLEAR for _, found in reasons):
                yield _finding(work, day, reasons)
                break
            broken = legal_reasons(seen, file, welder, work, day)
            if broken:
                yield _by_law(work, day, fit[0], broken)
                break


def _by_law(work: Work, day: date, held: Held, broken: tuple[Reason, ...]) -> Finding:
    told = "; ".join(f"{r.variable} {r.found}, wanted {r.permitted}" for r in broken)
    return Finding(
        NAME,
        worst(broken),
        _subject(work),
        f"{work.welder} welded joint {work.joint.number} on {day} after a clock of "
        f"{broken[0].basis.standard} had run out: {told}.",
        broken,
        (*(Evidence(origin) for origin in work.origins), *paper(held.certificate)),
        "Show the record of the process used or of the whole weld tested in that time, or have "
        "the weld dispositioned by the welding engineer.",
    )


def _subject(work: Work) -> tuple[tuple[str, str], ...]:
    return (
        ("joint", work.joint.number),
        ("welder", work.welder),
        ("process", work.weld.process),
    )


def _finding(work: Work, day: date, reasons: list[tuple[Held, tuple[Reason, ...]]]) -> Finding:
    best, found = min(reasons, key=lambda pair: worst(pair[1]))
    certificate = best.certificate
    broken = tuple(reason for reason in found if reason.verdict != CLEAR)
    return Finding(
        NAME,
        worst(broken),
        _subject(work),
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
