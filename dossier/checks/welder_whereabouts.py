"""Could each stamp have been where the log puts it, one joint after another?

A stamp cannot be at two joints at one time, nor travel faster than anyone can. This is a
contradiction in the records to be cleared up, and says nothing of its cause.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime
from itertools import pairwise

from dossier.coverage.facts import Fact, Records, by_key
from dossier.coverage.joint_file import joint_of
from dossier.coverage.view import View, project_basis
from dossier.records.joints import Pass
from dossier.records.verdicts import HOLD, Basis, Evidence, Finding, Reason

NAME = "welder-whereabouts"


@dataclass(frozen=True, slots=True)
class _Stay:
    """A stamp at a joint from its first arc to the end of a pass."""

    joint: str
    starts: datetime
    ends: datetime
    kp_m: float | None
    proof: Evidence


def check(seen: View) -> Iterator[Finding]:
    """One finding for each joint of a pair that one stamp cannot have served."""
    yield from conclude(seen, gather(seen, seen.project))


def gather(seen: View, records: Records) -> Iterator[Fact]:
    """The place and the times of all passes that stand in one row, by stamp and day."""
    stays: dict[tuple[str, str, int], tuple[Pass, list[str]]] = {}
    for made in records.passes:
        if made.started_at is None or made.finished_at is None:
            continue
        starts, ends = made.started_at.isoformat(), made.finished_at.isoformat()
        key = (made.welder, starts[:10], id(made.origin))
        stays.setdefault(key, (made, []))[1].extend((starts, ends))
    for (stamp, day, _), (made, times) in stays.items():
        joint = joint_of(seen, made)
        kp = joint.kp_m if joint else None
        yield Fact((stamp, day), made.origin, (made.joint, kp, *times))


def conclude(seen: View, facts: Iterable[Fact]) -> Iterator[Finding]:
    """One finding for each joint of a pair that one stamp cannot have served."""
    speed = seen.project.settings.requirements.patterns.speed_max_kmh
    basis = project_basis(seen, "whereabouts of welders")
    found: dict[tuple[str, str, str], tuple[list[Reason], list[Evidence]]] = {}
    for (stamp, day), own in by_key(facts).items():
        parts = [stay for fact in own for stay in _stays(fact)]
        stays = sorted(parts, key=lambda stay: (stay.starts, stay.ends, stay.joint))
        for first, second in pairwise(stays):
            if first.joint == second.joint:
                continue
            reason = _reason(first, second, speed, basis)
            if reason is None:
                continue
            for one in (first, second):
                reasons, proofs = found.setdefault((one.joint, str(stamp), str(day)), ([], []))
                reasons.append(reason)
                proofs += [first.proof, second.proof]
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


def _stays(fact: Fact) -> Iterator[_Stay]:
    joint, kp, *times = fact.values
    for starts, ends in zip(times[::2], times[1::2], strict=True):
        yield _Stay(
            str(joint),
            datetime.fromisoformat(str(starts)),
            datetime.fromisoformat(str(ends)),
            kp if isinstance(kp, float) else None,
            Evidence(fact.origin.of("started_at")),
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
