"""Whole projects: those under accepted/ are read, those under refused/ give their faults."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

import pytest

from dossier.errors import ProjectError
from dossier.intake import load_project, validate
from dossier.intake.schemas import REGISTERS

HERE = Path(__file__).parent
ACCEPTED = sorted(path for path in (HERE / "accepted").iterdir() if path.is_dir())
REFUSED = sorted(path for path in (HERE / "refused").iterdir() if path.is_dir())


@pytest.mark.parametrize("folder", REFUSED, ids=[path.name for path in REFUSED])
def test_refused_with_every_fault(folder: Path) -> None:
    with pytest.raises(ProjectError) as caught:
        load_project(folder)
    assert str(caught.value) + "\n" == (folder / "expected.txt").read_text(encoding="utf-8")


@pytest.mark.parametrize("folder", REFUSED, ids=[path.name for path in REFUSED])
def test_refused_alike_without_the_fast_gate(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(validate, "_GATES", {})
    monkeypatch.setattr(validate, "fast_gate", lambda _whole: None)
    with pytest.raises(ProjectError) as caught:
        load_project(folder)
    assert str(caught.value) + "\n" == (folder / "expected.txt").read_text(encoding="utf-8")


def test_there_are_enough_bad_projects() -> None:
    assert len(REFUSED) >= 18
    ten = (HERE / "refused" / "ten_kinds_at_once" / "expected.txt").read_text(encoding="utf-8")
    assert len(ten.splitlines()) >= 10
    assert len({line.split(",")[0].split(":")[0] for line in ten.splitlines()}) >= 7


@pytest.mark.parametrize("folder", ACCEPTED, ids=[path.name for path in ACCEPTED])
def test_accepted(folder: Path) -> None:
    project = load_project(folder)
    for name in REGISTERS:
        for record in getattr(project, name):
            assert record.origin.file, name
            assert record.origin.line > 0


def test_every_register_is_filled() -> None:
    project = load_project(HERE / "accepted" / "every_register")
    assert [name for name in REGISTERS if not getattr(project, name)] == []
    joint = project.joints[0]
    assert (joint.name.base, joint.name.sequence, joint.kp_m) == ("ML-117", 117, 12450.0)
    assert joint.finished_at == datetime(2026, 5, 3, 14, 5)  # noqa: DTZ001 - local to the project
    assert project.passes[0].process == "111"
    assert project.settings.requirements.examined[0].methods == ("VT", "RT/UT")


def test_wide_log_in_the_contractors_own_headings() -> None:
    project = load_project(HERE / "accepted" / "tables")
    first, repair = project.joints
    assert (first.kp_m, repair.kp_m) == (12450.0, 1250.5)
    assert first.fit_up_gap_mm == 1.5875  # 1/16 in
    assert first.remarks == "café; cover\nused"
    assert first.document is not None
    assert (first.document.document, first.document.page) == ("DOC-1", 3)
    assert (repair.name.base, repair.name.event, repair.name.order) == ("ML-1", "repair", 1)
    found = [(p.joint, p.number, p.kind, p.welder, p.process) for p in project.passes]
    assert found == [
        ("ML-1", 1, "root", "W1", "111"),
        ("ML-1", 2, "cap", "W2", "111"),
        ("ML-1R1", 1, "root", "W1", "111"),
    ]
    assert [p.preheat_c for p in project.passes] == [pytest.approx(93.33, abs=0.01), None, 90.0]
    assert [str(p.origin) for p in project.passes] == [
        "log.csv, line 3",
        "log.csv, line 3",
        "log.csv, line 6",  # a text in quotes that runs over two lines, and an empty row before it
    ]


def test_blank_not_applicable_and_zero_are_three_things() -> None:
    first, repair = load_project(HERE / "accepted" / "tables").joints
    assert (first.welded_on, "welded_on" in first.not_applicable) == (None, False)
    assert (repair.fit_up_gap_mm, repair.hi_lo_mm) == (None, 0.0)
    assert repair.document is None
    assert repair.not_applicable == {"fit_up_gap_mm", "document"}


def test_lists_kept_in_files_of_their_own() -> None:
    project = load_project(HERE / "accepted" / "tables")
    rt, ut = project.examinations
    assert [(i.kind, i.length_mm, i.count) for i in rt.indications] == [
        ("P", 3, 2),
        ("IP", 0, None),
    ]
    assert (rt.result, ut.result, ut.indications) == ("accepted", "rejected", ())
    assert (rt.films, rt.density) == (("1-A", "1-B"), 2.6)
    day, night = project.welders
    assert [len(c.deposits) for c in day.certificates] == [2, 1]
    assert day.certificates[1].origin.of("number").line == 3
    assert day.certificates[0].origin.file == "certificates.csv"
    kept = night.certificates[0]
    assert (kept.origin.line, kept.origin.of("welded_on").line) == (6, 7)
    assert (kept.issued_on, kept.not_applicable) == (None, frozenset({"issued_on"}))
    assert kept.welded_on == date(2025, 12, 1)


def test_marks_that_look_like_numbers_stay_as_written() -> None:
    project = load_project(HERE / "accepted" / "tables")
    first, second = project.material_certificates
    assert [heat.number for heat in first.heats] == ["12E45", "010"]
    assert (first.number, second.number, second.product, second.kind) == (
        "00135", "NO", "12:30", "3.1",
    )  # fmt: skip


def test_a_link_may_not_lead_out_of_the_folder(tmp_path: Path) -> None:
    outside = tmp_path / "outside.csv"
    outside.write_text("number\nP-1\n", encoding="utf-8")
    folder = tmp_path / "project"
    folder.mkdir()
    text = (HERE / "refused" / "keys_twice" / "project.yaml").read_text(encoding="utf-8")
    text = text.split("registers:")[0] + "registers:\n  items: items.csv\n"
    (folder / "project.yaml").write_text(text, encoding="utf-8")
    (folder / "items.csv").symlink_to(outside)
    with pytest.raises(ProjectError, match="leads out of the project folder"):
        load_project(folder)
    (folder / "items.csv").unlink()
    (folder / "items.csv").write_bytes(outside.read_bytes())
    assert load_project(folder).items[0].number == "P-1"
