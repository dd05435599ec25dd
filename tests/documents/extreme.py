"""Projects that strain a layout: names of 200 characters, 60 passes, nothing but what must be."""

# ruff: noqa: DTZ001 - records hold the local times of the site, as written.

from __future__ import annotations

from dataclasses import fields, is_dataclass, replace
from datetime import date, datetime
from typing import Any

from dossier.records.construction import Coating, Lowering, PressureTest
from dossier.records.examinations import (
    Examination,
    Examiner,
    ExaminerCertificate,
    Indication,
    Instrument,
)
from dossier.records.joints import Joint, JointName, Line, Pass, Repair
from dossier.records.materials import Batch, Heat, Item, MaterialCertificate
from dossier.records.papers import Concession, Document, Nonconformity
from dossier.records.procedures import Pqr, Procedure
from dossier.records.project import Numbering, Project, Settings
from dossier.records.treatment import HardnessTest, HeatTreatmentRecord
from dossier.records.welders import Certificate, Welder
from tests.documents import example

LENGTH = 200
# Words that the program itself gives a meaning, and patterns: these stay as they are.
_MEANT = frozenset({
    "procedure_code", "welder_code", "acceptance_code", "code", "status", "kind", "weld_type",
    "method", "process", "direction", "side", "sides", "backing", "covering", "filler_group",
    "result", "product", "units", "language", "paper", "pattern", "document_number", "volumes",
    "regulation", "position", "positions", "position_code", "material_group", "material_groups",
    "purpose", "current", "kinds", "methods", "role", "clock", "as_found", "medium", "file",
    "transfer", "checks", "basis", "holiday_rule", "cover_rule", "pressure_test_rule",
    "series", "event",
})  # fmt: skip

_WHOLE = ("origin", "choices", "look")


def stretch(text: str) -> str:
    """A name of 200 characters without a place to break it; equal names stay equal."""
    return (text + "WideM&<4" * (LENGTH // 8))[:LENGTH] if text else text


def _stretched(value: Any, name: str = "") -> Any:
    if isinstance(value, str):
        return value if name in _MEANT else stretch(value)
    if isinstance(value, tuple):
        return tuple(_stretched(inner, name) for inner in value)
    if is_dataclass(value) and not isinstance(value, type) and name not in _WHOLE:
        changed = {f.name: _stretched(getattr(value, f.name), f.name)
                   for f in fields(value) if f.init}  # fmt: skip
        return replace(value, **changed)
    return value


def everything(count: int = 3) -> Project:
    """The example with a record in every register that the sheets print."""
    made = example.project(count)
    planned = Joint(
        number="ML-900", name=JointName(written="ML-900", base="ML-900"), line="L1",
        status="planned", kp_m=900.0, drawing="AL-01", drawing_revision="2",
        upstream_item="P-001", upstream_heat="H100", downstream_item="P-002",
        downstream_heat="H100", wps="WPS-01", wps_revision="1",
    )  # fmt: skip
    loose = replace(planned, number="PT-1", kp_m=None, drawing="", status="welded")
    test = PressureTest(
        number="HT-1", section="Section 1", line="L1", kp_from_m=0.0, kp_to_m=40.0,
        medium="water", pressure_bar=121.0, required_bar=120.0, duration_h=24.0, required_h=24.0,
        started_at=datetime(2026, 4, 1, 8), gauges=("DW-01", "DW-99"), elevations="level",
        company="Tester", responsible="A. Warden", leaks=0, result="accepted",
    )  # fmt: skip
    return replace(
        made,
        joints=(*made.joints, planned, loose),
        heat_treatments=(HeatTreatmentRecord(
            chart="HT-7", joint="ML-001", method="local, resistance", instrument="REC-1",
            thermocouples=("T1", "T2"), heating_c_h=120.0, cooling_c_h=110.0, soak_low_c=595.0,
            soak_high_c=615.0, holding_min=45.0, started_at=datetime(2026, 3, 2, 8),
            finished_at=datetime(2026, 3, 2, 14), operator="O. Stoker", result="accepted"),),
        hardness_tests=(HardnessTest(
            report="HV-1", joint="ML-001", zone="heat affected zone", values=(231.0, 244.0, 252.0),
            limit=250.0, instrument="HD-1", tested_at=datetime(2026, 3, 3, 9), examiner="E-01",
            result="rejected"),),
        pressure_tests=(test,),
        instruments=(Instrument(number="DW-01", kind="deadweight gauge",
                                calibrated_on=date(2026, 1, 5), due_on=date(2027, 1, 5),
                                certificate="CAL-1", as_found="in tolerance"),),
        concessions=(Concession(number="CON-1", title="Preheat of ML-001", joints=("ML-001",),
                                checks=("preheat-and-interpass",), requirement="at least 80 °C",
                                disposition="accepted as is", approver="R. Marsh",
                                signed_on=date(2026, 3, 9)),),
        nonconformities=(Nonconformity(number="NCR-1", title="Root below its window",
                                       joints=("ML-002",), findings=("gone-0123456789",),
                                       requirement="0.4 to 1.1 kJ/mm", description="0.3 kJ/mm",
                                       disposition="use as is", approver="R. Marsh",
                                       opened_on=date(2026, 3, 4)),),
    )  # fmt: skip


def long_names() -> Project:
    """Every name and text of `everything` stretched to 200 characters."""
    made = everything(2)
    registers = {f.name: _stretched(getattr(made, f.name), f.name) for f in fields(made)}
    return replace(made, **registers)


def sixty_passes() -> Project:
    """One joint of 60 passes, and a WPS with as many rows."""
    made = everything(1)
    first = made.passes[0]
    row = example.WPS.passes[2]
    rows = tuple(replace(row, kind="fill" if n else "root") for n in range(60))
    wps = replace(example.WPS, passes=rows)
    return replace(
        made,
        passes=tuple(replace(first, number=n + 1, kind="fill" if n else "root") for n in range(60)),
        procedures=(wps, *made.procedures[1:]),
    )


def nothing() -> Project:
    """A project of which only the settings that must be are known."""
    return Project(settings=Settings(number="N-1", title="", client="", contractor="",
                                     numbering=Numbering(pattern="")))  # fmt: skip


def bare() -> Project:
    """One record a register, each with only the fields that must be there."""
    name = JointName(written="J", base="J")
    code, welded = "API 1104:21st", date(2026, 1, 1)
    return replace(
        nothing(),
        lines=(Line(id="L", title="", procedure_code=code, welder_code=code,
                    acceptance_code=code),),
        joints=(Joint(number="J", name=name, line="L"),
                Joint(number="K", name=name, line="L", status="planned")),
        passes=(Pass(joint="J", number=1, kind="root", process="111", welder="W"),),
        procedures=(Procedure(number="S", revision="0", title="", code=code),),
        pqrs=(Pqr(number="Q", code=code, welded_on=welded),),
        welders=(Welder(stamp="W", name="", certificates=(
            Certificate(number="C", code=code, welded_on=welded),)),),
        items=(Item(number="P"),),
        material_certificates=(MaterialCertificate(number="M", kind="3.1",
                                                   heats=(Heat(number="H"),)),),
        batches=(Batch(number="B"),),
        examinations=(Examination(report="R", joint="J", method="RT", result="rejected",
                                  indications=(Indication(kind="IP"),)),),
        examiners=(Examiner(id="E", name="", certificates=(
            ExaminerCertificate(number="X", method="RT", level=2),)),),
        repairs=(Repair(number="1", joint="J", examination="R"),),
        heat_treatments=(HeatTreatmentRecord(chart="H", joint="J"),),
        hardness_tests=(HardnessTest(report="T", joint="J"),),
        coatings=(Coating(report="C", joint="J"),),
        lowerings=(Lowering(joint="J"),),
        pressure_tests=(PressureTest(number="T"),),
        instruments=(Instrument(number="I", kind=""),),
        concessions=(Concession(number="C", title=""),),
        nonconformities=(Nonconformity(number="N", title=""),),
        documents=(Document(number="D", title=""),),
    )  # fmt: skip
