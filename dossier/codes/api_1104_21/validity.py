"""How long a welder's qualification stands: API 1104, 21st edition, 6.1 and 6.8.

The standard sets no calendar lapse: a welder is tested again when there is reason to doubt the
ability. A lapse by time comes from the law (49 CFR 192.229, 195.222) or from the company; the
company's is the choice "confirmation months".
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, timedelta

from dossier.codes.api_1104_21.settings import basis, choose
from dossier.codes.face import Choices
from dossier.codes.periods import months_later
from dossier.records.verdicts import CLEAR, NONCONFORMITY, Basis, Reason
from dossier.records.welders import Certificate, Confirmation

LAPSE = basis("6.8", "secondary")
COMPANY = Basis("company requirement", "", "time between confirmations", "project")


def _company_months(choices: Choices) -> int | None:
    text = choose(choices, "confirmation months")
    return None if text == "none" else int(text)


def _chain(
    certificate: Certificate, history: Sequence[Confirmation], months: int
) -> Iterator[date]:
    """Last days in force, test first: a confirmation after a lapse revives nothing."""
    until = months_later(certificate.welded_on, months)
    yield until
    for signed in sorted(entry.signed_on for entry in history):
        if certificate.welded_on <= signed <= until:
            until = months_later(signed, months)
            yield until


def valid_until(
    certificate: Certificate, history: Sequence[Confirmation], choices: Choices
) -> date:
    """Last day in force if nothing more is signed: the day before it ended, else no end.

    Source: API 1104, 21st edition, 6.8 (secondary): no calendar lapse in the standard.

    >>> paper = Certificate(number="T-1", code="API 1104:21st", welded_on=date(2024, 3, 5))
    >>> valid_until(paper, (), {}), valid_until(paper, (), {"confirmation months": "6"})
    (datetime.date(9999, 12, 31), datetime.date(2024, 9, 5))
    """
    months = _company_months(choices)
    last = date.max if months is None else max(_chain(certificate, history, months))
    if certificate.ended_on is not None:
        last = min(last, certificate.ended_on - timedelta(days=1))
    return last


def valid_on(
    certificate: Certificate, day: date, history: Sequence[Confirmation], choices: Choices
) -> tuple[Reason, ...]:
    """Reasons for a qualification being in force on `day`.

    In force from the day the test was welded until the company ends it; with "confirmation
    months" chosen, only while each confirmation was signed before the time ran out.

    Source: API 1104, 21st edition, 6.8 (secondary).
    """
    found = day.isoformat()
    start = certificate.welded_on
    reasons = [
        Reason("test date", found, f"from {start}", LAPSE, CLEAR if day >= start else NONCONFORMITY)
    ]
    ended = certificate.ended_on
    if ended is not None:
        verdict = CLEAR if day < ended else NONCONFORMITY
        reasons.append(Reason("end of qualification", found, f"before {ended}", LAPSE, verdict))
    months = _company_months(choices)
    if months is not None:
        until = max(_chain(certificate, [h for h in history if h.signed_on <= day], months))
        verdict = CLEAR if day <= until else NONCONFORMITY
        reasons.append(Reason("confirmation", found, f"through {until}", COMPANY, verdict))
    else:
        reasons.append(Reason("time since test", found, "no lapse by time", LAPSE))
    return tuple(reasons)
