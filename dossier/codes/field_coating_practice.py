"""Field joint coating practice: peel tests, holidays. A project's own figures go first."""

from __future__ import annotations

from math import ceil

from dossier.calc.guards import not_negative, positive
from dossier.records.verdicts import Basis

PEEL_SAMPLING = Basis("field joint coating practice", "", "peel tests", known="practice")
HOLIDAYS = Basis("field joint coating practice", "", "holidays in a sleeve", known="practice")


def min_peel_tests(joints_coated: int, days: int, joints_per_test: int = 50) -> int:
    """Fewest peel tests: one in so many joints or one a day, whichever is more.

    Source: common practice of projects (read in course and tender papers).
    Raises InputError for negative counts or less than one joint a test.

    >>> min_peel_tests(220, 3)
    5
    """
    share = not_negative("joints_coated", joints_coated) / positive(
        "joints_per_test", joints_per_test
    )
    return max(ceil(share), int(not_negative("days", days)))


def holiday_disposition(holidays: int, most_patched: int = 2) -> str:
    """What is done with a sleeve that shows so many holidays.

    "accept" with none, "patch_and_test_again" up to `most_patched`, "strip_and_replace" above.

    Source: common practice of projects (read in tender papers).
    Raises InputError for a negative count.

    >>> holiday_disposition(3), holiday_disposition(2)
    ('strip_and_replace', 'patch_and_test_again')
    """
    if not_negative("holidays", holidays) == 0:
        return "accept"
    return "patch_and_test_again" if holidays <= most_patched else "strip_and_replace"
