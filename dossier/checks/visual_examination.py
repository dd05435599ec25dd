"""Was every weld accepted by visual examination after it was finished, by someone else?

Where the project asks for it on joints of this kind: over the extent asked for, and again after
the last repair.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, time
from math import inf

from dossier.coverage.acceptance import Needed, finished_at, last_welding, needed
from dossier.coverage.acceptance import accepted as accepted_report
from dossier.coverage.evidence import at, paper
from dossier.coverage.joint_file import JointFile
from dossier.coverage.view import View, project_basis, stamps_of
from dossier.records.examinations import Examination
from dossier.records.verdicts import (
    HOLD,
    NONCONFORMITY,
    Basis,
    Finding,
    Range,
    Reason,
    worst,
)

NAME = "visual-examination"
_AGAIN = "Have the weld examined visually, if it can still be seen, by someone who did not weld it."
_PAPER = (
    "Show the report with its day and the whole extent, or have the weld examined visually again."
)


def check(seen: View, file: JointFile) -> Iterator[Finding]:
    """One finding for a joint without a sound visual examination."""
    reports = [report for report in file.examinations if report.method == "VT"]
    reasons = tuple(_reasons(seen, file, reports))
    if reasons:
        yield Finding(
            NAME,
            worst(reasons),
            (("joint", file.number),),
            f"Visual examination of joint {file.number}: "
            f"{'; '.join(f'{r.variable} {r.found}' for r in reasons)}.",
            reasons,
            (*at(file.joint), *(proof for report in reports for proof in paper(report))),
            _PAPER if {r.variable for r in reasons} <= {"extent", "day"} else _AGAIN,
        )


def _reasons(seen: View, file: JointFile, reports: list[Examination]) -> Iterator[Reason]:
    basis = project_basis(seen, "visual examination")
    accepted = [report for report in reports if report.result == "accepted"]
    if not accepted:
        found = "rejected" if reports else "no report"
        verdict = NONCONFORMITY if file.coatings else HOLD
        yield Reason("result", found, "accepted", basis, verdict)
        return
    yield from _by_whom(seen, file, accepted, basis)
    need = next((need for need in needed(seen, file) if need.methods == ("VT",)), None)
    welded = finished_at(file) if need is None else last_welding(file)
    early = tuple(_too_early(accepted, welded, basis))
    yield from early
    if need is not None and not early:
        yield from _in_full(file, accepted, need, basis)


def _by_whom(
    seen: View, file: JointFile, accepted: list[Examination], basis: Basis
) -> Iterator[Reason]:
    """What a welder looked at alone; his own look beside that of another is no fault."""
    own = [r for r in accepted if not _welders(file, r).isdisjoint(stamps_of(seen, r.examiner))]
    welded = last_welding(file)
    if any(r not in own and r.examined_at and r.examined_at >= (welded or r.examined_at)
           for r in accepted):  # fmt: skip
        return
    for report in own:
        found = f"{report.examiner}, a welder of this joint"
        yield Reason("examiner", found, "not a welder of it", basis, NONCONFORMITY)


def _welders(file: JointFile, report: Examination) -> set[str]:
    """Who had welded or repaired the joint when it was looked at."""
    seen_at = report.examined_at
    repaired = {
        repair.welder
        for repair in file.repairs
        if repair.repaired_at is None or seen_at is None or repair.repaired_at <= seen_at
    }
    return ({made.welder for made in file.passes} | repaired) - {""}


def _too_early(
    accepted: list[Examination], welded: datetime | None, basis: Basis
) -> Iterator[Reason]:
    """The last look before the welding was done; one without a day is no later than its report."""
    moments = [report.examined_at for report in accepted if report.examined_at]
    days = [datetime.combine(r.reported_on, time.max) for r in accepted if r.reported_on]
    last = max(moments or days, default=None)
    if welded and last and last < welded:
        found = f"{last:%Y-%m-%d %H:%M}" if moments else f"reported on {last:%Y-%m-%d}"
        yield Reason("time", found, f"after {welded:%Y-%m-%d %H:%M}", basis, HOLD)


def _in_full(
    file: JointFile, accepted: list[Examination], need: Needed, basis: Basis
) -> Iterator[Reason]:
    """Over the extent that the project asks for, on a day that is recorded."""
    report = accepted_report(file, need)
    if report is None:
        welded = last_welding(file)
        after = [r for r in accepted if not (welded and r.examined_at and r.examined_at < welded)]
        extents = [r.extent_percent for r in after if r.extent_percent is not None]
        reason = Range(need.percent, inf, basis, "%").judge(
            "extent", max(extents, default=None), HOLD
        )
        if reason.verdict:
            yield reason
    elif report.examined_at is None:
        yield Reason("day", "not recorded", "recorded", basis, HOLD)
