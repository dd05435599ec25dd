"""ASME B31.4, 2016: extent of examination of girth welds of liquid pipelines."""

from __future__ import annotations

from collections.abc import Sequence

from dossier.codes.face import Rule
from dossier.errors import InputError

EDITION = "ASME B31.4:2016"

RULES: Sequence[Rule] = (
    Rule("Share of a day's welds", "434.8.5", "memory", "dossier.codes.asme_b31_4.extent_percent"),
    Rule("Whole circumference", "434.8.5(b)", "read", "dossier.codes.asme_b31_4.weld_is_complete"),
)
NOT_COVERED: Sequence[str] = (
    "Acceptance: API 1104 governs.",
    "Hoop stress of 20 % of SMYS or less, where visual examination may do.",
)
CRITICAL = frozenset(
    {"populated area", "water crossing", "road or railroad right-of-way", "offshore", "tie-in"}
)
_OPEN_COUNTRY = "open country"


def extent_percent(location: str, *, some_inaccessible: bool = False) -> int:
    """Least share of the girth welds of each day to examine, in per cent.

    Open country 10 %; CRITICAL locations all, or 90 % where some cannot be reached.

    Source: ASME B31.4, 2016, 434.8.5 (10 % memory; critical locations read, of which tie-ins
    memory). Raises InputError: a location that is not named.

    >>> extent_percent("open country"), extent_percent("offshore", some_inaccessible=True)
    (10, 90)
    """
    if location == _OPEN_COUNTRY:
        return 10
    if location not in CRITICAL:
        expected = ", ".join([_OPEN_COUNTRY, *sorted(CRITICAL)])
        raise InputError("location", found=location, expected=expected)
    return 90 if some_inaccessible else 100


def weld_is_complete(examined_share: float) -> bool:
    """A chosen weld is examined over its whole circumference.

    Source: ASME B31.4, 2016, 434.8.5(b) (read). Raises InputError: a share outside 0 to 1.

    >>> weld_is_complete(0.5)
    False
    """
    if not 0 <= examined_share <= 1:
        raise InputError("examined_share", found=examined_share, expected="from 0 to 1")
    return examined_share == 1
