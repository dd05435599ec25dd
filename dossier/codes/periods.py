"""Periods of months and years, counted by the calendar.

Convention (common practice, a setting of none of the standards): a period of n months that
starts on a day is good through the same calendar day n months later, and through the last day
of that month where it has no such day.
"""

from __future__ import annotations

from calendar import monthrange
from datetime import date


def months_later(day: date, months: int) -> date:
    """The last day of a period of `months` that starts on `day`; negative counts backwards.

    >>> months_later(date(2023, 8, 31), 6), months_later(date(2024, 2, 29), 24)
    (datetime.date(2024, 2, 29), datetime.date(2026, 2, 28))
    """
    year, month = divmod(day.year * 12 + day.month - 1 + months, 12)
    return date(year, month + 1, min(day.day, monthrange(year, month + 1)[1]))
