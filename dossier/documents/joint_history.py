"""Everything on record about one joint, on one page where it fits."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from pathlib import Path
from typing import TypedDict

from dossier.calc.cautions import caution
from dossier.coverage.joint_file import JointFile, joint_file, planned_pass
from dossier.coverage.view import View, permitted, wps_basis
from dossier.documents.amounts import amount, pass_heat_input
from dossier.documents.files import write_whole
from dossier.documents.findings import finding_row, in_order
from dossier.documents.joint_after import after
from dossier.documents.joint_proof import consumables, qualified, tested, with_places
from dossier.documents.pages import page
from dossier.documents.pdf import render_document
from dossier.documents.record_code import Code, fingerprint, record_code
from dossier.documents.sheet import (
    Fact,
    Figure,
    Head,
    Row,
    Table,
    columns,
    day,
    document_number,
    fact,
    head,
    row,
    system_of,
    table,
    words,
)
from dossier.drawings.around import clock, indication_map
from dossier.drawings.words import show_span
from dossier.errors import InputError
from dossier.records.base import Paper
from dossier.records.examinations import Indication
from dossier.records.joints import Joint, Pass
from dossier.records.verdicts import CLEAR, Finding, worst
from dossier.units import System


class JointHistory(TypedDict):
    """All data of one joint history."""

    head: Head
    verdict: str
    code: Code
    identity: list[Fact]
    members: Table
    passes: Table
    welders: Table
    consumables: Table
    examinations: Table
    repairs: Table
    map: Figure
    after: Table
    findings: Table
    papers: Table
    tests: Table


def context(seen: View, findings: Sequence[Finding], number: str) -> JointHistory:
    """Plain data of the history of one joint. `findings` may hold those of other joints too.

    Raises InputError: a joint that is not on record.
    """
    for place, joint in enumerate(seen.project.joints, start=1):
        if joint.number == number:
            own = [f for f in findings if f.about("joint") == number]
            return history(seen, own, joint, place)
    raise InputError("joint", found=repr(number), expected="a joint on record")


def history(seen: View, own: Sequence[Finding], joint: Joint, place: int) -> JointHistory:
    """Plain data of a joint's history from its own findings; `place` numbers the document."""
    data = uncoded(seen, own, joint, place)
    data["code"] = record_code(joint.number, data["head"], fingerprint(data))
    return data


def uncoded(seen: View, own: Sequence[Finding], joint: Joint, place: int) -> JointHistory:
    """The history of a joint without the square code, of which its fingerprint is taken."""
    settings = seen.project.settings
    system = system_of(settings)
    file = joint_file(seen, joint)
    return JointHistory(
        head=head(
            seen,
            number=document_number(settings, "JHR", place),
            title=f"Joint history {joint.number}",
            caution=[caution("hot work")] if file.repairs else [],
        ),
        verdict=worst_of(own),
        code=Code(link="", title="", mark=""),
        identity=_identity(file, system),
        members=_members(seen, file, system),
        passes=_passes(file, system),
        welders=qualified(seen, file, system),
        consumables=consumables(seen, file),
        examinations=_examinations(file, system),
        repairs=_repairs(file, system),
        map=_map(file),
        after=after(seen, file, system),
        findings=_findings(own),
        papers=_papers(seen, file),
        tests=tested(seen, file),
    )


def worst_of(findings: Sequence[Finding]) -> str:
    """The worst verdict among findings in words; "clear" for none."""
    return str(max((f.verdict for f in findings), default=CLEAR))


def _identity(file: JointFile, system: System) -> list[Fact]:
    joint = file.joint
    title = f"{joint.line}, {file.line.title}" if file.line else joint.line
    return [
        fact("Line", title),
        fact("Chainage", "" if joint.kp_m is None else f"KP {joint.kp_m / 1000:.3f}"),
        fact("Kind", words([joint.kind, joint.weld_type])),
        fact("Drawing", f"{joint.drawing} rev. {joint.drawing_revision}" if joint.drawing else ""),
        fact("WPS", f"{joint.wps} rev. {joint.wps_revision}" if joint.wps else ""),
        fact("Procedure tests", words(file.wps.pqrs) if file.wps else "WPS not on record"),
        fact("Position", joint.position_code),
        fact("Welded on", day(joint.finished_at or joint.welded_on)),
        fact("Fit-up", _fit_up(joint, system)),
        fact("Status", joint.status),
        fact("Replaces", joint.replaces),
        fact("Remarks", joint.remarks),
        fact("Read from", str(joint.origin)),
    ]


def _fit_up(joint: Joint, system: System) -> str:
    parts = []
    if joint.fit_up_gap_mm is not None:
        parts.append(f"gap {amount(joint.fit_up_gap_mm, 'mm', system)}")
    if joint.hi_lo_mm is not None:
        parts.append(f"hi-lo {amount(joint.hi_lo_mm, 'mm', system)}")
    return words([*parts, joint.fit_up_by and f"by {joint.fit_up_by}"])


def _members(seen: View, file: JointFile, system: System) -> Table:
    heads = columns(("Side", 11), ("Item", 12), ("Kind", 8), ("Grade", 10), ("Diameter", 11),
                    ("Wall", 9), ("Heat, log", 10), ("Heat, item", 10),
                    ("Certificate", 19))  # fmt: skip
    logged = (file.joint.upstream_heat, file.joint.downstream_heat)
    rows = []
    for side, name, heat in zip(
        ("upstream", "downstream"), _names(file.joint), logged, strict=True
    ):
        item = seen.known.items.get(name)
        paper = seen.known.material_certificates.get(item.certificate) if item else None
        certificate = f"{paper.number} (type {paper.kind})" if paper else "not on record"
        cells = [side, name, *((item.kind, item.grade, amount(item.od_mm, "mm", system),
                 amount(item.wall_mm, "mm", system)) if item else ("", "", "", "")),
                 heat, item.heat if item else "", certificate]  # fmt: skip
        differs = item is not None and bool(heat) and heat != item.heat
        marks = ["", "" if item else "hold", *[""] * 4, "hold" if differs else "", "",
                 "" if paper else "hold"]  # fmt: skip
        rows.append(row(cells, marks))
    items = [seen.known.items.get(name) for name in _names(file.joint)]
    return with_places(table("Members", heads, rows), items)


def _names(joint: Joint) -> tuple[str, str]:
    return joint.upstream_item, joint.downstream_item


def _passes(file: JointFile, system: System) -> Table:
    heads = columns(
        ("Pass", 11), ("Welder", 7), ("Process", 8), ("Batch", 9.5), ("Begun", 7), ("Current", 8),
        ("Voltage", 8), ("Speed", 11), ("Heat input", 10), ("Window", 15.5), ("Temp.", 7),
    )  # fmt: skip
    first = next((made.started_at for made in file.passes if made.started_at), None)
    note = (
        "Heat input to EN 1011-1, against the window of the WPS. Temp.: preheat of the first pass, "
        "interpass of the others."
    )
    if first:
        note = f"{note} Times without a date: {day(first.date())}."
    rows = [_pass(file, made, first.date() if first else None, system) for made in file.passes]
    return with_places(table("Passes", heads, rows, note), file.passes)


def _begun(made: Pass, of_day: date | None) -> str:
    if made.started_at is not None and made.started_at.date() == of_day:
        return made.started_at.strftime("%H:%M")
    return day(made.started_at)


def _pass(file: JointFile, made: Pass, of_day: date | None, system: System) -> Row:
    planned = planned_pass(file.wps, made)
    window = planned.heat_input_kj_mm if planned else None
    energy = pass_heat_input(made)
    mark = ""
    if window is not None and file.wps is not None:
        allowed = permitted(window, wps_basis(file.wps, "heat input"), "kJ/mm")
        verdict = worst([allowed.judge("heat input", energy)])
        mark = "good" if verdict == CLEAR else str(verdict)
    heat_c = made.preheat_c if made.preheat_c is not None else made.interpass_c
    cells = [
        " ".join(part for part in (str(made.number), made.kind, made.side) if part),
        made.welder,
        made.process,
        made.batch,
        _begun(made, of_day),
        amount(made.current_a, "A", system),
        amount(made.voltage_v, "V", system),
        amount(made.travel_mm_min, "mm/min", system),
        amount(energy, "kJ/mm", system),
        show_span(window, "kJ/mm", system),
        amount(heat_c, "°C", system),
    ]
    return row(cells, [*[""] * 8, mark, "", ""])


def _indication(found: Indication, od_mm: float | None, system: System) -> str:
    """Kind, length and clock position, as the dial beside shows it."""
    place = found.start_mm is not None and od_mm
    at = f" at {clock(found.start_mm or 0.0, od_mm or 0.0)}" if place else ""
    return f"{found.kind} {amount(found.length_mm, 'mm', system)}{at}"


_RESULTS = {"accepted": "good", "rejected": "nonconformity"}


def _examinations(file: JointFile, system: System) -> Table:
    heads = columns(("Method", 8), ("Report", 16), ("Examined", 14), ("Reported", 10),
                    ("Examiner", 9), ("Extent", 7), ("Indications", 27),
                    ("Result", 10))  # fmt: skip
    rows = []
    reports = sorted(file.examinations, key=lambda e: (str(e.examined_at), e.report))
    for report in reports:
        found = "; ".join(_indication(i, file.od_mm, system) for i in report.indications)
        extent = "" if report.extent_percent is None else f"{report.extent_percent:g} %"
        cells = [report.method, report.report, day(report.examined_at), day(report.reported_on),
                 report.examiner, extent, found, report.result or "not yet read"]  # fmt: skip
        rows.append(row(cells, [*[""] * 7, _RESULTS.get(report.result, "hold")]))
    return with_places(table("Examinations", heads, rows), reports)


def _repairs(file: JointFile, system: System) -> Table:
    heads = columns(("Repair", 10), ("Asked by", 15), ("Defect", 8), ("Place", 10), ("Length", 9),
                    ("WPS", 13), ("Welder", 9), ("Repaired", 14), ("Examined by", 14))  # fmt: skip
    rows = [
        row([r.number, r.examination, r.defect, r.clock, amount(r.length_mm, "mm", system),
             f"{r.wps} rev. {r.wps_revision}" if r.wps else "", r.welder, day(r.repaired_at),
             r.examined_by])
        for r in file.repairs
    ]  # fmt: skip
    return with_places(table("Repairs", heads, rows), file.repairs)


def _map(file: JointFile) -> Figure:
    found = [i for report in file.examinations for i in report.indications]
    if not (found or file.repairs) or file.od_mm is None:
        return Figure(svg="", note="")
    svg = indication_map(file.number, file.od_mm, found, file.repairs, listed=False)
    return Figure(svg=svg, note="Clock positions, looking along the flow")


def _findings(own: Sequence[Finding]) -> Table:
    heads = columns(("Verdict", 13), ("Finding", 38), ("Cure", 25), ("Evidence", 24))
    rows = []
    for finding in in_order(own):
        full = finding_row(finding)
        told = finding.sentence
        if finding.conceded_by:
            told = f"{told} Conceded by {finding.conceded_by}."
        cells = [full["cells"][0], told, full["cells"][3], full["cells"][4]]
        rows.append(row(cells, [full["marks"][0], "", "", ""]))
    return table("Findings", heads, rows)


def papers_of(seen: View, file: JointFile) -> Iterator[tuple[str, Paper]]:
    """What is proved by which page, for everything that hangs on the joint."""
    if file.joint.document:
        yield "weld log", file.joint.document
    for item in file.items:
        certificate = seen.known.material_certificates.get(item.certificate)
        if certificate and certificate.document:
            yield f"material certificate {certificate.number}", certificate.document
    hung: tuple[tuple[str, Paper | None], ...] = (
        *((f"{e.method} report {e.report}", e.document) for e in file.examinations),
        *((f"repair {r.number}", r.document) for r in file.repairs),
        *((f"coating report {c.report}", c.document) for c in file.coatings),
        *(("lowering", one.document) for one in file.lowerings),
    )
    yield from ((told, paper) for told, paper in hung if paper is not None)


def _papers(seen: View, file: JointFile) -> Table:
    heads = columns(("Proof of", 30), ("Document", 16), ("Title", 44), ("Page", 10, "right"))
    rows = []
    for told, paper in dict.fromkeys(papers_of(seen, file)):
        known = seen.known.documents.get(paper.document)
        cells = [told, paper.document, known.title if known else "not in the register",
                 str(paper.page)]  # fmt: skip
        rows.append(row(cells, ["", "", "" if known else "hold", ""]))
    return table("Papers", heads, rows)


def joint_history_pdf(
    seen: View, findings: Sequence[Finding], number: str, path: Path, own: Path | None = None
) -> Path:
    """Write the history of one joint as a PDF; `own` is the project's folder of templates.

    Raises InputError: a joint not on record.
    """
    html = page("joint_history.html", dict(context(seen, findings, number)), own)
    return write_whole(path, render_document(html))


def history_text(seen: View, findings: Sequence[Finding], number: str) -> str:
    """The history of one joint for a terminal: the same data, as indented lines."""
    data = context(seen, findings, number)
    lines = [f"Joint {number}: {data['verdict']}"]
    lines += [f"  {f['label']}: {f['value']}" for f in data["identity"] if f["value"] != "-"]
    tables = (data["members"], data["passes"], data["welders"], data["consumables"],
              data["examinations"], data["repairs"], data["after"], data["findings"],
              data["tests"], data["papers"])  # fmt: skip
    for part in tables:
        if part["rows"]:
            lines += ["", part["title"], *_columns_text(part)]
            lines += [f"  ({part['note']})"] if part["note"] else []
    return "\n".join(lines)


def _columns_text(part: Table) -> list[str]:
    """Rows of a table in aligned columns."""
    grid = [[c["label"] for c in part["columns"]], *(r["cells"] for r in part["rows"])]
    clean = [
        ["".join(c if c.isprintable() else "?" for c in cell) for cell in line] for line in grid
    ]
    widths = [max(len(line[i]) for line in clean) for i in range(len(clean[0]))]
    return [
        "  " + "  ".join(cell.ljust(w) for cell, w in zip(line, widths, strict=True)).rstrip()
        for line in clean
    ]
