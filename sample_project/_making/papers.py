"""The evidence: which papers exist, what stands on each page, and the register of them."""

from __future__ import annotations

from datetime import date
from typing import Any

from sample_project._making.base import Data, Row, paper

Scans = dict[str, list[list[str]]]  # document number -> pages -> lines


def build(data: Data) -> Scans:
    """Add the register of documents; return what is written on their pages."""
    data["documents"] = []
    scans: Scans = {}
    for make in (
        _mill,
        _tests,
        _batches,
        _welders,
        _examiners,
        _instruments,
        _films,
        _coatings,
        _pressure,
    ):
        make(data, scans)
    return scans


def add(data: Data, scans: Scans, document: Row, pages: list[list[str]]) -> None:
    """Register one paper with its pages."""
    scans[document["number"]] = pages
    data["documents"].append({**document, "pages": len(pages)})


def _document(number: str, title: str, kind: str, file: str, issued: date | None) -> Row:
    return {
        "number": number,
        "title": title,
        "kind": kind,
        "file": f"evidence/{file}.pdf",
        "issued_on": issued,
        "volume": _VOLUME[kind],
    }


_VOLUME = {
    "material certificate": "materials",
    "consumable certificate": "materials",
    "procedure test": "procedures",
    "welder certificate": "welders",
    "examiner certificate": "examination",
    "radiographic report": "examination",
    "calibration certificate": "instruments",
    "coating report": "coating",
    "concession": "concessions",
    "pressure test": "pressure test",
}


def document(number: str, title: str, kind: str, file: str, issued: date | None) -> Row:
    """The register entry of a paper, its pages not yet counted."""
    return _document(number, title, kind, file, issued)


def _mill(data: Data, scans: Scans) -> None:
    for row in data["material_certificates"]:
        head = [
            f"Inspection certificate {row['number']}",
            f"Type {row['kind']} by EN 10204:2004",
            f"Maker: {row['maker']}",
            f"Product: {row['product']}",
            f"Grade: {row['grade']}",
            f"Date: {row['issued_on']}",
        ]
        analysis = [f"Certificate {row['number']}, heats", ""]
        for heat in row["heats"]:
            figures = "  ".join(f"{k} {v:g}" for k, v in heat["composition"].items())
            analysis += [f"Heat {heat['number']}", *_wrap(figures), _strength(heat), ""]
        entry = _document(
            row["document"]["document"],
            f"Mill certificate {row['number']}",
            "material certificate",
            f"mill/{row['number']}",
            row["issued_on"],
        )
        add(data, scans, entry, [head, analysis])


def _strength(heat: Row) -> str:
    return (
        f"Yield {heat['yield_mpa']} MPa, tensile {heat['tensile_mpa']} MPa, elongation "
        f"{heat['elongation_percent']} %, impact {heat['impact_j']} J at {heat['impact_at_c']} C"
    )


def _wrap(text: str, width: int = 84) -> list[str]:
    lines, line = [], ""
    for word in text.split("  "):
        if len(line) + len(word) > width:
            lines.append(line)
            line = ""
        line = f"{line}  {word}" if line else word
    return [*lines, line]


def _tests(data: Data, scans: Scans) -> None:
    for row in data["pqrs"]:
        head = [
            f"Procedure test {row['number']} by {row['code']}",
            f"Steel: {row['grade']}",
            f"Wall {row['wall_mm']} mm, position {row['position']}",
            f"Welded {row['welded_on']} by {row['welder']}, witnessed by {row['examiner']}",
        ]
        for made in row["passes"]:
            head.append(
                f"Pass {made['number']} {made['kind']}: {made['process']}, {made['filler']}, "
                f"{made['current_a']:g} A, {made['voltage_v']:g} V, "
                f"{made['travel_mm_min']:g} mm/min"
            )
        results = [f"Laboratory report, {row['laboratory']}", ""]
        for test in row["tests"]:
            results.append(f"{test['kind']} x {test['specimens']}: {test['value']}")
            results.append(f"   permitted: {test['permitted']}; {test['result']}")
        entry = _document(
            row["document"]["document"],
            f"Procedure test {row['number']}",
            "procedure test",
            f"pqr/{row['number']}",
            row["welded_on"],
        )
        add(data, scans, entry, [head, results])


def _batches(data: Data, scans: Scans) -> None:
    for row in data["batches"]:
        number = row["certificate"]
        lines = [
            f"Inspection certificate {number}, type {row['certificate_kind']}",
            f"Batch {row['number']}",
            f"Class {row['classification']}",
            f"Brand {row['brand']}",
            f"Size {row['size_mm'] or 'see label'}",
        ]
        entry = _document(
            row["document"]["document"],
            f"Batch certificate {number}",
            "consumable certificate",
            f"batches/{number}",
            row["received_on"],
        )
        add(data, scans, entry, [lines])


def _welders(data: Data, scans: Scans) -> None:
    for welder in data["welders"]:
        for row in welder["certificates"]:
            shown = ", ".join(row["positions"])
            lines = [
                f"Welder qualification test {row['number']} by {row['code']}",
                f"Welder {welder['name']}, stamp {welder['stamp']}",
                f"Welded {row['welded_on']}, position {shown}, wall {row['wall_mm']} mm",
                f"{row['product']}, {row['weld_type']} weld, result {row['result']}",
            ]
            for part in row["deposits"]:
                lines.append(
                    f"Process {part['process']}, {part['filler']}, deposit "
                    f"{part.get('deposit_mm', 'see throat')}, {part['layers']} layers"
                )
            for signed in row.get("confirmations", []):
                lines.append(f"Confirmed {signed['signed_on']}: {signed['by']}")
            entry = _document(
                row["document"]["document"],
                f"Welder certificate {row['number']}",
                "welder certificate",
                f"welders/{row['number']}",
                row["issued_on"],
            )
            add(data, scans, entry, [lines])


def _examiners(data: Data, scans: Scans) -> None:
    for examiner in data["examiners"]:
        lines = [f"Certificate of {examiner['name']}", f"Employer {examiner['employer']}"]
        for row in examiner["certificates"]:
            lines += [
                f"{row['method']} level {row['level']} by {row['scheme']}, {row['number']}",
                f"   {row['issued_on']} to {row['expires_on']}, near vision {row['vision_on']}",
            ]
        first = examiner["certificates"][0]
        entry = _document(
            first["document"]["document"],
            f"Examiner certificates {examiner['id']}",
            "examiner certificate",
            f"examiners/{examiner['id']}",
            first["issued_on"],
        )
        add(data, scans, entry, [lines])


def _instruments(data: Data, scans: Scans) -> None:
    for row in data["instruments"]:
        lines = [
            f"Calibration certificate {row['certificate']}",
            f"{row['kind']} {row['number']}",
            f"Calibrated {row['calibrated_on']}",
            f"Due {row['due_on']}",
            f"As found: {row['as_found']}",
        ]
        entry = _document(
            row["document"]["document"],
            f"Calibration {row['number']}",
            "calibration certificate",
            f"calibration/{row['number']}",
            row["calibrated_on"],
        )
        add(data, scans, entry, [lines])


def _by_week(rows: list[Row], moment: str) -> dict[tuple[int, int], dict[date, list[Row]]]:
    weeks: dict[tuple[int, int], dict[date, list[Row]]] = {}
    for row in sorted(rows, key=lambda r: (r[moment], r["joint"])):
        day = row[moment].date()
        weeks.setdefault(day.isocalendar()[:2], {}).setdefault(day, []).append(row)
    return weeks


def _bundle(data: Data, scans: Scans, rows: list[Row], how: dict[str, Any]) -> None:
    """One paper a week, one page a day; each record refers to its page."""
    for nth, ((year, week), days) in enumerate(_by_week(rows, how["moment"]).items(), 1):
        number, pages = f"{how['prefix']}{nth:02d}", []
        for page, (day, made) in enumerate(days.items(), 1):
            pages.append([f"{how['title']}, {day}", "", *(how["line"](row) for row in made)])
            for row in made:
                row["document"] = paper(number, page)
        entry = _document(
            number,
            f"{how['title']}s, {year} week {week}",
            how["kind"],
            f"{how['folder']}/{year}-W{week:02d}",
            max(days),
        )
        add(data, scans, entry, pages)


def _films(data: Data, scans: Scans) -> None:
    def line(row: Row) -> str:
        seen = ", ".join(f"{i['kind']} {i['length_mm']:g} mm" for i in row["indications"])
        return (
            f"{row['report']}: {row['extent_percent']} %, density {row['density']}, IQI "
            f"{row['iqi']}, {row['examiner']}: {seen or 'nothing to report'}, {row['result']}"
        )

    films = [row for row in data["examinations"] if row["method"] == "RT"]
    _bundle(
        data,
        scans,
        films,
        {
            "prefix": "D-07",
            "moment": "examined_at",
            "title": "Radiographic report",
            "line": line,
            "kind": "radiographic report",
            "folder": "radiography",
        },
    )


def _coatings(data: Data, scans: Scans) -> None:
    def line(row: Row) -> str:
        return (
            f"{row['report']}: {row['thickness_mm']} mm, steel {row['steel_c']} C, dew point "
            f"{row['dew_point_c']} C, holiday test {row['holiday_kv']} kV, {row['result']}"
        )

    _bundle(
        data,
        scans,
        data["coatings"],
        {
            "prefix": "D-08",
            "moment": "coated_at",
            "title": "Field coating report",
            "line": line,
            "kind": "coating report",
            "folder": "coating",
        },
    )


def _pressure(data: Data, scans: Scans) -> None:
    for nth, row in enumerate(data["pressure_tests"], 1):
        row["document"] = paper(f"D-10{nth:02d}")
        lines = [
            f"Pressure test {row['number']}, {row['section']}",
            f"Medium {row['medium']}, gauges {', '.join(row['gauges'])}",
            f"From {row['started_at']:%Y-%m-%d %H:%M} for {row['duration_h']:g} h",
            f"Lowest pressure {row['pressure_bar']:g} bar, asked {row['required_bar']:g} bar",
            f"Leaks {row['leaks']}; {row['company']}, {row['responsible']}",
        ]
        entry = _document(
            f"D-10{nth:02d}",
            f"Pressure test {row['number']}",
            "pressure test",
            f"pressure/{row['number']}",
            row["started_at"].date(),
        )
        add(data, scans, entry, [lines])
