"""Filler metal groups of API 1104, Table 1."""

from __future__ import annotations

import re

from dossier.codes.api_1104_21.settings import basis
from dossier.records.verdicts import Choice

# Groups 6 to 9 are reported by pages that show the table; the others are known from memory.
GROUPS: dict[str, tuple[str, ...]] = {
    "1": ("E6010", "E6011", "E7010", "E7011"),
    "2": ("E8010", "E8011", "E9010"),
    "3": (
        "E7015", "E7016", "E7018", "E8015", "E8016", "E8018", "E9015", "E9016", "E9018",
    ),
    "4": ("EL8", "EL8K", "EL12", "EM5K", "EM12K", "EM13K", "EM15K"),
    "5": ("ER70S-2", "ER70S-6", "ER80S-D2", "ER90S-G"),
    "6": ("RG60", "RG65"),
    "7": ("E61T-GS", "E71T-GS"),
    "8": ("E71T8-K6",),
    "9": ("E91T8-G",),
}  # fmt: skip
_GROUP_OF = {name: group for group, names in GROUPS.items() for name in names}

FAMILIES = (("1", "2"), ("3", "4", "5", "6", "7", "8", "9"))
FILLER = basis("6.2.2 c), 6.3.2 c)", "memory")


def filler_group(classification: str) -> str:
    """Filler group "1" to "9" of an AWS classification; "" when Table 1 does not list it.

    A suffix of alloy or moisture ("-P1", "-1 H4R") does not change the group of a covered
    electrode. A specification before the classification ("A5.1 E7018") is passed over.

    Source: API 1104, 21st edition, Table 1 (groups 6 to 9 read; 1 to 5 memory).

    >>> filler_group("A5.5 E8010-P1"), filler_group("E71T8-K6"), filler_group("E308L-16")
    ('2', '8', '')
    """
    words = classification.upper().replace("AWS", " ").split()
    for word in words:
        if word in _GROUP_OF:
            return _GROUP_OF[word]
        covered = re.match(r"(E\d{4})(?:-|$)", word)
        if covered and covered[1] in _GROUP_OF:
            return _GROUP_OF[covered[1]]
    return ""


def group_name(filler: str, filler_group_recorded: str = "") -> str | None:
    """The group a deposit belongs to: as recorded, by its classification, or on its own.

    A recorded group of another code ("F4") is passed over. A filler that Table 1 does not list is
    a group of its own, named after its classification. None where neither is recorded.

    Source: API 1104, 21st edition, Table 1.

    >>> group_name("E7018", "F4"), group_name("E308L-16"), group_name("", "group 3"), group_name("")
    ('3', 'unlisted E308L-16', '3', None)
    """
    recorded = filler_group_recorded.removeprefix("group").strip()
    if recorded in GROUPS:
        return recorded
    if not filler:
        return None
    return filler_group(filler) or f"unlisted {filler}"


def welder_filler_groups(group: str) -> Choice:
    """Filler groups that a welder tested with `group` may use.

    Groups 1 and 2 stand together, groups 3 to 9 stand together, and a filler that is not listed
    stands alone.

    Source: API 1104, 21st edition, 6.2.2 c) and 6.3.2 c) (memory; the 20th edition, read, names
    only groups 1, 2 and 3).

    >>> str(welder_filler_groups("2"))
    '1, 2'
    """
    for family in FAMILIES:
        if group in family:
            return Choice.of(family, FILLER)
    return Choice.of({group}, FILLER)
