"""The preheat that EN 1011-2, method B asks for, beside what a procedure sheet prescribes.

It proposes: a figure is computed for the steel with the highest CET on record, the thickest wall
that the sheet permits and the lowest heat input of each pass. Where the method does not apply, or
a value is missing, the sheet says which and prints no figure.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from math import inf
from typing import TypedDict

from dossier.calc.carbon_equivalent import cet_faults, cet_pct
from dossier.calc.preheat import METHOD_B_BASIS, METHOD_B_LIMITS, MethodB, method_b
from dossier.coverage.view import View
from dossier.documents.amounts import amount, reachable_heat_input
from dossier.documents.sheet import Figure, Row, Table, columns, row, table
from dossier.drawings.plot import Curve, Plot, curve_plot
from dossier.errors import InputError
from dossier.records.procedures import Composition, Pqr, Procedure, ProcedurePass, Span
from dossier.units import System, show

AMBIENT_C = 20.0  # a figure below it is no preheat
_UNITS = {"thickness_mm": "mm", "hydrogen_ml_100g": "ml/100 g", "heat_input_kj_mm": "kJ/mm"}
_NAMES = {"cet_pct": "CET", "thickness_mm": "wall", "hydrogen_ml_100g": "hydrogen",
          "heat_input_kj_mm": "heat input"}  # fmt: skip


class Window(TypedDict):
    """A computed window of a procedure sheet: figures by pass, and the chart of it."""

    rows: Table
    chart: Figure


@dataclass(frozen=True, slots=True)
class Steel:
    """The governing parent metal: where its analysis stands, and its CET in per cent."""

    name: str
    cet: float


def heat_input_of(planned: ProcedurePass) -> Span | None:
    """The heat input that a sheet permits in a pass, else what its other ranges reach together."""
    return planned.heat_input_kj_mm or reachable_heat_input(planned)


def walls_of(wps: Procedure) -> tuple[float | None, float | None]:
    """The thinnest and the thickest wall that a sheet permits, in mm; None is no such end."""
    span = wps.wall_mm or Span()
    return span.low or None, None if span.high in (None, inf) else span.high


def analyses(seen: View, wps: Procedure, tests: Iterable[Pqr]) -> Iterator[tuple[str, Composition]]:
    """Analyses of the test pieces and of every heat welded to the WPS, with their names."""
    for pqr in tests:
        if pqr.composition is not None:
            yield f"test piece of {pqr.number}", pqr.composition
    told: set[tuple[str, str]] = set()
    for joint in seen.project.joints:
        if joint.wps != wps.number:
            continue
        for name in (joint.upstream_item, joint.downstream_item):
            item = seen.known.items.get(name)
            if item is None or (item.certificate, item.heat) in told:
                continue
            told.add((item.certificate, item.heat))
            paper = seen.known.material_certificates.get(item.certificate)
            for heat in paper.heats if paper else ():
                if heat.number == item.heat and heat.composition is not None:
                    yield f"heat {heat.number}", heat.composition


def governing_steel(found: Iterable[tuple[str, Composition]]) -> Steel | str:
    """The steel with the highest CET; in words why there is none.

    >>> governing_steel([("heat A", Composition(c=0.06, mn=1.5)), ("heat B", Composition(c=0.1))])
    Steel(name='heat A', cet=0.21)
    >>> governing_steel([])
    'no analysis of a test piece or of a heat is on record'
    """
    known = [(name, steel) for name, steel in found if steel.c is not None and steel.mn is not None]
    if not known:
        return "no analysis of a test piece or of a heat is on record"
    name, steel = max(known, key=lambda pair: (cet_pct(pair[1]), pair[0]))
    if faults := cet_faults(steel):
        return f"{name} lies outside the analyses that the method was made for: {'; '.join(faults)}"
    return Steel(name, round(cet_pct(steel), 4))


def preheat_window(seen: View, wps: Procedure, tests: Sequence[Pqr], system: System) -> Window:
    """The preheat of each pass by method B, against what the sheet prescribes."""
    steel = governing_steel(analyses(seen, wps, tests))
    lacking = list(_lacking(wps, steel))
    heads = columns(("Pass", 9), ("Lowest heat input", 15), ("Method B asks for", 48),
                    ("Sheet prescribes", 14), ("Judged", 14))  # fmt: skip
    told = "no figure, as told below" if lacking else ""
    rows = [_row(wps, planned, steel, told, system) for planned in wps.passes]
    return Window(
        rows=table("Preheat window", heads, rows, _note(wps, steel, lacking, system)),
        chart=_chart(wps, steel, lacking, system),
    )


def _lacking(wps: Procedure, steel: Steel | str) -> Iterator[str]:
    if isinstance(steel, str):
        yield steel
    if walls_of(wps)[1] is None:
        yield "the sheet sets no thickest wall"
    if wps.hydrogen_ml_100g is None:
        cellulosic = any(p.covering == "cellulosic" for p in wps.passes)
        yield "the diffusible hydrogen is not recorded" + (
            ", and cellulosic electrodes lie above what the method takes" if cellulosic else ""
        )


def _joint(wps: Procedure, steel: Steel, wall_mm: float, heat: float) -> MethodB:
    return MethodB(
        cet_pct=steel.cet, thickness_mm=wall_mm, hydrogen_ml_100g=wps.hydrogen_ml_100g or 0.0,
        heat_input_kj_mm=heat,
    )  # fmt: skip


def _outside(joint: MethodB, system: System) -> Iterator[str]:
    """What of the joint lies outside the limits of the method, in the words of the sheet."""
    for name, (low, high) in METHOD_B_LIMITS.items():
        value = getattr(joint, name)
        if low <= value <= high:
            continue
        unit = _UNITS.get(name, "%")
        ends = f"{show(low, unit, system)} to {show(high, unit, system)}"
        yield f"{_NAMES[name]} {show(value, unit, system)} lies outside {ends}"


def _row(
    wps: Procedure, planned: ProcedurePass, steel: Steel | str, told: str, system: System
) -> Row:
    heat = heat_input_of(planned)
    low = heat.low if heat else None
    prescribed = amount(wps.preheat_min_c, "°C", system)
    start = [planned.kind, amount(low, "kJ/mm", system)]
    wall = walls_of(wps)[1]
    if not told and not low:
        told = "no figure: no lowest heat input is set"
    if told or isinstance(steel, str) or wall is None or not low:
        return row([*start, told, prescribed, "not judged"], ["", "", "", "", "soft"])
    joint = _joint(wps, steel, wall, low)
    if outside := "; ".join(_outside(joint, system)):
        return row([*start, f"no figure: {outside}", prescribed, "not judged"],
                   ["", "", "", "", "soft"])  # fmt: skip
    asked = method_b(joint).preheat_c
    words = show(round(asked), "°C", system)
    if asked <= AMBIENT_C:
        return row([*start, f"none ({words} computed)", prescribed, "enough"],
                   ["", "", "", "", "good"])  # fmt: skip
    short = wps.preheat_min_c is None or wps.preheat_min_c < asked - 0.5
    mark = "soon" if short else "good"
    return row([*start, words, prescribed, "short" if short else "enough"], ["", "", "", "", mark])


def _note(wps: Procedure, steel: Steel | str, lacking: list[str], system: System) -> str:
    basis = f"By {METHOD_B_BASIS}."
    if lacking or isinstance(steel, str):
        return f"{basis} No figure is computed: {'; '.join(lacking)}."
    return (
        f"{basis} Governing steel: {steel.name}, CET {steel.cet:.3f} %; wall "
        f"{amount(walls_of(wps)[1], 'mm', system)}; hydrogen "
        f"{amount(wps.hydrogen_ml_100g, 'ml/100 g', system)}. The weld metal's own CET is not on "
        "record: where it plus 0.03 % is more than the steel's, that sum governs. Restraint and "
        "weather may ask for more; the qualified procedure governs."
    )


def _chart(wps: Procedure, steel: Steel | str, lacking: list[str], system: System) -> Figure:
    """Method B over the heat input at both ends of the wall range, inside its limits only."""
    if lacking or isinstance(steel, str):
        return Figure(svg="", note=f"No preheat window is drawn: {'; '.join(lacking)}.")
    bars = [(p.kind, h.low, h.high) for p in wps.passes
            if (h := heat_input_of(p)) and h.low and h.high]  # fmt: skip
    if not bars:
        return Figure(svg="", note="No preheat window is drawn: no heat input range is closed.")
    low, high = METHOD_B_LIMITS["heat_input_kj_mm"]
    first = max(low, min(bar[1] for bar in bars))
    last = min(high, max(bar[2] for bar in bars))
    thin, thick = walls_of(wps)
    curves: list[Curve] = []
    for wall, dash in {thin: "4 2", thick: ""}.items():
        if wall is None or first >= last:
            continue
        try:
            points = tuple(
                (q, method_b(_joint(wps, steel, wall, q)).preheat_c)
                for q in (first + (last - first) * step / 12 for step in range(13))
            )
        except InputError:
            continue
        curves.append(Curve(f"least at t = {show(wall, 'mm', system)}", points, dash))
    if not curves:
        why = "; ".join(_outside(_joint(wps, steel, thick or 0.0, first), system))
        return Figure(svg="", note=f"No preheat window is drawn: {why}.")
    plot = Plot(
        title="Preheat window", x_unit="kJ/mm", y_unit="°C", curves=tuple(curves),
        limits=tuple((name, value) for name, value in (("sheet: preheat", wps.preheat_min_c),
                     ("sheet: interpass", wps.interpass_max_c)) if value is not None),
        window=_permitted(wps, bars), bars=tuple(bars),
    )  # fmt: skip
    note = "Shaded: what the sheet permits. Curves: least preheat by method B, inside its limits."
    return Figure(svg=curve_plot(plot, system), note=note)


def _permitted(
    wps: Procedure, bars: Sequence[tuple[str, float, float]]
) -> tuple[tuple[float, float], ...]:
    low, high = wps.preheat_min_c, wps.interpass_max_c
    if low is None or high is None:
        return ()
    first, last = min(bar[1] for bar in bars), max(bar[2] for bar in bars)
    return (first, low), (last, low), (last, high), (first, high)
