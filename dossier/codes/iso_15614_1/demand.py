"""What a procedure asks of its tests, for one of its processes."""

from __future__ import annotations

from math import inf

from dossier.calc.heat_input import arc_energy_kj_mm, heat_input_kj_mm, thermal_efficiency
from dossier.codes.iso_6947 import position_or_blank
from dossier.codes.iso_15614_1.qualification import of_process, processes
from dossier.records.procedures import Procedure, ProcedurePass, Span
from dossier.records.verdicts import CLEAR, HOLD, NONCONFORMITY, Range, Reason


def ends(span: Span | None) -> tuple[float, float] | None:
    """Both ends of a span; an open end is 0 or infinity. None where nothing is stated.

    >>> ends(Span(low=3.0)), ends(None), ends(Span())
    ((3.0, inf), None, None)
    """
    if span is None or (span.low is None and span.high is None):
        return None
    return (0.0 if span.low is None else span.low, inf if span.high is None else span.high)


def judge_span(name: str, asked: tuple[float, float] | None, permitted: Range) -> Reason:
    """The reason for a whole span against a range: both ends must lie in it.

    >>> from dossier.records.verdicts import Basis
    >>> limit = Range(3.0, 24.0, Basis("ISO 15614-1", "2017", "8.3.2"))
    >>> [str(judge_span("wall", asked, limit).verdict) for asked in ((3.0, 24.0), None)]
    ['clear', 'hold']
    """
    if asked is None:
        return Reason(name, "not stated", str(permitted), permitted.basis, HOLD)
    low, high = asked
    unit = f" {permitted.unit}" if permitted.unit else ""
    found = f"{low:.6g}{unit}" if low == high else f"{low:.6g} to {high:.6g}{unit}"
    if high == inf:
        found = f"from {low:.6g}{unit}"
    elif low == 0 < high:
        found = f"up to {high:.6g}{unit}"
    inside = low in permitted and high in permitted
    outside = HOLD if permitted.nothing.endswith("not recorded") else NONCONFORMITY
    return Reason(name, found, str(permitted), permitted.basis, CLEAR if inside else outside)


def positions(wps: Procedure) -> list[str]:
    """The positions of ISO 6947 that the procedure is for; "" for one that cannot be told.

    >>> sheet = Procedure(
    ...     number="W1", revision="0", title="sheet", code="ISO 15614-1:2017", positions=("5G",),
    ...     wall_mm=Span(low=5.0, high=10.0),
    ...     passes=(ProcedurePass(kind="root", process="111", filler="E6010", direction="down",
    ...                           heat_input_kj_mm=Span(low=0.5, high=0.9)),),
    ... )
    >>> positions(sheet)
    ['PJ']
    """
    directions = {one.direction for one in wps.passes if one.direction}
    direction = directions.pop() if len(directions) == 1 else ""
    return [position_or_blank(text, direction) for text in wps.positions]


def runs(wps: Procedure, process: str) -> str:
    """ "single" or "multi": one entry for a root or back pass is one run, any other may be more.

    "" where the procedure has no pass of the process.

    >>> sheet = Procedure(
    ...     number="W1", revision="0", title="sheet", code="ISO 15614-1:2017", positions=("5G",),
    ...     wall_mm=Span(low=5.0, high=10.0),
    ...     passes=(ProcedurePass(kind="root", process="111", filler="E6010", direction="down",
    ...                           heat_input_kj_mm=Span(low=0.5, high=0.9)),),
    ... )
    >>> runs(sheet, "111")
    'single'
    """
    own = of_process(wps.passes, process)
    if not own:
        return ""
    return "single" if len(own) == 1 and own[0].kind in ("root", "back", "single") else "multi"


def deposit(wps: Procedure, process: str) -> tuple[float, float] | None:
    """Thickness that the process deposits, in mm: the wall where it is the only one.

    >>> sheet = Procedure(
    ...     number="W1", revision="0", title="sheet", code="ISO 15614-1:2017", positions=("5G",),
    ...     wall_mm=Span(low=5.0, high=10.0),
    ...     passes=(ProcedurePass(kind="root", process="111", filler="E6010", direction="down",
    ...                           heat_input_kj_mm=Span(low=0.5, high=0.9)),),
    ... )
    >>> deposit(sheet, "111")
    (5.0, 10.0)
    """
    if len(processes(wps.passes)) == 1:
        return ends(wps.wall_mm)
    stated = [one.deposit_mm for one in of_process(wps.passes, process)]
    known = [value for value in stated if value is not None]
    return (sum(known), sum(known)) if known and len(known) == len(stated) else None


def heat_input(one: ProcedurePass) -> tuple[float, float] | None:
    """Heat input of one pass of a procedure, in kJ/mm: as stated, else from its electrical ends.

    The ends are the least voltage, current and speed that give the least heat, and the reverse.

    >>> sheet = Procedure(
    ...     number="W1", revision="0", title="sheet", code="ISO 15614-1:2017", positions=("5G",),
    ...     wall_mm=Span(low=5.0, high=10.0),
    ...     passes=(ProcedurePass(kind="root", process="111", filler="E6010", direction="down",
    ...                           heat_input_kj_mm=Span(low=0.5, high=0.9)),),
    ... )
    >>> heat_input(sheet.passes[0])
    (0.5, 0.9)
    """
    if stated := ends(one.heat_input_kj_mm):
        return stated
    volts, amps, speed = ends(one.voltage_v), ends(one.current_a), ends(one.travel_mm_min)
    if not volts or not amps or not speed:
        return None
    k = thermal_efficiency(one.process)
    low = _heat(volts[0], amps[0], speed[1], k) if volts[0] and amps[0] and speed[1] < inf else 0.0
    if not speed[0] or volts[1] == inf or amps[1] == inf:
        return (low, inf)
    return (low, _heat(volts[1], amps[1], speed[0], k))


def _heat(voltage_v: float, current_a: float, travel_mm_min: float, k: float) -> float:
    return heat_input_kj_mm(arc_energy_kj_mm(voltage_v, current_a, travel_mm_min), k)


def group_pairs(groups: tuple[str, ...]) -> list[tuple[str, str]]:
    """The pairs of parent materials that a procedure is for.

    One group: with itself. Groups of two different main numbers: a joint between them. Several
    of one main number, or more than two: every pair of them.

    >>> group_pairs(("1.2",)), group_pairs(("1.1", "8.1"))
    ([('1.2', '1.2')], [('1.1', '8.1')])
    >>> group_pairs(("1.1", "1.2"))
    [('1.1', '1.1'), ('1.1', '1.2'), ('1.2', '1.2')]
    """
    if len(groups) == 2 and groups[0].split(".")[0] != groups[1].split(".")[0]:
        return [(groups[0], groups[1])]
    return [(a, b) for i, a in enumerate(groups) for b in groups[i:]]
