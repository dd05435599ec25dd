"""Registers of what follows welding: heat treatment, hardness, coating, lowering and backfill."""

from __future__ import annotations

from collections.abc import Iterator

from dossier.documents.amounts import amount
from dossier.documents.printed.face import Asked, Name, Printed, part, printed
from dossier.documents.sheet import columns, day, row, table, words
from dossier.drawings.words import show_span
from dossier.records.construction import Coating
from dossier.records.procedures import Span
from dossier.records.treatment import HardnessTest, HeatTreatmentRecord

_RESULTS = {"accepted": "good", "rejected": "nonconformity"}


def heat_treatments(of: Asked) -> Iterator[Printed]:
    """Every chart, one row a joint on it."""
    heads = columns(
        ("Chart", 9), ("Joint", 8), ("Method", 11), ("Recorder", 8), ("Thermocouples", 12),
        ("Heating, per hour", 6.5, "right"), ("Soak", 10, "right"), ("Held", 7, "right"),
        ("Cooling, per hour", 6.5, "right"), ("Begun", 9), ("Ended", 9), ("Operator", 8),
        ("Result", 7),
    )  # fmt: skip
    rows = [
        row(_treated(of, chart), [*[""] * 12, _RESULTS.get(chart.result, "hold")])
        for chart in of.seen.project.heat_treatments
    ]
    note = "Soak: lowest and highest reading of any thermocouple. Rates above 300 °C."
    body = part(table("", heads, rows, note if rows else ""), "No heat treatment is on record.")
    name = Name("HTR", "Heat treatment register", caution="heat_treatment_register")
    yield printed(of, name, {"charts": body}, form="wide")


def _treated(of: Asked, chart: HeatTreatmentRecord) -> list[str]:
    rates = [None if rate is None else f"{rate:g} K" for rate in
             (chart.heating_c_h, chart.cooling_c_h)]  # fmt: skip
    soak = show_span(Span(low=chart.soak_low_c, high=chart.soak_high_c), "°C", of.system)
    held = "" if chart.holding_min is None else f"{chart.holding_min:g} min"
    return [
        chart.chart, chart.joint, chart.method, chart.instrument, words(chart.thermocouples),
        rates[0] or "", soak, held, rates[1] or "", day(chart.started_at), day(chart.finished_at),
        chart.operator, chart.result or "open",
    ]  # fmt: skip


def hardness(of: Asked) -> Iterator[Printed]:
    """Every hardness report, one row a zone of a joint."""
    heads = columns(
        ("Report", 11), ("Joint", 9), ("Zone", 15), ("Method", 7), ("Readings", 24),
        ("Highest", 6, "right"), ("Limit", 6, "right"), ("Instrument", 8), ("Tested", 10),
        ("Examiner", 8), ("Result", 8),
    )  # fmt: skip
    rows = []
    for test in of.seen.project.hardness_tests:
        most = max(test.values, default=None)
        over = most is not None and test.limit is not None and most > test.limit
        marks = [*[""] * 5, "nonconformity" if over else "", *[""] * 4,
                 _RESULTS.get(test.result, "hold")]  # fmt: skip
        rows.append(row(_hard(test, most), marks))
    note = "Readings, highest and limit on the scale of the method."
    body = part(table("", heads, rows, note if rows else ""), "No hardness test is on record.")
    yield printed(of, Name("HRD", "Hardness register"), {"tests": body}, form="wide")


def _hard(test: HardnessTest, most: float | None) -> list[str]:
    return [
        test.report, test.joint, test.zone, test.method, words(f"{v:g}" for v in test.values),
        "" if most is None else f"{most:g}", "" if test.limit is None else f"{test.limit:g}",
        test.instrument, day(test.tested_at), test.examiner, test.result or "open",
    ]  # fmt: skip


def coatings(of: Asked) -> Iterator[Printed]:
    """Every field coating with its climate, and its holiday test."""
    done = of.seen.project.coatings
    heads = columns(
        ("Joint", 8), ("Report", 11), ("System", 15), ("Batch", 8), ("Coated", 10),
        ("Air", 6, "right"), ("Steel", 6, "right"), ("Dew point", 6, "right"),
        ("Humidity", 6.5, "right"), ("Thickness", 7, "right"), ("Result", 8),
    )  # fmt: skip
    rows = [row(_coated(of, c), [*[""] * 10, _RESULTS.get(c.result, "hold")]) for c in done]
    tested = columns(
        ("Joint", 14), ("Report", 18), ("Tested", 16), ("Voltage", 10, "right"),
        ("Detector", 14), ("Found", 8, "right"), ("Repaired", 8, "right"),
    )  # fmt: skip
    holidays = [
        row([c.joint, c.report, day(c.holiday_tested_at), amount(c.holiday_kv, "kV", of.system),
             c.instrument, _count(c.holidays_found), _count(c.holidays_repaired)],
            [*[""] * 6, "hold" if (c.holidays_found or 0) > (c.holidays_repaired or 0) else ""])
        for c in done
        if c.holiday_tested_at is not None or c.holiday_kv is not None
    ]  # fmt: skip
    yield printed(
        of,
        Name("FCT", "Field coating and holiday tests", caution="holiday_report"),
        {"coatings": part(table("Field coating", heads, rows), "No field coating is on record."),
         "holidays": part(table("Holiday tests", tested, holidays),
                          "No holiday test is on record.")},
        form="wide",
    )  # fmt: skip


def _coated(of: Asked, coating: Coating) -> list[str]:
    humidity = coating.humidity_percent
    return [
        coating.joint, coating.report, coating.system, coating.batch, day(coating.coated_at),
        amount(coating.air_c, "°C", of.system), amount(coating.steel_c, "°C", of.system),
        amount(coating.dew_point_c, "°C", of.system),
        "" if humidity is None else f"{humidity:g} %",
        amount(coating.thickness_mm, "mm", of.system), coating.result or "open",
    ]  # fmt: skip


def _count(value: int | None) -> str:
    return "" if value is None else str(value)


def lowerings(of: Asked) -> Iterator[Printed]:
    """Lowering in, cover and backfill of every joint."""
    heads = columns(
        ("Joint", 14), ("KP, km", 9, "right"), ("Lowered", 16), ("Cover", 10, "right"),
        ("Place", 16), ("Ground", 12), ("Backfilled", 16), ("Paper", 16),
    )  # fmt: skip
    rows = []
    for done in of.seen.project.lowerings:
        joints = of.seen.known.joints.get(done.joint, [])
        kp = joints[0].kp_m if joints else None
        paper = f"{done.document.document}, page {done.document.page}" if done.document else ""
        cells = [done.joint, "" if kp is None else f"{kp / 1000:.3f}", day(done.lowered_at),
                 amount(done.cover_m, "m", of.system), done.location, done.ground,
                 day(done.backfilled_at), paper]  # fmt: skip
        rows.append(row(cells))
    body = part(table("", heads, rows), "No lowering is on record.")
    name = Name("LOW", "Lowering and backfill register", caution="lowering_record")
    yield printed(of, name, {"lowerings": body}, form="wide")
