"""What a procedure test had in one variable, in the words of the sheets."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from dossier.documents.amounts import amount, pass_heat_input
from dossier.documents.procedure import heat_treatment
from dossier.documents.sheet import words
from dossier.drawings.words import show_span
from dossier.records.procedures import Pqr, PqrPass, Span
from dossier.units import System

Passes = tuple[PqrPass, ...]
Point = Callable[[Pqr, Passes, System], str]


def _each(pick: Callable[[PqrPass], str]) -> Point:
    return lambda _, passes, __: words(dict.fromkeys(pick(p) for p in passes))


def _figure(pick: Callable[[Pqr], float | None], unit: str) -> Point:
    return lambda pqr, _, system: amount(pick(pqr), unit, system)


def _text(pick: Callable[[Pqr], str]) -> Point:
    return lambda pqr, _, __: pick(pqr) or "-"


def _measured(values: Iterable[float | None], unit: str, system: System) -> str:
    known = [value for value in values if value is not None]
    return show_span(Span(low=min(known), high=max(known)), unit, system) if known else "-"


def _deposit(_: Pqr, passes: Passes, system: System) -> str:
    found = [p.deposit_mm for p in passes]
    total = sum(d or 0.0 for d in found)
    return "-" if None in found or not found else amount(round(total, 2), "mm", system)


_WALL = _figure(lambda pqr: pqr.wall_mm, "mm")
_GROUPS = _text(lambda pqr: words(pqr.material_groups))
_HEAT: Point = lambda pqr, _, system: heat_treatment(pqr.pwht, system)  # noqa: E731
_WAIT: Point = lambda pqr, _, system: amount(  # noqa: E731
    pqr.passes[1].since_last_min if len(pqr.passes) > 1 else None, "min", system
)
# The variable of a code before its first comma -> what the test had in it.
POINTS: dict[str, Point] = {
    "process": _each(lambda p: p.process),
    "wall": _WALL, "material thickness": _WALL, "base metal thickness": _WALL,
    "deposited thickness": _deposit,
    "outside diameter": _figure(lambda pqr: pqr.od_mm, "mm"),
    "throat": _figure(lambda pqr: pqr.throat_mm, "mm"),
    "branch angle": _figure(lambda pqr: pqr.branch_angle_deg, "deg"),
    "yield strength": _figure(lambda pqr: pqr.smys_mpa, "MPa"),
    "material groups": _GROUPS, "group numbers": _GROUPS, "material group": _GROUPS,
    "position": _text(lambda pqr: pqr.position),
    "weld type": _text(lambda pqr: pqr.weld_type),
    "level": _text(lambda pqr: pqr.level),
    "joint design": _text(lambda pqr: pqr.groove.kind if pqr.groove else ""),
    "filler group": _each(lambda p: p.filler_group),
    "filler": _each(lambda p: p.filler), "classification": _each(lambda p: p.filler),
    "current": _each(lambda p: p.current), "direction": _each(lambda p: p.direction),
    "progression": _each(lambda p: p.direction), "shielding gas": _each(lambda p: p.gas),
    "transfer": _each(lambda p: p.transfer),
    "preheat": _figure(lambda pqr: pqr.preheat_c, "°C"),
    "interpass": _figure(lambda pqr: pqr.interpass_max_c, "°C"),
    "hydrogen": _figure(lambda pqr: pqr.hydrogen_ml_100g, "ml/100 g"),
    "heat treatment": _HEAT, "post-weld heat treatment": _HEAT,
    "root to second bead": _WAIT,
    "electrode diameter": lambda _, passes, system: _measured(
        (p.filler_mm for p in passes), "mm", system),
    "heat input": lambda _, passes, system: _measured(map(pass_heat_input, passes), "kJ/mm",
                                                      system),
}  # fmt: skip


def had(pqr: Pqr, variable: str, system: System = "SI") -> str:
    """What the test piece had in a variable as its code names it; "-" where it tells nothing.

    A variable may name a pass and a process after its first comma ("heat input, root, 141").

    >>> from datetime import date
    >>> pqr = Pqr(number="P-1", code="X:1", welded_on=date(2026, 1, 1), wall_mm=12.7)
    >>> had(pqr, "wall"), had(pqr, "base metal thickness", "US")
    ('12.7 mm', '0.5 in')
    """
    base, *rest = variable.split(", ")
    kinds = {p.kind for p in pqr.passes}
    processes = {p.process for p in pqr.passes}
    passes = pqr.passes
    for word in rest:
        if word in processes:
            passes = tuple(p for p in passes if p.process == word)
        elif word in kinds:
            passes = tuple(p for p in passes if p.kind == word)
    return POINTS[base](pqr, passes, system) if base in POINTS else "-"
