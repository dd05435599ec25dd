"""Extent of examination, and progressive sampling after a defect in a random sample."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from dossier.codes.asme_b31_3.common import (
    CATEGORY_D,
    CATEGORY_M,
    CHOICES,
    HIGH_PRESSURE,
    NORMAL,
    SEVERE,
    clause,
)
from dossier.codes.face import Choices
from dossier.codes.readings import reading
from dossier.errors import InputError
from dossier.records.verdicts import CLEAR, NONCONFORMITY, Reason

PROGRESSIVE = clause("341.3.4")

# (service, method) -> share in per cent of the welds that the method looks at. VT of normal
# service is of fabrication other than longitudinal welds (those 100 %).
_EXTENT = {
    (NORMAL, "VT"): (5, clause("341.4.1(a)", "read")),
    (NORMAL, "RT or UT"): (5, clause("341.4.1(b)")),
    (CATEGORY_D, "RT or UT"): (0, clause("341.4.2")),
    (SEVERE, "VT"): (100, clause("341.4.3(a)", "read")),
    (SEVERE, "RT or UT"): (100, clause("341.4.3(b)", "read")),
    (SEVERE, "MT or PT"): (100, clause("341.4.3(b)", "read")),
    (CATEGORY_M, "RT or UT"): (20, clause("M341.4(b)")),
    (HIGH_PRESSURE, "RT or UT"): (100, clause("K341.4")),
}


def extent_percent(service: str, method: str) -> int:
    """Least share of welds to examine, in per cent, each weld fully unless agreed otherwise.

    "RT or UT" speaks of girth and miter grooves (high pressure: longitudinal and branch as
    well); "MT or PT" of socket and branch welds that are not radiographed.

    Source: ASME B31.3, 341.4, M341.4, K341.4 (see the table for how each is known).
    Raises InputError: a pair of service and method that the table does not hold.

    >>> extent_percent("normal", "RT or UT"), extent_percent("severe cyclic", "RT or UT")
    (5, 100)
    """
    if (service, method) not in _EXTENT:
        raise InputError("service, method", found=f"{service}, {method}", expected="a listed pair")
    return _EXTENT[service, method][0]


@dataclass(frozen=True, slots=True)
class Progress:
    """Where progressive sampling stands: what to do, how many more, how many looked at in all.

    `looked_at` counts the defective welds of the first sample and all the welds they led to.
    """

    state: str  # "accepted", "examine more", "all represented"
    more: int = 0
    looked_at: int = 0


def progressive(
    first: int, second: int | None = None, third: int | None = None, *, choices: Choices
) -> Progress:
    """State of sampling from the defective welds of the first sample and of the two tiers.

    None: the tier was not examined yet. Each defect of the first sample asks two more welds of
    the same kind by the same welder (choice "b31.3 first tier"); each defect there two more
    again; a defect among those condemns all that the sample stands for: repaired or replaced,
    or examined in full. A repair that fails starts no new round.

    Source: ASME B31.3, 341.3.4 (secondary, 2008). Raises InputError: more defects than welds
    examined, a tier without the one before it.

    >>> progressive(1, 2, choices={})
    Progress(state='examine more', more=4, looked_at=7)
    """
    each = reading(choices, CHOICES, "b31.3 first tier") == "two for each defect"
    tier_1 = 2 * first if each else 2 * min(first, 1)
    _checked(first, second, third, tier_1)
    if not first:
        return Progress("accepted")
    if second is None:
        return Progress("examine more", tier_1, first + tier_1)
    if not second:
        return Progress("accepted", 0, first + tier_1)
    tier_2 = 2 * second
    if third is None:
        return Progress("examine more", tier_2, first + tier_1 + tier_2)
    return Progress("all represented" if third else "accepted", 0, first + tier_1 + tier_2)


def _checked(first: int, second: int | None, third: int | None, tier_1: int) -> None:
    possible = (
        first >= 0 and 0 <= (second or 0) <= tier_1 and 0 <= (third or 0) <= 2 * (second or 0)
    )
    if not possible or (third is not None and second is None):
        found = (first, second, third)
        raise InputError("defects", found=found, expected="no more than were examined in each tier")


@dataclass(frozen=True, slots=True)
class Sample:
    """A weld that was examined: joint, welder, kind of weld, whether it was defective."""

    joint: str
    welder: str
    kind: str = "girth"
    defective: bool = False


def tracer_reasons(defect: Sample, tracers: Sequence[Sample]) -> tuple[Reason, ...]:
    """Reasons for each weld offered on account of a defect: other weld, same welder, same kind.

    Source: ASME B31.3, 341.3.4 (secondary, 2008).

    >>> defect = Sample("J-1", "W07", defective=True)
    >>> [str(r.verdict) for r in tracer_reasons(defect, [Sample("J-2", "W08")])]
    ['nonconformity']
    """
    permitted = f"another {defect.kind} weld of {defect.welder}"
    return tuple(
        Reason(
            f"weld offered for {defect.joint}",
            f"{one.joint}, {one.kind}, {one.welder}",
            permitted,
            PROGRESSIVE,
            CLEAR
            if (one.welder, one.kind) == (defect.welder, defect.kind) and one.joint != defect.joint
            else NONCONFORMITY,
        )
        for one in tracers
    )


def sampling_of(
    first: Sequence[Sample],
    second: Sequence[Sample] = (),
    third: Sequence[Sample] = (),
    *,
    choices: Choices,
) -> dict[str, Progress]:
    """State of sampling of every welder who had a defect in the first sample, from the welds.

    A tier that holds fewer of the welder's welds than were asked is not complete: more are due.

    Source: ASME B31.3, 341.3.4 (secondary, 2008).

    >>> bad, good = Sample("J-1", "W07", defective=True), Sample("J-2", "W07")
    >>> sampling_of([bad], [good], choices={})["W07"].more
    1
    """
    welders = dict.fromkeys(one.welder for one in first if one.defective)
    return {w: _of_welder(w, first, (second, third), choices) for w in welders}


def _of_welder(
    welder: str,
    first: Sequence[Sample],
    tiers: tuple[Sequence[Sample], Sequence[Sample]],
    choices: Choices,
) -> Progress:
    counts = [sum(one.defective for one in first if one.welder == welder)]
    state = progressive(*counts, choices=choices)
    for tier in tiers:
        own = [one for one in tier if one.welder == welder]
        if state.state != "examine more":
            break
        bad = sum(one.defective for one in own)
        if len(counts) == 2 and bad:  # one defect in the last tier settles it
            return Progress("all represented", 0, state.looked_at)
        if len(own) < state.more:
            return Progress("examine more", state.more - len(own), state.looked_at)
        counts.append(min(bad, state.more))
        state = progressive(*counts, choices=choices)
    return state
