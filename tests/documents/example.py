"""A small invented project with something of everything that the sheets print."""

# ruff: noqa: DTZ001 - records hold the local times of the site, as written.

from __future__ import annotations

from datetime import date, datetime, timedelta

from dossier.records.base import Paper
from dossier.records.construction import Coating, Lowering
from dossier.records.examinations import Examination, Examiner, ExaminerCertificate, Indication
from dossier.records.joints import Joint, JointName, Line, Pass, Repair
from dossier.records.materials import Batch, Heat, Item, MaterialCertificate
from dossier.records.papers import Document
from dossier.records.position import Position
from dossier.records.procedures import (
    Approval,
    Composition,
    Groove,
    Pqr,
    PqrPass,
    Procedure,
    ProcedurePass,
    Span,
    TestResult,
)
from dossier.records.project import Examined, Numbering, Project, Requirements, Settings, Signatory
from dossier.records.verdicts import (
    HOLD,
    NONCONFORMITY,
    NOTE,
    Basis,
    Evidence,
    Finding,
    Reason,
)
from dossier.records.welders import Certificate, Confirmation, Deposit, Welder

AS_OF = date(2026, 6, 30)
CODE, WELDER_CODE = "API 1104:21st", "API 1104:21st"

SETTINGS = Settings(
    number="HX-204",
    title="Gas line Harrow Fen to Cold Ash & tie-ins",
    client="Invented Gas Transport",
    contractor="Invented Pipelines <East>",
    location="Nowhere county",
    contract="C-5512",
    numbering=Numbering(pattern=r"(?P<series>[A-Z]+)-(?P<sequence>\d+)(?P<event>R?)(?P<order>\d*)"),
    requirements=Requirements(
        examined=(Examined(kinds=("mainline",), methods=("VT", "RT")),),
        root_to_hot_max_min=10.0,
    ),
    signatories=(
        Signatory(role="prepared", name="P. Quill", post="QC engineer", organisation="Contractor"),
        Signatory(role="checked", name="A. Finch", post="Inspector", organisation="Third party"),
        Signatory(role="approved", name="", post="QA manager", organisation="Client"),
    ),
)

_ROOT = ProcedurePass(
    kind="root", process="111", filler="E6010", filler_group="1", covering="cellulosic",
    filler_mm=3.2, current="DC-", direction="down", current_a=Span(low=70, high=120),
    voltage_v=Span(low=22, high=30), travel_mm_min=Span(low=150, high=350),
    heat_input_kj_mm=Span(low=0.4, high=1.1), deposit_mm=3.0,
)  # fmt: skip
_REST = (
    ProcedurePass(
        kind="hot", process="111", filler="E8010-P1", filler_group="2", covering="cellulosic",
        filler_mm=4.0, current="DC+", direction="down", current_a=Span(low=120, high=180),
        voltage_v=Span(low=24, high=32), travel_mm_min=Span(low=200, high=400),
        heat_input_kj_mm=Span(low=0.5, high=1.2), deposit_mm=2.5, within_min=10.0,
    ),
    ProcedurePass(
        kind="fill", process="111", filler="E8010-P1", filler_group="2", covering="cellulosic",
        filler_mm=4.0, current="DC+", direction="down", current_a=Span(low=120, high=190),
        voltage_v=Span(low=24, high=32), travel_mm_min=Span(low=150, high=300),
        heat_input_kj_mm=Span(low=0.7, high=1.6), deposit_mm=4.7,
    ),
    ProcedurePass(
        kind="cap", process="111", filler="E8010-P1", filler_group="2", covering="cellulosic",
        filler_mm=4.0, current="DC+", direction="down", current_a=Span(low=110, high=170),
        voltage_v=Span(low=24, high=32), travel_mm_min=Span(low=120, high=260),
        heat_input_kj_mm=Span(low=0.7, high=1.8), deposit_mm=2.5,
    ),
)  # fmt: skip
GROOVE = Groove(
    kind="V", angle_deg=60.0, gap_mm=Span(low=1.0, high=2.0), root_face_mm=Span(low=1.0, high=2.0),
    hi_lo_max_mm=1.6, cap_height_max_mm=1.6,
)  # fmt: skip
WPS = Procedure(
    number="WPS-01", revision="1", title="Mainline butt welds, stovepipe", code=CODE,
    valid_from=date(2026, 1, 20), pqrs=("PQR-01",), product="pipe", weld_type="butt",
    material_groups=("1.2",), grades=("L415M",), smys_mpa=Span(low=290, high=415),
    wall_mm=Span(low=4.8, high=19.1), od_mm=Span(low=60.3, high=323.9), positions=("PJ", "5G"),
    groove=GROOVE, passes=(_ROOT, *_REST), passes_before_stop=2, preheat_min_c=80.0,
    interpass_max_c=250.0, line_up="internal clamp", clamp_release="after the whole root",
    cleaning="brush & grind", cooling="slow, wrapped", change="wall range < 19.1 mm",
    notes=("Arc strikes on the pipe are not allowed.",), hydrogen_ml_100g=None,
    approvals=(
        Approval(role="prepared", name="P. Quill", post="Engineer", signed_on=date(2026, 1, 10)),
        Approval(role="approved", name="R. Marsh", post="Client", signed_on=date(2026, 1, 18)),
    ),
)  # fmt: skip
REPAIR_WPS = Procedure(
    number="WPS-R1", revision="0", title="Repair of butt welds", code=CODE, purpose="repair",
    valid_from=date(2026, 1, 20), pqrs=("PQR-01",), product="pipe", weld_type="butt",
    material_groups=("1.2",), wall_mm=Span(low=4.8, high=19.1), passes=_REST[1:],
)  # fmt: skip
_MEASURED = (
    PqrPass(number=1, kind="root", process="111", filler="E6010", filler_group="1",
            covering="cellulosic", filler_mm=3.2, current="DC-", direction="down", current_a=95,
            voltage_v=26, travel_mm_min=240, preheat_c=85, deposit_mm=3.0),
    PqrPass(number=2, kind="hot", process="111", filler="E8010-P1", filler_group="2",
            covering="cellulosic", filler_mm=4.0, current="DC+", direction="down", current_a=150,
            voltage_v=28, travel_mm_min=300, interpass_c=120, deposit_mm=2.5, since_last_min=6),
    PqrPass(number=3, kind="fill", process="111", filler="E8010-P1", filler_group="2",
            covering="cellulosic", filler_mm=4.0, current="DC+", direction="down", current_a=160,
            voltage_v=28, travel_mm_min=220, interpass_c=140, deposit_mm=4.7, since_last_min=8),
    PqrPass(number=4, kind="cap", process="111", filler="E8010-P1", filler_group="2",
            covering="cellulosic", filler_mm=4.0, current="DC+", direction="down", current_a=140,
            voltage_v=28, travel_mm_min=180, interpass_c=150, deposit_mm=2.5, since_last_min=9),
)  # fmt: skip
PQR = Pqr(
    number="PQR-01", code=CODE, welded_on=date(2025, 12, 4), wps="pWPS-01", product="pipe",
    weld_type="butt", material_groups=("1.2", "1.2"), grade="L415M", smys_mpa=415.0,
    composition=Composition(c=0.09, si=0.3, mn=1.45, p=0.012, s=0.004, nb=0.03), wall_mm=12.7,
    od_mm=323.9, position="5G", groove=GROOVE, passes=_MEASURED, preheat_c=85.0,
    interpass_max_c=150.0, impact_tested=True, hardness_tested=True, line_up="internal clamp",
    welder="W01", laboratory="Invented Test House", examiner="E-01",
    tests=(
        TestResult(kind="visual", value="no defect", permitted="none", report="T-1"),
        TestResult(kind="tensile", specimens=2, value="538 and 544 MPa", permitted="≥ 520 MPa",
                   report="T-2"),
        TestResult(kind="bend", specimens=4, value="no opening", permitted="3 mm", report="T-3"),
        TestResult(kind="nick break", specimens=2, value="sound", report="T-4"),
    ),
    document=Paper(document="D-003"),
)  # fmt: skip


def _certificate(number: str, stamp: str, day: date, *confirmed: date) -> Certificate:
    filler = Deposit(process="111", deposit_mm=12.7, filler="E6010", filler_group="1",
                     covering="cellulosic", backing="none", layers=4, root=True)  # fmt: skip
    return Certificate(
        number=number, code=WELDER_CODE, welded_on=day, product="pipe", weld_type="butt",
        positions=("5G",), direction="down", wall_mm=12.7, od_mm=323.9, sides="single",
        material_group="1.2", deposits=(filler,), method="9.3 a", examiner="E-01",
        confirmations=tuple(Confirmation(signed_on=d, by="QC engineer", process="111")
                            for d in confirmed),
        document=Paper(document="D-002"),
        origin=Position("welders.yaml", 10 + len(stamp)),
    )  # fmt: skip


WELDERS = (
    Welder(stamp="W01", name="B. Reed", employer="Contractor", since=date(2026, 1, 5),
           certificates=(_certificate("WQ-01", "W01", date(2026, 1, 6), date(2026, 5, 30)),)),
    Welder(stamp="W02", name="J. Løkke", employer="Contractor", since=date(2026, 1, 5),
           certificates=(_certificate("WQ-02", "W02", date(2025, 6, 2)),)),
    Welder(stamp="W03", name="K. Tarn", employer="Contractor", since=date(2026, 4, 1)),
)  # fmt: skip


def joints(count: int) -> tuple[Joint, ...]:
    return tuple(
        Joint(
            number=f"ML-{n:03d}",
            name=JointName(written=f"ML-{n:03d}", base=f"ML-{n:03d}", series="ML", sequence=n),
            line="L1", kp_m=12.2 * n, upstream_item=f"P-{n:03d}", upstream_heat="H100",
            downstream_item=f"P-{n + 1:03d}", downstream_heat="H100", wps="WPS-01",
            wps_revision="1", position_code="5G", welded_on=date(2026, 3, 1) + timedelta(n // 10),
            finished_at=datetime(2026, 3, 1, 12) + timedelta(n // 10), fit_up_gap_mm=1.6,
            hi_lo_mm=0.8, fit_up_by="QC", drawing="AL-01", drawing_revision="2",
            remarks="windy <20 km/h & dry" if n == 2 else "",
            origin=Position("joints.xlsx", n + 1, "Log"),
        )
        for n in range(1, count + 1)
    )  # fmt: skip


def passes(joint: Joint) -> tuple[Pass, ...]:
    start = (joint.finished_at or datetime(2026, 3, 1)) - timedelta(hours=2)
    rows = []
    for number, measured in enumerate(_MEASURED, start=1):
        for side, welder in (("left", "W01"), ("right", "W02")):
            rows.append(
                Pass(
                    joint=joint.number, number=number, kind=measured.kind, process="111",
                    welder=welder, side=side, batch="B-10" if number == 1 else "B-11",
                    started_at=start + timedelta(minutes=12 * number - 12),
                    finished_at=start + timedelta(minutes=12 * number - 6),
                    current_a=measured.current_a, voltage_v=measured.voltage_v,
                    travel_mm_min=measured.travel_mm_min, preheat_c=85.0 if number == 1 else None,
                    interpass_c=None if number == 1 else 120.0, direction="down",
                    deposit_mm=measured.deposit_mm,
                )
            )  # fmt: skip
    return tuple(rows)


def project(count: int = 6) -> Project:
    made = joints(count)
    examinations = []
    for joint in made:
        when = joint.finished_at or datetime(2026, 3, 1)
        examinations.append(
            Examination(report=f"VT-{joint.number}", joint=joint.number, method="VT",
                        examined_at=when + timedelta(hours=2), examiner="E-01", result="accepted",
                        extent_percent=100.0)
        )  # fmt: skip
        rejected = joint.number == "ML-003"
        found = (Indication(kind="IP", start_mm=250.0, length_mm=40.0),) if rejected else ()
        examinations.append(
            Examination(report=f"RT-{joint.number}", joint=joint.number, method="RT",
                        examined_at=when + timedelta(days=1), reported_on=when.date(),
                        examiner="E-01", films=("F1", "F2"), iqi="W13", density=2.4,
                        extent_percent=100.0, technique="SWSI", indications=found,
                        result="rejected" if rejected else "accepted",
                        document=Paper(document="D-004", page=1))
        )  # fmt: skip
    examinations.append(
        Examination(report="RT-ML-003R1", joint="ML-003", method="RT",
                    examined_at=datetime(2026, 3, 4, 10), examiner="E-01", result="accepted",
                    extent_percent=100.0)
    )  # fmt: skip
    heats = (Heat(number="H100", yield_mpa=455, tensile_mpa=560),)
    return Project(
        settings=SETTINGS,
        lines=(Line(id="L1", title="Mainline", procedure_code=CODE, welder_code=WELDER_CODE,
                    acceptance_code=CODE, kp_from_m=0.0, kp_to_m=12.2 * (count + 1)),),
        joints=made,
        passes=tuple(p for joint in made for p in passes(joint)),
        procedures=(WPS, REPAIR_WPS),
        pqrs=(PQR,),
        welders=WELDERS,
        items=tuple(Item(number=f"P-{n:03d}", heat="H100", certificate="MC-1", grade="L415M",
                         material_group="1.2", smys_mpa=415, od_mm=323.9, wall_mm=12.7,
                         length_m=12.2, maker="Invented Mill") for n in range(1, count + 2)),
        material_certificates=(MaterialCertificate(number="MC-1", kind="3.1", grade="L415M",
                               maker="Invented Mill", issued_on=date(2025, 11, 2), heats=heats,
                               document=Paper(document="D-001")),),
        batches=(
            Batch(number="B-10", classification="E6010", filler_group="1", certificate="CB-10",
                  certificate_kind="2.2", size_mm=3.2, received_on=date(2026, 1, 4)),
            Batch(number="B-11", classification="E8010-P1", filler_group="2", certificate="CB-11",
                  certificate_kind="3.1", size_mm=4.0, received_on=date(2026, 1, 4)),
        ),
        examinations=tuple(examinations),
        examiners=(Examiner(id="E-01", name="M. Stoat", certificates=(ExaminerCertificate(
            number="X-1", method="RT", level=2, expires_on=date(2028, 1, 1)),)),),
        repairs=(Repair(number="R1", joint="ML-003", examination="RT-ML-003", defect="IP",
                        clock="2:55", start_mm=245.0, length_mm=60.0, excavated=True, wps="WPS-R1",
                        wps_revision="0", welder="W01", process="111", batch="B-11",
                        repaired_at=datetime(2026, 3, 3, 9), examined_by="RT-ML-003R1"),),
        coatings=tuple(Coating(report=f"FJC-{j.number}", joint=j.number, system="shrink sleeve",
                               coated_at=datetime(2026, 3, 6, 9), steel_c=60.0, dew_point_c=8.0,
                               thickness_mm=2.4, holiday_tested_at=datetime(2026, 3, 6, 15),
                               holiday_kv=12.0, holidays_found=0, result="accepted")
                       for j in made[:-1]),
        lowerings=tuple(Lowering(joint=j.number, lowered_at=datetime(2026, 3, 9, 8), cover_m=1.1)
                        for j in made[:-2]),
        documents=(
            Document(number="D-001", title="Material certificate MC-1 & annex", pages=2,
                     kind="material certificate", file="papers/mc.pdf"),
            Document(number="D-002", title="Welder certificates", pages=1,
                     kind="welder certificate", file="papers/wq.pdf"),
            Document(number="D-003", title="Test report", pages=1, kind="procedure test",
                     file="papers/pqr.pdf"),
            Document(number="D-004", title="Radiographic reports", pages=1,
                     kind="radiographic report", file="papers/rt.pdf"),
        ),
    )  # fmt: skip


def findings() -> list[Finding]:
    clause = Basis("API 1104", "21st", "6.2.2", "secondary")
    own = Basis("project specification", "", "root to hot pass", "project")
    return [
        Finding(
            "welder-range", NONCONFORMITY,
            (("joint", "ML-004"), ("welder", "W02"), ("process", "111")),
            "W02 welded joint ML-004 outside every certificate held that day.",
            (Reason("outside diameter", "323.9 mm", "60.3 mm to 219.1 mm", clause, NONCONFORMITY),),
            (Evidence(Position("joints.xlsx", 5, "Log"), "D-002", 1),),
            "Show a certificate that covers it, or have the weld dispositioned.",
        ),
        Finding(
            "pass-interval", HOLD, (("joint", "ML-002"), ("pass", "2")),
            "Start of the hot pass of joint ML-002 is not recorded & cannot be < 10 min.",
            (Reason("time since the root", "not recorded", "up to 10 min", own, HOLD),),
            (Evidence(Position("passes.csv", 12)),),
            "Enter the time from the welding log.",
        ),
        Finding(
            "joint-number-ledger", NOTE, (("joint", "ML-005"),),
            "Number ML-005A was never used.", (), (), "None needed.",
        ),
    ]  # fmt: skip
