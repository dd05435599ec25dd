"""Where every stamp welded on every day, and when: what several questions about welders keep."""

from __future__ import annotations

from collections.abc import Iterator

from dossier.coverage.facts import Plain, Records, Told
from dossier.coverage.joint_file import joint_of
from dossier.coverage.view import View
from dossier.records.joints import Pass

QUESTION = "welder-days"
WELDER = "welder"


def gather(seen: View, records: Records) -> Iterator[Told]:
    """By stamp and day, for all passes that stand in one row: joint, KP, and each begin and end.

    Begin and end stand in one text, as ISO 8601 with a space between, so that these texts sort as
    the times do. A pass whose begin or end is not recorded tells the day alone.
    """
    found: dict[tuple[str, str, int, str], tuple[Pass, list[Plain]]] = {}
    for made in records.passes:
        starts, ends = made.started_at, made.finished_at
        day = starts or ends
        if day is None:
            continue
        text = day.isoformat()
        key = (made.welder, text[:10], id(made.origin), made.joint)
        kept = found.get(key)
        if kept is None:
            kept = found[key] = (made, [])
        if starts and ends:
            kept[1].append(f"{text} {ends.isoformat()}")
    joint = None
    for (stamp, text, _, number), (made, times) in found.items():
        if joint is None or joint.number != number or joint.origin is not made.origin:
            joint = joint_of(seen, made)
        kp = joint.kp_m if joint else None
        yield (WELDER, stamp, text), made.origin, (number, kp, *times)
