"""Did each welder deposit only the thickness that a certificate in force covers?

The thickness is what this welder put in with this process, not the wall of the pipe. One and the
same certificate must cover it and be in force on each day of the work; where all that serve had
lapsed, `welder-continuity` tells it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date

from dossier.codes.face import DEPOSIT
from dossier.coverage.evidence import paper
from dossier.coverage.joint_file import JointFile
from dossier.coverage.view import View
from dossier.coverage.welders import Held, held_for, in_force
from dossier.coverage.work import Work, work_of
from dossier.records.verdicts import CLEAR, NONCONFORMITY, Evidence, Finding, Reason, worst

NAME = "welder-deposit"


@dataclass(frozen=True, slots=True)
class _Short:
    """Certificates that lack the thickness, and why the one that covers it does not serve."""

    near: Sequence[Held]
    wider: Held | None = None
    day: date | None = None
    lapse: tuple[Reason, ...] = ()

    @property
    def reasons(self) -> tuple[Reason, ...]:
        """Why the thickness is not covered: no worse than the lapse of the one that covers it."""
        most = worst(self.lapse) if self.lapse else NONCONFORMITY
        near = tuple(
            replace(reason, verdict=min(reason.verdict, most))
            for one in self.near
            for reason in one.reasons
            if reason.variable == DEPOSIT and reason.verdict != CLEAR
        )
        return (*near, *self.lapse)


def check(seen: View, file: JointFile) -> Iterator[Finding]:
    """One finding per joint, welder and process whose thickness no certificate covers.

    Source: ISO 9606-1:2012, 5.7 and 9 (secondary), and the like rules of the other codes.
    """
    for work in work_of(seen, file):
        short = _short(seen, work)
        if short is not None:
            yield _finding(work, short)


def _short(seen: View, work: Work) -> _Short | None:
    held = held_for(seen, work)
    near = [one for one in held if one.lacks_only_deposit]
    wide = [one for one in held if one.covers]
    if not near or not wide:
        return _Short(near) if near else None
    for day in work.days:
        dated = [(one, in_force(seen, work.welder, one.certificate, day)) for one in wide]
        wider, lapse = min(dated, key=lambda pair: worst(pair[1]))
        serving = [
            one
            for one in near
            if worst(in_force(seen, work.welder, one.certificate, day)) < worst(lapse)
        ]
        if serving:
            broken = tuple(reason for reason in lapse if reason.verdict != CLEAR)
            return _Short(serving, wider, day, broken)
    return None


def _finding(work: Work, short: _Short) -> Finding:
    reasons = short.reasons
    covered = f"the certificates held cover {reasons[0].permitted}"
    if short.wider is not None:
        covered = (
            f"the certificates in force on {short.day} cover {reasons[0].permitted}, and "
            f"{short.wider.certificate.number}, which covers it, was not in force: "
            f"{short.lapse[0].variable}, {short.lapse[0].found}"
        )
    shown = (*short.near, *((short.wider,) if short.wider else ()))
    return Finding(
        NAME,
        worst(reasons),
        (
            ("joint", work.joint.number),
            ("welder", work.welder),
            ("process", work.weld.process),
        ),
        f"{work.welder} deposited {reasons[0].found} with process {work.weld.process} in "
        f"joint {work.joint.number}; {covered}.",
        reasons,
        (
            *(Evidence(origin) for origin in work.origins),
            *(proof for one in shown for proof in paper(one.certificate)),
        ),
        "Show a certificate that covers the thickness, or have the weld dispositioned by "
        "the welding engineer.",
    )
