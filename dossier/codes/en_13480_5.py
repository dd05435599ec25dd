"""EN 13480-5:2002 (issue 6): extent of examination of metallic industrial piping."""

from __future__ import annotations

from math import ceil

from dossier.errors import InputError
from dossier.records.verdicts import Basis

EDITION = "EN 13480-5:2002"
EXTENT = Basis("EN 13480-5", "2002", "8.2.1", "read")
PROGRESSIVE = Basis("EN 13480-5", "2002", "8.1, Figure 8.1-1", "read")

FIRST_WELDS = 100
LEAST_WELDS = 5


def welds_to_examine(welds: int, specified_percent: float, rejected_in_first: int | None) -> int:
    """The fewest welds to examine of `welds`.

    Where 5 % is specified it holds for the first hundred welds; with none of these rejected
    (`rejected_in_first` 0; None: not known yet) the overall share may fall to 2 %, five welds at
    least. Source: EN 13480-5:2002, 8.2.1 c) (read).
    Raises InputError: a negative number of welds, a share outside 0 to 100 %.

    >>> welds_to_examine(100, 5, 0), welds_to_examine(500, 5, 0), welds_to_examine(500, 5, 1)
    (5, 10, 25)
    """
    if welds < 0 or not 0 <= specified_percent <= 100:
        found = f"{welds} welds, {specified_percent} %"
        raise InputError("extent", found=found, expected="0 or more welds, 0 to 100 %")
    full = ceil(round(welds * specified_percent / 100, 9))
    if specified_percent != 5 or welds <= FIRST_WELDS or rejected_in_first != 0:
        return full
    return max(LEAST_WELDS, ceil(round(welds * 0.02, 9)))


def volumetric_percent(
    table_percent: float, *, group: str, piping_class: str, dn: int, fluid: str
) -> float:
    """Share of welds for radiography or ultrasound, in per cent.

    At least 10 % for groups 1.1, 1.2 and 8.1 in class I or II over DN 25 with a very toxic or
    extremely flammable fluid; else that of the table.
    Source: EN 13480-5:2002, 8.2.1 b) (read).

    >>> volumetric_percent(5, group="1.2", piping_class="I", dn=50, fluid="very toxic")
    10
    """
    dangerous = fluid in ("very toxic", "extremely flammable")
    bound = group in ("1.1", "1.2", "8.1") and piping_class in ("I", "II") and dn > 25
    return max(table_percent, 10) if bound and dangerous else table_percent


def category_for_extent(category: str, governed_by: str) -> str:
    """The category that sets the extent of examination.

    Piping governed by creep or fatigue counts as category III.
    Source: EN 13480-5:2002, 8.2.1 a) (read).

    >>> category_for_extent("I", "fatigue"), category_for_extent("I", "pressure")
    ('III', 'I')
    """
    return "III" if governed_by in ("creep", "fatigue") else category


def after_rejection(sample_rejected: int, extra_rejected: int | None) -> str:
    """What follows when a weld of a random sample is rejected: two more for each, then all.

    `extra_rejected` None: the further welds are not examined yet.
    Source: EN 13480-5:2002, 8.1, Figure 8.1-1 (read). Raises InputError: a negative number.

    >>> after_rejection(1, None), after_rejection(1, 1)
    ('test 2 more welds', 'test all welds of the group')
    """
    if sample_rejected < 0 or (extra_rejected or 0) < 0:
        raise InputError("rejected", found=(sample_rejected, extra_rejected), expected="0 or more")
    if sample_rejected == 0:
        return "group accepted"
    if extra_rejected is None:
        return f"test {2 * sample_rejected} more welds"
    if extra_rejected:
        return "test all welds of the group"
    return "repair the rejected weld, re-examine, group accepted"
