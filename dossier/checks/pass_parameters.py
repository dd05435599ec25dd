"""Were current, voltage, travel speed, gas flow and direction kept inside the WPS?"""

from __future__ import annotations

from collections.abc import Iterator

from dossier.coverage.evidence import at, paper
from dossier.coverage.joint_file import JointFile
from dossier.coverage.view import View, permitted, wps_basis
from dossier.records.joints import Joint, Pass
from dossier.records.procedures import Procedure, ProcedurePass, Span
from dossier.records.verdicts import CLEAR, Choice, Finding, Reason, worst

NAME = "pass-parameters"


def check(_: View, file: JointFile) -> Iterator[Finding]:
    """One finding per pass with a parameter outside its row of the WPS."""
    for made, wps, row in file.planned():
        reasons = tuple(r for r in _reasons(wps, row, made) if r.verdict != CLEAR)
        if reasons:
            yield _finding(file.joint, wps, made, reasons)


def _finding(joint: Joint, wps: Procedure, made: Pass, reasons: tuple[Reason, ...]) -> Finding:
    told = "; ".join(f"{r.variable} {r.found}, permitted {r.permitted}" for r in reasons)
    return Finding(
        NAME,
        worst(reasons),
        (("joint", joint.number), ("pass", f"{made.number}{made.side[:1]}")),
        f"The {made.kind} pass of joint {joint.number} by {made.welder}: {told}.",
        reasons,
        (*at(made, "current_a", "voltage_v", "travel_mm_min"), *paper(wps)),
        "Check the entry and the unit against the daily record; otherwise have the weld "
        "dispositioned by the welding engineer.",
    )


def _reasons(wps: Procedure, row: ProcedurePass, made: Pass) -> Iterator[Reason]:
    basis = wps_basis(wps, f"{row.kind} pass")
    measured: tuple[tuple[str, Span | None, float | None, str, str], ...] = (
        ("current", row.current_a, made.current_a, "A", "current_a"),
        ("voltage", row.voltage_v, made.voltage_v, "V", "voltage_v"),
        ("travel speed", row.travel_mm_min, made.travel_mm_min, "mm/min", "travel_mm_min"),
        ("wire feed", row.wire_feed_m_min, made.wire_feed_m_min, "m/min", "wire_feed_m_min"),
        ("gas flow", row.gas_l_min, made.gas_l_min, "l/min", "gas_l_min"),
    )
    for variable, span, value, unit, name in measured:
        if span is not None and name not in made.not_applicable:
            yield permitted(span, basis, unit).judge(variable, value)
    if row.direction and made.direction:
        yield Choice.of([row.direction], basis).judge("direction", made.direction)
