"""Where every stamp welded on every day, and when: what several questions about welders keep."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime, timedelta

from dossier.coverage.facts import Plain, Records, Told
from dossier.coverage.joint_file import joint_of
from dossier.coverage.view import View
from dossier.records.joints import Pass

QUESTION = "welder-days"
WELDER = "welder"
_START = datetime(2000, 1, 1)  # any day: so near, a float tells microseconds apart  # noqa: DTZ001


def gather(seen: View, records: Records) -> Iterator[Told]:
    """By stamp and day, for all passes that stand in one row: joint, KP, and each begin and end.

    Begin and end are in seconds, see `moment_of`. A pass whose begin or end is not recorded tells
    the day alone.
    """
    found: dict[tuple[str, date, int, str], tuple[Pass, list[Plain]]] = {}
    for made in records.passes:
        starts, ends = made.started_at, made.finished_at
        begun = starts or ends
        if begun is None:
            continue
        key = (made.welder, begun.date(), id(made.origin), made.joint)
        kept = found.get(key)
        if kept is None:
            kept = found[key] = (made, [])
        if starts and ends:
            _, times = kept
            times += ((starts - _START).total_seconds(), (ends - _START).total_seconds())
    joint = None
    for (stamp, day, _, number), (made, times) in found.items():
        if joint is None or joint.number != number or joint.origin is not made.origin:
            joint = joint_of(seen, made)
        kp = joint.kp_m if joint else None
        yield (WELDER, stamp, str(day)), made.origin, (number, kp, *times)


def moment_of(seconds: float) -> datetime:
    """The moment that stands for this number of seconds."""
    return _START + timedelta(seconds=seconds)
