"""Which certificates of a welder cover a weld, and whether they were in force that day."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from dossier.codes.editions import welder_code
from dossier.codes.face import DEPOSIT, PROCESS
from dossier.coverage.continuity import history_of
from dossier.coverage.lookup import holder_on
from dossier.coverage.view import REMEMBERED, View
from dossier.coverage.work import Work
from dossier.records.verdicts import CLEAR, NONCONFORMITY, Reason, worst
from dossier.records.welders import Certificate, Welder


@dataclass(frozen=True, slots=True)
class Held:
    """A certificate that a welder held, and its reasons for one weld (dates left aside)."""

    certificate: Certificate
    reasons: tuple[Reason, ...]

    @property
    def covers(self) -> bool:
        """Every variable of the weld lies inside what the certificate qualifies."""
        return worst(self.reasons) == CLEAR

    @property
    def for_process(self) -> bool:
        """The certificate is one for the process of the weld, whatever its other variables."""
        return not any(r.variable == PROCESS and r.verdict >= NONCONFORMITY for r in self.reasons)

    @property
    def lacks_only_deposit(self) -> bool:
        """All variables but the deposited thickness are covered."""
        return {r.variable for r in self.reasons if r.verdict != CLEAR} == {DEPOSIT}


def holder(seen: View, work: Work) -> Welder | None:
    """The person who held the welder's stamp on the first day of the work."""
    day = work.days[0] if work.days else seen.as_of
    return holder_on(seen.known.welders.get(work.welder, []), day)


def held_for(seen: View, work: Work) -> tuple[Held, ...]:
    """The welder's certificates under the line's code for the process, with their reasons."""
    if not work.answers:
        work.answers.append(_held_for(seen, work))
    held: tuple[Held, ...] = work.answers[0]
    return held


def _held_for(seen: View, work: Work) -> tuple[Held, ...]:
    welder = holder(seen, work)
    line = seen.known.lines.get(work.joint.line)
    if welder is None or line is None:
        return ()
    day = work.days[0] if work.days else seen.as_of
    held = [
        Held(certificate, _covers(seen, certificate, work))
        for certificate in welder.certificates
        if certificate.code == line.welder_code
        and certificate.result == "passed"
        and certificate.welded_on <= day
        and (certificate.ended_on is None or day < certificate.ended_on)
    ]
    return tuple(one for one in held if one.for_process)


def _covers(seen: View, certificate: Certificate, work: Work) -> tuple[Reason, ...]:
    question = (certificate.number, work.weld)
    reasons = seen.answers.get(question)  # looked up once: a weld has many variables to compare
    if reasons is None:
        if len(seen.answers) > REMEMBERED:
            seen.answers.clear()
        code = welder_code(certificate.code)
        reasons = seen.answers[question] = code.covers(certificate, work.weld, seen.choices)
    return reasons


def in_force(seen: View, stamp: str, certificate: Certificate, day: date) -> tuple[Reason, ...]:
    """Reasons for the certificate being valid on `day`, by what was signed or proved so far."""
    question = (stamp, certificate.number, certificate.code, certificate.welded_on, day)
    if question not in seen.dated:
        if len(seen.dated) > REMEMBERED:
            seen.dated.clear()
        history = history_of(seen, stamp, certificate)
        code = welder_code(certificate.code)
        seen.dated[question] = code.valid_on(certificate, day, history, seen.choices)
    return seen.dated[question]


def nearest(held: Iterable[Held]) -> Held | None:
    """The certificate that fails in the fewest variables: the one worth explaining."""
    return min(
        held,
        key=lambda one: (
            sum(r.verdict != CLEAR for r in one.reasons),
            worst(one.reasons),
            one.certificate.number,
        ),
        default=None,
    )
