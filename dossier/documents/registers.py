"""Registers: one row a record, the same data for the workbook and the printed list."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import TypedDict

from dossier.coverage.joint_file import JointFile, joint_file
from dossier.coverage.record_tests import letters, record_tests
from dossier.coverage.view import View
from dossier.documents.amounts import amount
from dossier.documents.findings import gap_table, open_points
from dossier.documents.sheet import (
    Head,
    Row,
    Table,
    columns,
    day,
    head,
    row,
    system_of,
    table,
    words,
)
from dossier.drawings.strip import Mark, strip_map
from dossier.records.examinations import Examination
from dossier.records.joints import Line
from dossier.records.verdicts import CLEAR, Finding, Verdict
from dossier.units import System

ByJoint = Mapping[str, Sequence[Finding]]


class Register(TypedDict):
    """All data of one register; `strips` are drawings that stand above the rows."""

    head: Head
    strips: list[str]
    rows: Table
    note: str


def _verdict(found: ByJoint, number: str) -> Verdict:
    return max((f.verdict for f in found.get(number, ())), default=CLEAR)


def _mark(verdict: Verdict) -> str:
    return "" if verdict == CLEAR else str(verdict)


def joint_register(seen: View, found: ByJoint, number: str) -> Register:
    """Every joint in the order of the log, with what it is made of and how far it has come."""
    system = system_of(seen.project.settings)
    heads = columns(
        ("Joint", 5.8), ("Line", 3.6), ("KP, km", 4.8, "right"), ("Kind", 6),
        ("Upstream", 7.4), ("Downstream", 7.4), ("Diameter", 5.8, "right"), ("Wall", 5, "right"),
        ("WPS", 7.4), ("Welders", 10.5), ("Welded", 6.3), ("Examined", 6.2), ("Repairs", 5),
        ("Coated", 6.3), ("Lowered", 6.3), ("Record", 4.5), ("Verdict", 8.6),
    )  # fmt: skip
    rows = [
        _joint_row(seen, joint_file(seen, joint), found, system) for joint in seen.project.joints
    ]
    return Register(
        head=head(seen, number=number, title="Joint register"),
        strips=[s for line in seen.project.lines if (s := _strip(seen, line, found))],
        rows=table("", heads, rows),
        note="Diameter and wall of the thinner member. Record: traceable (T), verifiable (V), "
        "complete (C), each told in the joint history. Verdict: the worst finding about the joint.",
    )


def _joint_row(seen: View, file: JointFile, found: ByJoint, system: System) -> Row:
    joint = file.joint
    verdict = _verdict(found, joint.number)
    accepted = words(dict.fromkeys(e.method for e in file.examinations if e.result == "accepted"))
    coated = max((c.coated_at for c in file.coatings if c.coated_at), default=None)
    lowered = max((x.lowered_at for x in file.lowerings if x.lowered_at), default=None)
    kind = joint.kind if joint.status == "welded" else f"{joint.kind}, {joint.status}"
    cells = [
        joint.number,
        joint.line,
        "" if joint.kp_m is None else f"{joint.kp_m / 1000:.3f}",
        kind,
        words([joint.upstream_item, joint.upstream_heat]),
        words([joint.downstream_item, joint.downstream_heat]),
        amount(file.od_mm, "mm", system),
        amount(file.wall_mm, "mm", system),
        f"{joint.wps} rev. {joint.wps_revision}" if joint.wps else "",
        words(dict.fromkeys(p.welder for p in file.passes)),
        day(joint.welded_on),
        accepted,
        str(len(file.repairs) or ""),
        day(coated.date() if coated else None),
        day(lowered.date() if lowered else None),
        letters(record_tests(seen, file)) if joint.status in ("welded", "cut out") else "",
        str(verdict),
    ]
    return row(cells, [*("" for _ in cells[:-1]), _mark(verdict)])


def _strip(seen: View, line: Line, found: ByJoint) -> str:
    marks = [
        Mark(joint.number, joint.kp_m, _verdict(found, joint.number))
        for joint in seen.project.joints
        if joint.line == line.id and joint.kp_m is not None
    ]
    if not marks:
        return ""
    ends = (line.kp_from_m, line.kp_to_m)
    whole = (ends[0], ends[1]) if ends[0] is not None and ends[1] is not None else None
    return strip_map(f"{line.id}, {line.title}", marks, whole)


def examination_register(seen: View, found: ByJoint, number: str) -> Register:
    """Every examination in the order of the register."""
    system = system_of(seen.project.settings)
    heads = columns(
        ("Report", 9), ("Joint", 6), ("Method", 5), ("Procedure", 6.5), ("Technique", 19),
        ("Examined", 9.6), ("Reported", 6.4), ("Examiner", 5.8), ("Extent", 5, "right"),
        ("IQI", 5), ("Density", 5, "right"), ("Indications", 9), ("Result", 6.4), ("Verdict", 8.6),
    )  # fmt: skip
    rows = []
    for one in seen.project.examinations:
        about = [f for f in found.get(one.joint, ()) if f.about("report") == one.report]
        verdict = max((f.verdict for f in about), default=CLEAR)
        result = {"accepted": "", "rejected": "nonconformity"}.get(one.result, "hold")
        rows.append(row(_examined(one, verdict, system), [*[""] * 12, result, _mark(verdict)]))
    return Register(
        head=head(seen, number=number, title="Examination register"),
        strips=[],
        rows=table("", heads, rows),
        note="Verdict: the worst finding about the report itself.",
    )


def _examined(one: Examination, verdict: Verdict, system: System) -> list[str]:
    found = words(f"{i.kind} {amount(i.length_mm, 'mm', system)}" for i in one.indications)
    return [
        one.report,
        one.joint,
        one.method,
        one.procedure,
        one.technique,
        day(one.examined_at),
        day(one.reported_on),
        one.examiner,
        "" if one.extent_percent is None else f"{one.extent_percent:g} %",
        one.iqi,
        "" if one.density is None else f"{one.density:g}",
        found,
        one.result or "not yet read",
        str(verdict),
    ]


def repair_register(seen: View, found: ByJoint, number: str) -> Register:
    """Every repair with what asked for it and what closed it."""
    system = system_of(seen.project.settings)
    heads = columns(
        ("Repair", 7), ("Joint", 9), ("Asked by", 11), ("Order", 5, "right"), ("Defect", 7),
        ("Place", 6), ("Length", 7, "right"), ("Removed", 6), ("WPS", 9), ("Welder", 7),
        ("Batch", 7), ("Repaired", 10), ("Examined by", 9),
    )  # fmt: skip
    removed = {True: "yes", False: "no", None: ""}
    rows = [
        row([r.number, r.joint, r.examination, str(r.order), r.defect, r.clock,
             amount(r.length_mm, "mm", system), removed[r.excavated],
             f"{r.wps} rev. {r.wps_revision}" if r.wps else "", r.welder, r.batch,
             day(r.repaired_at), r.examined_by])
        for r in seen.project.repairs
    ]  # fmt: skip
    del found
    return _plain(seen, number, "Repair register", table("", heads, rows))


def material_register(seen: View, found: ByJoint, number: str) -> Register:
    """Items with heat and certificate, so that a heat leads to its paper."""
    system = system_of(seen.project.settings)
    heads = columns(
        ("Item", 9), ("Kind", 7), ("Heat", 8), ("Certificate", 12), ("Type", 5), ("Grade", 8),
        ("Group", 6), ("Diameter", 8, "right"), ("Wall", 7, "right"), ("Length", 8, "right"),
        ("Cut from", 8), ("Maker", 14),
    )  # fmt: skip
    rows = []
    for item in seen.project.items:
        paper = seen.known.material_certificates.get(item.certificate)
        cells = [item.number, item.kind, item.heat, item.certificate, paper.kind if paper else "",
                 item.grade, item.material_group, amount(item.od_mm, "mm", system),
                 amount(item.wall_mm, "mm", system), amount(item.length_m, "m", system),
                 item.parent, item.maker]  # fmt: skip
        rows.append(row(cells, [*[""] * 3, "" if paper else "hold", *[""] * 8]))
    del found
    return _plain(seen, number, "Material register", table("", heads, rows))


def consumable_register(seen: View, found: ByJoint, number: str) -> Register:
    """Batches of consumables with their certificates and dates."""
    system = system_of(seen.project.settings)
    heads = columns(
        ("Batch", 12), ("Kind", 9), ("Classification", 18), ("Group", 8), ("Size", 9, "right"),
        ("Certificate", 16), ("Type", 8), ("Received", 10), ("Use until", 10),
    )  # fmt: skip
    rows = [
        row([b.number, b.kind, b.classification, b.filler_group, amount(b.size_mm, "mm", system),
             b.certificate, b.certificate_kind, day(b.received_on), day(b.expires_on)],
            [*[""] * 5, "" if b.certificate else "hold", "", "", ""])
        for b in seen.project.batches
    ]  # fmt: skip
    del found
    return _plain(seen, number, "Consumable register", table("", heads, rows))


def examiner_register(seen: View, found: ByJoint, number: str) -> Register:
    """Examiners with their certificates, one row a certificate."""
    heads = columns(
        ("Examiner", 9), ("Name", 16), ("Employer", 17), ("Certificate", 12), ("Method", 8),
        ("Level", 6, "right"), ("Scheme", 13), ("Issued", 9), ("Ends", 9), ("Near vision", 9),
    )  # fmt: skip
    rows = []
    for person in seen.project.examiners:
        who = [person.id, person.name, person.employer]
        if not person.certificates:
            rows.append(row([*who, "none on record", *[""] * 6], [*[""] * 3, "hold", *[""] * 6]))
        for held in person.certificates:
            ended = held.expires_on is not None and held.expires_on < seen.as_of
            cells = [*who, held.number, held.method, str(held.level), held.scheme,
                     day(held.issued_on), day(held.expires_on), day(held.vision_on)]  # fmt: skip
            rows.append(row(cells, [*[""] * 8, "bad" if ended else "", ""]))
    del found
    return _plain(seen, number, "Examiner register", table("", heads, rows))


def instrument_register(seen: View, found: ByJoint, number: str) -> Register:
    """Measuring instruments with their calibrations."""
    heads = columns(
        ("Instrument", 14), ("Kind", 24), ("Calibrated", 12), ("Due", 12), ("Certificate", 20),
        ("As found", 18),
    )  # fmt: skip
    rows = []
    for one in seen.project.instruments:
        late = one.due_on is not None and one.due_on < seen.as_of
        cells = [one.number, one.kind, day(one.calibrated_on), day(one.due_on), one.certificate,
                 one.as_found]  # fmt: skip
        rows.append(row(cells, ["", "", "", "soon" if late else "", "", ""]))
    del found
    return _plain(seen, number, "Instrument register", table("", heads, rows))


def concession_register(seen: View, found: ByJoint, number: str) -> Register:
    """Concessions with what they answer and who signed them."""
    heads = columns(
        ("Concession", 9), ("Title", 19), ("Joints", 12), ("Requirement", 20), ("Disposition", 19),
        ("Approver", 13), ("Signed", 8),
    )  # fmt: skip
    rows = [
        row([c.number, c.title, words(c.joints), c.requirement, c.disposition, c.approver,
             day(c.signed_on)], [*[""] * 6, "" if c.signed_on else "hold"])
        for c in seen.project.concessions
    ]  # fmt: skip
    del found
    return _plain(seen, number, "Concession register", table("", heads, rows))


def gap_list(seen: View, findings: Sequence[Finding], number: str) -> Register:
    """The open points that stop the handover, with their cures."""
    left = len(open_points(findings))
    return Register(
        head=head(seen, number=number, title="Open points"),
        strips=[],
        rows={**gap_table(findings), "title": ""},
        note=f"{left} findings of hold or worse are not answered by a concession.",
    )


def _plain(seen: View, number: str, title: str, rows: Table) -> Register:
    return Register(head=head(seen, number=number, title=title), strips=[], rows=rows, note="")


Builder = Callable[[View, ByJoint, str], Register]

# Name of the section in a volume preset -> (kind in document numbers, builder).
REGISTERS: dict[str, tuple[str, Builder]] = {
    "joint-register": ("JNT", joint_register),
    "examination-register": ("NDT", examination_register),
    "repair-register": ("RPR", repair_register),
    "material-register": ("MAT", material_register),
    "consumable-register": ("CON", consumable_register),
    "examiner-register": ("EXR", examiner_register),
    "instrument-register": ("INS", instrument_register),
    "concession-register": ("CNR", concession_register),
}
