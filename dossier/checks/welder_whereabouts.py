"""Could each stamp have been where the log puts it, one joint after another?

A stamp cannot be at two joints at one time, nor travel faster than anyone can. This is a
contradiction in the records to be cleared up, and says nothing of its cause.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from itertools import pairwise

from dossier.coverage.evidence import at
from dossier.coverage.view import View, project_basis
from dossier.records.joints import Joint, Pass
from dossier.records.verdicts import HOLD, Basis, Evidence, Finding, Reason

NAME = "welder-whereabouts"


@dataclass(frozen=True, slots=True)
class _Stay:
    """A stamp at a joint from its first arc to the end of a pass."""

    joint: str
    starts: datetime
    ends: datetime
    kp_m: float | None
    made: Pass


def check(seen: View) -> Iterator[Finding]:
    """One finding for each joint of a pair that one stamp cannot have served."""
    speed = seen.project.settings.requirements.patterns.speed_max_kmh
    basis = project_basis(seen, "whereabouts of welders")
    found: dict[tuple[str, str, str], tuple[list[Reason], list[Evidence]]] = {}
    for stamp, stays in _stays(seen).items():
        for first, second in _pairs(stays):
            reason = _reason(first, second, speed, basis)
            if reason is None:
                continue
            for one in (first, second):
                key = (one.joint, stamp, str(one.starts.date()))
                reasons, proofs = found.setdefault(key, ([], []))
                reasons.append(reason)
                proofs += [e for stay in (first, second) for e in at(stay.made, "started_at")]
    for (joint, stamp, day), (reasons, proofs) in found.items():
        yield Finding(
            NAME,
            HOLD,
            (("joint", joint), ("welder", stamp), ("day", day)),
            f"Stamp {stamp} on joint {joint}, {day}: {reasons[0].found}.",
            tuple(dict.fromkeys(reasons)),
            tuple(dict.fromkeys(proofs)),
            "Establish from the daily record who welded which joint and when.",
        )


def _stays(seen: View) -> dict[str, list[_Stay]]:
    places: dict[str, Joint] = {joint.number: joint for joint in seen.project.joints}
    stays: dict[str, list[_Stay]] = defaultdict(list)
    for made in seen.project.passes:
        if made.started_at is None or made.finished_at is None:
            continue
        place = places.get(made.joint)
        kp = place.kp_m if place else None
        stays[made.welder].append(_Stay(made.joint, made.started_at, made.finished_at, kp, made))
    for row in stays.values():
        row.sort(key=lambda stay: (stay.starts, stay.ends, stay.joint))
    return stays


def _pairs(stays: list[_Stay]) -> Iterator[tuple[_Stay, _Stay]]:
    """Stays of one day at two joints, one right after the other or during it."""
    yield from (
        (before, after)
        for before, after in pairwise(stays)
        if before.joint != after.joint and before.starts.date() == after.starts.date()
    )


def _reason(first: _Stay, second: _Stay, speed: float | None, basis: Basis) -> Reason | None:
    hours = (second.starts - first.ends).total_seconds() / 3600
    if hours < 0:
        found = (
            f"at {second.joint} from {second.starts:%H:%M} and at {first.joint} until "
            f"{first.ends:%H:%M}"
        )
        return Reason("time", found, "one joint at a time", basis, HOLD)
    if speed is None or first.kp_m is None or second.kp_m is None:
        return None
    apart_km = abs(second.kp_m - first.kp_m) / 1000
    if apart_km <= speed * hours + 1e-9:
        return None
    found = f"{apart_km:.3g} km from {first.joint} to {second.joint} in {hours * 60:.0f} min"
    return Reason("way", found, f"up to {speed:g} km/h", basis, HOLD)
