"""Hypothetical procedure tests made from what a WPS permits.

The test piece is welded as the sheet says, at chosen points of its ranges: wall, diameter,
strength, throat, position and level of heat input. What it qualifies is asked of the code.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from itertools import product

from dossier.calc.heat_input import thermal_efficiency
from dossier.coverage.plan.coupons import THICKEST
from dossier.errors import InputError
from dossier.records.procedures import (
    Pqr,
    PqrPass,
    Procedure,
    ProcedurePass,
    Span,
    TestResult,
)

_HEAT_POINTS = (0.5, 0.0, 1.0, 0.25, 0.75)  # of the permitted heat input, from low to high
_INCLINED = {"up": "H-L045", "down": "J-L045"}
_DAY = date(2000, 1, 1)
# What a laboratory would report of a sound test piece; the codes ask that each was accepted.
_TESTS = tuple(
    TestResult(kind=kind, specimens=count, result="accepted")
    for kind, count in (
        ("visual", 1), ("radiographic", 1), ("tensile", 4), ("bend", 8), ("macro", 2)
    )
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Point:
    """Where in the ranges of the WPS the test piece is welded."""

    wall_mm: float | None
    od_mm: float | None
    smys_mpa: float | None
    throat_mm: float | None
    position: str
    heat: float


def pieces_for(wps: Procedure, tested: Sequence[Pqr]) -> Iterator[Pqr]:
    """Test pieces that could be welded for a WPS, the plainest first.

    What the sheet does not tell (laboratory tests, impact and hardness) is as in the test that
    the WPS already names, else tested in full.
    """
    model = tested[0] if tested else None
    fillet = wps.weld_type == "fillet"
    throat = wps.groove.throat_mm if wps.groove else None
    combinations = product(
        _positions(wps),
        _values(wps.wall_mm, halves=True),
        _values(wps.od_mm if wps.product != "plate" else None, halves=True),
        _values(wps.smys_mpa),
        _values(throat if fillet else None),
        _HEAT_POINTS,
    )
    for position, wall, od, smys, leg, heat in combinations:
        if wall and od and wall > THICKEST * od:
            continue
        yield _piece(wps, model, Point(wall, od, smys, leg, position, heat))


def _positions(wps: Procedure) -> list[str]:
    directions = {row.direction for row in wps.passes} - {""}
    wider = [_INCLINED[d] for d in sorted(directions) if len(directions) == 1 and d in _INCLINED]
    return list(dict.fromkeys([*wps.positions, *(wider if wps.product == "pipe" else ())])) or [""]


def _values(span: Span | None, *, halves: bool = False) -> list[float | None]:
    """The ends and the middle of a span; `halves` adds twice the low end and half the high one."""
    if span is None:
        return [None]
    ends = [end for end in (span.high, span.low) if end is not None]
    if len(ends) == 2:
        ends.append(round(sum(ends) / 2, 2))
    if halves:
        ends += [round(span.high / 2, 2)] if span.high else []
        ends += [round(2 * span.low, 2)] if span.low else []
    inside = [e for e in ends if (span.low or 0) <= e <= (span.high or e)]
    return [*dict.fromkeys(inside)] or [None]


def _piece(wps: Procedure, model: Pqr | None, at: Point) -> Pqr:
    groups = wps.material_groups
    return Pqr(
        number="",
        code=wps.code,
        level=wps.level,
        welded_on=_DAY,
        wps=wps.number,
        product=wps.product,
        weld_type=wps.weld_type,
        material_groups=(groups[0], groups[-1]) if groups else (),
        grade=wps.grades[0] if wps.grades else "",
        smys_mpa=at.smys_mpa,
        composition=model.composition if model else None,
        wall_mm=at.wall_mm,
        od_mm=at.od_mm,
        throat_mm=at.throat_mm,
        branch_angle_deg=wps.branch_angle_deg.low if wps.branch_angle_deg else None,
        position=at.position,
        groove=wps.groove,
        passes=tuple(_passes(wps, at)),
        preheat_c=wps.preheat_min_c,
        interpass_max_c=wps.interpass_max_c,
        hydrogen_ml_100g=wps.hydrogen_ml_100g,
        pwht=wps.pwht,
        impact_tested=model.impact_tested if model else False,
        hardness_tested=model.hardness_tested if model else True,
        line_up=wps.line_up,
        tests=model.tests if model and model.tests else _TESTS,
    )


def _passes(wps: Procedure, at: Point) -> Iterator[PqrPass]:
    rows = list(wps.passes)
    left = _left(rows, at.wall_mm)
    number = 0
    for place, row in enumerate(rows):
        mine = [r for r in rows if r.process == row.process]
        # A range for several runs asks for a test of several runs.
        several = row.kind == "fill" or (len(mine) == 1 and row.kind not in ("root", "back"))
        deposit = left if place == _filling(rows) else row.deposit_mm
        for _ in range(2 if several else 1):
            number += 1
            made = _welded(row, at.heat, number, wps)
            yield replace(made, deposit_mm=deposit / (2 if several else 1) if deposit else None)


def _filling(rows: Sequence[ProcedurePass]) -> int:
    return next((n for n, row in enumerate(rows) if row.kind == "fill"), len(rows) - 1)


def _left(rows: Sequence[ProcedurePass], wall_mm: float | None) -> float | None:
    """What the filling pass deposits: the wall less what the others state."""
    others = [row.deposit_mm for n, row in enumerate(rows) if n != _filling(rows)]
    if wall_mm is None or None in others:
        return None
    left = wall_mm - sum(value for value in others if value is not None)
    return round(left, 6) if left > 0 else None


def _welded(row: ProcedurePass, heat: float, number: int, wps: Procedure) -> PqrPass:
    volts, amps = _middle(row.voltage_v), _middle(row.current_a)
    return PqrPass(
        number=number,
        kind=row.kind,
        process=row.process,
        filler=row.filler,
        filler_group=row.filler_group,
        covering=row.covering,
        filler_mm=row.filler_mm,
        current=row.current,
        transfer=row.transfer,
        direction=row.direction,
        current_a=amps,
        voltage_v=volts,
        travel_mm_min=_speed(row, heat, volts, amps),
        preheat_c=wps.preheat_min_c,
        interpass_c=wps.interpass_max_c,
        gas=row.gas,
        since_last_min=row.within_min,
    )


def _middle(span: Span | None) -> float | None:
    if span is None:
        return None
    ends = [end for end in (span.low, span.high) if end is not None]
    return sum(ends) / len(ends) if ends else None


def _speed(
    row: ProcedurePass, heat: float, volts: float | None, amps: float | None
) -> float | None:
    """Speed that gives the wanted point of the permitted heat input, in mm/min."""
    window = row.heat_input_kj_mm
    if window is None or window.high is None or not volts or not amps:
        return _middle(row.travel_mm_min)
    low = window.low or 0.0
    wanted = low + heat * (window.high - low)
    try:
        k = thermal_efficiency(row.process)
    except InputError:
        return _middle(row.travel_mm_min)
    # kJ/mm = k V A 60 / (1000 v), EN 1011-1
    return round(k * volts * amps * 0.06 / wanted, 3) if wanted > 0 else None
