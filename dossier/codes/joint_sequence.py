"""The order of work on a field joint."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from itertools import combinations
from types import MappingProxyType

from dossier.errors import InputError
from dossier.records.verdicts import NONCONFORMITY, Basis, Reason

# The law asks for the look at the coating just before lowering; the rest is common practice.
ORDER = Basis("49 CFR 192", "", "192.461(c) and common practice", known="secondary")

STEPS = MappingProxyType(
    {
        "welded": "welding",
        "ndt": "ndt",
        "repaired": "repair",
        "repair_ndt": "ndt of the repair",
        "coated": "coating",
        "holiday": "holiday",
        "lowered": "lowering",
    }
)


def disorders(days: Mapping[str, date | None]) -> list[tuple[str, str]]:
    """Pairs of steps done in the wrong order, as (the one due first, the one done before it).

    `days` holds the day of each step of STEPS that was done; None or absent is not done. Steps
    on one day are in order.

    Source: 49 CFR 192.461(c) for the last step, common practice for the others.
    Raises InputError for a step that is not in STEPS.

    >>> disorders({"ndt": date(2025, 6, 6), "coated": date(2025, 6, 5)})
    [('ndt', 'coating')]
    """
    unknown = sorted(set(days) - set(STEPS))
    if unknown:
        raise InputError("days", found=", ".join(unknown), expected=f"only {', '.join(STEPS)}")
    done = [(STEPS[step], day) for step in STEPS if (day := days.get(step)) is not None]
    return [
        (first, then)
        for (first, first_day), (then, then_day) in combinations(done, 2)
        if first_day > then_day
    ]


def in_order(days: Mapping[str, date | None]) -> list[Reason]:
    """One reason for each pair of steps done in the wrong order; none when all is in order.

    Source: 49 CFR 192.461(c) for the last step, common practice for the others.
    Raises InputError for a step that is not in STEPS.

    >>> in_order({"welded": date(2025, 6, 2), "ndt": date(2025, 6, 2)})
    []
    """
    return [
        Reason("order of work", f"{first} after {then}", "before it", ORDER, NONCONFORMITY)
        for first, then in disorders(days)
    ]
