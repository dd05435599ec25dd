"""What the context builders say, before any renderer touches it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from dossier.calc.heat_input import arc_energy_kj_mm, heat_input_kj_mm
from dossier.coverage.view import View, view
from dossier.documents import (
    findings,
    joint_history,
    procedure,
    qualification,
    rates,
    registers,
    welder_matrix,
)
from dossier.documents.amounts import reachable_heat_input
from dossier.documents.answers import Answers
from dossier.documents.report_text import report_text
from dossier.documents.sheet import Table, columns, document_number, head, row, table
from dossier.errors import InputError
from dossier.records.procedures import Span
from dossier.records.verdicts import HOLD, NONCONFORMITY, Basis, Finding, Reason
from dossier.units import show
from tests.documents import example


def _column(part: Table, label: str) -> list[str]:
    index = [c["label"] for c in part["columns"]].index(label)
    return [r["cells"][index] for r in part["rows"]]


def test_contexts_are_the_same_twice(seen: View, answers: Answers) -> None:
    first = procedure.context(seen, example.WPS, answers, "N")
    assert first == procedure.context(seen, example.WPS, answers, "N")


def test_procedure_sheet_carries_number_status_caution_and_approvals(
    seen: View, answers: Answers
) -> None:
    data = procedure.context(seen, example.WPS, answers, "HX-204-WPS-0001")
    assert data["head"]["number"] == "HX-204-WPS-0001"
    assert data["head"]["revision"] == "1"
    assert data["head"]["status"] == "issued"
    assert any("hot work permit" in text for text in data["head"]["caution"])
    boxes = {box["role"]: box for box in data["head"]["signatures"]}
    assert boxes["approved"]["on"] == "2026-01-18"
    assert boxes["checked"]["on"] == ""


def test_a_superseded_revision_says_so(seen: View, answers: Answers) -> None:
    old = replace(example.WPS, valid_until=date(2026, 2, 1))
    assert procedure.context(seen, old, answers, "N")["head"]["status"] == "superseded"
    assert procedure.context(seen, replace(old, status="draft"), answers, "N")["head"][
        "status"
    ] == "draft"  # fmt: skip


def test_heat_input_that_the_ranges_reach_comes_from_the_formula() -> None:
    planned = example.WPS.passes[0]
    reached = reachable_heat_input(planned)
    assert reached is not None
    assert reached.low == heat_input_kj_mm(arc_energy_kj_mm(22, 70, 350), 0.8)
    assert reached.high == heat_input_kj_mm(arc_energy_kj_mm(30, 120, 150), 0.8)
    assert reachable_heat_input(replace(planned, voltage_v=Span(low=22))) is None
    assert reachable_heat_input(replace(planned, process="972")) is None


def test_qualified_range_and_support_carry_their_clauses(seen: View, answers: Answers) -> None:
    data = procedure.context(seen, example.WPS, answers, "N")
    qualified = answers.procedure_range(example.PQR)
    assert [r["cells"][0] for r in data["qualified"][0]["rows"]] == list(qualified)
    assert all("5.4" in clause for clause in _column(data["qualified"][0], "Clause"))
    reasons = answers.supports(example.WPS, [example.PQR])
    assert _column(data["support"], "Verdict") == [str(r.verdict) for r in reasons]


def test_a_test_that_is_not_on_record_is_named(seen: View, answers: Answers) -> None:
    orphan = replace(example.WPS, pqrs=("PQR-99",))
    assert "PQR-99" in procedure.context(seen, orphan, answers, "N")["support"]["note"]


def test_test_record_lists_tests_and_who_leans_on_it(seen: View, answers: Answers) -> None:
    data = qualification.context(seen, example.PQR, answers, "N")
    assert data["used_by"] == "WPS-01 rev. 1, WPS-R1 rev. 0"
    assert _column(data["tests"], "Found")[1] == "538 and 544 MPa"
    assert _column(data["passes"], "Heat input")[0] == "0.49 kJ/mm"


def test_matrix_tells_state_by_letter(seen: View, answers: Answers) -> None:
    data = welder_matrix.context(seen, answers, "N")
    assert _column(data["by_welder"], "Certificate") == ["WQ-01", "WQ-02", "none on record"]
    assert _column(data["by_welder"], "State")[:2] == ["F", "F"]
    assert _column(data["by_need"][0], "N1") == ["F", "F", "-"]
    needs = (_column(data["needs"], "Need"), _column(data["needs"], "Joints"))
    assert needs == (["N1", "N2"], ["6", "1"])  # N2: the repair
    marks = [(line["marks"][2], line["marks"][-1]) for line in data["by_welder"]["rows"]]
    assert marks == [("", "good"), ("", "good"), ("hold", "")]
    assert [line["marks"][2] for line in data["by_need"][0]["rows"]] == ["good", "good", "soft"]


@pytest.mark.parametrize(("until", "letter"), [(29, "S"), (31, "F")])
def test_a_certificate_about_to_end_is_marked(answers: Answers, until: int, letter: str) -> None:
    certificate = example.WELDERS[0].certificates[0]
    soon = replace(
        answers, valid_until=lambda _: date.fromordinal(example.AS_OF.toordinal() + until)
    )
    assert welder_matrix.state(certificate, soon, example.AS_OF) == letter


def test_an_ended_or_unproved_certificate_is_not_in_force(answers: Answers) -> None:
    certificate = example.WELDERS[0].certificates[0]
    ended = replace(certificate, ended_on=example.AS_OF)
    assert welder_matrix.state(ended, answers, example.AS_OF) == "E"
    basis = Basis("X", "1", "1")
    for verdict, letter in ((HOLD, "?"), (NONCONFORMITY, "E")):
        reasons = (Reason("confirmation", "-", "-", basis, verdict),)
        said = replace(answers, in_force=lambda *_, reasons=reasons: reasons)
        assert welder_matrix.state(certificate, said, example.AS_OF) == letter


def test_joint_history_gathers_the_whole_chain(seen: View) -> None:
    data = joint_history.context(seen, example.findings(), "ML-003")
    assert data["verdict"] == "clear"
    assert len(data["passes"]["rows"]) == 8
    assert _column(data["examinations"], "Result") == ["accepted", "rejected", "accepted"]
    assert _column(data["repairs"], "Repair") == ["R1"]
    assert [r["cells"][0] for r in data["after"]["rows"]] == ["coated", "holiday test", "lowered"]
    assert _column(data["papers"], "Document") == ["D-001", "D-004"]
    assert data["map"]["svg"].startswith("<svg")


def test_joint_history_marks_heat_input_against_the_window(seen: View) -> None:
    hot = tuple(
        replace(p, travel_mm_min=60.0) if p.joint == "ML-001" and p.number == 1 else p
        for p in seen.project.passes
    )
    changed = view(replace(seen.project, passes=hot), example.AS_OF)
    data = joint_history.context(changed, [], "ML-001")
    index = [c["label"] for c in data["passes"]["columns"]].index("Heat input")
    marks = [r["marks"][index] for r in data["passes"]["rows"]]
    assert marks == ["nonconformity", "nonconformity", *["good"] * 6]


def test_joint_history_shows_only_its_own_findings(seen: View) -> None:
    data = joint_history.context(seen, example.findings(), "ML-004")
    assert _column(data["findings"], "Verdict") == ["nonconformity"]
    with pytest.raises(InputError, match="ML-999"):
        joint_history.context(seen, [], "ML-999")


def test_history_text_is_the_same_data(seen: View) -> None:
    text = joint_history.history_text(seen, example.findings(), "ML-002")
    assert "Joint ML-002: hold" in text
    assert "0.49 kJ/mm" in text
    assert "windy <20 km/h & dry" in text


def test_registers_hold_every_record(seen: View) -> None:
    found = findings.by_joint(example.findings())
    made = {name: build(seen, found, "N") for name, (_, build) in registers.REGISTERS.items()}
    assert _column(made["joint-register"]["rows"], "Joint") == [
        j.number for j in seen.project.joints
    ]
    assert len(made["examination-register"]["rows"]["rows"]) == len(seen.project.examinations)
    assert len(made["material-register"]["rows"]["rows"]) == len(seen.project.items)
    verdicts = _column(made["joint-register"]["rows"], "Verdict")
    assert verdicts == ["clear", "hold", "clear", "nonconformity", "note", "clear"]


def test_open_points_leave_out_notes_and_conceded(seen: View) -> None:
    conceded = [
        Finding(f.check, f.verdict, f.subject, f.sentence, conceded_by="CN-1")
        if f.check == "welder-range"
        else f
        for f in example.findings()
    ]
    rows = registers.gap_list(seen, conceded, "N")["rows"]
    assert _column(rows, "Verdict") == ["hold"]


def test_report_groups_severest_first(seen: View) -> None:
    data = findings.context(seen, list(reversed(example.findings())), "N")
    assert [verdict for verdict, _ in data["groups"]] == ["nonconformity", "hold", "note"]
    first = data["groups"][0][1][0]
    assert first["reasons"]["rows"][0]["cells"][:3] == [
        "outside diameter", "323.9 mm", "60.3 mm to 219.1 mm"
    ]  # fmt: skip
    assert first["evidence"] == "joints.xlsx, Log!A5; D-002, page 1"


def test_report_text_for_a_terminal_cannot_drive_it(seen: View) -> None:
    bad = Finding("x", HOLD, (("joint", "J"),), "\x1b[2Jwiped")
    text = report_text(seen.project.settings, seen.as_of, [bad])
    assert "\x1b" not in text
    assert "wiped" in text
    full = report_text(seen.project.settings, seen.as_of, example.findings())
    assert full.index("NONCONFORMITY (1)") < full.index("HOLD (1)") < full.index("NOTE (1)")
    assert "found 323.9 mm, permitted 60.3 mm to 219.1 mm" in full
    assert full.endswith(
        "3 findings: 0 cut-out, 1 nonconformity, 1 hold, 1 note; 0 conceded. 2 open."
    )


def test_repair_rate_counts_first_examinations_only(seen: View) -> None:
    data = rates.context(seen, "N")
    by_line = data["groups"][0][0]
    assert by_line["rows"][0]["cells"][:4] == ["L1", "6", "1", "16.7 %"]


def test_us_units_reach_every_sheet(seen: View, answers: Answers) -> None:
    settings = replace(seen.project.settings, units="US")
    us = view(replace(seen.project, settings=settings), example.AS_OF)
    sheet = procedure.context(us, example.WPS, answers, "N")
    assert _column(sheet["parameters"], "Travel speed")[0] == "5.9 to 13.8 in/min"
    history = joint_history.context(us, [], "ML-001")
    assert _column(history["members"], "Wall")[0] == show(12.7, "mm", "US")


def test_document_numbers_follow_the_projects_pattern(seen: View) -> None:
    settings = replace(seen.project.settings, document_number="{kind}/{project}/{sequence:03d}")
    assert document_number(settings, "WPS", 4) == "WPS/HX-204/004"
    for pattern in ("{project.__class__}", "{nobody}", "{kind[0]}"):
        with pytest.raises(InputError, match="document_number"):
            document_number(replace(settings, document_number=pattern), "WPS", 1)


def test_rows_must_fit_their_columns(seen: View) -> None:
    with pytest.raises(InputError):
        table("", columns(("A", 1), ("B", 1)), [row(["1"])])
    assert head(seen, number="N", title="T")["as_of"] == "2026-06-30"
