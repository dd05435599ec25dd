"""Could each stamp have been where the log puts it, one joint after another?

A stamp cannot be at two joints at one time, nor travel faster than anyone can. This is a
contradiction in the records to be cleared up, and says nothing of its cause.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise, repeat
from typing import Any

from dossier.coverage import welder_days
from dossier.coverage.facts import Groups, Row, Values, by_key, position_of
from dossier.coverage.view import View, project_basis
from dossier.coverage.welder_days import moment_of
from dossier.records.verdicts import HOLD, Basis, Evidence, Finding, Reason

NAME = "welder-whereabouts"
FACTS = {welder_days.QUESTION: welder_days.gather}


# Begin and end of a pass in seconds; its joint; the row that tells it.
Stay = tuple[float, float, str, int]


def check(seen: View) -> Iterator[Finding]:
    """One finding for each joint of a pair that one stamp cannot have served."""
    yield from conclude(seen, by_key(welder_days.gather(seen, seen.project)))


def conclude(seen: View, groups: Groups) -> Iterator[Finding]:
    """One finding for each joint of a pair that one stamp cannot have served."""
    speed = seen.project.settings.requirements.patterns.speed_max_kmh
    basis = project_basis(seen, "whereabouts of welders")
    found: dict[tuple[str, str, str], tuple[list[Reason], list[Evidence]]] = {}
    for (_, stamp, day), rows in groups.items():
        for first, second in _followed(rows) if len(rows) > 1 else ():
            ways = (rows[first[-1]][1][1], rows[second[-1]][1][1])
            reason = _reason(first, second, _apart_km(*ways), speed, basis)
            if reason is None:
                continue
            places = [position_of(rows[stay[-1]][0]) for stay in (first, second)]
            for joint in (first[2], second[2]):
                reasons, proofs = found.setdefault((joint, str(stamp), str(day)), ([], []))
                reasons.append(reason)
                proofs += [Evidence(place.of("started_at")) for place in places]
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


def _followed(rows: Sequence[Row]) -> Iterator[tuple[Stay, Stay]]:
    """A stay at one joint and the next of that stamp, where this is at another joint."""
    told = sorted(own for nth, row in enumerate(rows) if (own := _stays(nth, row[1])))
    # As a rule a welder leaves a joint for good: then only the last stay at it counts, and the
    # first at the next one.
    apart = all(before[-1] <= after[0] for before, after in pairwise(told))
    if apart:
        following = [(before[-1], after[0]) for before, after in pairwise(told)]
    else:
        following = [*pairwise(sorted(stay for own in told for stay in own))]
    for first, second in following:
        if first[2] != second[2]:
            yield first, second


def _stays(nth: int, values: Values) -> list[Stay]:
    """The stays that one row tells of, oldest first."""
    stays: Any = zip(values[2::2], values[3::2], repeat(values[0]), repeat(nth), strict=False)
    return sorted(stays)


def _apart_km(one_kp_m: object, other_kp_m: object) -> float | None:
    if isinstance(one_kp_m, float) and isinstance(other_kp_m, float):
        return abs(other_kp_m - one_kp_m) / 1000
    return None


def _reason(
    first: Stay, second: Stay, apart_km: float | None, speed: float | None, basis: Basis
) -> Reason | None:
    (_, left, at, _), (came, _, then_at, _) = first, second
    hours = (came - left) / 3600
    if hours < 0:
        start, end = moment_of(came), moment_of(left)
        found = f"at {then_at} from {start:%H:%M} and at {at} until {end:%H:%M}"
        return Reason("time", found, "one joint at a time", basis, HOLD)
    if speed is None or apart_km is None or apart_km <= speed * hours + 1e-9:
        return None
    found = f"{apart_km:.6g} km from {at} to {then_at} in {hours * 60:.0f} min"
    return Reason("way", found, f"up to {speed:g} km/h", basis, HOLD)
