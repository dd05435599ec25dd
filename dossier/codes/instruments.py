"""How long instruments, sources and people's near vision stay good between checks.

Each item names the rule it goes by here; where another rule governs the job, that one is used.
The last day of an interval still counts (common practice).
"""

from __future__ import annotations

from datetime import date, timedelta
from types import MappingProxyType
from typing import NamedTuple

from dossier.codes.periods import months_later
from dossier.errors import InputError
from dossier.records.verdicts import CLEAR, HOLD, NONCONFORMITY, Basis, Reason


class Interval(NamedTuple):
    """The longest time between two checks: days, or months by the calendar."""

    days: int
    months: int
    basis: Basis


INTERVALS = MappingProxyType(
    {
        "densitometer": Interval(
            90, 0, Basis("ASME BPVC Section V", "2007", "Article 2, T-262.1", known="read")
        ),
        "step wedge comparison film": Interval(
            0, 12, Basis("ASME BPVC Section V", "2007", "Article 2, T-262.3(b)", known="read")
        ),
        "radiation survey meter": Interval(
            0, 6, Basis("10 CFR 34", "", "34.25(b)", known="secondary")
        ),
        "sealed source leak test": Interval(
            0, 6, Basis("10 CFR 34", "", "34.27(c)(1)", known="read")
        ),
        # ASME V, Article 7 asks for the yoke once a year (memory): the stricter one is kept here.
        "magnetic yoke dead weight check": Interval(
            0, 6, Basis("ASTM E3024", "2016", "Table 1", known="read")
        ),
        "UV-A radiometer or light meter": Interval(
            0, 12, Basis("ASTM E3024", "2016", "Table 1", known="read")
        ),
    }
)


def due_on(item: str, last: date) -> date:
    """The last day on which an item may be used after a check on `last`.

    Source: the basis of the item in INTERVALS. Raises InputError for an unknown item.

    >>> due_on("densitometer", date(2025, 1, 10)).isoformat()
    '2025-04-10'
    """
    if item not in INTERVALS:
        raise InputError("item", found=item, expected=f"one of {', '.join(INTERVALS)}")
    interval = INTERVALS[item]
    return months_later(last, interval.months) + timedelta(days=interval.days)


def in_date(item: str, last: date | None, used_on: date) -> Reason:
    """The reason for using an item on a day, by its last check; no check recorded is a hold.

    Source: the basis of the item in INTERVALS. Raises InputError for an unknown item, or a
    check that lies after the use.

    >>> str(in_date("densitometer", date(2025, 1, 10), date(2025, 4, 11)).verdict)
    'nonconformity'
    """
    due = due_on(item, last or used_on)
    basis = INTERVALS[item].basis
    if last is None:
        return Reason(item, "no check recorded", "a check in date", basis, HOLD)
    if last > used_on:
        raise InputError("last", found=last, expected=f"not after the use on {used_on}")
    verdict = CLEAR if used_on <= due else NONCONFORMITY
    return Reason(item, f"used on {used_on}", f"until {due}", basis, verdict)
