"""Was every rejected weld repaired to a repair procedure and accepted again, or cut out?"""

from __future__ import annotations

from collections.abc import Iterator

from dossier.coverage.evidence import at, paper
from dossier.coverage.joint_file import JointFile
from dossier.coverage.repair_places import order_of
from dossier.coverage.repair_weld import (
    maker_reasons,
    removal_reason,
    repair_basis,
    revision_reasons,
    sheet_reasons,
)
from dossier.coverage.unrepaired import unrepaired
from dossier.coverage.view import View, project_basis
from dossier.records.examinations import Examination, Indication
from dossier.records.joints import Joint, Repair
from dossier.records.verdicts import (
    CLEAR,
    CUT_OUT,
    HOLD,
    NONCONFORMITY,
    Evidence,
    Finding,
    Reason,
    worst,
)
from dossier.units import figure

NAME = "repair-closed"


def check(seen: View, file: JointFile) -> Iterator[Finding]:
    """One finding per rejection that is open, as a whole or in part, and per unsound repair."""
    answered = {repair.examination for repair in file.repairs}
    for report in file.examinations:
        if report.result == "rejected" and report.report not in answered:
            yield _open(seen, file, report)
        elif report.result == "rejected" and (left := unrepaired(seen, file, report)):
            yield _left(file, report, left)
    for repair in file.repairs:
        reasons = tuple(_reasons(seen, file, repair))
        if reasons:
            yield _unsound(file.joint, repair, reasons)


def _open(seen: View, file: JointFile, report: Examination) -> Finding:
    joint = file.joint
    verdict = NONCONFORMITY if file.coatings else HOLD
    found = "none, and the joint is coated" if file.coatings else "none on record"
    basis = project_basis(seen, "repair of rejected welds")
    return Finding(
        NAME,
        verdict,
        (("joint", joint.number), ("report", report.report)),
        f"{report.report} rejected joint {joint.number}; no repair or cut-out answers it.",
        (Reason("repair", found, "a repair or a cut-out", basis, verdict),),
        (*at(report, "result"), *paper(report)),
        "Repair and examine again, or cut the weld out.",
    )


def _left(file: JointFile, report: Examination, left: tuple[Indication, ...]) -> Finding:
    """What lies elsewhere than the repairs of the rejection was not repaired by them."""
    basis = repair_basis(file)
    wanted = "a repair over it, or a second reading that accepts it"
    places = [_place(one) for one in left]
    return Finding(
        NAME,
        HOLD,
        (("joint", file.number), ("report", report.report)),
        f"{report.report} rejected joint {file.number}; no repair lies over {', '.join(places)}.",
        tuple(Reason(place, "no repair over it", wanted, basis, HOLD) for place in places),
        (*at(report, "indications"), *paper(report), *_starts(file, report)),
        "Correct the places from the repair sheet and the film, show the missing repair, or have "
        "the indication read again.",
    )


def _place(one: Indication) -> str:
    start = f"{one.kind} at {figure(one.start_mm or 0.0, 'mm')}"
    end = (one.start_mm or 0.0) + (one.length_mm or 0.0)
    return f"{start} to {figure(end, 'mm')} mm" if one.length_mm else f"{start} mm"


def _starts(file: JointFile, report: Examination) -> tuple[Evidence, ...]:
    answering = (repair for repair in file.repairs if repair.examination == report.report)
    return tuple(proof for repair in answering for proof in at(repair, "start_mm", "length_mm"))


def _unsound(joint: Joint, repair: Repair, reasons: tuple[Reason, ...]) -> Finding:
    return Finding(
        NAME,
        worst(reasons),
        (("joint", joint.number), ("repair", repair.number)),
        f"Repair {repair.number} of joint {joint.number}: "
        f"{'; '.join(f'{r.variable} {r.found}' for r in reasons)}.",
        reasons,
        paper(repair),
        "Show the missing record; a repair outside a qualified repair procedure needs the "
        "welding engineer's disposition.",
    )


def _reasons(seen: View, file: JointFile, repair: Repair) -> Iterator[Reason]:
    rules = seen.project.settings.requirements
    basis = project_basis(seen, "repair of rejected welds")
    wps = seen.known.procedure(repair.wps, repair.wps_revision)
    if wps is None:
        found = f"{repair.wps or 'blank'} revision {repair.wps_revision or 'blank'} unknown"
        yield Reason("repair WPS", found, "an issued WPS", basis, HOLD)
    else:
        if rules.repair_needs_repair_wps and wps.purpose != "repair":
            found = f"{wps.number}, issued for {wps.purpose}"
            yield Reason("repair WPS", found, "a qualified repair procedure", basis, NONCONFORMITY)
        yield from revision_reasons(seen, repair, wps)
        yield from (reason for reason in sheet_reasons(repair, wps) if reason.verdict != CLEAR)
    yield from maker_reasons(file, repair)
    removal = removal_reason(file, repair)
    yield from () if removal is None else (removal,)
    yield from _too_often(seen, file, repair)
    if not _accepted_after(file, repair):
        yield Reason("examination after repair", "none accepted", "accepted", basis, HOLD)


def _too_often(seen: View, file: JointFile, repair: Repair) -> Iterator[Reason]:
    limit = seen.project.settings.requirements.repairs_per_place_max
    order = order_of(file, repair)
    if limit is None or order.possible <= limit:
        return
    sure = order.sure > limit
    number = order.sure if sure else order.possible
    found = f"{'' if sure else 'perhaps '}repair number {number} of one place"
    if number != repair.order:
        found += f", recorded as number {repair.order}"
    basis = project_basis(seen, "repair of rejected welds")
    yield Reason("number of repairs", found, f"at most {limit}", basis, CUT_OUT if sure else HOLD)


def _accepted_after(file: JointFile, repair: Repair) -> bool:
    """Accepted by the method that rejected it, after the repair (or answered by a later one)."""
    reports = file.examinations
    method = next((r.method for r in reports if r.report == repair.examination), "")
    later = [
        report
        for report in reports
        if report.method == method
        and repair.repaired_at is not None
        and report.examined_at is not None
        and report.examined_at >= repair.repaired_at
    ]
    return any(report.result == "accepted" for report in later)
