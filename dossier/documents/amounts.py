"""Figures that several sheets print the same way: heat input of a pass, ranges, reasons."""

from __future__ import annotations

from collections.abc import Iterable

from dossier.calc.heat_input import arc_energy_kj_mm, heat_input_kj_mm, thermal_efficiency
from dossier.coverage.passes import heat_input_of
from dossier.documents.sheet import Row, Table, columns, row, table
from dossier.errors import InputError
from dossier.records.joints import Pass
from dossier.records.procedures import PqrPass, ProcedurePass, Span
from dossier.records.verdicts import Qualified, Range, Reason, Verdict
from dossier.units import System, show


def pass_heat_input(made: Pass | PqrPass) -> float | None:
    """Heat input of a recorded pass to EN 1011-1, in kJ/mm; None where a figure is missing or no arc."""
    try:
        return heat_input_of(made)
    except InputError:
        return None


def reachable_heat_input(planned: ProcedurePass) -> Span | None:
    """Heat input that the permitted current, voltage and speed can reach together, in kJ/mm.

    None unless all three ranges are closed. A sheet prints it beside the permitted window, since
    the corners of the three ranges usually lie outside it.
    """
    spans = (planned.voltage_v, planned.current_a, planned.travel_mm_min)
    ends = [(s.low, s.high) if s else (None, None) for s in spans]
    if any(not end for pair in ends for end in pair):
        return None
    (u_low, u_high), (i_low, i_high), (v_low, v_high) = ends
    try:
        k = thermal_efficiency(planned.process)
        low = heat_input_kj_mm(arc_energy_kj_mm(u_low or 0, i_low or 0, v_high or 0), k)
        high = heat_input_kj_mm(arc_energy_kj_mm(u_high or 0, i_high or 0, v_low or 0), k)
    except InputError:
        return None
    return Span(low=low, high=high)


def amount(value: float | None, unit: str, system: System) -> str:
    """A recorded figure, "-" where none was recorded; the one unit printer does the rest."""
    return "-" if value is None else show(value, unit, system)


def permitted(allowed: object, system: System = "SI") -> str:
    """A range or choice in words, in the project's units.

    >>> from dossier.records.verdicts import Basis
    >>> permitted(Range(3.0, 19.0, Basis("X", "", "1")), "US")
    '0.118 in to 0.748 in'
    """
    if not isinstance(allowed, Range) or allowed.nothing or system == "SI" or not allowed.unit:
        return str(allowed)
    infinite = float("inf")
    high = show(allowed.high, allowed.unit, system) if allowed.high < infinite else ""
    low = show(allowed.low, allowed.unit, system) if allowed.low > 0 or allowed.low_open else ""
    if not low:
        words = "less than" if allowed.high_open else "up to"
        return f"{words} {high}" if high else "any"
    if not high:
        return f"{'more than' if allowed.low_open else 'from'} {low}"
    first = f"more than {low}" if allowed.low_open else low
    return f"{first} to {f'less than {high}' if allowed.high_open else high}"


def qualified_table(title: str, qualified: Qualified, system: System) -> Table:
    """What a test qualifies: variable, range, and the clause that says so."""
    rows = [
        row([name, permitted(allowed, system), str(allowed.basis)])
        for name, allowed in qualified.items()
    ]
    return table(title, columns(("Variable", 26), ("Qualified", 44), ("Clause", 30)), rows)


def verdict_mark(verdict: Verdict) -> str:
    """The word by which a cell is coloured for a verdict."""
    return str(verdict)


def reason_rows(reasons: Iterable[Reason]) -> list[Row]:
    """Found, permitted, clause and verdict, one row a reason."""
    return [
        row(
            [r.variable, r.found, r.permitted, str(r.basis), str(r.verdict)],
            ["", "", "", "", verdict_mark(r.verdict)],
        )
        for r in reasons
    ]


def reason_table(title: str, reasons: Iterable[Reason], note: str = "") -> Table:
    """Reasons as a table."""
    heads = columns(("Variable", 20), ("Found", 21), ("Permitted", 26), ("Clause", 20),
                    ("Verdict", 13))  # fmt: skip
    return table(title, heads, reason_rows(reasons), note)
