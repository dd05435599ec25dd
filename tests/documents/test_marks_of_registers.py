"""What is marked in the registers and ledgers, with their days, figures and words."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from dossier.coverage.view import view
from dossier.documents.findings import by_joint
from dossier.documents.printed import PRINTED
from dossier.documents.printed.face import Asked
from dossier.documents.registers import REGISTERS
from dossier.documents.sheet import Table
from dossier.records.base import Paper
from dossier.records.papers import Concession, Nonconformity
from dossier.records.project import Progressive, Project
from dossier.records.verdicts import CUT_OUT, HOLD, NONCONFORMITY, Finding
from tests.documents import example, extreme
from tests.documents.rows import column, printed, table_of


def _changed(**registers: Any) -> Project:
    return replace(extreme.everything(), **registers)


def _rejected(**changes: Any) -> Project:
    made = example.project(3)
    return replace(made, repairs=(replace(made.repairs[0], **changes),))


def _cut(made: Project) -> Project:
    joints = (*made.joints[:2], replace(made.joints[2], status="cut out"))
    return replace(made, joints=joints, repairs=())


@pytest.mark.parametrize(
    ("project", "told", "mark"),
    [
        (_rejected(), ["R1", "2026-03-03 09:00", "W01", "RT-ML-003R1", "accepted"], ""),
        (_rejected(examined_by=""), ["R1", "2026-03-03 09:00", "W01", "-", "open"], "hold"),
        (_rejected(examined_by="RT-ML-003"),
         ["R1", "2026-03-03 09:00", "W01", "RT-ML-003", "rejected"], "hold"),
        (_rejected(examination="RT-ML-001"), ["none", "-", "-", "-", "open"], "hold"),
        (_cut(example.project(3)), ["cut out", "-", "-", "-", "closed"], ""),
    ],
)  # fmt: skip
def test_a_rejection_is_marked_in_the_ledger_until_something_closes_it(
    project: Project, told: list[str], mark: str
) -> None:
    (line,) = table_of(project, "repair-ledger", "rejections")["rows"]
    assert line["cells"][5:] == told
    assert line["marks"][9] == mark


@pytest.mark.parametrize(("most", "marks"), [(1, ["", "hold"]), (2, ["", ""]), (None, ["", ""])])
def test_repairs_beyond_the_number_for_one_place_are_marked(
    most: int | None, marks: list[str]
) -> None:
    made = example.project(3)
    limits = replace(made.settings.requirements, repairs_per_place_max=most)
    again = replace(made.repairs[0], number="R2", order=2, excavated=False, wps="")
    settings = replace(made.settings, requirements=limits)
    project = replace(made, repairs=(*made.repairs, again), settings=settings)
    part = table_of(project, "repair-ledger", "places")
    assert column(part, "Which time") == ["1", "2"]
    assert column(part, "Which time", "marks") == marks
    assert column(part, "Found and removed") == ["yes", "no"]
    assert column(part, "WPS") == ["WPS-R1 rev. 0", "-"]
    assert part["note"].endswith("allows: 2." if most == 2 else "1." if most else "one place.")


@pytest.mark.parametrize(("caused", "told"), [("W01", "W01"), ("", "not told")])
def test_further_welds_that_a_rejection_asks_for_are_marked(caused: str, told: str) -> None:
    made = example.project(3)
    limits = replace(made.settings.requirements, progressive=Progressive(methods=("RT",)))
    reports = tuple(
        replace(e, rejected_welder=caused) if e.result == "rejected" else e
        for e in made.examinations
    )
    settings = replace(made.settings, requirements=limits)
    project = replace(made, settings=settings, examinations=reports)
    (line,) = table_of(project, "repair-ledger", "lots")["rows"]
    assert (line["cells"][0], line["cells"][3]) == (told, "ML-003 (RT-ML-003, rejected)")
    if caused:
        assert line["cells"][7] == "2"
        assert (line["marks"][0], line["marks"][6]) == ("", "hold")
    else:
        assert line["marks"][0] == "hold"


@pytest.mark.parametrize(("ends", "mark"), [(2, "hold"), (3, "")])
def test_a_batch_used_after_its_last_day_is_marked(ends: int, mark: str) -> None:
    made = example.project(3)  # the repair of 3 March took B-11
    batches = (made.batches[0], replace(made.batches[1], expires_on=date(2026, 3, ends)),
               replace(made.batches[0], number="B-12"))  # fmt: skip
    data = printed(replace(made, batches=batches, coatings=()), "batch-use")
    rows = data["content"]["batches"]["rows"]
    assert column(rows, "Last use") == ["2026-03-01", "2026-03-03", "-"]
    assert column(rows, "Last use", "marks") == ["", mark, ""]
    assert column(rows, "Batch", "marks") == [""] * 3
    assert [f["value"] for f in data["facts"]] == ["3", "1"]


def test_a_heat_of_the_log_alone_and_one_without_a_paper_are_marked() -> None:
    made = example.project(3)
    first = replace(made.joints[0], upstream_heat="H900")
    items = (*made.items[:2], replace(made.items[2], heat="H200", certificate=""),
             replace(made.items[3], heat=""))  # fmt: skip
    project = replace(made, joints=(first, *made.joints[1:]), items=items)
    part = table_of(project, "heat-map", "heats")
    assert column(part, "Heat") == ["no heat recorded", "H100", "H200", "H900"]
    assert column(part, "Items") == ["1", "2", "1", "0"]
    assert column(part, "Length") == ["12.2 m", "24.4 m", "12.2 m", "-"]
    # The log gives H100 to the items that the register gives H200 and none.
    assert column(part, "Heat", "marks") == ["hold", "hold", "", "hold"]
    assert column(part, "Certificate", "marks") == ["", "", "hold", ""]


RESULTS = ("accepted", "rejected", "")


@pytest.mark.parametrize(
    ("name", "key", "register"),
    [
        ("heat-treatment-register", "charts", "heat_treatments"),
        ("hardness-register", "tests", "hardness_tests"),
        ("coating-register", "coatings", "coatings"),
    ],
)
def test_results_are_marked_and_a_missing_one_is_open(name: str, key: str, register: str) -> None:
    one = getattr(extreme.everything(), register)[0]
    rows = tuple(replace(one, result=result) for result in RESULTS)
    part = table_of(_changed(**{register: rows}), name, key)
    assert column(part, "Result") == ["accepted", "rejected", "open"]
    assert column(part, "Result", "marks") == ["good", "nonconformity", "hold"]


def test_rates_of_heating_and_cooling_stand_in_their_own_columns() -> None:
    part = table_of(extreme.everything(), "heat-treatment-register", "charts")
    assert column(part, "Heating, per hour") == ["120 K"]
    assert column(part, "Cooling, per hour") == ["110 K"]


@pytest.mark.parametrize(
    ("limit", "told", "mark"), [(252.0, "252", ""), (251.5, "251.5", "nonconformity"),
                                (None, "-", "")]
)  # fmt: skip
def test_hardness_is_marked_only_above_its_limit(limit: float | None, told: str, mark: str) -> None:
    one = replace(extreme.everything().hardness_tests[0], limit=limit)
    part = table_of(_changed(hardness_tests=(one,)), "hardness-register", "tests")
    assert (column(part, "Highest"), column(part, "Limit")) == (["252"], [told])
    assert column(part, "Highest", "marks") == [mark]


@pytest.mark.parametrize(
    ("found", "repaired", "mark"),
    [(0, None, ""), (None, None, ""), (2, 2, ""), (2, 1, "hold"), (1, None, "hold")],
)
def test_holidays_that_were_not_repaired_are_marked(
    found: int | None, repaired: int | None, mark: str
) -> None:
    one = replace(
        extreme.everything().coatings[0], holidays_found=found, holidays_repaired=repaired
    )
    part = table_of(_changed(coatings=(one,)), "coating-register", "holidays")
    told = ["-" if count is None else str(count) for count in (found, repaired)]
    assert [column(part, "Found")[0], column(part, "Repaired")[0]] == told
    assert column(part, "Repaired", "marks") == [mark]


def test_a_coating_without_a_holiday_test_is_not_among_the_tests() -> None:
    one = extreme.everything().coatings[0]
    rows = (replace(one, holiday_tested_at=None, holiday_kv=None),
            replace(one, holiday_tested_at=None), replace(one, holiday_kv=None))  # fmt: skip
    part = table_of(_changed(coatings=rows), "coating-register", "holidays")
    assert column(part, "Voltage") == ["12 kV", "-"]
    assert column(part, "Tested") == ["-", "2026-03-06 15:00"]


def test_what_a_nonconformity_does_not_say_is_marked() -> None:
    found = example.findings()[0]
    report = Nonconformity(number="N", title="", description="gap", closed_on=date(2026, 4, 2),
                           findings=(found.id, "gone"),
                           document=Paper(document="D-9", page=2))  # fmt: skip
    project = _changed(nonconformities=(report,))
    data = printed(project, "nonconformity-sheets")
    told = data["content"]["particulars"]["rows"]
    assert column(told, "Text") == ["gap", "-", "-", "-"]
    assert column(told, "Text", "marks") == ["", "hold", "hold", "hold"]
    assert data["head"]["status"] == "closed"
    facts = {f["label"]: f["value"] for f in data["facts"]}
    assert (facts["Closed"], facts["Paper"]) == ("2026-04-02", "D-9, page 2")
    rows = data["content"]["findings"]["rows"]
    assert column(rows, "Id") == [found.id, "gone"]
    assert column(rows, "Verdict", "marks") == ["nonconformity", ""]
    assert column(rows, "Finding", "marks") == ["", "hold"]


@pytest.mark.parametrize(("signed", "status"), [(date(2026, 3, 9), "signed"), (None, "not signed")])
def test_a_concession_names_the_findings_that_it_answers(signed: date | None, status: str) -> None:
    first, second, _ = example.findings()
    given = Concession(number="C-1", title="", signed_on=signed)
    of = Asked(view(_changed(concessions=(given,)), example.AS_OF),
               (replace(first, conceded_by="C-1"), second))  # fmt: skip
    (data,) = PRINTED["concession-sheets"].make(of)
    assert data["head"]["status"] == status
    assert column(data["content"]["findings"]["rows"], "Finding") == [first.sentence]


def _register(project: Project, name: str) -> Table:
    seen = view(project, example.AS_OF)
    return REGISTERS[name][1](seen, by_joint(example.findings()), "N")["rows"]


def test_results_of_examinations_and_what_they_lack_are_marked() -> None:
    made = example.project(1)
    one = replace(made.examinations[1], density=None, extent_percent=None)
    reports = tuple(replace(one, result=result) for result in RESULTS)
    part = _register(replace(made, examinations=reports), "examination-register")
    assert column(part, "Result") == ["accepted", "rejected", "not yet read"]
    assert column(part, "Result", "marks") == ["", "nonconformity", "hold"]
    assert column(part, "Extent") == column(part, "Density") == ["-"] * 3
    full = _register(made, "examination-register")
    assert (column(full, "Extent")[1], column(full, "Density")[1]) == ("100 %", "2.4")
    assert (column(full, "Examined")[1], column(full, "Reported")[1]) == (
        "2026-03-02 12:00", "2026-03-01",
    )  # fmt: skip


def test_the_verdict_on_a_report_is_that_of_the_findings_about_it() -> None:
    found = [
        Finding("x", HOLD, (("joint", "ML-001"), ("report", "RT-ML-001")), "a"),
        Finding("x", NONCONFORMITY, (("joint", "ML-001"),), "b"),
        Finding("x", CUT_OUT, (("joint", "ML-001"), ("report", "other")), "c"),
    ]
    seen = view(example.project(1), example.AS_OF)
    part = REGISTERS["examination-register"][1](seen, by_joint(found), "N")["rows"]
    assert column(part, "Report")[:2] == ["VT-ML-001", "RT-ML-001"]
    assert column(part, "Verdict")[:2] == ["clear", "hold"]
    assert column(part, "Verdict", "marks")[:2] == ["", "hold"]


def test_items_and_batches_without_a_certificate_are_marked() -> None:
    made = example.project(1)
    items = (made.items[0], replace(made.items[1], certificate="MC-9"))
    part = _register(replace(made, items=items), "material-register")
    assert column(part, "Type") == ["3.1", "-"]
    assert column(part, "Certificate", "marks") == ["", "hold"]
    batches = (made.batches[0], replace(made.batches[1], certificate=""))
    part = _register(replace(made, batches=batches), "consumable-register")
    assert column(part, "Certificate", "marks") == ["", "hold"]


@pytest.mark.parametrize(
    ("day", "examiner", "instrument"), [(29, "bad", "soon"), (30, "", ""), (None, "", "")]
)
def test_what_has_run_out_on_the_day_of_the_register_is_marked(
    day: int | None, examiner: str, instrument: str
) -> None:
    made = extreme.everything(1)
    last = None if day is None else date(2026, 6, day)
    person = made.examiners[0]
    held = replace(person.certificates[0], expires_on=last)
    project = replace(
        made,
        examiners=(replace(person, certificates=(held,)), replace(person, certificates=())),
        instruments=(replace(made.instruments[0], due_on=last),),
    )
    part = _register(project, "examiner-register")
    assert column(part, "Ends", "marks") == [examiner, ""]
    assert column(part, "Certificate") == ["X-1", "none on record"]
    assert column(part, "Certificate", "marks") == ["", "hold"]
    assert column(_register(project, "instrument-register"), "Due", "marks") == [instrument]


def test_repairs_and_concessions_of_the_registers() -> None:
    made = extreme.everything()
    unsigned = replace(made.concessions[0], signed_on=None)
    repairs = (made.repairs[0], replace(made.repairs[0], excavated=False, wps=""))
    project = replace(made, concessions=(*made.concessions, unsigned), repairs=repairs)
    part = _register(project, "concession-register")
    assert column(part, "Signed") == ["2026-03-09", "-"]
    assert column(part, "Signed", "marks") == ["", "hold"]
    part = _register(project, "repair-register")
    assert column(part, "Removed") == ["yes", "no"]
    assert column(part, "WPS") == ["WPS-R1 rev. 0", "-"]


def test_the_joint_register_tells_how_far_a_joint_has_come() -> None:
    made = extreme.everything()
    part = _register(replace(made, joints=(*made.joints[2:4],)), "joint-register")
    assert column(part, "Kind") == ["mainline", "mainline, planned"]
    assert column(part, "KP, km") == ["0.037", "0.900"]
    assert column(part, "Examined") == ["VT, RT", "-"]
    assert column(part, "Repairs") == ["1", "-"]
    assert column(part, "Welded") == ["2026-03-01", "-"]
    part = _register(made, "joint-register")
    assert column(part, "Coated")[:3] == ["2026-03-06", "2026-03-06", "-"]
    assert column(part, "Lowered")[:3] == ["2026-03-09", "-", "-"]
    assert column(part, "Verdict", "marks")[:3] == ["", "hold", ""]


def test_a_strip_shows_the_joints_of_its_own_line() -> None:
    made = example.project(2)
    other = replace(made.lines[0], id="L2", title="Spur")
    project = replace(made, lines=(*made.lines, other))
    seen = view(project, example.AS_OF)
    (strip,) = REGISTERS["joint-register"][1](seen, {}, "N")["strips"]
    assert "L1, Mainline" in strip
    away = tuple(replace(joint, kp_m=None) for joint in made.joints)
    bare = view(replace(project, joints=away), example.AS_OF)
    assert REGISTERS["joint-register"][1](bare, {}, "N")["strips"] == []


def test_a_batch_of_a_coating_is_used_at_its_joints() -> None:
    made = example.project(3)
    coatings = tuple(replace(one, batch="S-1") for one in made.coatings)
    part = table_of(replace(made, coatings=coatings), "batch-use", "batches")
    assert column(part, "Batch", "marks") == ["", "", "hold"]  # no such batch on record
    assert part["rows"][2]["cells"][4:] == [
        "2", "0", "0", "2026-03-06", "2026-03-06", "-", "ML-001, ML-002",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("kp", "cover", "told"),
    [
        (12.2, 1.1, "24.4 m, KP 0.012 to 0.012, least cover 1.1 m"),
        (None, None, "24.4 m, no chainage, cover not told"),
    ],
)
def test_each_size_of_pipe_is_told_with_its_stretch_and_cover(
    kp: float | None, cover: float | None, told: str
) -> None:
    made = extreme.everything()
    joint = replace(made.joints[0], kp_m=kp)
    lowerings = (replace(made.lowerings[0], cover_m=cover),)
    project = replace(made, joints=(joint,), lowerings=lowerings)
    part = table_of(project, "examination-summary", "construction")
    assert part["rows"][1]["cells"][1] == f"323.9 mm x 12.7 mm: {told}"
    assert [line["marks"][1] for line in part["rows"]] == ["", "", *["hold"] * 4]
