"""Clause 9: from when and how long a certificate is in force. Clause 8: retests.

Three clocks run side by side and the earliest governs: the six-monthly confirmation (9.2), the
revalidation by the method named on the certificate (9.3), and the end set by hand (9.4).
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from dossier.codes.face import Choices
from dossier.codes.iso_9606_1_2012.basis import CHOICES, clause
from dossier.codes.iso_9606_1_2012.process import qualified_processes
from dossier.codes.periods import months_later
from dossier.codes.readings import reading
from dossier.errors import InputError
from dossier.records.verdicts import CLEAR, HOLD, NONCONFORMITY, Reason
from dossier.records.welders import Certificate, Confirmation

START = clause("9.1")
CONFIRMED = clause("9.2")
REVALIDATED = clause("9.3")
REVOKED = clause("9.4", "memory")
RETEST = clause("8")

METHODS = ("9.3 a", "9.3 b", "9.3 c")
_OPEN_ENDED = date.max


def valid_from(certificate: Certificate) -> date:
    """First day in force: the day the test piece was welded, not the day of issue.

    Source: ISO 9606-1:2012, 9.1 (secondary).

    >>> test = Certificate(number="Q1", code="ISO 9606-1:2012", welded_on=date(2023, 8, 31))
    >>> valid_from(test)
    datetime.date(2023, 8, 31)
    """
    return certificate.welded_on


def _counts(confirmation: Confirmation, process: str) -> bool:
    if not confirmation.process or not process:
        return True
    return confirmation.process in qualified_processes(process)


def _renewals(certificate: Certificate, history: Sequence[Confirmation]) -> list[date]:
    return sorted(c.signed_on for c in history if c.renewal and c.signed_on > certificate.welded_on)


def _restart(certificate: Certificate, history: Sequence[Confirmation]) -> date:
    """The day the clocks start: of the test, or of the last new test of method 9.3 a."""
    renewals = _renewals(certificate, history) if certificate.method == "9.3 a" else []
    return max(renewals, default=certificate.welded_on)


def confirmed_until(
    certificate: Certificate, history: Sequence[Confirmation], choices: Choices
) -> date:
    """Last day that the six-monthly confirmations reach.

    A confirmation counts only if it is signed while the last one still holds: a late signature
    does not heal the gap. In a test of several processes each process must be confirmed.
    Source: ISO 9606-1:2012, 9.2 (secondary).

    >>> test = Certificate(number="Q1", code="ISO 9606-1:2012", welded_on=date(2023, 8, 31))
    >>> confirmed_until(test, [Confirmation(signed_on=date(2024, 2, 1), by="inspector")], {})
    datetime.date(2024, 8, 1)
    """
    processes = {part.process for part in certificate.deposits} or {""}
    return min(_confirmed_until(certificate, history, choices, p) for p in processes)


def _confirmed_until(
    certificate: Certificate, history: Sequence[Confirmation], choices: Choices, process: str
) -> date:
    old_end = reading(choices, CHOICES, "six months run from") == "old end"
    start = _restart(certificate, history)
    end = months_later(start, 6)
    for signed in sorted(c.signed_on for c in history if _counts(c, process)):
        if start < signed <= end:
            end = months_later(end if old_end else signed, 6)
    return end


def revalidated_until(certificate: Certificate, history: Sequence[Confirmation]) -> date:
    """Last day that the method of 9.3 reaches; `date.max` for the open-ended method c.

    a: three years from the test. b: two years, and two more from the due day for each
    revalidation signed in the six months before it (from its own day when signed earlier).
    A certificate that names no method is given the shortest, two years.
    Source: ISO 9606-1:2012, 9.3 (secondary). Raises InputError: unknown method.

    >>> test = Certificate(number="Q1", code="ISO 9606-1:2012", welded_on=date(2023, 8, 31))
    >>> revalidated_until(test, [])
    datetime.date(2025, 8, 31)
    """
    method = certificate.method
    if method and method not in METHODS:
        raise InputError("method", found=repr(method), expected=", ".join(METHODS))
    if method == "9.3 c":
        return _OPEN_ENDED
    if method == "9.3 a":
        return months_later(_restart(certificate, history), 36)
    due = months_later(certificate.welded_on, 24)
    for signed in _renewals(certificate, history) if method else ():
        if months_later(due, -6) <= signed <= due:
            due = months_later(due, 24)
        elif signed < due:
            due = max(due, months_later(signed, 24))
    return due


def revalidation_welds_accepted(due: date, welds: Sequence[tuple[date, str]]) -> bool:
    """Whether production welds allow the prolongation of 9.3 b: two of the last six months.

    `welds` holds the day and the examination method of each ("RT", "UT", "destructive"); visual
    testing alone does not count. Source: ISO 9606-1:2012, 9.3 b) (secondary).

    >>> due = date(2024, 2, 10)
    >>> revalidation_welds_accepted(due, [(date(2023, 9, 14), "RT"), (date(2024, 1, 22), "UT")])
    True
    >>> revalidation_welds_accepted(due, [(date(2023, 8, 9), "RT"), (date(2024, 1, 22), "RT")])
    False
    """
    first = months_later(due, -6)
    good = [day for day, method in welds if method in ("RT", "UT", "destructive")]
    return len([day for day in good if first <= day <= due]) >= 2


def open_ended_accepted(
    *, same_manufacturer: bool, iso_3834_part: int | None, documented: bool, category: str = "none"
) -> bool:
    """Whether method c of 9.3 holds (beside the confirmations of 9.2).

    Same manufacturer, its quality programme verified to ISO 3834-2 or -3, documented welds, and
    no pressure equipment of category II to IV.
    Source: ISO 9606-1:2012, 9.3 c) (secondary; part 3 memory); EN edition 2017, Annex ZA.

    >>> open_ended_accepted(same_manufacturer=True, iso_3834_part=2, documented=True)
    True
    """
    quality = same_manufacturer and iso_3834_part in (2, 3) and documented
    return quality and category not in ("II", "III", "IV")


def repeats_test_conditions(differing: Sequence[str], *, inside_range: bool) -> bool:
    """Whether a weld may serve for 9.3 b when these variables differ from the test.

    Only thickness and outside diameter may, inside the range.
    Source: ISO 9606-1:2012, 9.3 b) (secondary).

    >>> repeats_test_conditions(["outside diameter"], inside_range=True)
    True
    >>> repeats_test_conditions(["position"], inside_range=True)
    False
    """
    free = {"outside diameter", "deposited thickness", "material thickness"}
    return inside_range and set(differing) <= free


def revocation_concerns(doubted_process: str, process: str) -> bool:
    """Whether doubt about welding with one process revokes a qualification for another.

    Only the qualifications that support the doubted welding are revoked, the others stand.
    Source: ISO 9606-1:2012, 9.4 (memory). Raises InputError: not a process.

    >>> revocation_concerns("136", "111"), revocation_concerns("135", "138")
    (False, True)
    """
    return process in qualified_processes(doubted_process)


def retest_allowed(failed_tests: int, *, further_training: bool) -> bool:
    """Whether the test may be repeated: once without further training.

    Source: ISO 9606-1:2012, 8 (secondary). Raises InputError: a negative number.

    >>> retest_allowed(1, further_training=False), retest_allowed(2, further_training=False)
    (True, False)
    """
    if failed_tests < 0:
        raise InputError("failed_tests", found=failed_tests, expected="0 or more")
    return further_training or failed_tests <= 1


def valid_until(
    certificate: Certificate, history: Sequence[Confirmation], choices: Choices
) -> date:
    """Last day in force if nothing more is signed after the last entry of `history`.

    Source: ISO 9606-1:2012, clause 9 (secondary). Before the day of the test when it was never
    in force (ended on the day of the test).

    >>> test = Certificate(number="Q1", code="ISO 9606-1:2012", welded_on=date(2023, 3, 6))
    >>> valid_until(test, [], {})
    datetime.date(2023, 9, 6)
    """
    ends = [
        confirmed_until(certificate, history, choices),
        revalidated_until(certificate, history),
    ]
    if certificate.ended_on:
        ends.append(certificate.ended_on - timedelta(days=1))
    return min(ends)


def valid_on(
    certificate: Certificate, day: date, history: Sequence[Confirmation], choices: Choices
) -> tuple[Reason, ...]:
    """Reasons for the certificate being in force on `day`; later signatures are not looked at.

    Source: ISO 9606-1:2012, clause 9 (secondary). Raises InputError: unknown method of 9.3.

    >>> test = Certificate(
    ...     number="Q1", code="ISO 9606-1:2012", welded_on=date(2023, 3, 6), method="9.3 a"
    ... )
    >>> [str(r.verdict) for r in valid_on(test, date(2023, 9, 7), [], {})]
    ['clear', 'clear', 'nonconformity', 'clear']
    """
    known = [c for c in history if c.signed_on <= day]
    start = valid_from(certificate)
    reasons = [
        Reason("test result", certificate.result, "passed", START,
               CLEAR if certificate.result == "passed" else NONCONFORMITY),
        Reason("first day in force", str(day), f"from {start}", START,
               CLEAR if day >= start else NONCONFORMITY),
    ]  # fmt: skip
    end = confirmed_until(certificate, known, choices)
    reasons.append(
        Reason("confirmation every six months", str(day), f"until {end}", CONFIRMED,
               CLEAR if day <= end else NONCONFORMITY)
    )  # fmt: skip
    reasons.append(_revalidation(certificate, day, known, choices))
    if certificate.ended_on:
        in_force = day < certificate.ended_on
        reasons.append(
            Reason("withdrawn or replaced", str(day), f"before {certificate.ended_on}", REVOKED,
                   CLEAR if in_force else NONCONFORMITY)
        )  # fmt: skip
    return tuple(reasons)


def _revalidation(
    certificate: Certificate, day: date, known: Sequence[Confirmation], choices: Choices
) -> Reason:
    name = "revalidation"
    end = revalidated_until(certificate, known)
    if certificate.method == "9.3 c":
        category = reading(choices, CHOICES, "pressure equipment category")
        basis = clause("9.3 c)")
        if category in ("II", "III", "IV"):
            found = f"9.3 c with pressure equipment of category {category}"
            return Reason(name, found, "not with categories II to IV", basis, NONCONFORMITY)
        shown = reading(choices, CHOICES, "conditions of 9.3 c") == "shown"
        permitted = "same manufacturer, quality programme verified, welds documented"
        found = "vouched for" if shown else "not shown"
        return Reason(name, found, permitted, basis, CLEAR if shown else HOLD)
    if day > end:
        return Reason(name, str(day), f"until {end}", REVALIDATED, NONCONFORMITY)
    if not certificate.method:
        return Reason(name, "method not recorded", " or ".join(METHODS), REVALIDATED, HOLD)
    return Reason(name, str(day), f"until {end}", REVALIDATED)
