"""What had to be examined on a joint, and when it was accepted."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from dossier.coverage.view import View
from dossier.records.examinations import Examination
from dossier.records.joints import Joint


@dataclass(frozen=True, slots=True)
class Needed:
    """One examination that a joint needs: any of these methods, over this share of its length."""

    methods: tuple[str, ...]
    percent: float

    @property
    def title(self) -> str:
        """The methods as written, "RT or UT"."""
        return " or ".join(self.methods)


def needed(seen: View, joint: Joint) -> Iterator[Needed]:
    """The examinations that the project asks for on a joint of this kind."""
    for rule in seen.project.settings.requirements.examined:
        if joint.kind in rule.kinds:
            for methods in rule.methods:
                yield Needed(tuple(methods.split("/")), rule.percent)


def finished_at(seen: View, joint: Joint) -> datetime | None:
    """When the weld was finished: as logged, else the end of its last pass."""
    ends = [p.finished_at for p in seen.known.passes.get(joint.number, []) if p.finished_at]
    return joint.finished_at or max(ends, default=None)


def last_welding(seen: View, joint: Joint) -> datetime | None:
    """When the joint was last welded on, repairs included."""
    repairs = [r.repaired_at for r in seen.known.repairs.get(joint.number, []) if r.repaired_at]
    done = finished_at(seen, joint)
    return max([*repairs, *([done] if done else [])], default=None)


def welding_before(seen: View, joint: Joint, moment: datetime) -> datetime | None:
    """The end of the last welding or repair before `moment`."""
    repairs = [r.repaired_at for r in seen.known.repairs.get(joint.number, []) if r.repaired_at]
    done = finished_at(seen, joint)
    ends = [end for end in [*repairs, *([done] if done else [])] if end <= moment]
    return max(ends, default=None)


def accepted(seen: View, joint: Joint, need: Needed) -> Examination | None:
    """The first accepted report that meets the need after the last welding, if there is one."""
    welded = last_welding(seen, joint)
    reports = [
        report
        for report in seen.known.examinations.get(joint.number, [])
        if report.method in need.methods
        and report.result == "accepted"
        and (report.extent_percent or 0.0) >= need.percent
        and (welded is None or report.examined_at is None or report.examined_at >= welded)
    ]
    return min(reports, key=_when, default=None)


def _when(report: Examination) -> tuple[bool, str]:
    """Sorts undated reports last."""
    return report.examined_at is None, str(report.examined_at)


def cleared_at(seen: View, joint: Joint) -> datetime | None:
    """When the last of the needed examinations was accepted; None while one is owed."""
    moments: list[datetime] = []
    for need in needed(seen, joint):
        report = accepted(seen, joint, need)
        if report is None or report.examined_at is None:
            return None
        moments.append(report.examined_at)
    return max(moments, default=None)
