"""The cooling time t8/5 that a procedure sheet allows, beside what its tests cooled in.

Fastest: lowest heat input and preheat at the thickest wall. Slowest: highest heat input and
interpass temperature at the thinnest wall. Where a value is missing the sheet says which.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from dossier.calc.cooling_time import BASIS, SHAPES, Shape, cooling_time, heat_input_window_kj_mm
from dossier.documents.amounts import pass_heat_input
from dossier.documents.preheat_window import Window, heat_input_of, walls_of
from dossier.documents.sheet import Figure, Row, columns, row, table
from dossier.drawings.plot import Curve, Plot, curve_plot
from dossier.drawings.words import show_span
from dossier.errors import InputError
from dossier.records.procedures import Pqr, Procedure, ProcedurePass, Span
from dossier.units import System, show

_SHAPES = {"butt": "butt, between runs", "fillet": "single-run fillet, T-joint"}
_THICK_MM = 1000.0  # where the sheet sets no thickest wall: heat flows in three dimensions


@dataclass(frozen=True, slots=True)
class Bounds:
    """What the cooling of every pass of a sheet is computed from."""

    thin_mm: float
    thick_mm: float
    preheat_c: float
    interpass_c: float
    fast: Shape
    slow: Shape

    def fastest_s(self, heat: float) -> float:
        """Shortest t8/5 at a heat input in kJ/mm."""
        return cooling_time(heat, self.preheat_c, self.thick_mm, self.fast).t85_s

    def slowest_s(self, heat: float) -> float:
        """Longest t8/5 at a heat input in kJ/mm."""
        return cooling_time(heat, self.interpass_c, self.thin_mm, self.slow).t85_s


def bounds(wps: Procedure) -> Bounds | str:
    """The bounds of the sheet; in words what is missing."""
    thin, thick = walls_of(wps)
    shape = SHAPES.get(_SHAPES.get(wps.weld_type, ""))
    if shape is None:
        return f"no shape factor is stated for a {wps.weld_type or 'weld of no recorded'} type"
    if thin is None:
        return "the sheet sets no thinnest wall"
    if wps.preheat_min_c is None or wps.interpass_max_c is None:
        return "the sheet does not set both preheat and highest interpass temperature"
    return Bounds(thin, thick or _THICK_MM, wps.preheat_min_c, wps.interpass_max_c, *shape)


def cooling_window(wps: Procedure, tests: Sequence[Pqr], system: System) -> Window:
    """t8/5 of each pass at both ends of what the sheet permits, and of the tests."""
    heads = columns(("Pass", 9), ("Heat input", 19), ("Fastest", 16), ("Slowest", 16),
                    ("Tests", 40))  # fmt: skip
    found = bounds(wps)
    rows = [_row(found, wps, planned, tests, system) for planned in wps.passes]
    return Window(
        rows=table("Cooling time t8/5", heads, rows, _note(wps, found, tests, system)),
        chart=_chart(wps, found, tests, system),
    )


def cooled_in(
    tests: Sequence[Pqr], weld_type: str, kind: str = "", process: str = ""
) -> Iterator[tuple[float, float]]:
    """Heat input and t8/5 of the measured passes of the tests that tell both."""
    shape = SHAPES.get(_SHAPES.get(weld_type, ""))
    for pqr in tests:
        for made in pqr.passes:
            if (kind and made.kind != kind) or (process and made.process != process):
                continue
            first = made.preheat_c if made.preheat_c is not None else pqr.preheat_c
            warm = made.interpass_c if made.interpass_c is not None else first
            heat = pass_heat_input(made)
            if shape and heat and warm is not None and pqr.wall_mm:
                yield heat, cooling_time(heat, warm, pqr.wall_mm, shape[0]).t85_s


def _seconds(value: float) -> str:
    return show(round(value, 1), "s")


def _row(
    found: Bounds | str,
    wps: Procedure,
    planned: ProcedurePass,
    tests: Sequence[Pqr],
    system: System,
) -> Row:
    heat = heat_input_of(planned)
    words = show_span(heat, "kJ/mm", system)
    if isinstance(found, str):
        return row([planned.kind, words, f"no figure: {found}", "-", "-"])
    if heat is None or not heat.low or not heat.high:
        return row([planned.kind, words, "no figure: heat input not closed", "-", "-"])
    points = [t for _, t in cooled_in(tests, wps.weld_type, planned.kind, planned.process)]
    told = show_span(Span(low=round(min(points), 1), high=round(max(points), 1)), "s") if points \
        else "not measured"  # fmt: skip
    try:
        ends = [_seconds(found.fastest_s(heat.low)), _seconds(found.slowest_s(heat.high))]
    except InputError as error:
        ends = [f"no figure: {error}", "-"]
    return row([planned.kind, words, *ends, told])


def _note(wps: Procedure, found: Bounds | str, tests: Sequence[Pqr], system: System) -> str:
    if isinstance(found, str):
        return f"By {BASIS}. No cooling time is computed: {found}."
    thick = "any thicker" if found.thick_mm == _THICK_MM else show(found.thick_mm, "mm", system)
    told = (
        f"By {BASIS}, joint taken as {_SHAPES[wps.weld_type]}. Fastest: lowest heat input, preheat "
        f"{show(found.preheat_c, '°C', system)}, wall {thick}. Slowest: highest heat input, "
        f"interpass {show(found.interpass_c, '°C', system)}, wall "
        f"{show(found.thin_mm, 'mm', system)}."
    )
    return f"{told} {_inverse(found, tests, wps.weld_type, system)}".strip()


def _inverse(found: Bounds, tests: Sequence[Pqr], weld_type: str, system: System) -> str:
    """The heat inputs that keep the cooling inside what the tests gave, over all temperatures."""
    points = [t for _, t in cooled_in(tests, weld_type)]
    if not points:
        return "No test tells heat input, temperature and wall of a pass."
    span = (min(points), max(points))
    temperatures = (found.preheat_c, found.interpass_c)
    words = show_span(Span(low=round(span[0], 1), high=round(span[1], 1)), "s")
    try:
        low, high = heat_input_window_kj_mm(span, temperatures, found.thin_mm, found.fast)
    except InputError:
        return (f"No single heat input keeps the cooling inside what the tests gave ({words}) "
                f"from preheat to interpass at {show(found.thin_mm, 'mm', system)}.")  # fmt: skip
    heat = show_span(Span(low=round(low, 2), high=round(high, 2)), "kJ/mm", system)
    return (f"At {show(found.thin_mm, 'mm', system)} a heat input of {heat} keeps the cooling "
            f"inside what the tests gave ({words}).")  # fmt: skip


def _chart(wps: Procedure, found: Bounds | str, tests: Sequence[Pqr], system: System) -> Figure:
    if isinstance(found, str):
        return Figure(svg="", note=f"No cooling window is drawn: {found}.")
    bars = [(p.kind, h.low, h.high) for p in wps.passes
            if (h := heat_input_of(p)) and h.low and h.high]  # fmt: skip
    if not bars:
        return Figure(svg="", note="No cooling window is drawn: no heat input range is closed.")
    first, last = min(bar[1] for bar in bars), max(bar[2] for bar in bars)
    steps = [first + (last - first) * step / 16 for step in range(17)]
    try:
        fast = tuple((q, found.fastest_s(q)) for q in steps)
        slow = tuple((q, found.slowest_s(q)) for q in steps)
    except InputError as error:
        return Figure(svg="", note=f"No cooling window is drawn: {error}.")
    plot = Plot(
        title="Cooling time t8/5", x_unit="kJ/mm", y_unit="s",
        curves=(Curve("slowest", slow, "4 2"), Curve("fastest", fast)),
        window=(*slow, *reversed(fast)), bars=tuple(bars),
        dots=tuple(cooled_in(tests, wps.weld_type)),
    )  # fmt: skip
    return Figure(
        svg=curve_plot(plot, system),
        note="Shaded: what the sheet permits, all walls and temperatures. Rings: the tests.",
    )
