"""The documents of one shape: what they say, their cautions, their forms, their empty states."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from dossier.calc.cautions import DOCUMENTS, caution_texts
from dossier.coverage.view import View, view
from dossier.documents import procedure
from dossier.documents.answers import answers_of
from dossier.documents.issue import form_issue, register_issue
from dossier.documents.joint_history import context as history_of
from dossier.documents.pages import page
from dossier.documents.pdf import render
from dossier.documents.plain import texts
from dossier.documents.printed import PRINTED, template_of
from dossier.documents.printed.face import Asked, Printed
from dossier.documents.record_code import deep_link, fingerprint, square_code
from dossier.documents.xlsx import HEADING_ROW
from tests.documents import example, extreme
from tests.documents.reading import docx_text, flat, pdf_text, xlsx_rows

# Which cautions stand on which printed document; the others do no work that can hurt anyone.
CAUTIONS = {
    "fit-up-sheet": "fit_up_sheet",
    "daily-sheet": "daily_welding_sheet",
    "repair-ledger": "repair_ledger",
    "heat-treatment-register": "heat_treatment_register",
    "coating-register": "holiday_report",
    "lowering-register": "lowering_record",
    "pressure-test-sheets": "pressure_test_sheet",
}
# Results of the radiation formulas carry theirs themselves; no page of the dossier holds these.
_ELSEWHERE = {"rt_technique_sheet", "boundary_distance_sheet", "welding_procedure_sheet"}


@pytest.fixture(scope="module")
def asked() -> Asked:
    return Asked(view(extreme.everything(), example.AS_OF), tuple(example.findings()))


def _made(of: Asked, name: str) -> list[Printed]:
    return list(PRINTED[name].make(of))


def _rows(data: Printed, key: str) -> list[dict[str, str]]:
    part = data["content"][key]["rows"]
    labels = [column["label"] for column in part["columns"]]
    return [dict(zip(labels, one["cells"], strict=True)) for one in part["rows"]]


def test_every_document_carries_its_cautions(asked: Asked, seen: View) -> None:
    assert {name: kind.caution for name, kind in PRINTED.items() if kind.caution} == CAUTIONS
    assert set(CAUTIONS.values()) | _ELSEWHERE == set(DOCUMENTS)
    for of in (asked, Asked(view(extreme.nothing(), example.AS_OF))):
        for name in PRINTED:
            wanted = list(caution_texts(CAUTIONS[name]).values()) if name in CAUTIONS else []
            assert all(data["head"]["caution"] == wanted for data in _made(of, name)), name
    sheet = procedure.context(seen, example.WPS, answers_of(seen.project), "N")
    told = " ".join(sheet["head"]["caution"])
    assert all(text in told for text in caution_texts("welding_procedure_sheet").values())


def test_cautions_stand_on_the_page(asked: Asked) -> None:
    (data,) = _made(asked, "coating-register")
    text = flat(pdf_text(render([page("printed.html", data)]).data, how="-raw"))
    assert "voltage that can injure or kill" in text
    assert "pacemaker" in text


def test_pipe_book_follows_the_run_and_tells_its_breaks() -> None:
    made = extreme.everything()
    joints = list(made.joints)
    joints[1] = replace(joints[1], upstream_item="P-777", upstream_heat="H900")
    of = Asked(view(replace(made, joints=tuple(joints)), example.AS_OF))
    (book,) = _made(of, "pipe-book")
    rows = _rows(book, "run")
    assert [r["Item"] for r in rows] == [
        "P-001", "P-002", "P-777", "P-003", "P-004", "P-001", "P-002", "P-001", "P-002",
    ]  # fmt: skip
    assert rows[1]["Left joint"] == "ML-001"
    assert rows[1]["Right joint"] == "-"
    assert rows[2]["Heat"] == "H900"  # not on record, so the log speaks
    assert rows[2]["Kind"] == "not on record"
    marks = [one["marks"][0] for one in book["content"]["run"]["rows"]["rows"]]
    assert [n for n, mark in enumerate(marks) if mark == "hold"] == [2, 5, 7]
    assert rows[3]["Left KP"] == "0.024"


def test_pups_are_balanced_against_the_pipe_they_came_from() -> None:
    made = extreme.everything()
    pups = tuple(
        replace(made.items[0], number=f"PUP-{n}", kind="pup", parent="P-001", length_m=length)
        for n, length in ((1, 3.0), (2, 4.5))
    )
    first = replace(made.joints[0], upstream_item="PUP-1")
    project = replace(made, items=(*made.items, *pups), joints=(first, *made.joints[1:]))
    (book,) = _made(Asked(view(project, example.AS_OF)), "pipe-book")
    (row,) = _rows(book, "pups")
    assert row["Pups cut from it"] == "PUP-1 (3 m, heat H100), PUP-2 (4.5 m, heat H100)"
    assert (row["Cut in all"], row["Left over"]) == ("7.5 m", "4.7 m")


def test_strip_map_counts_what_its_cells_show(asked: Asked) -> None:
    (data,) = _made(asked, "strip-map")
    counts = {r["Stage"]: (r["Joints"], r["Still to come"]) for r in _rows(data, "stages")}
    assert counts["welded"] == ("4", "1")
    assert counts["coated"] == ("2", "3")
    assert counts["lowered"] == ("1", "4")
    drawings = data["content"]["stages"]["drawings"]
    assert sum(drawing.count(">L<") for drawing in drawings) == 1
    assert sum(drawing.count(">W<") for drawing in drawings) == 4
    assert "without chainage" in drawings[-1]


def test_weld_map_shows_each_joint_between_its_items(asked: Asked) -> None:
    named, loose = _made(asked, "weld-map")
    assert named["head"]["title"] == "Weld map AL-01"
    assert loose["head"]["title"] == "Joints that name no drawing"
    states = {r["Joint"]: r["State"] for r in _rows(named, "joints")}
    assert states == {"ML-001": "L", "ML-002": "C", "ML-003": "E", "ML-900": "P"}
    drawn = "".join(named["content"]["joints"]["drawings"])
    assert [n for n in ("P-001", "P-004", "ML-900") if f">{n}<" in drawn] == [
        "P-001", "P-004", "ML-900",
    ]  # fmt: skip


def test_site_sheets_are_filled_in_for_the_planned_joints_only(asked: Asked) -> None:
    (fit_up,), (daily,) = _made(asked, "fit-up-sheet"), _made(asked, "daily-sheet")
    (row,) = fit_up["content"]["joints"]["rows"]["rows"]
    assert row["cells"][0] == "ML-900, KP\N{NO-BREAK SPACE}0.900, AL-01"
    assert "gap 1 to 2 mm" in row["cells"][2]
    assert row["cells"][3:] == [""] * 6
    assert row["marks"][3:] == ["box"] * 6
    assert list(daily["content"]) == ["joint_1"]
    passes = daily["content"]["joint_1"]["rows"]["rows"]
    assert [one["cells"][0] for one in passes] == [
        "root, 111", "hot, 111", "fill, 111", "cap, 111", "", "",
    ]  # fmt: skip
    assert "preheat from 80 °C" in passes[0]["cells"][2]
    assert {f["label"]: f["value"] for f in daily["facts"]}["For"] == "2026-07-01"


def test_a_fit_up_sheet_prints_the_limits_that_the_wps_sets_and_no_others(asked: Asked) -> None:
    project = asked.seen.project
    wps = project.procedures[0]
    assert wps.groove is not None
    for groove, told in (
        (replace(wps.groove, gap_mm=None, hi_lo_max_mm=None), "WPS-01 rev. 1"),
        (replace(wps.groove, gap_mm=None, hi_lo_max_mm=1.6), "WPS-01 rev. 1; hi-lo up to 1.6 mm"),
    ):
        sheets = (replace(wps, groove=groove), *project.procedures[1:])
        of = Asked(view(replace(project, procedures=sheets), example.AS_OF))
        (row,) = _rows(_made(of, "fit-up-sheet")[0], "joints")
        assert told in row.values()


def test_examination_summary_answers_both_lists_where_no_law_is_recorded(asked: Asked) -> None:
    (data,) = _made(asked, "examination-summary")
    total = _rows(data, "welds")[-1]
    assert (total["Location"], total["Welds made"], total["Tested"]) == ("all", "4", "3")
    assert (total["Rejected"], total["Repaired"], total["Open"]) == ("1", "1", "0")
    (reject,) = _rows(data, "rejects")
    assert reject["Disposition"] == "repaired (R1), accepted by RT-ML-003R1"
    held = {r["Asked for"]: r["Held"] for r in _rows(data, "construction")}
    assert "323.9 mm x 12.7 mm: 48.8 m" in held["amount, location and cover of each size of pipe"]
    assert held["overhead crossings"].startswith("not in these registers")


def test_a_gas_line_is_spared_the_list_of_liquid_lines() -> None:
    made = extreme.everything()
    gas = replace(made.lines[0], regulation="49 CFR 192")
    (data,) = _made(Asked(view(replace(made, lines=(gas,)), example.AS_OF)), "examination-summary")
    assert list(data["content"]) == ["welds", "rejects"]


def test_an_unanswered_rejection_stays_open() -> None:
    made = replace(extreme.everything(), repairs=())
    of = Asked(view(made, example.AS_OF))
    (row,) = _rows(_made(of, "repair-ledger")[0], "rejections")
    assert (row["Repair"], row["Result"]) == ("none", "open")
    later = tuple(e for e in made.examinations if e.report != "RT-ML-003R1")
    of = Asked(view(replace(made, examinations=later), example.AS_OF))
    (reject,) = _rows(_made(of, "examination-summary")[0], "rejects")
    assert reject["Disposition"] == "open"


def test_heat_map_and_batch_use_lead_to_joints_and_certificates(asked: Asked) -> None:
    (heat,) = _rows(_made(asked, "heat-map")[0], "heats")
    assert (heat["Heat"], heat["Certificate"], heat["Page"]) == ("H100", "MC-1", "D-001, page 1")
    assert heat["At joints"] == "ML-001 to PT-1"
    batches = {r["Batch"]: r for r in _rows(_made(asked, "batch-use")[0], "batches")}
    assert batches["B-10"]["In joints"] == "ML-001 to ML-003"
    assert batches["B-11"]["Repairs"] == "1"
    assert batches["B-10"]["Welders"] == "W01, W02"
    assert batches["B-10"]["First use"] == "2026-03-01"


def test_a_batch_past_its_end_and_one_not_on_record_are_marked() -> None:
    made = extreme.everything()
    old = replace(made.batches[0], expires_on=date(2026, 2, 1))
    of = Asked(view(replace(made, batches=(old,)), example.AS_OF))
    (data,) = _made(of, "batch-use")
    marks = {one["cells"][0]: one["marks"] for one in data["content"]["batches"]["rows"]["rows"]}
    assert marks["B-10"][8] == "hold"
    assert marks["B-11"][0] == "hold"


def test_pressure_test_sheet_judges_record_gauges_and_joints(asked: Asked) -> None:
    (data,) = _made(asked, "pressure-test-sheets")
    assert [r["Verdict"] for r in _rows(data, "judged")] == ["clear", "clear"]
    held = {r["Item"]: r["Held"] for r in _rows(data, "record")}
    assert held["pressure charts or other readings"] == "missing"
    gauges = {r["Instrument"]: r["Kind"] for r in _rows(data, "gauges")}
    assert gauges == {"DW-01": "deadweight gauge", "DW-99": "no calibration before the test"}
    assert [r["Joint"] for r in _rows(data, "joints")] == ["ML-001", "ML-002", "ML-003"]


def test_hardness_over_its_limit_is_marked(asked: Asked) -> None:
    (data,) = _made(asked, "hardness-register")
    (one,) = data["content"]["tests"]["rows"]["rows"]
    assert one["cells"][5:7] == ["252", "250"]
    assert one["marks"][5] == "nonconformity"


def test_registers_after_welding_hold_every_record(asked: Asked) -> None:
    project = asked.seen.project
    (coated,), (lowered,) = _made(asked, "coating-register"), _made(asked, "lowering-register")
    assert len(_rows(coated, "coatings")) == len(project.coatings)
    assert len(_rows(coated, "holidays")) == len(project.coatings)
    assert len(_rows(lowered, "lowerings")) == len(project.lowerings)
    (treated,) = _rows(_made(asked, "heat-treatment-register")[0], "charts")
    assert (treated["Soak"], treated["Held"]) == ("595 to 615 °C", "45 min")


def test_a_finding_that_is_gone_is_told_on_the_nonconformity(asked: Asked) -> None:
    (data,) = _made(asked, "nonconformity-sheets")
    assert data["head"]["status"] == "open"
    (row,) = _rows(data, "findings")
    assert row["Finding"] == "not among the findings of this cross-check"


def test_the_certificate_of_conformity_is_never_signed(asked: Asked) -> None:
    (data,) = _made(asked, "conformity-draft")
    assert all(box["on"] == "" for box in data["head"]["signatures"])
    assert data["head"]["status"] == "draft, not signed"
    assert "the statement cannot be made yet" in data["lead"]
    for of in (asked, Asked(view(extreme.nothing(), example.AS_OF))):
        (one,) = _made(of, "conformity-draft")
        text = flat(pdf_text(render([page("printed.html", one)]).data))
        assert "signs nothing and certifies nothing" in text


def _words(data: Mapping[str, object]) -> set[str]:
    return {word for place, text in texts(data) if ".cells[" in place for word in text.split()}


def test_forms_say_the_same_as_docx_and_pdf(asked: Asked) -> None:
    files = {one.name: one for one in form_issue(asked.seen, asked.findings)}
    made = [(name, data) for name, kind in PRINTED.items() if kind.form
            for data in _made(asked, name)]  # fmt: skip
    assert len(files) == 2 * len(made)
    for name, data in made:
        stem = f"{name}_{data['head']['number']}"
        in_docx = docx_text(files[f"{stem}.docx"].data())
        in_pdf = flat(pdf_text(files[f"{stem}.pdf"].data(), how="-raw")).replace(" ", "")
        assert {word for word in _words(data) if word not in in_docx} == set(), name
        assert {word for word in _words(data) if word not in in_pdf} == set(), name
        for text in data["head"]["caution"]:
            assert flat(text) in in_docx


def test_workbooks_hold_the_rows_of_the_pages(asked: Asked) -> None:
    files = {one.name: one for one in register_issue(asked.seen, asked.findings)}
    for name, kind in PRINTED.items():
        if kind.form or not kind.book:
            continue
        data = files[f"{name.replace('-', '_')}.xlsx"].data()
        tables = [p["rows"] for one in _made(asked, name) for p in one["content"].values()]
        for sheet, wanted in enumerate(tables):
            rows = list(xlsx_rows(data, sheet))[HEADING_ROW:]
            assert len(rows) == len(wanted["rows"]), name
            for got, expected in zip(rows, wanted["rows"], strict=True):
                plain = [c for c, column in zip(expected["cells"], wanted["columns"], strict=True)
                         if column["align"] == "left"]  # fmt: skip
                there = [g for g, column in zip(got, wanted["columns"], strict=True)
                         if column["align"] == "left"]  # fmt: skip
                assert there == plain, name


def test_files_are_equal_twice(asked: Asked) -> None:
    for issue in (form_issue, register_issue):
        first = [one.data() for one in issue(asked.seen, asked.findings)]
        assert first == [one.data() for one in issue(asked.seen, asked.findings)]


def test_empty_states_say_so() -> None:
    of = Asked(view(extreme.nothing(), example.AS_OF))
    said = set()
    for name, data in [(kind, data) for kind in PRINTED for data in _made(of, kind)]:
        empty = [part["empty"] for part in data["content"].values() if not part["rows"]["rows"]]
        text = flat(pdf_text(render([page("printed.html", data)]).data))
        assert all(words and words in text for words in empty), name
        said |= {name} if empty else set()
    assert said == set(PRINTED) - {"transmittal", "comment-sheet", "work-ahead"}


def test_heading_rows_repeat_over_a_long_pipe_book() -> None:
    of = Asked(view(example.project(120), example.AS_OF))
    (data,) = _made(of, "pipe-book")
    made = render([page("printed.html", data)])
    assert made.pages[0] >= 4
    for number in range(1, made.pages[0]):
        assert "Left joint" in pdf_text(made.data, number, number)


def test_a_project_may_replace_the_page_of_one_document(asked: Asked, tmp_path: Path) -> None:
    own = '{% extends "printed.html" %}{% block body %}Own book of {{ head.project }}{% endblock %}'
    (tmp_path / "pipe-book.html").write_text(own, encoding="utf-8")
    assert template_of("pipe-book", tmp_path) == "pipe-book.html"
    assert template_of("heat-map", tmp_path) == "printed.html"
    assert "Own book of HX-204" in page("pipe-book.html", _made(asked, "pipe-book")[0], tmp_path)


def test_the_code_on_a_joint_history_is_a_code_of_its_link(seen: View) -> None:
    data = history_of(seen, [], "ML-003")
    link = deep_link("ML-003", data["head"], data["code"]["mark"])
    assert link.startswith("#joint=ML-003&document=HX-204-JHR-0003&revision=0&hash=")
    svg = square_code(link, "Code that leads to joint ML-003")
    assert svg in page("joint_history.html", data)
    assert _dark(svg) == _modules(link)


def _dark(svg: str) -> set[tuple[int, int]]:
    """Dark squares of the drawing, counted from the corner of the code."""
    found = set()
    for x, y, length in re.findall(r"M(\d+) (\d+)h(\d+)", svg):
        found |= {(int(x) - 4 + step, int(y) - 4) for step in range(int(length))}
    return found


def _modules(text: str) -> set[tuple[int, int]]:
    import segno

    matrix = segno.make(text, error="m", micro=False, boost_error=False, mask=3).matrix
    return {(x, y) for y, line in enumerate(matrix) for x, dark in enumerate(line) if dark}


def test_the_fingerprint_changes_with_what_is_printed(seen: View) -> None:
    first = history_of(seen, [], "ML-001")["code"]["mark"]
    assert first == history_of(seen, [], "ML-001")["code"]["mark"]
    joints = (replace(seen.project.joints[0], hi_lo_mm=1.2), *seen.project.joints[1:])
    changed = view(replace(seen.project, joints=joints), example.AS_OF)
    assert history_of(changed, [], "ML-001")["code"]["mark"] != first
    assert fingerprint({"a": 1, "b": 2}) == fingerprint({"b": 2, "a": 1})


def test_odd_joint_numbers_survive_the_link(seen: View) -> None:
    head = history_of(seen, [], "ML-001")["head"]
    assert deep_link("ML-1/A & B#2", head, "x").startswith("#joint=ML-1%2FA%20%26%20B%232&")
