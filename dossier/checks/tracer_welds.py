"""Did each rejection bring the further welds of the same welder that progressive sampling asks?

Asked where the project's `progressive` names it. A clean weld examined in place of the rejected
one settles nothing: the rejected weld is repaired and examined again, and the further welds are
examined besides.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator

from dossier.codes.asme_b31_3.sampling import PROGRESSIVE, Sample, tracer_reasons
from dossier.coverage.evidence import at, paper
from dossier.coverage.joint_file import JointFile
from dossier.coverage.tracers import (
    Lot,
    is_settled,
    lots,
    members,
    period_of,
    unattributed,
    welders_of,
)
from dossier.coverage.view import View, project_basis
from dossier.records.examinations import Examination
from dossier.records.project import Progressive
from dossier.records.verdicts import CLEAR, HOLD, NONCONFORMITY, Finding, Reason, worst

NAME = "tracer-welds"


def check(seen: View) -> Iterator[Finding]:
    """One finding per lot that is not closed, and per rejection that names no welder."""
    rules = seen.project.settings.requirements.progressive
    if rules is None:
        return
    for report in unattributed(seen, rules):
        yield _unattributed(seen, report)
    for lot in lots(seen, rules):
        reasons = tuple(r for r in _reasons(seen, rules, lot) if r.verdict != CLEAR)
        if reasons:
            yield _finding(lot, reasons)


def asked(seen: View) -> bool:
    """Whether the project asks for progressive sampling."""
    return seen.project.settings.requirements.progressive is not None


def concerns(_: View, file: JointFile) -> Iterator[Hashable]:
    """Every joint: any may belong to the lot of a rejection that is found later."""
    yield file.joint


def _reasons(seen: View, rules: Progressive, lot: Lot) -> Iterator[Reason]:
    yield from _due(seen, rules, lot)
    for tier in lot.tracers:
        for report in tier:
            yield from _fit(seen, rules, lot, report)
    for rejected in lot.rejections:
        if lot.shot and not is_settled(seen, rejected):
            found = f"{rejected.joint} left as it is, other welds examined"
            wanted = "repaired and examined again, or cut out"
            yield Reason("rejected weld", found, wanted, PROGRESSIVE, NONCONFORMITY)


def _due(seen: View, rules: Progressive, lot: Lot) -> Iterator[Reason]:
    progress = lot.progress
    if progress.state == "examine more":
        found = f"{progress.more} due, {lot.shot} examined"
        yield Reason("further welds", found, "none due", PROGRESSIVE, HOLD)
    if progress.state == "all represented":
        owed = [
            joint.number
            for joint in members(seen, rules, lot.key)
            if not any(
                report.method in rules.methods and report.result
                for report in seen.known.examinations.get(joint.number, [])
            )
        ]
        if owed:
            found = f"not examined: {', '.join(owed)}"
            yield Reason("welds of the lot", found, "all examined", PROGRESSIVE, HOLD)


def _fit(seen: View, rules: Progressive, lot: Lot, report: Examination) -> Iterator[Reason]:
    """A further weld must be another one of the lot: welder, kind, line, period."""
    rejected = lot.rejections[0]
    kinds = {n: seen.known.joints[n][0].weld_type for n in (rejected.joint, report.joint)}
    stamps = welders_of(seen, report.joint)
    welder = lot.key.welder if lot.key.welder in stamps else "/".join(sorted(stamps)) or "nobody"
    defect = Sample(rejected.joint, lot.key.welder, kinds[rejected.joint], defective=True)
    yield from tracer_reasons(defect, [Sample(report.joint, welder, kinds[report.joint])])
    joint = seen.known.joints[report.joint][0]
    place = (joint.line, period_of(rules, joint.welded_on))
    basis = project_basis(seen, "lots of progressive sampling")
    if place != (lot.key.line, lot.key.period):
        wanted = f"line {lot.key.line}, {lot.key.period}"
        found = f"{report.joint}, line {place[0]}, {place[1]}"
        yield Reason("lot of a further weld", found, wanted, basis, NONCONFORMITY)
    seen_at = min((r.examined_at for r in lot.rejections if r.examined_at), default=None)
    if seen_at and joint.welded_on and joint.welded_on > seen_at.date():
        found = f"{report.joint} welded on {joint.welded_on}"
        wanted = f"a weld made by {seen_at.date()}, when the rejection was found"
        yield Reason("age of a further weld", found, wanted, basis, HOLD)


def _finding(lot: Lot, reasons: tuple[Reason, ...]) -> Finding:
    key = lot.key
    told = "; ".join(f"{r.variable}: {r.found}" for r in reasons)
    rejected = ", ".join(f"{r.report} ({r.joint})" for r in lot.rejections)
    reports = (*lot.rejections, *lot.tracers[0], *lot.tracers[1])
    return Finding(
        NAME,
        worst(reasons),
        (("welder", key.welder), ("line", key.line), ("lot", key.period)),
        f"Lot of welder {key.welder} on line {key.line} ({key.period}) with {rejected} is not "
        f"closed: {told}.",
        reasons,
        tuple(proof for report in reports for proof in (*at(report, "result"), *paper(report))),
        "Examine the further welds of the same welder and lot; repair the rejected weld and "
        "examine it again.",
    )


def _unattributed(seen: View, report: Examination) -> Finding:
    stamps = "/".join(sorted(welders_of(seen, report.joint))) or "nobody"
    basis = project_basis(seen, "lots of progressive sampling")
    return Finding(
        NAME,
        HOLD,
        (("joint", report.joint), ("report", report.report)),
        f"{report.report} rejected joint {report.joint}, welded by {stamps}; in whose part the "
        "cause lies is not recorded, so no lot is opened.",
        (Reason("welder of the rejection", "not recorded", f"one of {stamps}", basis, HOLD),),
        (*at(report, "rejected_welder"), *paper(report)),
        "Establish from film, pass and side whose part it is, and enter the stamp.",
    )
