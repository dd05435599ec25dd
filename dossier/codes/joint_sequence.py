"""The order of work on a field joint, and when a repair is closed."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from itertools import combinations
from types import MappingProxyType

from dossier.calc.guards import positive
from dossier.errors import InputError
from dossier.records.verdicts import CLEAR, HOLD, NONCONFORMITY, Basis, Reason

# The law asks for the look at the coating just before lowering; the rest is common practice.
ORDER = Basis("49 CFR 192", "", "192.461(c) and common practice", known="secondary")
REPAIR = Basis("49 CFR 192", "", "192.245(b), (c)", known="read")

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
    """Pairs of steps done in the wrong order, as (the one that came late, the one before it).

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
        (early, late)
        for (early, early_day), (late, late_day) in combinations(done, 2)
        if early_day > late_day
    ]


def in_order(days: Mapping[str, date | None]) -> list[Reason]:
    """One reason for each pair of steps done in the wrong order; none when all is in order.

    Source: 49 CFR 192.461(c) for the last step, common practice for the others.
    Raises InputError for a step that is not in STEPS.

    >>> in_order({"welded": date(2025, 6, 2), "ndt": date(2025, 6, 2)})
    []
    """
    return [
        Reason("order of work", f"{late} after {early}", "the other way", ORDER, NONCONFORMITY)
        for late, early in disorders(days)
    ]


def repair_closed(
    repair_no: int, *, reexamined: bool, accepted: bool = True, qualified_procedure: bool = False
) -> tuple[Reason, ...]:
    """The reasons for a repair being closed, or for its joint staying open.

    It is closed once the repaired part has been examined again and accepted; from the second
    repair of the same place on a qualified repair procedure is needed as well.

    Source: 49 CFR 192.245(b), (c) (read). Raises InputError for a repair number below 1.

    >>> [str(reason.verdict) for reason in repair_closed(1, reexamined=False)]
    ['hold']
    """
    positive("repair_no", repair_no)
    found = "repair re-examined" if reexamined else "repair not re-examined"
    verdict = HOLD
    if reexamined:
        found, verdict = (f"{found}, accepted", CLEAR) if accepted else ("rejected", NONCONFORMITY)
    reasons = [Reason("repair", found, "re-examined and accepted", REPAIR, verdict)]
    if repair_no > 1:
        how = "qualified" if qualified_procedure else "not shown to be qualified"
        verdict = CLEAR if qualified_procedure else HOLD
        reasons.append(Reason("repair procedure", how, "qualified", REPAIR, verdict))
    return tuple(reasons)
