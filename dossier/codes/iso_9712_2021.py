"""ISO 9712:2021: how long an examiner's certificate and vision test hold."""

from __future__ import annotations

from datetime import date

from dossier.codes.periods import months_later
from dossier.errors import InputError
from dossier.records.verdicts import CLEAR, NONCONFORMITY, Basis, Reason

EDITION = "ISO 9712:2021"
EXAMINER_VALIDITY = Basis("ISO 9712", "2021", "validity clause", "memory")
EXAMINER_VISION = Basis("ISO 9712", "2021", "vision clause")


def examiner_certificate_until(issued: date) -> date:
    """Last day of an examiner's certificate: five years, then renewal.

    Source: ISO 9712:2021, validity clause (memory).

    >>> examiner_certificate_until(date(2020, 3, 1))
    datetime.date(2025, 3, 1)
    """
    return months_later(issued, 60)


def vision_test_until(tested: date) -> date:
    """Last day of an examiner's near-vision test: twelve months.

    Source: ISO 9712:2021, vision clause (secondary).

    >>> vision_test_until(date(2024, 5, 10))
    datetime.date(2025, 5, 10)
    """
    return months_later(tested, 12)


def examiner_certificate(issued: date, used_on: date) -> Reason:
    """The reason for a certificate on the day it was used; its last day counts.

    Source: ISO 9712:2021, validity clause (memory).
    Raises InputError: a certificate issued after its use.

    >>> str(examiner_certificate(date(2020, 3, 1), date(2025, 3, 2)).verdict)
    'nonconformity'
    """
    until = examiner_certificate_until(issued)
    return _in_force("examiner's certificate", issued, until, used_on, EXAMINER_VALIDITY)


def vision_test(tested: date, exam_on: date) -> Reason:
    """The reason for a near-vision test on the day of an examination; its last day counts.

    Source: ISO 9712:2021, vision clause (secondary).
    Raises InputError: a test made after the examination.

    >>> str(vision_test(date(2024, 5, 10), date(2025, 5, 10)).verdict)
    'clear'
    """
    return _in_force(
        "near-vision test", tested, vision_test_until(tested), exam_on, EXAMINER_VISION
    )


def _in_force(what: str, start: date, until: date, used_on: date, basis: Basis) -> Reason:
    if start > used_on:
        raise InputError(what, found=start, expected=f"not after its use on {used_on}")
    verdict = CLEAR if used_on <= until else NONCONFORMITY
    return Reason(what, f"used on {used_on}", f"{start} to {until}", basis, verdict)
