"""What had to be examined on a joint, and when it was accepted."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, time

from dossier.coverage.joint_file import JointFile
from dossier.coverage.view import View
from dossier.records.examinations import Examination
from dossier.records.joints import Pass


@dataclass(frozen=True, slots=True)
class Needed:
    """One examination that a joint needs: any of these methods, over this share of its length."""

    methods: tuple[str, ...]
    percent: float

    @property
    def title(self) -> str:
        """The methods as written, "RT or UT"."""
        return " or ".join(self.methods)


def needed(seen: View, file: JointFile) -> tuple[Needed, ...]:
    """The examinations that the project asks for on a joint of this kind."""
    kind = file.joint.kind
    if kind not in seen.needs:
        seen.needs[kind] = tuple(
            Needed(tuple(methods.split("/")), rule.percent)
            for rule in seen.project.settings.requirements.examined
            if kind in rule.kinds
            for methods in rule.methods
        )
    return seen.needs[kind]


def finished_at(file: JointFile) -> datetime | None:
    """When the weld was finished: as logged, else the end of its last pass, if that is recorded."""
    if file.joint.finished_at:
        return file.joint.finished_at
    if any(made.finished_at is None for made in last_passes(file)):
        return None
    return max((made.finished_at for made in file.passes if made.finished_at), default=None)


def last_passes(file: JointFile) -> list[Pass]:
    """The pass of the highest number, or its parts where several welders or sides share it."""
    return [made for made in file.passes if made.number == file.passes[-1].number]


def _weldings(file: JointFile) -> list[datetime]:
    done = finished_at(file)
    repairs = [repair.repaired_at for repair in file.repairs if repair.repaired_at]
    return [done, *repairs] if done else repairs


def last_welding(file: JointFile) -> datetime | None:
    """When the joint was last welded on, repairs included."""
    return max(_weldings(file), default=None) if file.repairs else finished_at(file)


def welding_before(file: JointFile, moment: datetime) -> datetime | None:
    """The end of the last welding or repair before `moment`."""
    return max((end for end in _weldings(file) if end <= moment), default=None)


def accepted(file: JointFile, need: Needed) -> Examination | None:
    """The first accepted report that meets the need after the last welding, if there is one."""
    welded = last_welding(file)
    first: Examination | None = None
    for report in file.examinations:
        if (
            report.method in need.methods
            and report.result == "accepted"
            and (report.extent_percent or 0.0) >= need.percent
            and (welded is None or report.examined_at is None or report.examined_at >= welded)
            and (first is None or _when(report) < _when(first))
        ):
            first = report
    return first


def _when(report: Examination) -> tuple[bool, str]:
    """Sorts undated reports last."""
    return report.examined_at is None, str(report.examined_at)


def cleared_at(seen: View, file: JointFile) -> datetime | None:
    """When the last of the needed examinations was accepted; None while one is owed.

    Where the project asks for none on this kind of joint, when it was last welded: the moment on
    record, else the beginning of the day.
    """
    needs = needed(seen, file)
    if not needs:
        day = file.joint.welded_on
        return last_welding(file) or (datetime.combine(day, time.min) if day else None)
    moments: list[datetime] = []
    for need in needs:
        report = accepted(file, need)
        if report is None or report.examined_at is None:
            return None
        moments.append(report.examined_at)
    return max(moments)
