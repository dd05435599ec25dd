"""What is marked in the rows of the documents, with their days, figures and words."""

# ruff: noqa: DTZ001 - records hold the local times of the site, as written.

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta
from math import inf
from typing import Any

import pytest

from dossier.coverage.plan import plan
from dossier.coverage.view import View, view
from dossier.documents.amounts import permitted
from dossier.documents.answers import Answers, answers_of
from dossier.documents.claims import limits
from dossier.documents.clearance import Clearance, Cure
from dossier.documents.clearance_text import clearance_text
from dossier.documents.continuity_sheet import context as continuity_of
from dossier.documents.lapses import lapses
from dossier.documents.printed.work_ahead.papers import lapses_part
from dossier.documents.procedure import drawn_wall
from dossier.documents.tested import had
from dossier.records.examinations import Examination, Instrument
from dossier.records.papers import Concession, Nonconformity
from dossier.records.procedures import Span
from dossier.records.project import Project
from dossier.records.verdicts import Basis, Qualified, Range
from tests.documents import example, extreme
from tests.documents.rows import column, printed, table_of


def _changed(**registers: Any) -> Project:
    return replace(extreme.everything(), **registers)


def test_an_item_and_a_parent_that_are_not_on_record_are_marked() -> None:
    made = example.project(2)
    first = replace(made.joints[0], upstream_item="P-777")
    items = (*made.items[:2], replace(made.items[2], parent="P-9"))
    project = replace(made, joints=(first, made.joints[1]), items=items)
    run = table_of(project, "pipe-book", "run")
    assert column(run, "Item") == ["P-777", "P-002", "P-003"]
    assert column(run, "Item", "marks") == ["hold", "", ""]
    assert column(run, "Cut from") == ["-", "-", "P-9"]
    pups = table_of(project, "pipe-book", "pups")
    assert column(pups, "Heat") == ["not on record"]
    assert column(pups, "Heat", "marks") == ["hold"]


def test_joints_off_the_run_and_on_the_weld_map_tell_their_chainage() -> None:
    made = example.project(2)
    cut = replace(made.joints[1], status="cut out")
    off = table_of(replace(made, joints=(made.joints[0], cut)), "pipe-book", "branches")
    assert (column(off, "KP, km"), column(off, "Status")) == (["0.024"], ["cut out"])
    drawn = "".join(printed(made, "weld-map")["content"]["joints"]["drawings"])
    assert [kp for kp in ("KP 0.012", "KP 0.024") if kp in drawn] == ["KP 0.012", "KP 0.024"]


def test_a_break_in_the_run_is_counted() -> None:
    made = example.project(3)
    joints = (made.joints[0], replace(made.joints[1], upstream_item="P-777"), made.joints[2])
    book = printed(replace(made, joints=joints), "pipe-book")
    assert {f["label"]: f["value"] for f in book["facts"]} == {
        "Items in the run": "5", "Length of these": "48.8 m", "Items without a length": "1",
        "Breaks in the run": "1",
    }  # fmt: skip


def test_exceptions_without_a_day_are_marked() -> None:
    signed, closed = date(2026, 3, 9), date(2026, 4, 2)
    part = table_of(
        _changed(
            concessions=(Concession(number="C-1", title="", signed_on=signed),
                         Concession(number="C-2", title="")),
            nonconformities=(Nonconformity(number="N-1", title="", closed_on=closed),
                             Nonconformity(number="N-2", title="")),
        ),
        "conformity-draft", "exceptions",
    )  # fmt: skip
    assert column(part, "Date") == ["2026-03-09", "not signed", "2026-04-02", "open"]
    assert column(part, "Date", "marks") == ["", "hold", "", "hold"]


def test_scope_and_open_findings_of_the_draft_are_counted() -> None:
    made = extreme.everything()
    cut = replace(made.joints[0], number="ML-9", status="cut out")
    scope = table_of(replace(made, joints=(*made.joints, cut)), "conformity-draft", "scope")
    assert (column(scope, "Joints"), column(scope, "Cut out")) == (["4"], ["1"])
    found = table_of(made, "conformity-draft", "open")
    assert [r["cells"] for r in found["rows"]] == [
        ["hold", "pass-interval", "1"], ["nonconformity", "welder-range", "1"],
    ]  # fmt: skip
    assert column(found, "Verdict", "marks") == ["hold", "nonconformity"]


def _tested(**changes: Any) -> Project:
    made = extreme.everything()
    return replace(made, pressure_tests=(replace(made.pressure_tests[0], **changes),))


def test_what_a_record_of_a_pressure_test_lacks_is_marked() -> None:
    part = table_of(_tested(leaks=1), "pressure-test-sheets", "record")
    held = ["on record"] * 4 + ["missing", "on record", "missing"]
    assert column(part, "Held") == held
    assert column(part, "Held", "marks") == ["hold" if h == "missing" else "" for h in held]


@pytest.mark.parametrize(("minute", "mark"), [(0, ""), (-1, "hold")])
def test_joints_that_were_not_cleared_before_the_pressure_test_are_marked(
    minute: int, mark: str
) -> None:
    started = datetime(2026, 3, 2, 12) + timedelta(minutes=minute)
    part = table_of(_tested(started_at=started), "pressure-test-sheets", "joints")
    assert [r["cells"] for r in part["rows"]] == [
        ["ML-001", "0.012", "2026-03-01", "2026-03-02 12:00"],
        ["ML-002", "0.024", "2026-03-01", "2026-03-02 12:00"],
        ["ML-003", "0.037", "2026-03-01", "not yet"],  # repaired, and not looked at since
    ]  # fmt: skip
    assert column(part, "Last examination accepted", "marks") == [mark, mark, "hold"]


def test_a_pressure_test_says_what_it_was_to_hold_only_where_that_is_known() -> None:
    told = {}
    for asked in (120.0, None):
        project = _tested(required_bar=asked, required_h=asked, leaks=2)
        sheet = printed(project, "pressure-test-sheets")
        told[asked] = {f["label"]: f["value"] for f in sheet["facts"]}
    assert told[120.0]["KP, from and to"] == "0.000, 0.040"
    assert told[120.0]["Lowest pressure held"] == "121 bar, asked for 120 bar"
    assert told[120.0]["Time held"] == "24 h, asked for 120 h"
    assert told[120.0]["Leaks"] == "2"
    assert told[None]["Lowest pressure held"] == "121 bar"
    assert told[None]["Time held"] == "24 h"


@pytest.mark.parametrize(
    ("due", "mark"), [(date(2026, 3, 31), "hold"), (date(2026, 4, 1), ""), (None, "")]
)
def test_a_gauge_is_marked_whose_calibration_had_run_out(due: date | None, mark: str) -> None:
    gauges = (
        Instrument(number="DW-01", kind="old", calibrated_on=date(2025, 1, 5)),
        Instrument(number="DW-01", kind="then", calibrated_on=date(2026, 4, 1), due_on=due),
        Instrument(number="DW-01", kind="later", calibrated_on=date(2026, 4, 2)),
    )
    part = table_of(_changed(instruments=gauges), "pressure-test-sheets", "gauges")
    assert column(part, "Kind") == ["then", "no calibration before the test"]
    assert column(part, "Kind", "marks") == ["", "hold"]
    assert column(part, "Due", "marks") == [mark, ""]


def _radiograph(report: str, day: int, result: str, method: str = "RT") -> Examination:
    return Examination(report=report, joint="ML-001", method=method, result=result,
                       examined_at=datetime(2026, 3, day))  # fmt: skip


@pytest.mark.parametrize(
    ("later", "status", "ends", "counted"),
    [
        ((), "welded", ["open"], ["1", "0", "0", "1"]),
        ((_radiograph("A", 3, "accepted"),), "welded", ["accepted by A"], ["1", "0", "0", "0"]),
        ((_radiograph("A", 2, "accepted"),), "welded", ["open"], ["1", "0", "0", "1"]),
        ((_radiograph("A", 3, "accepted", "UT"),), "welded", ["open"], ["1", "0", "0", "1"]),
        ((), "cut out", ["cut out"], ["1", "0", "1", "0"]),
        (
            (_radiograph("U", 3, "rejected", "UT"), _radiograph("V", 4, "accepted", "UT")),
            "welded", ["open", "accepted by V"], ["1", "0", "0", "1"],
        ),
    ],
)  # fmt: skip
def test_a_rejection_is_open_until_the_same_method_accepts_or_the_weld_is_cut_out(
    later: tuple[Examination, ...], status: str, ends: list[str], counted: list[str]
) -> None:
    made = example.project(1)
    joint = replace(made.joints[0], status=status)
    reports = (_radiograph("R", 2, "rejected"), *later)
    project = replace(made, joints=(joint,), examinations=reports)
    part = table_of(project, "examination-summary", "rejects")
    assert column(part, "Disposition") == ends
    assert column(part, "Disposition", "marks") == ["hold" if e == "open" else "" for e in ends]
    assert column(part, "KP, km") == ["0.012"] * len(ends)
    (row,) = table_of(project, "examination-summary", "welds")["rows"]
    assert row["cells"] == ["KP 0 to 1", "1", "1", *counted]
    assert row["marks"][6] == ("hold" if "open" in ends else "")


def test_a_repair_counts_for_the_rejection_that_asked_for_it() -> None:
    made = example.project(3)
    other = replace(made.repairs[0], examination="RT-ML-001")
    project = replace(made, repairs=(other,))
    part = table_of(project, "examination-summary", "rejects")
    assert column(part, "Disposition") == ["accepted by RT-ML-003R1"]


def test_welds_are_counted_by_kilometre() -> None:
    made = example.project(3)
    places = zip(made.joints, (999.9, 1000.0, None), strict=True)
    joints = tuple(replace(joint, kp_m=kp) for joint, kp in places)
    part = table_of(replace(made, joints=joints), "examination-summary", "welds")
    assert column(part, "Location") == [
        "KP 0 to 1", "KP 1 to 2", "drawing AL-01, no chainage", "all",
    ]  # fmt: skip
    assert column(part, "Welds made") == ["1", "1", "1", "3"]


@pytest.mark.parametrize(
    ("left", "mark"), [(-1, None), (0, "bad"), (14, "bad"), (15, "soon"), (60, "soon"), (61, None)]
)
def test_a_lapse_is_listed_sixty_days_ahead_and_pressing_from_a_fortnight(
    seen: View, answers: Answers, left: int, mark: str | None
) -> None:
    ends = example.AS_OF + timedelta(days=left)
    told = lapses(seen, replace(answers, valid_until=lambda _: ends))
    if mark is None:
        assert told["rows"] == []
    else:
        assert column(told, "Last day") == [ends.isoformat()] * 2
        assert column(told, "Last day", "marks") == [mark] * 2
        assert column(told, "Days left") == [str(left)] * 2
    assert told["title"] == "Lapses ahead, next 60 days"
    assert told["note"].endswith("whose last day is not after 2026-08-29.")


def test_a_certificate_that_was_ended_is_no_lapse_ahead(seen: View, answers: Answers) -> None:
    first, *others = seen.project.welders
    ended = replace(first.certificates[0], ended_on=date(2026, 6, 1))
    welders = (replace(first, certificates=(ended,)), *others)
    soon = replace(answers, valid_until=lambda _: example.AS_OF)
    told = lapses(view(replace(seen.project, welders=welders), example.AS_OF), soon)
    assert column(told, "Stamp") == ["W02"]


ISO = replace(
    example.WELDERS[0].certificates[0], code="ISO 9606-1:2012", welded_on=date(2026, 1, 20),
    method="9.3 b", confirmations=(), positions=("PH",),
    deposits=(replace(example.WELDERS[0].certificates[0].deposits[0], covering="basic",
                      filler_group="FM1"),),
)  # fmt: skip


def _with_iso(welded_on: date) -> View:
    held = replace(ISO, welded_on=welded_on)
    welder = replace(example.WELDERS[0], certificates=(held,))
    return view(replace(example.project(4), welders=(welder,)), example.AS_OF)


def test_a_break_is_told_with_its_days_and_joints() -> None:
    seen = _with_iso(date(2025, 6, 1))
    data = continuity_of(seen, answers_of(seen.project), "N")
    (broken,) = data["breaks"]["rows"]
    days = (example.AS_OF - date(2025, 12, 2)).days + 1
    assert broken["cells"][3:] == ["2025-12-02", "2026-06-30", str(days), "ML-001 to ML-004"]
    assert broken["marks"][6] == "hold"


@pytest.mark.parametrize(
    ("numbers", "told"),
    [
        (("ML-001",), "ML-001"),
        (("ML-001", "ML-002"), "ML-001, ML-002"),
        (("ML-001", "ML-002", "ML-004"), "ML-001, ML-002, ML-004"),
        (("ML-001", "ML-002", "ML-003"), "ML-001 to ML-003"),
    ],
)
def test_joints_of_a_break_are_drawn_together_from_three_on(
    numbers: tuple[str, ...], told: str
) -> None:
    seen = _with_iso(date(2025, 6, 1))
    passes = tuple(p for p in seen.project.passes if p.joint in numbers)
    some = view(replace(seen.project, passes=passes, repairs=()), example.AS_OF)
    data = continuity_of(some, answers_of(some.project), "N")
    assert column(data["breaks"], "Joints with the process meanwhile") == [told]


def test_a_break_without_work_is_not_marked() -> None:
    seen = _with_iso(date(2025, 6, 1))
    idle = view(replace(seen.project, passes=(), repairs=()), example.AS_OF)
    data = continuity_of(idle, answers_of(idle.project), "N")
    assert column(data["breaks"], "Joints with the process meanwhile") == ["none"]
    assert column(data["breaks"], "Joints with the process meanwhile", "marks") == [""]


def test_a_planned_lapse_tells_what_helps_and_how_long() -> None:
    made = plan(_with_iso(date(2026, 1, 20)), days=60)
    (lapse,) = made.ahead.lapses
    spent = replace(lapse, helps="", until_then=None)
    part = lapses_part(replace(made, ahead=replace(made.ahead, lapses=(lapse, spent))))["rows"]
    assert column(part, "Last day") == ["2026-07-20"] * 2
    assert column(part, "What helps") == ["signed confirmation", "a new certificate"]
    assert column(part, "Then in force to") == ["2027-01-20", "-"]


@pytest.mark.parametrize(("count", "listed"), [(12, 12), (13, 12), (14, 12)])
def test_of_many_joints_the_first_are_listed_and_the_others_counted(
    count: int, listed: int
) -> None:
    joints = tuple(f"J{n}" for n in range(1, count + 1))
    cure = Cure("batch B", "no certificate", "Ask for it.", "hold", joints, joints, "here")
    text = clearance_text(Clearance("coating", "2026-06-30", (), (), (), (cure,), ()))
    told = " ".join(text.split())
    more = f" and {count - listed} more" if count > listed else ""
    assert f"joints: {', '.join(joints[:listed])}{more} proof:" in told


@pytest.mark.parametrize(
    ("low", "high", "deposits", "drawn"),
    [
        (10.0, 20.0, (), 15.0),
        (10.0, None, (), 12.5),
        (10.0, inf, (), 12.5),
        (None, None, (), None),
        (10.0, 20.0, (3.0, 9.0), 12.0),
        (10.0, inf, (3.0, 9.0), 12.0),
        (10.0, 20.0, (3.0, 5.0), 15.0),
        (10.0, 20.0, (9.0, 12.0), 15.0),
        (10.0, 20.0, (12.0, None), 15.0),
    ],
)
def test_a_joint_is_drawn_with_its_deposits_or_at_mid_range(
    low: float | None, high: float | None, deposits: tuple[float | None, ...], drawn: float | None
) -> None:
    passes = tuple(replace(example.WPS.passes[0], deposit_mm=d) for d in deposits)
    wps = replace(example.WPS, wall_mm=Span(low=low, high=high), passes=passes)
    assert drawn_wall(wps) == drawn


SOURCE = Basis("X", "1", "1")


@pytest.mark.parametrize(
    ("low", "high", "ends"),
    [
        (3.0, 12.0, (3.0, 12.0)),
        (0, 12.0, (None, 12.0)),
        (-inf, 12.0, (None, 12.0)),
        (3.0, inf, (3.0, None)),
    ],
)
def test_a_range_is_drawn_open_where_the_code_sets_no_end(
    low: float, high: float, ends: tuple[float | None, float | None]
) -> None:
    qualified: Qualified = {
        "wall": Range(low, high, SOURCE),
        "wall, 141": Range(1.0 if ends[0] else -inf, inf, SOURCE),
        "outside diameter": Range(60.3, 323.9, SOURCE),
        "material thickness": Range.none(SOURCE, "no test"),
    }
    assert limits(qualified, ("wall", "material thickness")) == ends
    assert limits(qualified, ("preheat",)) is None


@pytest.mark.parametrize(
    ("low", "high", "opens", "told"),
    [
        (0, 12.0, "", "up to 12 mm"),
        (3.0, 12.0, "low", "more than 3 mm to 12 mm"),
        (3.0, 12.0, "high", "3 mm to less than 12 mm"),
        (1.0, 12.0, "high", "1 mm to less than 12 mm"),
        (0, 12.0, "high", "less than 12 mm"),
        (0, 12.0, "low high", "more than 0 mm to less than 12 mm"),
        (3.0, inf, "low", "more than 3 mm"),
        (0, inf, "", "any"),
    ],
)
def test_a_range_is_told_with_its_open_ends(low: float, high: float, opens: str, told: str) -> None:
    allowed = Range(low, high, SOURCE, low_open="low" in opens, high_open="high" in opens)
    assert permitted(allowed) == told


@pytest.mark.parametrize(
    ("deposits", "told"),
    [((3.0, 2.5, 4.7, 2.5), "12.7 mm"), ((3.0, None, 4.7, 2.5), "-"), ((), "-")],
)
def test_the_deposit_of_a_test_is_told_only_where_every_pass_tells_it(
    deposits: tuple[float | None, ...], told: str
) -> None:
    measured = zip(example.PQR.passes, deposits, strict=False)
    passes = tuple(replace(one, deposit_mm=deposit) for one, deposit in measured)
    assert had(replace(example.PQR, passes=passes), "deposited thickness") == told
