"""The clocks of 49 CFR 192 and 195: calendar months, and seven and a half of them.

The text gives no rule for the boundary day. "six calendar months" from a day run through the same
day of the sixth month after (the default), through the day before it (the stricter), or through
the end of that month. Half a month is taken as so many days.
"""

from __future__ import annotations

from calendar import monthrange
from datetime import date, timedelta

from dossier.codes.face import Choices
from dossier.codes.periods import months_later
from dossier.codes.readings import Readings, reading

CHOICES: Readings = {
    "last day of calendar months": (
        "same day",
        ("day before", "end of month"),
        "last day inside a number of calendar months counted from a day",
    ),
    "days of half a month": ("15", ("14",), "how many days the half of 7 1/2 months is"),
}


def through(day: date, months: int, choices: Choices) -> date:
    """Last day inside `months` calendar months from `day`.

    Source: 49 CFR 192.229, 195.222 (the months memory; the boundary is the project's choice).

    >>> through(date(2025, 1, 15), 6, {}), through(date(2024, 8, 31), 6, {})
    (datetime.date(2025, 7, 15), datetime.date(2025, 2, 28))
    >>> through(date(2025, 1, 15), 6, {"last day of calendar months": "end of month"})
    datetime.date(2025, 7, 31)
    """
    last = months_later(day, months)
    way = reading(choices, CHOICES, "last day of calendar months")
    if way == "day before":
        return last - timedelta(days=1)
    if way == "end of month":
        return last.replace(day=monthrange(last.year, last.month)[1])
    return last


def through_seven_and_a_half(day: date, choices: Choices) -> date:
    """Last day inside 7 1/2 calendar months from `day`.

    Source: 49 CFR 192.229 (memory).

    >>> through_seven_and_a_half(date(2025, 1, 15), {})
    datetime.date(2025, 8, 30)
    """
    half = int(reading(choices, CHOICES, "days of half a month"))
    return through(day, 7, choices) + timedelta(days=half)
