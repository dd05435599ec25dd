"""Repair and tracer ledger: every rejection with what closed it, and the lots it opened."""

from __future__ import annotations

from collections.abc import Iterator

from dossier.coverage.tracers import Lot, lots, responsible, unattributed
from dossier.documents.amounts import amount
from dossier.documents.printed.face import Asked, Name, Part, Printed, part, printed
from dossier.documents.sheet import Row, columns, day, fact, row, table, words
from dossier.records.examinations import Examination
from dossier.records.joints import Repair

CODE = "RTL"


def make(of: Asked) -> Iterator[Printed]:
    """The ledger of the project, in the order of its reports."""
    rejections = [e for e in of.seen.project.examinations if e.result == "rejected"]
    repairs = of.seen.project.repairs
    rules = of.seen.project.settings.requirements.progressive
    content = {"rejections": _rejections(of, rejections), "places": _places(of)}
    if rules is not None:
        content["lots"] = _lots(lots(of.seen, rules), list(unattributed(of.seen, rules)))
    yield printed(
        of,
        Name(CODE, "Repair and tracer ledger", caution="repair_ledger"),
        content,
        lead="What was rejected, what was done about it, and which further welds it asked for."
        if rules
        else "What was rejected and what was done about it. The project asks for no further welds "
        "(tracers) after a rejection.",
        facts=[fact("Rejections", str(len(rejections))), fact("Repairs", str(len(repairs)))],
        form="wide",
    )


def _rejections(of: Asked, rejections: list[Examination]) -> Part:
    heads = columns(
        ("Report", 12), ("Joint", 8), ("Examined", 11), ("Welder", 7), ("Indications", 14),
        ("Repair", 7), ("Repaired", 11), ("By", 6), ("Examined again by", 14), ("Result", 10),
    )  # fmt: skip
    rows = []
    for report in rejections:
        repairs = of.seen.known.repairs.get(report.joint, [])
        answers: list[Repair | None] = [r for r in repairs if r.examination == report.report]
        rows += [_answer(of, report, repair) for repair in answers or [None]]
    note = "Welder: the stamp in whose part the cause lies, as recorded or as the only one."
    return part(table("Rejections and repairs", heads, rows, note if rows else ""),
                "No report rejects a weld.")  # fmt: skip


def _answer(of: Asked, report: Examination, repair: Repair | None) -> Row:
    found = words(f"{i.kind} {amount(i.length_mm, 'mm', of.system)}" for i in report.indications)
    after = [e for e in of.seen.known.examinations.get(report.joint, [])
             if repair is not None and e.report == repair.examined_by]  # fmt: skip
    result = after[0].result if after else ""
    if repair is None:
        joints = of.seen.known.joints.get(report.joint, [])
        cut = bool(joints) and joints[0].status == "cut out"
        done = ["cut out" if cut else "none", "", "", "", "closed" if cut else "open"]
        mark = "" if cut else "hold"
    else:
        done = [repair.number, day(repair.repaired_at), repair.welder, repair.examined_by,
                result or "open"]  # fmt: skip
        mark = "" if result == "accepted" else "hold"
    cells = [report.report, report.joint, day(report.examined_at),
             responsible(of.seen, report) or "not told", found, *done]  # fmt: skip
    return row(cells, [*[""] * 9, mark])


def _places(of: Asked) -> Part:
    """Repairs of the same place of a joint, counted up."""
    most = of.seen.project.settings.requirements.repairs_per_place_max
    heads = columns(("Joint", 16), ("Place", 12), ("Defect", 12), ("Length", 10, "right"),
                    ("Which time", 12, "right"), ("WPS", 16), ("Found and removed", 12),
                    ("Preheat", 10, "right"))  # fmt: skip
    removed = {True: "yes", False: "no", None: ""}
    rows = [
        row([r.joint, r.clock or amount(r.start_mm, "mm", of.system), r.defect,
             amount(r.length_mm, "mm", of.system), str(r.order),
             f"{r.wps} rev. {r.wps_revision}" if r.wps else "", removed[r.excavated],
             amount(r.preheat_c, "°C", of.system)],
            [*[""] * 4, "hold" if most is not None and r.order > most else "", "", "", ""])
        for r in of.seen.project.repairs
    ]  # fmt: skip
    told = "The project sets no limit to repairs of one place." if most is None else (
        f"Repairs of one place that the project allows: {most}.")  # fmt: skip
    return part(table("Repairs by place", heads, rows, told if rows else ""),
                "No repair is on record.")  # fmt: skip


def _lots(found: list[Lot], unknown: list[Examination]) -> Part:
    heads = columns(
        ("Welder", 8), ("Line", 8), ("Period", 9), ("Rejections", 20), ("First further welds", 20),
        ("Second further welds", 18), ("Where it stands", 11), ("Still due", 6, "right"),
    )  # fmt: skip
    rows = [
        row([lot.key.welder, lot.key.line, lot.key.period, _told(lot.rejections),
             _told(lot.tracers[0]), _told(lot.tracers[1]), lot.progress.state,
             str(lot.progress.more)],
            [*[""] * 6, "" if lot.progress.state == "accepted" else "hold", ""])
        for lot in found
    ]  # fmt: skip
    rows += [
        row(["not told", "", "", _told([report]), "", "", "no lot", ""],
            ["hold", *[""] * 7])
        for report in unknown
    ]  # fmt: skip
    note = (
        "A lot is what one welder made on one line in one period; each rejection asks for two "
        "further welds of the lot (ASME B31.3, 341.3.4, where the project asks for it)."
    )
    return part(table("Tracers by lot", heads, rows, note if rows else ""),
                "No rejection has opened a lot.")  # fmt: skip


def _told(reports: tuple[Examination, ...] | list[Examination]) -> str:
    return words(f"{one.joint} ({one.report}, {one.result or 'not yet read'})" for one in reports)
