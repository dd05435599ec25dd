"""Welding procedure specifications (WPS) and the procedure qualification records behind them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from dossier.records.base import Paper, Record


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """A permitted range written on a sheet; None is no limit at that end."""

    low: float | None = None
    high: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Groove:
    """The joint preparation, from which the sketch is drawn."""

    kind: str  # "V", "compound V", "X", "J", "U", "square", "fillet", "branch"
    angle_deg: float | None = None  # included angle; lower part of a compound bevel
    upper_angle_deg: float | None = None  # included angle of the upper part, compound bevel
    knee_mm: float | None = None  # height of the change of angle above the inside surface
    radius_mm: float | None = None
    gap_mm: Span | None = None
    root_face_mm: Span | None = None
    throat_mm: Span | None = None
    hi_lo_max_mm: float | None = None
    cap_height_max_mm: float | None = None
    backing: str = "none"
    sides: str = "single"


@dataclass(frozen=True, slots=True, kw_only=True)
class ProcedurePass:
    """One pass, or one group of like passes, of a WPS."""

    kind: str  # "root", "hot", "fill", "cap", "back"
    process: str
    filler: str  # classification
    filler_group: str = ""
    covering: str = ""
    filler_mm: float | None = None  # electrode or wire diameter
    current: str = ""  # "DC+", "DC-", "AC"
    transfer: str = ""
    direction: str = ""
    current_a: Span | None = None
    voltage_v: Span | None = None
    travel_mm_min: Span | None = None
    wire_feed_m_min: Span | None = None
    heat_input_kj_mm: Span | None = None  # EN 1011-1, thermal efficiency included
    gas: str = ""  # ISO 14175 designation: "C1", "M21"
    gas_l_min: Span | None = None
    deposit_mm: float | None = None
    within_min: float | None = None  # longest time from the end of the pass before, minutes
    technique: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Approval:
    """One signature of a document: the role, who and when."""

    role: str  # "prepared", "checked", "approved"
    name: str
    post: str = ""
    signed_on: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class HeatTreatment:
    """Post-weld heat treatment: holding temperature and time, rates above 300 °C."""

    temperature_c: Span | None = None
    holding_min: float | None = None
    heating_c_h: float | None = None
    cooling_c_h: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Procedure(Record):
    """A welding procedure specification (WPS), one revision."""

    number: str
    revision: str
    title: str
    code: str  # edition that it is qualified under: "ISO 15614-1:2017", "API 1104:21st"
    level: str = ""  # ISO 15614-1:2017 "1" or "2"
    purpose: str = "production"  # or "repair"
    status: str = "issued"  # "draft", "issued", "withdrawn"
    valid_from: date | None = None
    valid_until: date | None = None
    pqrs: tuple[str, ...] = ()
    product: str = ""
    weld_type: str = ""
    material_groups: tuple[str, ...] = ()
    grades: tuple[str, ...] = ()
    smys_mpa: Span | None = None
    wall_mm: Span | None = None
    od_mm: Span | None = None
    branch_angle_deg: Span | None = None  # between branch and run, branch welds only
    positions: tuple[str, ...] = ()
    groove: Groove | None = None
    passes: tuple[ProcedurePass, ...] = ()
    passes_before_stop: int | None = None  # passes that must be in before a break
    preheat_min_c: float | None = None
    interpass_max_c: float | None = None
    hydrogen_ml_100g: float | None = None  # diffusible hydrogen of the weld metal, HD
    ce_formula: str = ""  # carbon equivalent that it bounds: "CE IIW", "Pcm", "CET"
    ce_max_percent: float | None = None
    hardness_max_hv: float | None = None
    pwht: HeatTreatment | None = None
    line_up: str = ""  # "internal clamp", "external clamp", "tack welds"
    clamp_release: str = ""
    cleaning: str = ""
    cooling: str = ""  # "slow, wrapped"
    notes: tuple[str, ...] = ()
    change: str = ""  # what changed against the revision before
    approvals: tuple[Approval, ...] = ()
    document: Paper | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Composition:
    """Chemical composition in mass per cent; None where not analysed."""

    c: float | None = None
    si: float | None = None
    mn: float | None = None
    p: float | None = None
    s: float | None = None
    cr: float | None = None
    mo: float | None = None
    ni: float | None = None
    cu: float | None = None
    v: float | None = None
    nb: float | None = None
    ti: float | None = None
    b: float | None = None
    al: float | None = None
    n: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PqrPass:
    """One pass of the procedure test as measured."""

    number: int
    kind: str
    process: str
    filler: str = ""
    filler_group: str = ""
    covering: str = ""
    filler_mm: float | None = None
    current: str = ""
    transfer: str = ""
    direction: str = ""
    current_a: float | None = None
    voltage_v: float | None = None
    travel_mm_min: float | None = None
    preheat_c: float | None = None
    interpass_c: float | None = None
    gas: str = ""
    deposit_mm: float | None = None
    since_last_min: float | None = None  # from the end of the pass before, minutes


@dataclass(frozen=True, slots=True, kw_only=True)
class TestResult:
    """One test of a procedure test piece."""

    __test__ = False

    kind: str  # "visual", "radiographic", "tensile", "bend", "impact", "hardness", "macro", ...
    specimens: int = 1
    value: str = ""  # as reported, with unit
    permitted: str = ""
    result: str = "accepted"
    report: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pqr(Record):
    """A procedure qualification record: the test piece as welded, and the test results."""

    number: str
    code: str
    level: str = ""
    welded_on: date
    wps: str = ""  # preliminary WPS
    product: str = ""
    weld_type: str = ""
    material_groups: tuple[str, ...] = ()  # one for each member
    grade: str = ""
    smys_mpa: float | None = None
    composition: Composition | None = None
    wall_mm: float | None = None
    od_mm: float | None = None
    throat_mm: float | None = None
    branch_angle_deg: float | None = None
    position: str = ""
    groove: Groove | None = None
    passes: tuple[PqrPass, ...] = ()
    preheat_c: float | None = None
    interpass_max_c: float | None = None
    hydrogen_ml_100g: float | None = None
    pwht: HeatTreatment | None = None
    impact_tested: bool = False
    hardness_tested: bool = False
    line_up: str = ""
    welder: str = ""
    tests: tuple[TestResult, ...] = ()
    laboratory: str = ""
    examiner: str = ""
    document: Paper | None = None
