"""Examinations still owed: shares of the law by day, zone and welder; tracers; films ahead."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from math import ceil
from statistics import median

from dossier.coverage.joint_file import joint_file
from dossier.coverage.plan.needs import Needs
from dossier.coverage.shares import shares
from dossier.coverage.tracers import Lot, lots, members
from dossier.coverage.view import View
from dossier.records.joints import Joint
from dossier.records.verdicts import CLEAR, Reason

DONE = ("accepted", "none due", "closed")


@dataclass(frozen=True, slots=True)
class Owed:
    """One share that falls short: how many more welds, and which can still be examined."""

    line: str
    day: date
    kind: str  # "zone" or "welder"
    name: str
    more: int
    reason: Reason
    possible: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class TracersOwed:
    """One lot with tracers still to examine, and the welds of the lot that would serve."""

    lot: Lot
    more: int
    possible: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Films:
    """Planned joints of one diameter and method: how many reports and films they will take."""

    method: str
    kind: str
    od_mm: float | None
    joints: tuple[str, ...]
    each: int | None  # films a joint, the middle of those on record; None where none is


@dataclass(frozen=True, slots=True)
class Examinations:
    """Everything owed, and whether any line or the project asks for shares and tracers at all."""

    shares: tuple[Owed, ...]
    tracers: tuple[TracersOwed, ...]
    films: tuple[Films, ...]
    lines_under_law: tuple[str, ...]
    progressive: bool


def examinations_ahead(seen: View, asked: Needs) -> Examinations:
    """What is owed as of the day of the view, and what the planned joints will ask for."""
    rules = seen.project.settings.requirements.progressive
    return Examinations(
        tuple(_owed(seen)),
        tuple(_tracers(seen)),
        tuple(_films(seen, asked)),
        tuple(line.id for line in seen.project.lines if line.regulation),
        rules is not None,
    )


def _owed(seen: View) -> Iterator[Owed]:
    for share in shares(seen):
        if share.reason.verdict == CLEAR:
            continue
        least = ceil(float(share.reason.permitted.removeprefix("from ").split()[0]))
        done = sum(weld.examined for weld in share.welds)
        possible = tuple(w.joint for w in share.welds if w.open and not w.examined)
        yield Owed(share.line, share.day, share.kind, share.name, max(least - done, 0),
                   share.reason, possible)  # fmt: skip


def _tracers(seen: View) -> Iterator[TracersOwed]:
    rules = seen.project.settings.requirements.progressive
    if rules is None:
        return
    for lot in lots(seen, rules):
        if lot.progress.more <= 0:
            continue
        taken = {r.joint for tier in (lot.rejections, *lot.tracers) for r in tier}
        possible = tuple(
            joint.number
            for joint in members(seen, rules, lot.key)
            if joint.number not in taken and not _examined(seen, joint, rules.methods)
        )
        yield TracersOwed(lot, lot.progress.more, possible)


def _examined(seen: View, joint: Joint, methods: tuple[str, ...]) -> bool:
    reports = seen.known.examinations.get(joint.number, [])
    return any(report.method in methods and report.result for report in reports)


def _films(seen: View, asked: Needs) -> Iterator[Films]:
    """By the project's own list of what is examined; films by earlier reports of the diameter."""
    each = _films_on_record(seen)
    groups: dict[tuple[str, str, float], list[str]] = defaultdict(list)
    for rule in seen.project.settings.requirements.examined:
        for number in asked.of_joint:
            joint = seen.known.joints[number][-1]
            if joint.kind in rule.kinds:
                od = joint_file(seen, joint).od_mm
                for method in rule.methods:
                    groups[method, joint.kind, od or 0.0].append(number)
    for (method, kind, od), joints in sorted(groups.items()):
        yield Films(method, kind, od or None, tuple(joints), each.get((method, od)))


def _films_on_record(seen: View) -> dict[tuple[str, float], int]:
    counts: dict[tuple[str, float], list[int]] = defaultdict(list)
    for report in seen.project.examinations:
        joints = seen.known.joints.get(report.joint)
        if report.films and joints:
            od = joint_file(seen, joints[-1]).od_mm
            counts[report.method, od or 0.0].append(len(report.films))
    return {key: ceil(median(found)) for key, found in counts.items()}
