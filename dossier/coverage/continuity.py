"""How long each certificate was in force: signed confirmations and those that the joints prove.

Each code has its own rule for what production welding proves:
- ASME IX, QW-322.1(a): use of the process is what counts, so each day of it is a confirmation.
- ISO 9606-1:2012, 9.2: a signature is asked for; production alone shows work, not the signature.
  The choice "production work confirms" may say that the project takes the log as signed.
- API 1104: no clock of its own. 49 CFR 192.229 and 195.222 bring theirs: see `legal_clocks`.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise
from types import MappingProxyType

from dossier.codes.editions import welder_code
from dossier.codes.readings import Readings, reading
from dossier.coverage.as_of import day_of
from dossier.coverage.lookup import holder_on
from dossier.coverage.view import Use, Uses, View
from dossier.records.examinations import Examination
from dossier.records.joints import Joint, Pass, Repair
from dossier.records.verdicts import CLEAR, worst
from dossier.records.welders import Certificate, Confirmation, Welder

BY_WORK = "production weld"
TESTED_BY = ("RT", "UT")
CHOICES: Readings = MappingProxyType(
    {
        "production work confirms": (
            "only when signed",
            ("log counts as signed",),
            (
                "Whether production welds stand for the six-monthly signature of ISO 9606-1, 9.2; "
                "that they lay inside the range is then the project's to answer for."
            ),
        )
    }
)


def uses(seen: View) -> Uses:
    """The work of every stamp by day, gathered once for a view; repairs count as work."""
    if not seen.uses:
        seen.uses.update(_gathered(seen))
    return seen.uses


def _gathered(seen: View) -> Uses:
    groups: dict[str, tuple[list[Pass], list[Repair]]] = defaultdict(lambda: ([], []))
    for made in seen.project.passes:
        groups[made.joint][0].append(made)
    for repair in seen.project.repairs:
        groups[repair.joint][1].append(repair)
    found: dict[str, set[Use]] = defaultdict(set)
    for number, (passes, repairs) in groups.items():
        known = seen.known.joints.get(number)
        reports = seen.known.examinations.get(number, [])
        for stamp, use in uses_of(known[0] if known else None, passes, repairs, reports):
            found[stamp].add(use)
    return {stamp: tuple(sorted(rows)) for stamp, rows in found.items()}


def uses_of(
    joint: Joint | None,
    passes: Sequence[Pass],
    repairs: Sequence[Repair],
    examinations: Sequence[Examination],
) -> Iterator[tuple[str, Use]]:
    """The work on one joint by stamp: production welding by its day, then repairs."""
    accepted = {
        day
        for report in examinations
        if report.method in TESTED_BY and report.result == "accepted"
        if (day := day_of(report.examined_at)) is not None
    }
    tested = tuple(sorted(accepted))
    alone = len({made.welder for made in passes}) == 1
    for made in passes:
        day = day_of(made.finished_at or made.started_at) or (joint.welded_on if joint else None)
        if day is not None:
            yield made.welder, Use(day, made.joint, made.process, alone, tested)
    for repair in repairs:
        day = day_of(repair.repaired_at)
        if day is not None and repair.welder:
            yield repair.welder, Use(day, repair.joint, repair.process, False, tested)


def rests_on_work(seen: View) -> bool:
    """Whether any certificate or line of the project is judged by earlier production welds."""
    return any(line.regulation for line in seen.project.lines) or any(
        _work_counts(seen, certificate.code)
        for welder in seen.project.welders
        for certificate in welder.certificates
    )


def history_of(seen: View, stamp: str, certificate: Certificate) -> tuple[Confirmation, ...]:
    """The confirmations that count for a certificate: signed ones, then those by work."""
    return (*certificate.confirmations, *derived(seen, stamp, certificate))


def derived(seen: View, stamp: str, certificate: Certificate) -> tuple[Confirmation, ...]:
    """Confirmations that the joints themselves prove, by the rule of the certificate's code."""
    if not _work_counts(seen, certificate.code):
        return ()
    first: dict[tuple[date, str], Use] = {}
    for use in _own(seen, stamp, certificate):
        if use.day >= certificate.welded_on:
            first.setdefault((use.day, use.process), use)
    return tuple(
        Confirmation(signed_on=use.day, by=BY_WORK, joint=use.joint, process=use.process)
        for use in first.values()
    )


def _own(seen: View, stamp: str, certificate: Certificate) -> Iterator[Use]:
    """The uses of a stamp while the person of the certificate held it."""
    for welder in seen.known.welders.get(stamp, []):
        if any(held.number == certificate.number for held in welder.certificates):
            for use in uses(seen).get(stamp, ()):
                if holder_on([welder], use.day) is not None:
                    yield use


def _work_counts(seen: View, code: str) -> bool:
    if code.startswith("ASME IX"):
        return True
    chosen = reading(seen.choices, CHOICES, "production work confirms")
    return code.startswith("ISO 9606-1") and chosen == "log counts as signed"


@dataclass(frozen=True, slots=True)
class Bar:
    """A time in force, both days included; `until` is None where nothing ends it."""

    since: date
    until: date | None


@dataclass(frozen=True, slots=True)
class Timeline:
    """What a timeline of one certificate shows."""

    stamp: str
    certificate: Certificate
    bars: tuple[Bar, ...]
    gaps: tuple[Bar, ...]  # not in force, up to the day of the view
    confirmations: tuple[Confirmation, ...]
    joints: tuple[Use, ...]


def timeline(seen: View, welder: Welder, certificate: Certificate) -> Timeline:
    """Times in force and gaps of a certificate up to the day of the view, with what proves them.

    Raises InputError: a code or a reading that is not known.
    """
    history = sorted(history_of(seen, welder.stamp, certificate), key=lambda c: c.signed_on)
    history = [entry for entry in history if entry.signed_on <= seen.as_of]
    bars = tuple(_bars(seen, certificate, history))
    processes = {deposit.process for deposit in certificate.deposits}
    work = tuple(use for use in uses(seen).get(welder.stamp, ()) if use.process in processes)
    return Timeline(welder.stamp, certificate, bars, tuple(_gaps(seen, bars)), tuple(history), work)


def _bars(seen: View, certificate: Certificate, history: Sequence[Confirmation]) -> Iterator[Bar]:
    code = welder_code(certificate.code)
    since: date | None = certificate.welded_on
    until = code.valid_until(certificate, (), seen.choices)
    for nth, entry in enumerate(history, 1):
        known = history[:nth]
        if since is not None and entry.signed_on > until:
            yield _bar(since, until)
            since = None
        if since is None:
            reasons = code.valid_on(certificate, entry.signed_on, known, seen.choices)
            if worst(reasons) == CLEAR:
                since = entry.signed_on
        if since is not None:
            until = max(until, code.valid_until(certificate, known, seen.choices))
    if since is not None and since <= until:
        yield _bar(since, until)


def _bar(since: date, until: date) -> Bar:
    return Bar(since, None if until == date.max else until)


def _gaps(seen: View, bars: Sequence[Bar]) -> Iterator[Bar]:
    for before, after in pairwise(bars):
        if before.until is not None:
            yield Bar(before.until + timedelta(days=1), after.since - timedelta(days=1))
    last = bars[-1].until if bars else None
    if last is not None and last < seen.as_of:
        yield Bar(last + timedelta(days=1), seen.as_of)
