"""ISO 9712:2021: how long an examiner's certificate and vision test hold."""

from __future__ import annotations

from datetime import date

from dossier.codes.periods import months_later
from dossier.records.verdicts import Basis

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
