"""ISO 9712:2021: validity of certificates of NDT personnel, and of their near vision."""

from __future__ import annotations

from datetime import date

from dossier.codes.periods import months_later
from dossier.errors import InputError
from dossier.records.verdicts import CLEAR, NONCONFORMITY, Basis, Reason

VISION = Basis("ISO 9712", "2021", "vision requirements", known="secondary")
VALIDITY = Basis("ISO 9712", "2021", "validity of certification", known="memory")


def near_vision_until(last: date) -> date:
    """The last day on which a near vision check made on `last` counts: 12 months.

    The same in the 2012 edition. Source: ISO 9712:2021, vision requirements (secondary).

    >>> near_vision_until(date(2024, 5, 10)).isoformat()
    '2025-05-10'
    """
    return months_later(last, 12)


def certificate_until(issued: date) -> date:
    """The last day of a certificate issued on `issued`: 5 years, at every level.

    Renewal after 5 years and recertification after 10 start a new certificate.
    Source: ISO 9712:2021, validity of certification (memory).

    >>> certificate_until(date(2020, 3, 1)).isoformat()
    '2025-03-01'
    """
    return months_later(issued, 60)


def near_vision(last: date, exam_on: date) -> Reason:
    """The reason for a near vision check on the day of an examination.

    Source: ISO 9712:2021, vision requirements (secondary).
    Raises InputError for a check after the examination.

    >>> str(near_vision(date(2024, 5, 10), date(2025, 5, 11)).verdict)
    'nonconformity'
    """
    return _in_force("near vision check", last, exam_on, near_vision_until(last), VISION)


def certificate(issued: date, used_on: date) -> Reason:
    """The reason for a certificate on the day it was used.

    Source: ISO 9712:2021, validity of certification (memory).
    Raises InputError for a certificate issued after its use.

    >>> str(certificate(date(2020, 3, 1), date(2025, 3, 1)).verdict)
    'clear'
    """
    return _in_force("NDT certificate", issued, used_on, certificate_until(issued), VALIDITY)


def _in_force(what: str, start: date, used_on: date, until: date, basis: Basis) -> Reason:
    if start > used_on:
        raise InputError(what, found=start, expected=f"not after its use on {used_on}")
    verdict = CLEAR if used_on <= until else NONCONFORMITY
    return Reason(what, f"used on {used_on}", f"{start} to {until}", basis, verdict)
