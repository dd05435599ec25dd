"""Does a certificate of the welder cover the weld in every variable but the thickness?

The deposited thickness is the business of `welder-deposit`, the dates of `welder-continuity`.
"""

from __future__ import annotations

from collections.abc import Iterator

from dossier.codes.face import DEPOSIT
from dossier.coverage.evidence import paper
from dossier.coverage.joint_file import JointFile
from dossier.coverage.view import View
from dossier.coverage.welders import Held, held_for, nearest
from dossier.coverage.work import Work, work_of
from dossier.records.verdicts import CLEAR, Evidence, Finding, worst

NAME = "welder-range"


def check(seen: View, file: JointFile) -> Iterator[Finding]:
    """One finding per joint, welder and process outside every certificate held for it."""
    for work in work_of(seen, file):
        held = held_for(seen, work)
        if not held or any(one.covers or one.lacks_only_deposit for one in held):
            continue
        best = nearest(held)
        if best is not None:
            yield _finding(work, best)


def _finding(work: Work, best: Held) -> Finding:
    reasons = tuple(r for r in best.reasons if r.verdict != CLEAR and r.variable != DEPOSIT)
    number = best.certificate.number
    outside = ", ".join(reason.variable for reason in reasons)
    return Finding(
        NAME,
        worst(reasons),
        (
            ("joint", work.joint.number),
            ("welder", work.welder),
            ("process", work.weld.process),
        ),
        f"{work.welder} welded joint {work.joint.number} outside what any certificate qualifies; "
        f"the nearest, {number}, does not cover: {outside}.",
        reasons,
        (*(Evidence(origin) for origin in work.origins), *paper(best.certificate)),
        "Show another certificate that covers it, or have the weld dispositioned by the "
        "welding engineer.",
    )
