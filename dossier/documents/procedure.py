"""The welding procedure sheet (WPS): what to weld, how, inside which ranges, on which tests.

Content after the lists of ISO 15609-1:2019, clause 4 and API 1104, 21st edition, 5.3 (known by
memory); the arrangement is our own.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from math import inf
from typing import TypedDict

from dossier.calc.cautions import caution_texts
from dossier.coverage.view import View
from dossier.documents.amounts import (
    amount,
    pass_heat_input,
    qualified_table,
    reachable_heat_input,
    reason_table,
)
from dossier.documents.answers import Answers
from dossier.documents.cooling_window import cooling_window
from dossier.documents.preheat_window import Window, preheat_window
from dossier.documents.sheet import (
    Fact,
    Figure,
    Head,
    Row,
    Table,
    coded,
    columns,
    day,
    fact,
    head,
    row,
    system_of,
    table,
    words,
)
from dossier.drawings.groove import groove_sketch
from dossier.drawings.ranges import RangeBar, range_chart
from dossier.drawings.runs import run_sketch
from dossier.drawings.words import show_span
from dossier.errors import InputError
from dossier.records.procedures import HeatTreatment, Pqr, Procedure, ProcedurePass, Span
from dossier.units import System, show


class ProcedureSheet(TypedDict):
    """All data of one procedure sheet."""

    head: Head
    change: str
    preliminary: str  # what a draft must not be used for, "" on an issued sheet
    identity: list[Fact]
    joint: list[Fact]
    heat: list[Fact]
    groove: Figure
    runs: Figure
    heat_input: Figure
    temperatures: Figure
    preheat: Window
    cooling: Window
    fillers: Table
    parameters: Table
    notes: list[str]
    support: Table
    qualified: list[Table]


def context(seen: View, wps: Procedure, answers: Answers, number: str) -> ProcedureSheet:
    """Plain data of the procedure sheet of one WPS revision.

    `number` is the document number. Reads no clock and no file.
    """
    project, as_of = seen.project, seen.as_of
    system = system_of(project.settings)
    tests = [pqr for pqr in project.pqrs if pqr.number in wps.pqrs]
    wall = drawn_wall(wps)
    return ProcedureSheet(
        head=head(
            seen,
            number=number,
            title=_title(wps),
            revision=wps.revision,
            status=_status(wps, as_of),
            caution=caution_texts("welding_procedure_sheet").values(),
            signed=() if preliminary(wps) else wps.approvals,
            unsigned=("approved",) if preliminary(wps) else (),
        ),
        change=wps.change,
        preliminary=PRELIMINARY if preliminary(wps) else "",
        identity=_identity(wps, system),
        joint=_joint(wps, system),
        heat=_heat(wps, system),
        groove=_groove(wps, wall, system),
        runs=_runs(wps, wall),
        heat_input=_heat_chart(wps, tests, system),
        temperatures=_temperature_chart(wps, tests, system),
        preheat=preheat_window(seen, wps, tests, system),
        cooling=cooling_window(wps, tests, system),
        fillers=_fillers(wps, system),
        parameters=_parameters(wps, system),
        notes=list(wps.notes),
        support=_support(wps, tests, answers),
        qualified=_qualified(wps, tests, answers, system),
    )


PRELIMINARY = (
    "Preliminary: for welding the test piece of a procedure test only. It is approved by nobody "
    "and releases no production weld."
)


def preliminary(wps: Procedure) -> bool:
    """Whether the sheet is a preliminary one (pWPS): a draft that no approval turns into a WPS."""
    return wps.status == "draft"


def _title(wps: Procedure) -> str:
    kind = "Preliminary welding procedure specification (pWPS)" if preliminary(wps) else (
        "Welding procedure specification"
    )  # fmt: skip
    return f"{kind} {wps.number}"


def _status(wps: Procedure, as_of: date) -> str:
    if wps.status == "issued" and wps.valid_until is not None and wps.valid_until < as_of:
        return "superseded"
    return wps.status


def drawn_wall(wps: Procedure) -> float | None:
    """The wall at which the joint is drawn, in mm: the deposits added up, else mid-range.

    A range without an upper end is drawn a little above its lower one.
    """
    deposits = [p.deposit_mm for p in wps.passes]
    total = sum(d for d in deposits if d is not None)
    span = wps.wall_mm or Span()
    low = span.low or 0.0
    high = span.high if span.high is not None and span.high != inf else None
    if deposits and None not in deposits and low <= total <= (high or inf):
        return total
    if high is not None:
        return round((low + high) / 2, 1)
    return round(low * 1.25, 1) or None


def _identity(wps: Procedure, system: System) -> list[Fact]:
    return [
        fact("Title", wps.title),
        fact("Code", coded(wps.code, wps.level)),
        fact("Purpose", wps.purpose),
        fact("In force", f"{day(wps.valid_from)} to {day(wps.valid_until)}"
             if wps.valid_until else f"from {day(wps.valid_from)}"),
        fact("Supporting tests (PQR)", words(wps.pqrs)),
        fact("Product and weld", words([wps.product, wps.weld_type])),
        fact("Material groups", words(wps.material_groups)),
        fact("Grades", words(wps.grades)),
        fact("Minimum yield strength", show_span(wps.smys_mpa, "MPa", system)),
        fact("Wall thickness", show_span(wps.wall_mm, "mm", system)),
        fact("Outside diameter", show_span(wps.od_mm, "mm", system)),
        fact("Processes", words(dict.fromkeys(p.process for p in wps.passes))),
    ]  # fmt: skip


def _joint(wps: Procedure, system: System) -> list[Fact]:
    groove = wps.groove
    shape = "-" if groove is None else f"{groove.kind}, {groove.sides} sided"
    return [
        fact("Positions", words(wps.positions)),
        fact("Preparation", shape),
        fact("Backing", groove.backing if groove else ""),
        fact("Hi-lo", amount(groove.hi_lo_max_mm if groove else None, "mm", system)),
        fact("Line-up", wps.line_up),
        fact("Clamp release", wps.clamp_release),
        fact("Passes before a stop", str(wps.passes_before_stop or "")),
        fact("Cleaning", wps.cleaning),
    ]


def _heat(wps: Procedure, system: System) -> list[Fact]:
    return [
        fact("Preheat, at least", amount(wps.preheat_min_c, "°C", system)),
        fact("Interpass, at most", amount(wps.interpass_max_c, "°C", system)),
        fact("Diffusible hydrogen", amount(wps.hydrogen_ml_100g, "ml/100 g", system)),
        fact("Cooling", wps.cooling),
        fact("Post-weld heat treatment", heat_treatment(wps.pwht, system)),
    ]


def heat_treatment(pwht: HeatTreatment | None, system: System) -> str:
    """A heat treatment in words; "none" where none is prescribed.

    >>> heat_treatment(HeatTreatment(temperature_c=Span(low=580, high=620), holding_min=60), "SI")
    '580 to 620 °C, held 60 min'
    """
    if pwht is None:
        return "none"
    parts = [show_span(pwht.temperature_c, "°C", system)]
    if pwht.holding_min is not None:
        parts.append(f"held {show(pwht.holding_min, 'min', system)}")
    if pwht.heating_c_h is not None:
        parts.append(f"heating up to {show(pwht.heating_c_h, '°C/h', system)}")
    if pwht.cooling_c_h is not None:
        parts.append(f"cooling up to {show(pwht.cooling_c_h, '°C/h', system)}")
    return ", ".join(parts)


def _groove(wps: Procedure, wall: float | None, system: System) -> Figure:
    if wps.groove is None or wall is None:
        return Figure(svg="", note="No sketch: the preparation or the wall is not recorded.")
    try:
        svg = groove_sketch(wps.groove, wall, system)
    except InputError as error:
        return Figure(svg="", note=f"No sketch: {error}.")
    return Figure(svg=svg, note=f"Joint preparation, drawn at t = {show(wall, 'mm', system)}")


def _runs(wps: Procedure, wall: float | None) -> Figure:
    if wps.groove is None or wall is None or not wps.passes:
        return Figure(svg="", note="")
    try:
        svg = run_sketch(wps.groove, wps.passes, wall)
    except InputError:
        return Figure(svg="", note="")
    return Figure(svg=svg, note="Typical sequence of runs at that wall; the number does not bind")


def _heat_chart(wps: Procedure, tests: Sequence[Pqr], system: System) -> Figure:
    bars = []
    for planned in wps.passes:
        span = planned.heat_input_kj_mm
        if span is None:
            continue
        measured = tuple(
            found
            for pqr in tests
            for made in pqr.passes
            if made.kind == planned.kind and made.process == planned.process
            if (found := pass_heat_input(made)) is not None
        )
        bars.append(RangeBar(f"{planned.kind}, {planned.process}", span.low, span.high, measured))
    if not bars:
        return Figure(svg="", note="")
    svg = range_chart("Heat input window of each pass", "kJ/mm", bars, system)
    return Figure(svg=svg, note="Bars: permitted. Marks: measured in the supporting tests.")


def _temperature_chart(wps: Procedure, tests: Sequence[Pqr], system: System) -> Figure:
    """Preheat and interpass windows on one axis, with what the tests were welded at."""
    bars = []
    if wps.preheat_min_c is not None:
        measured = tuple(p.preheat_c for p in tests if p.preheat_c is not None)
        bars.append(RangeBar("preheat", wps.preheat_min_c, None, measured))
    if wps.interpass_max_c is not None:
        measured = tuple(p.interpass_max_c for p in tests if p.interpass_max_c is not None)
        bars.append(RangeBar("interpass", wps.preheat_min_c, wps.interpass_max_c, measured))
    if not bars:
        return Figure(svg="", note="")
    svg = range_chart("Preheat and interpass temperature", "°C", bars, system)
    return Figure(
        svg=svg, note="Bars: permitted. Marks: preheat and highest interpass of the tests."
    )


def _fillers(wps: Procedure, system: System) -> Table:
    heads = columns(
        ("Pass", 8), ("Process", 8), ("Filler", 20), ("Group", 8), ("Size", 9),
        ("Covering", 11), ("Current", 8), ("Transfer", 10), ("Direction", 9), ("Gas", 9),
    )  # fmt: skip
    rows = [
        row([p.kind, p.process, p.filler, p.filler_group, amount(p.filler_mm, "mm", system),
             p.covering, p.current, p.transfer, p.direction, p.gas])
        for p in wps.passes
    ]  # fmt: skip
    return table("Passes and consumables", heads, rows)


def _parameters(wps: Procedure, system: System) -> Table:
    heads = columns(
        ("Pass", 6), ("Current", 12), ("Voltage", 10.5), ("Travel speed", 16.5),
        ("Wire feed", 9.5), ("Gas flow", 9.5), ("Heat input permitted", 14.5),
        ("Reached by the ranges", 15), ("Start within", 8),
    )  # fmt: skip
    note = (
        "Heat input to EN 1011-1, thermal efficiency included. The three ranges together can reach "
        "more than is permitted: the permitted window binds. Start within: time from the end of "
        "the pass before."
    )
    return table(
        "Parameters of each pass", heads, [_parameter(p, system) for p in wps.passes], note
    )


def _parameter(planned: ProcedurePass, system: System) -> Row:
    return row(
        [
            planned.kind,
            show_span(planned.current_a, "A", system),
            show_span(planned.voltage_v, "V", system),
            show_span(planned.travel_mm_min, "mm/min", system),
            show_span(planned.wire_feed_m_min, "m/min", system),
            show_span(planned.gas_l_min, "l/min", system),
            show_span(planned.heat_input_kj_mm, "kJ/mm", system),
            show_span(reachable_heat_input(planned), "kJ/mm", system),
            amount(planned.within_min, "min", system),
        ]
    )


def _support(wps: Procedure, tests: Sequence[Pqr], answers: Answers) -> Table:
    missing = [name for name in wps.pqrs if name not in {pqr.number for pqr in tests}]
    note = f"Not in the register: {words(missing)}." if missing else ""
    reasons = answers.supports(wps, tests) if tests else ()
    if not reasons and not note:
        note = "No test is named."
    return reason_table(f"This sheet against its tests, by {coded(wps.code)}", reasons, note)


def _qualified(
    wps: Procedure, tests: Sequence[Pqr], answers: Answers, system: System
) -> list[Table]:
    return [
        qualified_table(f"Range qualified by {pqr.number} ({coded(pqr.code)})",
                        answers.procedure_range(pqr), system)
        for pqr in tests
        if pqr.number in wps.pqrs
    ]  # fmt: skip
