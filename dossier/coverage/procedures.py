"""A joint against a WPS: its members and its passes, variable by variable.

Asked of the WPS that the log names, and of the revision in force where another was named.
"""

from __future__ import annotations

from collections.abc import Iterator

from dossier.coverage.joint_file import JointFile, planned_pass
from dossier.coverage.passes import heat_input_of
from dossier.coverage.view import View, permitted, project_basis, wps_basis
from dossier.records.joints import Pass
from dossier.records.materials import Item
from dossier.records.procedures import Procedure, ProcedurePass, Span
from dossier.records.verdicts import HOLD, Choice, Reason

_SMYS_ROUNDED_MPA = 2.0  # 52 ksi are 358.5 MPa, and L360 is the very grade


def joint_reasons(seen: View, file: JointFile, wps: Procedure) -> Iterator[Reason]:
    """Members, weld type, position and processes against the range of application of a WPS.

    Each member is asked on its own: at a wall transition both thicknesses must be permitted.
    """
    basis = wps_basis(wps, "range of application")
    for number, item in file.members:
        if item is None:
            register = project_basis(seen, "register of items")
            yield Reason(f"item {number}", "not on record", "on record", register, HOLD)
        else:
            yield from _member(item, wps)
            if wps.od_mm and item.od_mm is None and _round(file, item):
                yield permitted(wps.od_mm, basis, "mm").judge(f"diameter of {number}", None)
    if wps.weld_type:
        yield Choice.of([wps.weld_type], basis).judge("weld type", file.joint.weld_type)
    if wps.positions and file.joint.position_code:
        yield Choice.of(wps.positions, basis).judge("position", file.joint.position_code)
    processes = Choice.of((row.process for row in wps.passes), wps_basis(wps, "passes"))
    for process in sorted({made.process for made in file.passes}):
        yield processes.judge("process", process)
    yield from _direction(file, wps)


def undirected(file: JointFile) -> bool:
    """Whether the direction was answered n/a, for all passes where the first one says so."""
    return bool(file.passes) and "direction" in file.passes[0].not_applicable


def _direction(file: JointFile, wps: Procedure) -> Iterator[Reason]:
    """The direction where the WPS fixes one and no pass tells any: some tell it for all of them."""
    if undirected(file) or any(made.direction for made in file.passes):
        return
    rows = [row for made in file.passes if (row := planned_pass(wps, made)) and row.direction]
    if rows:
        fixed = Choice.of((row.direction for row in rows), wps_basis(wps, "passes"))
        yield fixed.judge("direction", None)


def _round(file: JointFile, item: Item) -> bool:
    """Whether a member has a diameter to record: fillets may join plates, and n/a is an answer."""
    joins_pipe = file.joint.weld_type != "fillet" and item.kind != "plate"
    return joins_pipe and "od_mm" not in item.not_applicable


def _member(item: Item, wps: Procedure) -> Iterator[Reason]:
    basis = wps_basis(wps, "range of application")
    if wps.wall_mm:
        yield permitted(wps.wall_mm, basis, "mm").judge(f"wall of {item.number}", item.wall_mm)
    if wps.od_mm and item.od_mm is not None:
        yield permitted(wps.od_mm, basis, "mm").judge(f"diameter of {item.number}", item.od_mm)
    if wps.grades:
        grades = Choice.of(wps.grades, basis)
        yield grades.judge(f"grade of {item.number}", item.grade or None)
    elif wps.material_groups:
        groups = Choice.of(wps.material_groups, basis)
        yield groups.judge(f"material group of {item.number}", item.material_group or None)
    if wps.smys_mpa and wps.smys_mpa.high is not None:
        yield from _strength(item, wps, wps.smys_mpa.high)


def _strength(item: Item, wps: Procedure, most_mpa: float) -> Iterator[Reason]:
    """No member stronger than the WPS permits; a weaker one is a matter of grade or group."""
    if item.smys_mpa is None and (wps.grades or wps.material_groups):
        return
    if item.smys_mpa is None or item.smys_mpa > most_mpa + _SMYS_ROUNDED_MPA:
        limit = permitted(Span(high=most_mpa), wps_basis(wps, "range of application"), "MPa")
        yield limit.judge(f"SMYS of {item.number}", item.smys_mpa)


def parameter_reasons(wps: Procedure, row: ProcedurePass, made: Pass) -> Iterator[Reason]:
    """Current, voltage, speeds, gas flow and direction of a pass against its row of the WPS."""
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


def inside(span: Span | None, value: float | None) -> bool:
    """Whether a value needs no reason: nothing bounds it, or it is recorded and well inside."""
    return span is None or (
        value is not None
        and (span.low is None or value >= span.low)
        and (span.high is None or value <= span.high)
    )


def parameters_inside(row: ProcedurePass, made: Pass) -> bool:
    """Whether `parameter_reasons` has none that is not clear, told quickly for most passes."""
    return (
        inside(row.current_a, made.current_a)
        and inside(row.voltage_v, made.voltage_v)
        and inside(row.travel_mm_min, made.travel_mm_min)
        and inside(row.wire_feed_m_min, made.wire_feed_m_min)
        and inside(row.gas_l_min, made.gas_l_min)
        and (not row.direction or made.direction in ("", row.direction))
    )


def temperature_inside(wps: Procedure, made: Pass) -> bool:
    """Whether `temperature_reason` is none or clear, told quickly for most passes."""
    value = made.preheat_c if made.kind == "root" else made.interpass_c
    least, most = wps.preheat_min_c, wps.interpass_max_c
    if value is None:
        return False
    return (least is None or value >= least) and (
        made.kind == "root" or most is None or value <= most
    )


def heat_input_reason(wps: Procedure, row: ProcedurePass, made: Pass) -> Reason | None:
    """The computed heat input against the window of the row; None where either is missing."""
    value = heat_input_of(made)
    if row.heat_input_kj_mm is None or value is None:
        return None
    window = permitted(row.heat_input_kj_mm, wps_basis(wps, f"{row.kind} pass"), "kJ/mm")
    return window.judge("heat input", round(value, 2))


def temperature_reason(wps: Procedure, made: Pass) -> Reason | None:
    """Preheat of the root, interpass temperature of the others; None where the WPS sets none."""
    if made.kind == "root":
        if wps.preheat_min_c is None or "preheat_c" in made.not_applicable:
            return None
        limit = permitted(Span(low=wps.preheat_min_c), wps_basis(wps, "preheat"), "°C")
        return limit.judge("preheat", made.preheat_c)
    if wps.interpass_max_c is None or "interpass_c" in made.not_applicable:
        return None
    span = Span(low=wps.preheat_min_c, high=wps.interpass_max_c)
    limit = permitted(span, wps_basis(wps, "interpass temperature"), "°C")
    return limit.judge("interpass temperature", made.interpass_c)


def all_reasons(seen: View, file: JointFile, wps: Procedure) -> Iterator[Reason]:
    """Everything about the joint that a WPS bounds, pass by pass."""
    yield from joint_reasons(seen, file, wps)
    for made in file.passes:
        row = planned_pass(wps, made)
        if row is None:
            continue
        yield from parameter_reasons(wps, row, made)
        single = (heat_input_reason(wps, row, made), temperature_reason(wps, made))
        yield from (reason for reason in single if reason is not None)
