"""Does every joint have each examination that the project asks for, in full and accepted?"""

from __future__ import annotations

from collections.abc import Iterator

from dossier.coverage.acceptance import Needed, accepted, last_welding, needed
from dossier.coverage.evidence import at, paper
from dossier.coverage.joint_file import JointFile
from dossier.coverage.view import View, project_basis
from dossier.records.examinations import Examination
from dossier.records.verdicts import HOLD, Finding, Reason

NAME = "examination-complete"


def check(seen: View, file: JointFile) -> Iterator[Finding]:
    """One finding per examination that is owed; visual examination has its own check."""
    if not needed(seen, file):
        yield from _unnamed(seen, file)
    for need in needed(seen, file):
        if need.methods == ("VT",):
            continue
        report = accepted(file, need)
        if report is None:
            yield _finding(seen, file, need, "")
        elif report.examined_at is None and not _delay_asked(seen, report.method):
            yield _finding(seen, file, need, f"{report.report} without the day of examination")


def _delay_asked(seen: View, method: str) -> bool:
    """Whether a report without a day is held already, as the delay before it cannot be told."""
    rules = seen.project.settings.requirements
    return rules.examination_delay_h is not None and method in rules.delay_applies_to


def _unnamed(seen: View, file: JointFile) -> Iterator[Finding]:
    """A hold where the project has rules of examination, and none of them names this kind."""
    rules = seen.project.settings.requirements.examined
    if not rules:
        return
    joint = file.joint
    kinds = ", ".join(dict.fromkeys(kind for rule in rules for kind in rule.kinds))
    basis = project_basis(seen, "extent of examination")
    yield Finding(
        NAME,
        HOLD,
        (("joint", joint.number), ("kind", joint.kind)),
        f"No rule of the project says how joint {joint.number} is examined, a joint of the "
        f"kind {joint.kind}.",
        (Reason("kind of joint", joint.kind, kinds, basis, HOLD),),
        at(joint, "kind"),
        "Correct the kind in the log, or have the project say how such joints are examined.",
    )


def _finding(seen: View, file: JointFile, need: Needed, state: str) -> Finding:
    joint = file.joint
    reports = [report for report in file.examinations if report.method in need.methods]
    basis = project_basis(seen, f"extent of examination, {joint.kind} joints")
    wanted = f"{need.title} over {need.percent:g} % accepted after the last welding"
    reason = Reason(need.title, state or _state(file, reports), wanted, basis, HOLD)
    return Finding(
        NAME,
        HOLD,
        (("joint", joint.number), ("method", "/".join(need.methods))),
        f"Joint {joint.number} ({joint.kind}) has no complete accepted examination by "
        f"{need.title}: {reason.found}.",
        (reason,),
        (*at(joint), *(proof for report in reports for proof in paper(report))),
        "Examine the joint, or show the report that is missing.",
    )


def _state(file: JointFile, reports: list[Examination]) -> str:
    if not reports:
        return "no report"
    last = max(reports, key=lambda report: str(report.examined_at))
    welded = last_welding(file)
    if last.result != "accepted":
        return f"{last.report} {last.result or 'not yet read'}"
    if welded and last.examined_at and last.examined_at < welded:
        return f"{last.report} older than the last welding of {welded:%Y-%m-%d %H:%M}"
    extent = "not recorded" if last.extent_percent is None else f"{last.extent_percent:g} %"
    return f"{last.report} over {extent}"
