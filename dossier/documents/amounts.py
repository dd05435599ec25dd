"""Figures that several sheets print the same way: heat input of a pass, ranges, reasons."""

from __future__ import annotations

from collections.abc import Iterable
from math import inf

from dossier.calc.heat_input import arc_energy_kj_mm, heat_input_kj_mm, thermal_efficiency
from dossier.coverage.passes import heat_input_of
from dossier.documents.sheet import Row, Table, columns, row, table
from dossier.drawings.words import show_span
from dossier.errors import InputError
from dossier.records.joints import Pass
from dossier.records.procedures import PqrPass, ProcedurePass, Span
from dossier.records.verdicts import Choice, Qualified, Range, Reason
from dossier.units import System, show, unit_name


def pass_heat_input(made: Pass | PqrPass) -> float | None:
    """Heat input of a recorded pass to EN 1011-1, in kJ/mm; None where a reading lacks or is 0."""
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


def permitted(allowed: Range | Choice, system: System = "SI") -> str:
    """A range or choice in words, in the project's units; a count keeps its own unit.

    >>> from dossier.records.verdicts import Basis
    >>> permitted(Range(4.7752, 19.05, Basis("X", "", "1"))), permitted(
    ...     Range(3.0, inf, Basis("X", "", "1"), low_open=True), "US")
    ('4.78 to 19.05 mm', 'more than 0.118 in')
    """
    if not isinstance(allowed, Range) or allowed.nothing:
        return str(allowed)
    try:
        unit_name(allowed.unit)
    except InputError:
        return str(allowed)
    if not (allowed.low_open or allowed.high_open):
        low = None if allowed.low in (0, -inf) else allowed.low
        high = None if allowed.high == inf else allowed.high
        words = show_span(Span(low=low, high=high), allowed.unit, system)
        return "any" if words == "-" else words
    high_words = show(allowed.high, allowed.unit, system)
    if allowed.low in (0, -inf) and not allowed.low_open:
        return f"less than {high_words}"
    low_words = show(allowed.low, allowed.unit, system)
    first = f"more than {low_words}" if allowed.low_open else low_words
    if allowed.high == inf:
        return first
    return f"{first} to {f'less than {high_words}' if allowed.high_open else high_words}"


def qualified_table(title: str, qualified: Qualified, system: System) -> Table:
    """What a test qualifies: variable, range, and the clause that says so."""
    rows = [
        row([name, permitted(allowed, system), str(allowed.basis)])
        for name, allowed in qualified.items()
    ]
    return table(title, columns(("Variable", 26), ("Qualified", 44), ("Clause", 30)), rows)


def reason_rows(reasons: Iterable[Reason]) -> list[Row]:
    """Found, permitted, clause and verdict, one row a reason."""
    return [
        row(
            [r.variable, r.found, r.permitted, str(r.basis), str(r.verdict)],
            ["", "", "", "", str(r.verdict)],
        )
        for r in reasons
    ]


def reason_table(title: str, reasons: Iterable[Reason], note: str = "") -> Table:
    """Reasons as a table."""
    heads = columns(("Variable", 18), ("Found", 18), ("Permitted", 25), ("Clause", 26),
                    ("Verdict", 13))  # fmt: skip
    return table(title, heads, reason_rows(reasons), note)
