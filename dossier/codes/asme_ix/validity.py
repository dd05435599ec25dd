"""How long a welder's qualification stays in force: continuity, renewal, revocation (QW-322)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date, timedelta

from dossier.codes.asme_ix.common import Edition, chosen, clause, dated_reasons
from dossier.codes.asme_ix.variables import process_name
from dossier.codes.asme_ix.welder_range import processes_of_one_table
from dossier.codes.asme_ix.welders import covers
from dossier.codes.face import Choices
from dossier.codes.periods import months_later
from dossier.records.verdicts import CLEAR, NONCONFORMITY, Choice, Reason, Verdict, worst
from dossier.records.welders import Certificate, Confirmation

START = clause("QW-300")
CONTINUITY = clause("QW-322.1(a)")
REVOCATION = clause("QW-322.1(b)", "read")
RENEWAL = clause("QW-322.2(a)")
RESTORATION = clause("QW-322.2(b)", "read")
PASSED = clause("QW-301", "practice")

MONTHS = 6


def last_day(used_on: date, choices: Choices) -> date:
    """Last day in force after the process was last used on `used_on`.

    Six months or more without use end it, so the day six calendar months later counts as
    lapsed (choice "ix six months"); a month without that day ends on its last.

    Source: Section IX, QW-322.1(a) (secondary); the counting of days is common practice.

    >>> last_day(date(2024, 3, 10), {}), last_day(date(2023, 8, 31), {})
    (datetime.date(2024, 9, 9), datetime.date(2024, 2, 28))
    """
    lapse = months_later(used_on, MONTHS)
    kept = chosen(choices, "ix six months") == "anniversary in force"
    return lapse if kept else lapse - timedelta(days=1)


def last_use(
    certificate: Certificate, process: str, history: Sequence[Confirmation], choices: Choices
) -> date:
    """The last use that still counts: an unbroken chain from the test, or from a renewal test.

    A use after the lapse does not revive the qualification; a renewal test does. Any use of the
    process counts, whatever position, filler or diameter.

    Source: Section IX, QW-322.1(a), QW-322.2(a) (secondary).
    """
    alike = processes_of_one_table(process, choices)
    last = certificate.welded_on
    for entry in sorted(history, key=lambda c: (c.signed_on, not c.renewal)):
        counts = not entry.process or process_name(entry.process) in alike
        if not counts or entry.signed_on < last:
            continue
        if entry.renewal or entry.signed_on <= last_day(last, choices):
            last = entry.signed_on
    return last


def processes_of(certificate: Certificate) -> tuple[str, ...]:
    """The processes of a certificate, in the order of its deposits, each once."""
    return tuple(dict.fromkeys(deposit.process for deposit in certificate.deposits))


def for_process(certificate: Certificate, process: str) -> Certificate:
    """The certificate as far as it speaks of one process, to ask its continuity alone."""
    kept = tuple(d for d in certificate.deposits if d.process == process)
    return replace(certificate, deposits=kept)


def valid_until(
    certificate: Certificate, history: Sequence[Confirmation], choices: Choices
) -> date:
    """Last day in force if nothing more is signed; of several processes the first to lapse.

    A certificate that ended counts to the day before. Ask `for_process` for one process alone.

    Source: Section IX, QW-300, QW-322 (secondary). Raises InputError: an unknown choice.
    """
    processes = processes_of(certificate) or ("",)
    ends = [last_day(last_use(certificate, p, history, choices), choices) for p in processes]
    if certificate.ended_on:
        ends.append(certificate.ended_on - timedelta(days=1))
    return min(ends)


def valid_on(
    edition: Edition,
    certificate: Certificate,
    day: date,
    history: Sequence[Confirmation],
    choices: Choices,
) -> tuple[Reason, ...]:
    """Reasons for the certificate being in force on `day`: start, result, end, each process.

    Confirmations signed after `day` do not count.

    Source: Section IX, QW-300, QW-322 (secondary).
    """
    return dated_reasons(tuple(_in_force(certificate, day, history, choices)), edition)


def _in_force(
    certificate: Certificate, day: date, history: Sequence[Confirmation], choices: Choices
) -> Iterator[Reason]:
    started = certificate.welded_on <= day
    yield Reason(
        "start", day.isoformat(), f"from {certificate.welded_on}", START, _verdict(started)
    )
    passed = certificate.result == "passed"
    yield Reason("result", certificate.result, "passed", PASSED, _verdict(passed))
    if certificate.ended_on:
        before = f"before {certificate.ended_on}"
        standing = day < certificate.ended_on
        yield Reason("revocation", day.isoformat(), before, REVOCATION, _verdict(standing))
    known = [entry for entry in history if entry.signed_on <= day]
    for process in processes_of(certificate) or ("",):
        used = last_use(certificate, process, known, choices)
        end = last_day(used, choices)
        yield Reason(
            f"continuity of {process_name(process)}".rstrip(),
            f"{day}, last used {used}",
            f"to {end}",
            CONTINUITY,
            _verdict(day <= end),
        )


def _verdict(good: bool) -> Verdict:
    return CLEAR if good else NONCONFORMITY


def renews(edition: Edition, lapsed: Certificate, test: Certificate) -> tuple[Reason, ...]:
    """Whether `test` takes up what lapsed: any coupon of the process, passed.

    Plate or pipe, any material, thickness, diameter or position restores all former
    qualifications of the process.

    Source: Section IX, QW-322.2(a) (secondary).
    """
    tested = Choice.of((process_name(p) for p in processes_of(test)), RENEWAL)
    reasons = [tested.judge("process", process_name(p)) for p in processes_of(lapsed)]
    passed = test.result == "passed"
    reasons.append(Reason("result", test.result, "passed", RENEWAL, _verdict(passed)))
    return dated_reasons(tuple(reasons), edition)


def restores(
    edition: Edition, revoked: Certificate, test: Certificate, choices: Choices
) -> tuple[Reason, ...]:
    """Whether `test` restores what was revoked: it must cover the revoked test piece itself.

    Source: Section IX, QW-322.2(b) (read); that "suited to it" means this is the stricter reading.
    """
    answers = [covers(edition, test, weld, choices) for weld in revoked.test_welds()]
    reasons = max(answers, key=worst, default=())
    passed = test.result == "passed"
    return (
        *reasons,
        *dated_reasons(
            (Reason("result", test.result, "passed", RESTORATION, _verdict(passed)),), edition
        ),
    )
