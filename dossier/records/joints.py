"""Lines, joints and passes, and the identity of a joint."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from dossier.records.base import Paper, Record


@dataclass(frozen=True, slots=True, kw_only=True)
class JointName:
    """A joint number read by the project's own grammar.

    `base` is what all events of one joint share; `sequence` its number in the series `series`;
    `event` the meaning of the suffix ("", "repair", "cut-out", "re-weld", "tie-in", ...).
    """

    written: str
    base: str
    series: str = ""
    sequence: int | None = None
    event: str = ""
    order: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Line(Record):
    """A line or section, and which editions govern its welds."""

    id: str
    title: str
    procedure_code: str  # "ISO 15614-1:2017"
    welder_code: str  # "ISO 9606-1:2012"
    acceptance_code: str  # "API 1104:21st"
    service: str = ""
    location_class: int | None = None
    design_pressure_bar: float | None = None
    kp_from_m: float | None = None
    kp_to_m: float | None = None
    examination_percent: float | None = None  # share of joints fully examined; None: project's
    regulation: str = ""  # law that the line falls under: "49 CFR 192", "49 CFR 195"


@dataclass(frozen=True, slots=True, kw_only=True)
class Joint(Record):
    """One joint as the log gives it. `name` holds the number read by the grammar."""

    number: str
    name: JointName
    line: str
    kind: str = "mainline"  # "mainline", "tie-in", "golden", "crossing", "branch", "fillet", ...
    weld_type: str = "butt"
    status: str = "welded"  # "planned", "welded", "cut out", "void"
    kp_m: float | None = None
    drawing: str = ""
    drawing_revision: str = ""
    upstream_item: str = ""
    upstream_heat: str = ""
    downstream_item: str = ""
    downstream_heat: str = ""
    wps: str = ""
    wps_revision: str = ""
    position_code: str = ""  # welding position, ISO 6947
    branch_angle_deg: float | None = None  # between branch and run, branch welds only
    fit_up_gap_mm: float | None = None
    hi_lo_mm: float | None = None
    transition: str = ""  # how unequal walls were matched: "back bevel 1:4", "counterbore", ...
    fit_up_by: str = ""
    welded_on: date | None = None
    finished_at: datetime | None = None
    impracticable: str = ""  # why this weld cannot be examined by film or ultrasound
    replaces: str = ""  # the joint that was cut out for this one
    remarks: str = ""
    document: Paper | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Pass(Record):
    """One pass of one welder on one side of the pipe, as recorded."""

    joint: str
    number: int
    kind: str
    process: str
    welder: str
    side: str = ""  # "left" or "right" looking along the flow; "" the whole
    batch: str = ""
    started_at: datetime | None = None
    finished_at: datetime | None = None
    current_a: float | None = None
    voltage_v: float | None = None
    travel_mm_min: float | None = None
    wire_feed_m_min: float | None = None
    gas_l_min: float | None = None
    preheat_c: float | None = None
    interpass_c: float | None = None
    direction: str = ""
    deposit_mm: float | None = None
    instrument: str = ""  # what measured it


@dataclass(frozen=True, slots=True, kw_only=True)
class Repair(Record):
    """One repair of one place of a joint."""

    number: str
    joint: str
    examination: str  # report that asked for it
    order: int = 1  # how many-th repair of this place
    defect: str = ""
    clock: str = ""  # clock position h:mm, looking along the flow
    start_mm: float | None = None
    length_mm: float | None = None
    excavated: bool | None = None  # the defect was found and removed
    wps: str = ""
    wps_revision: str = ""
    welder: str = ""
    process: str = ""
    batch: str = ""
    deposit_mm: float | None = None
    preheat_c: float | None = None
    repaired_at: datetime | None = None
    examined_by: str = ""  # report of the examination after repair
    document: Paper | None = None
