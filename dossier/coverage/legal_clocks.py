"""The clocks of 49 CFR 192.229 and 195.222 for a welder on a line under that law.

Use of the process and tested welds are taken from the records: the qualification test, earlier
production welds, and their accepted examinations. A tested weld counts only where the welder made
the whole of it (interpretation of 1995); where a shared weld would have kept the clock going, the
answer is a hold, since another record may show a whole one.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date

from dossier.codes.cfr_192_welders import (
    credit_for_joint,
    process_currency,
    weld_test_currency,
)
from dossier.codes.cfr_195_welders import currency
from dossier.coverage.continuity import uses
from dossier.coverage.joint_file import JointFile
from dossier.coverage.lookup import holder_on
from dossier.coverage.shares import GAS, LIQUID, stress_percent
from dossier.coverage.view import View
from dossier.coverage.work import Work
from dossier.records.verdicts import CLEAR, HOLD, Reason, worst
from dossier.records.welders import Welder


@dataclass(frozen=True, slots=True)
class _Clock:
    """One question to the law."""

    welder: Welder
    law: str
    process: str
    day: date
    stress_percent: float


def legal_reasons(
    seen: View, file: JointFile, welder: Welder, work: Work, day: date
) -> tuple[Reason, ...]:
    """Reasons against welding on `day`, none where the clocks run or no such law governs.

    Source: 49 CFR 192.229(b), (c)(1) (memory, secondary); 49 CFR 195.222(b) (memory).
    """
    law = file.line.regulation if file.line else ""
    if law not in (GAS, LIQUID):
        return ()
    clock = _Clock(welder, law, work.weld.process, day, stress_percent(file))
    question = (law, welder.stamp, welder.name, clock.process, day, clock.stress_percent)
    if question not in seen.dated:
        seen.dated[question] = _asked(seen, clock)
    return seen.dated[question]


def _asked(seen: View, clock: _Clock) -> tuple[Reason, ...]:
    whole = _broken(_reasons(seen, clock, shared=False))
    if not whole or _broken(_reasons(seen, clock, shared=True)):
        return whole
    credit = credit_for_joint(2)
    held = Reason(credit.variable, credit.found, credit.permitted, credit.basis, HOLD)
    return (held,)


def _broken(groups: Iterable[tuple[Reason, ...]]) -> tuple[Reason, ...]:
    return tuple(r for group in groups if worst(group) != CLEAR for r in group if r.verdict)


def _reasons(seen: View, clock: _Clock, *, shared: bool) -> Iterator[tuple[Reason, ...]]:
    welder, process, day = clock.welder, clock.process, clock.day
    before = [
        use
        for use in uses(seen).get(welder.stamp, ())
        if use.day < day and holder_on([welder], use.day) is not None
    ]
    tests = [
        (certificate.welded_on, part.process)
        for certificate in welder.certificates
        if certificate.result == "passed" and certificate.welded_on <= day
        for part in certificate.deposits
    ]
    welds = [
        (on, use.process) for use in before if use.alone or shared for on in use.tested if on <= day
    ]
    used = [use.day for use in before if use.process == process]
    used += [on for on, what in tests if what == process]
    every = sorted({on for on, _ in (*tests, *welds)})
    own = [on for on, what in (*tests, *welds) if what == process]
    if clock.law == LIQUID:
        yield currency(max(used, default=None), max(every, default=None), day, seen.choices)
        return
    latest = (max(used, default=None), max(own, default=None))
    yield process_currency(*latest, day, seen.choices)
    yield weld_test_currency(every, day, clock.stress_percent, seen.choices)
