"""What is marked in the history of a joint, in its proofs, in test records and in figures."""

# ruff: noqa: DTZ001 - records hold the local times of the site, as written.

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime
from typing import Any

import pytest

from dossier.coverage.continuity import timeline
from dossier.coverage.view import View, view
from dossier.documents import joint_history, qualification, rates, revision_comparison
from dossier.documents.answers import Answers
from dossier.documents.certificate_sheet import lane
from dossier.documents.figures.completeness import completeness
from dossier.documents.figures.repair_rates import first_time
from dossier.documents.joint_history import JointHistory
from dossier.records.base import Paper
from dossier.records.project import Project
from tests.documents import example, extreme
from tests.documents.rows import column


def _history(project: Project, number: str = "ML-001") -> JointHistory:
    return joint_history.context(view(project, example.AS_OF), [], number)


def test_a_joint_tells_who_it_is_and_warns_where_it_was_repaired() -> None:
    made = example.project(3)
    whole, repaired = (_history(made, number) for number in ("ML-001", "ML-003"))
    assert whole["head"]["caution"] == []
    assert "hot work" in repaired["head"]["caution"][0]
    facts = {f["label"]: f["value"] for f in whole["identity"]}
    assert (facts["WPS"], facts["Procedure tests"]) == ("WPS-01 rev. 1", "PQR-01")
    assert (facts["Chainage"], facts["Drawing"]) == ("KP 0.012", "AL-01 rev. 2")
    assert facts["Fit-up"] == "gap 1.6 mm, hi-lo 0.8 mm, by QC"
    bare = replace(made.joints[0], wps="", kp_m=None, drawing="", fit_up_gap_mm=None,
                   hi_lo_mm=None, fit_up_by="")  # fmt: skip
    facts = {f["label"]: f["value"] for f in _history(replace(made, joints=(bare,)))["identity"]}
    assert [facts[name] for name in ("WPS", "Chainage", "Drawing", "Fit-up")] == ["-"] * 4
    assert facts["Procedure tests"] == "WPS not on record"


def test_members_that_differ_from_the_register_are_marked() -> None:
    made = example.project(1)
    joint = replace(made.joints[0], upstream_item="P-9", downstream_heat="H900")
    items = (made.items[0], replace(made.items[1], certificate="MC-9"))
    part = _history(replace(made, joints=(joint,), items=items))["members"]
    assert column(part, "Item", "marks") == ["hold", ""]
    assert column(part, "Heat, log", "marks") == ["", "hold"]
    assert column(part, "Certificate") == ["not on record"] * 2
    assert column(part, "Certificate", "marks") == ["hold"] * 2
    sound = _history(replace(made, joints=(replace(made.joints[0], upstream_heat=""),)))["members"]
    assert {mark for line in sound["rows"] for mark in line["marks"]} == {""}
    assert column(sound, "Certificate") == ["MC-1 (type 3.1)"] * 2


def test_results_of_a_joint_are_marked_in_the_order_of_the_days() -> None:
    made = example.project(1)
    one = made.examinations[1]
    reports = tuple(
        replace(one, report=name, result=result, examined_at=datetime(2026, 3, day))
        for name, result, day in (("C", "", 4), ("B", "rejected", 3), ("A", "accepted", 2))
    )
    part = _history(replace(made, examinations=reports))["examinations"]
    assert column(part, "Report") == ["A", "B", "C"]
    assert column(part, "Result") == ["accepted", "rejected", "not yet read"]
    assert column(part, "Result", "marks") == ["good", "nonconformity", "hold"]
    assert column(part, "Extent") == ["100 %"] * 3


def test_temperatures_and_times_of_the_passes() -> None:
    made = example.project(1)
    first, other = made.passes[0], replace(made.passes[2], started_at=datetime(2026, 3, 2, 7))
    part = _history(replace(made, passes=(first, other)))["passes"]
    assert column(part, "Begun") == ["10:00", "2026-03-02 07:00"]
    assert column(part, "Temp.") == ["85 °C", "120 °C"]
    assert "Times without a date: 2026-03-01." in part["note"]


def test_a_paper_that_is_not_in_the_register_is_marked() -> None:
    made = example.project(1)
    reports = (replace(made.examinations[0], document=Paper(document="D-99", page=3)),)
    part = _history(replace(made, examinations=reports))["papers"]
    assert column(part, "Title") == ["Material certificate MC-1 & annex", "not in the register"]
    assert column(part, "Page") == ["1", "3"]
    assert column(part, "Title", "marks") == ["", "hold"]


def _welders(**changes: Any) -> Project:
    """One joint, welded by W02 alone, whose certificate is changed."""
    made = example.project(1)
    welder = example.WELDERS[1]
    held = (replace(welder.certificates[0], **changes),)
    passes = tuple(replace(p, welder="W02") for p in made.passes)
    return replace(made, passes=passes, welders=(replace(welder, certificates=held),))


@pytest.mark.parametrize(
    ("project", "told", "marks"),
    [
        (_welders(), ["WQ-02", "yes", "yes"], ["", "good", "good"]),
        (_welders(direction="up"), ["WQ-02", "no", "yes"], ["", "hold", "good"]),
        (replace(_welders(), welders=()), ["none", "-", "-"], ["nonconformity", "", ""]),
    ],
)
def test_the_certificate_of_each_welder_of_a_joint_is_judged(
    project: Project, told: list[str], marks: list[str]
) -> None:
    (line,) = _history(project)["welders"]["rows"]
    assert line["cells"][:2] == ["W02", "J. Løkke" if project.welders else "not on record"]
    assert line["cells"][4] == "2026-03-01"
    assert (line["cells"][5:8], line["marks"][5:8]) == (told, marks)


@pytest.mark.parametrize(
    ("tested", "told", "mark"),
    [(date(2025, 9, 1), "yes", "good"), (date(2025, 8, 31), "no", "hold")],
)
def test_a_certificate_that_had_lapsed_on_the_day_of_the_joint_is_marked(
    tested: date, told: str, mark: str
) -> None:
    made = _welders(code="ISO 9606-1:2012", method="9.3 b", welded_on=tested, confirmations=())
    line = replace(made.lines[0], welder_code="ISO 9606-1:2012")
    part = _history(replace(made, lines=(line,)))["welders"]
    assert column(part, "In force") == [told]
    assert column(part, "In force", "marks") == [mark]


def test_batches_of_a_joint_without_a_record_or_a_certificate_are_marked() -> None:
    made = example.project(1)
    batches = (replace(made.batches[0], certificate=""),)
    part = _history(replace(made, batches=batches))["consumables"]
    assert column(part, "Classification") == ["E6010", "not on record"]
    assert column(part, "Classification", "marks") == ["", "hold"]
    assert column(part, "Certificate", "marks") == ["hold", ""]


def test_what_followed_the_welding_is_told_with_its_figures() -> None:
    made = extreme.everything(1)
    coated = extreme.everything().coatings[0]
    coating = replace(coated, holidays_found=3, holidays_repaired=2)
    lowering = replace(extreme.everything().lowerings[0], backfilled_at=datetime(2026, 3, 10, 8))
    part = _history(replace(made, coatings=(coating,), lowerings=(lowering,)))["after"]
    told = {line["cells"][0]: line["cells"][1:5] for line in part["rows"]}
    assert told["heat treatment"] == [
        "2026-03-02 08:00", "HT-7", "soak 595 °C to 615 °C, 45 min", "accepted",
    ]  # fmt: skip
    assert told["hardness"][2:] == ["heat affected zone, up to 252 HV10", "rejected"]
    assert told["holiday test"][2] == "12 kV, 3 found, 2 repaired"
    assert told["coated"][2] == "shrink sleeve, 2.4 mm"
    assert told["backfilled"][0] == "2026-03-10 08:00"
    assert told["pressure test"] == ["2026-04-01 08:00", "HT-1", "water, 121 bar", "accepted"]


@pytest.mark.parametrize(
    ("value", "judged", "marks"),
    [
        ("250 HV10", ["inside", "above"], ["good", "nonconformity"]),
        ("248 HV10 at most", ["inside", "inside"], ["good", "good"]),
        ("sound", ["not told", "not told"], ["hold", "hold"]),
    ],
)
def test_hardness_of_a_test_is_judged_against_report_and_sheets(
    value: str, judged: list[str], marks: list[str], answers: Answers
) -> None:
    test = replace(example.PQR.tests[0], kind="hardness", value=value, permitted="250 HV10")
    strict = replace(example.WPS, hardness_max_hv=248.0)
    project = replace(example.project(1), procedures=(strict, example.REPAIR_WPS))
    seen = view(project, example.AS_OF)
    data = qualification.context(seen, replace(example.PQR, tests=(test,)), answers, "N")
    assert column(data["hardness"], "Set by") == ["report", "WPS-01 rev. 1"]
    assert column(data["hardness"], "Judged") == judged
    assert column(data["hardness"], "Judged", "marks") == marks
    assert data["hardness"]["note"] == ""


def test_results_of_the_tests_of_a_test_piece_are_marked(seen: View, answers: Answers) -> None:
    results = ("accepted", "rejected", "")
    tests = tuple(replace(example.PQR.tests[0], result=result) for result in results)
    data = qualification.context(seen, replace(example.PQR, tests=tests), answers, "N")
    assert column(data["tests"], "Result", "marks") == ["good", "nonconformity", "hold"]
    assert data["hardness"]["note"] == "The test was to be hardness tested."


def test_a_section_that_lacks_papers_is_marked() -> None:
    made = example.project(2)
    table, _ = completeness(view(made, example.AS_OF))
    told = {line["cells"][1]: (line["cells"][2:], line["marks"][4]) for line in table["rows"]}
    assert told["material certificates"] == (["4", "4", "100.0 %"], "")
    assert told["consumable certificates"] == (["0", "4", "0.0 %"], "hold")
    assert told["WPS approved"] == (["2", "2", "100.0 %"], "")
    assert told["RT accepted"] == (["2", "2", "100.0 %"], "")
    assert told["VT report on a page"] == (["0", "2", "0.0 %"], "hold")
    assert told["coating report on a page"] == (["0", "2", "0.0 %"], "hold")


def test_rates_by_week_count_by_the_day_of_welding(seen: View) -> None:
    weekly = rates.context(seen, "N")["groups"][1][0]
    assert [line["cells"] for line in weekly["rows"]] == [
        ["2026 week 09", "6", "1", "16.7 %", "0.4 % to 64.1 %"],
    ]  # fmt: skip


def test_a_report_that_is_not_yet_read_counts_for_no_rate() -> None:
    made = example.project(3)
    unread = tuple(
        replace(e, result="") if e.report == "RT-ML-001" else e for e in made.examinations
    )
    seen = view(replace(made, examinations=unread), example.AS_OF)
    table, _ = first_time(seen)
    assert [line["cells"][:4] for line in table["rows"]] == [
        ["RT", "1", "2", "50.0 %"], ["VT", "3", "3", "100.0 %"],
    ]  # fmt: skip
    by_line = rates.context(seen, "N")["groups"][0][0]
    assert by_line["rows"][0]["cells"][:4] == ["L1", "2", "1", "50.0 %"]


def test_the_lane_of_a_certificate_shows_breaks_and_the_work_of_its_holder() -> None:
    held = replace(example.WELDERS[0].certificates[0], code="ISO 9606-1:2012", method="9.3 b",
                   welded_on=date(2025, 6, 1), confirmations=())  # fmt: skip
    made = example.project(1)
    welder = replace(example.WELDERS[0], certificates=(held,))
    seen = view(replace(made, welders=(welder,)), example.AS_OF)
    told = timeline(seen, welder, held)
    drawn = lane(welder, told)
    assert drawn.bars == ((date(2025, 6, 1), date(2025, 12, 1)),)
    assert drawn.gaps == ((date(2025, 12, 2), example.AS_OF),)
    first, second = date(2026, 3, 1), date(2026, 3, 3)  # the joint, and a repair
    assert drawn.work == (first, second)
    later = replace(welder, since=date(2026, 3, 2))
    earlier = replace(welder, until=date(2026, 3, 2))
    assert [lane(one, told).work for one in (later, earlier)] == [(second,), (first,)]


def test_a_comparison_tells_terms_and_revisions_without_a_test(
    seen: View, answers: Answers
) -> None:
    old = replace(example.WPS, valid_until=date(2026, 4, 30))
    new = replace(example.WPS, revision="2", valid_from=date(2026, 5, 1), pqrs=("PQR-9",))
    data = revision_comparison.context(seen, old, new, answers, "N")
    told = {f["label"]: f["value"] for f in data["summary"]}
    assert told["In force, revision 1"] == "2026-01-20 to 2026-04-30"
    assert told["In force, revision 2"] == "2026-05-01 to open"
    assert told["Tests of revision 2"] == "none on record"
    assert (told["Welded to revision 1"], told["Welded to revision 2"]) == ("6", "0")
