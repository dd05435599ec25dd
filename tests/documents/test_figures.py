"""Figures: every rate beside its counts, counts that agree with the records, honest intervals."""

from __future__ import annotations

import io
import re
from datetime import date, datetime, timedelta
from pathlib import Path

import pytest
from openpyxl import load_workbook

from dossier.coverage.view import View, view
from dossier.documents.figures import context, figure_files
from dossier.documents.figures.first_reports import first_reports
from dossier.documents.figures.shares import Part, Share
from dossier.documents.sheet import Table
from dossier.records.examinations import Examination, Indication
from dossier.records.joints import Joint, JointName, Line, Pass, Repair
from dossier.records.materials import Item
from dossier.records.project import Numbering, Progressive, Project, Requirements, Settings

DAY = date(2026, 4, 6)  # a Monday
REJECTED = {3: "IP", 4: "EU", 15: "P"}  # joint -> kind of its indication
COUNT = 20


def _joint(n: int) -> Joint:
    name = f"J-{n:02d}"
    return Joint(
        number=name, name=JointName(written=name, base=name), line="L1" if n <= 10 else "L2",
        upstream_item="P-1", downstream_item="P-1", wps="W-1", fit_up_by="crew 1",
        welded_on=DAY + timedelta(days=n),
    )  # fmt: skip


def _report(n: int) -> Examination:
    at = datetime(2026, 4, 6, 8) + timedelta(days=n + 1)  # noqa: DTZ001 - local time of a site
    kind = REJECTED.get(n)
    found = (Indication(kind=kind, start_mm=600.0, length_mm=40.0),) if kind else ()
    return Examination(
        report=f"RT-{n:02d}", joint=f"J-{n:02d}", method="RT", examined_at=at,
        reported_on=at.date(), extent_percent=100.0, films=("a", "b", "c", "d"),
        result="rejected" if kind else "accepted", indications=found,
        rejected_welder="W1" if n == 3 else "",
    )  # fmt: skip


PROJECT = Project(
    settings=Settings(
        number="P", title="T", client="C", contractor="K", as_of=date(2026, 6, 30),
        numbering=Numbering(pattern=""),
        requirements=Requirements(progressive=Progressive()),
    ),
    lines=tuple(
        Line(id=i, title=i, procedure_code="", welder_code="", acceptance_code="")
        for i in ("L1", "L2")
    ),
    items=(Item(number="P-1", od_mm=1000 / 3.141592653589793, wall_mm=10.0),),
    joints=tuple(_joint(n) for n in range(1, COUNT + 1)),
    passes=tuple(
        Pass(joint=f"J-{n:02d}", number=k, kind="root", process="111", welder=w)
        for n in range(1, COUNT + 1) for k, w in ((1, "W1"), (2, "W2"))
    ),
    examinations=tuple(_report(n) for n in range(1, COUNT + 1)),
    repairs=(Repair(number="R-1", joint="J-03", examination="RT-03",
                    repaired_at=datetime(2026, 4, 12, 9)),),  # noqa: DTZ001 - local time of a site
)  # fmt: skip


@pytest.fixture(scope="module")
def seen() -> View:
    return view(PROJECT)


@pytest.fixture(scope="module")
def parts(seen: View) -> dict[str, Part]:
    return {part[0]["title"]: part for part in context(seen)["groups"]}


def cells(of: Table, column: str) -> dict[str, str]:
    place = [c["label"] for c in of["columns"]].index(column)
    return {row["cells"][0]: row["cells"][place] for row in of["rows"]}


def test_three_bases_of_one_work(parts: dict[str, Part]) -> None:
    basis = parts["Repair rate on each basis"][0]
    rejected, examined = cells(basis, "Rejected"), cells(basis, "Examined")
    assert (rejected["by joint"], examined["by joint"]) == ("3", "20")
    assert (rejected["by film"], examined["by film"]) == ("3", "80")
    assert (rejected["by length"], examined["by length"]) == ("0.12 m", "20.0 m")
    assert cells(basis, "Rate")["by length"] == "0.6 %"
    assert cells(basis, "Rate")["areas in 100 m"] == "15.00"
    assert cells(basis, "From")["by length"] == "-"  # a length has no binomial interval


def test_an_indication_over_two_films_rejects_both() -> None:
    long = Indication(kind="P", start_mm=240.0, length_mm=20.0)
    report = _report(3)
    project = Project(
        settings=PROJECT.settings, joints=PROJECT.joints[2:3], items=PROJECT.items,
        examinations=(Examination(report="R", joint="J-03", method="RT", films=report.films,
                                  result="rejected", indications=(long,)),),
    )  # fmt: skip
    (first,) = first_reports(view(project))
    assert first.rejected_films == 2
    assert first.rejected_mm == 20.0


def test_weeks_add_up_to_the_whole_and_run_on(parts: dict[str, Part]) -> None:
    weekly = parts["Repair rate by week"][0]
    assert list(cells(weekly, "Examined").values()) == ["5", "7", "7", "1"]
    assert list(cells(weekly, "Rejected").values()) == ["2", "0", "1", "0"]
    assert list(cells(weekly, "Sum examined").values()) == ["5", "12", "19", "20"]
    assert list(cells(weekly, "Sum rate").values())[-1] == "15.0 %"


def test_a_week_out_of_control_is_marked() -> None:
    at = datetime(2026, 4, 7, 8)  # noqa: DTZ001 - local time of a site
    bad = tuple(
        Examination(report=f"X-{n}", joint=f"J-{n:02d}", method="RT", result="rejected",
                    examined_at=at) for n in range(1, 5)
    )  # fmt: skip
    rest = tuple(e for e in PROJECT.examinations if e.joint > "J-06" and e.result == "accepted")
    project = Project(settings=PROJECT.settings, joints=PROJECT.joints, items=PROJECT.items,
                      lines=PROJECT.lines, examinations=(*bad, *rest))  # fmt: skip
    part = next(p for p in context(view(project))["groups"] if "week" in p[0]["title"])
    assert list(cells(part[0], "Outside").values()) == ["yes", "no", "no", "no"]
    assert "100.0 %" in part[1]["svg"]


def test_a_rejection_counts_for_the_welder_to_blame_else_for_all(parts: dict[str, Part]) -> None:
    welders = parts["By welder"][0]
    assert cells(welders, "Rejected at first") == {"W1": "3", "W2": "2"}
    assert cells(welders, "Joints examined") == {"W1": "20", "W2": "20"}


@pytest.mark.parametrize(
    ("title", "expected"),
    [
        ("By section", {"L1": "2", "L2": "1"}),
        ("By WPS", {"W-1": "3"}),
        ("By fit-up crew", {"crew 1": "3"}),
        ("By defect", {"EU": "1", "IP": "1", "P": "1"}),
        ("By pass", {"cap": "1", "not told by its kind": "1", "root": "1"}),
        ("By side of the pipe", {"left": "3"}),
    ],
)
def test_counts_by_group(title: str, expected: dict[str, str], parts: dict[str, Part]) -> None:
    assert cells(parts[title][0], "Rejected at first") == expected


def test_every_rate_stands_beside_its_counts_and_inside_its_interval() -> None:
    for count, total in ((0, 3), (1, 4), (3, 3), (7, 184)):
        share = Share("x", count, total)
        low, high = share.interval or (0.0, 0.0)
        assert low <= (share.percent or 0.0) <= high
    assert Share("x", 1, 4).cells()[:3] == ["1", "4", "25.0 %"]
    assert Share("nothing", 0, 0).cells() == ["0", "0", "", "", ""]


def test_first_time_acceptance_is_the_other_side_of_the_rate(parts: dict[str, Part]) -> None:
    first = parts["First-time acceptance"][0]
    assert cells(first, "Accepted at first") == {"RT": "17"}
    assert cells(first, "Rate") == {"RT": "85.0 %"}


def test_ages_tell_who_waits_and_how_long(parts: dict[str, Part]) -> None:
    ages = parts["Age by stage"][0]
    assert cells(ages, "Waiting")["rejected to repaired"] == "2"
    assert cells(ages, "Gone on")["rejected to repaired"] == "1"
    assert cells(ages, "Oldest days waiting")["rejected to repaired"] == "80"  # since 11 April
    assert cells(ages, "Waiting")["repaired to examined"] == "1"


def test_tracers_owed_stand_in_their_lot(parts: dict[str, Part]) -> None:
    tracers = parts["Tracer welds"][0]
    assert cells(tracers, "Owed") == {"W1": "2"}
    assert cells(tracers, "Examined") == {"W1": "0"}


def test_completeness_counts_by_section(parts: dict[str, Part]) -> None:
    rows = [row["cells"] for row in parts["Completeness by section"][0]["rows"]]
    assert ["L1", "material certificates", "0", "20", "0.0 %"] in rows
    assert all(int(row[2]) <= int(row[3]) for row in rows)


def test_the_cut_off_is_told(seen: View) -> None:
    assert "records to 2026-06-30" in context(seen)["basis"]


def test_a_project_without_examinations_has_figures_too() -> None:
    bare = Project(settings=PROJECT.settings, joints=PROJECT.joints, lines=PROJECT.lines)
    titles = [part[0]["title"] for part in context(view(bare))["groups"]]
    assert "Age by stage" in titles
    assert "Repair rate by week" not in titles


def test_files_hold_the_figures(seen: View, tmp_path: Path) -> None:
    written = {path.name: path for path in figure_files(seen, tmp_path)}
    book = load_workbook(io.BytesIO(written["figures.xlsx"].read_bytes()))
    sheet = book["By section"]
    assert [cell.value for cell in sheet[5]][:4] == ["L1", 2, 10, 20.0]
    assert sheet["D4"].value == "Rate, %"
    assert written["figures.pdf"].read_bytes().startswith(b"%PDF")
    svg = written["repair_rate_by_week.svg"].read_text(encoding="utf-8")
    assert re.match(r"<svg [^>]*viewBox", svg)
    again = {path.name: path.read_bytes() for path in figure_files(seen, tmp_path / "again")}
    assert again == {name: path.read_bytes() for name, path in written.items()}
