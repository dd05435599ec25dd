"""The sample project: it loads, it is what its generator makes, and it gives what it promises."""

from __future__ import annotations

import zipfile
from collections import Counter
from dataclasses import fields
from pathlib import Path

import pikepdf
import pytest

from dossier.checks import run
from dossier.coverage.view import view
from dossier.intake import load_project
from dossier.records.project import Project
from sample_project.generate import FAULTS, expected, write

SAMPLE = Path(__file__).parent.parent / "sample_project"
COUNTS = {
    "lines": 2, "joints": 210, "passes": 2575, "procedures": 9, "pqrs": 6, "welders": 15,
    "items": 229, "material_certificates": 12, "batches": 12, "examinations": 399,
    "examiners": 7, "repairs": 5, "coatings": 170, "lowerings": 171, "pressure_tests": 1,
    "instruments": 6, "concessions": 1, "documents": 72,
}  # fmt: skip


@pytest.fixture(scope="module")
def sample() -> Project:
    return load_project(SAMPLE)


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("sample")
    write(folder)
    return folder


Found = tuple[str, str, tuple[tuple[str, str], ...], str]


def _findings(project: Project) -> Counter[Found]:
    return Counter((f.check, str(f.verdict), f.subject, f.conceded_by) for f in run(view(project)))


def test_every_register_is_read_in_full(sample: Project) -> None:
    counts = {
        register.name: len(getattr(sample, register.name))
        for register in fields(Project)
        if register.name in COUNTS
    }
    assert counts == COUNTS


def test_wide_station_sheet_is_unfolded_in_order(sample: Project) -> None:
    runs = [made for made in sample.passes if made.joint == "PT-12"]
    assert [(made.number, made.kind, made.process) for made in runs] == [
        (1, "root", "141"),
        (2, "fill", "111"),
        (3, "fill", "111"),
        (4, "fill", "111"),
        (5, "cap", "111"),
    ]


def test_trench_welds_have_no_lowering_and_say_so(sample: Project) -> None:
    golden = next(row for row in sample.lowerings if row.joint == "GW-1")
    assert golden.lowered_at is None
    assert "lowered_at" in golden.not_applicable


def test_every_registered_paper_exists_with_its_pages(sample: Project) -> None:
    for document in sample.documents:
        with pikepdf.open(SAMPLE / document.file) as pdf:
            assert len(pdf.pages) == document.pages, document.number


def test_committed_files_are_what_the_generator_makes(made: Path) -> None:
    names = {str(path.relative_to(made)) for path in made.rglob("*") if path.is_file()}
    stored = {"project.yaml", "FAULTS.md"} | {
        str(path.relative_to(SAMPLE))
        for folder in ("registers", "evidence", ".schemas", ".vscode")
        for path in (SAMPLE / folder).rglob("*")
        if path.is_file()
    }
    assert names == stored
    assert [name for name in sorted(names) if not _same(SAMPLE / name, made / name)] == []


def _same(left: Path, right: Path) -> bool:
    """Equal bytes; for packed forms equal content, since packing differs between libraries."""
    if left.suffix == ".xlsx":
        with zipfile.ZipFile(left) as one, zipfile.ZipFile(right) as two:
            return one.namelist() == two.namelist() and all(
                one.read(name) == two.read(name) for name in one.namelist()
            )
    if left.suffix == ".pdf":
        with pikepdf.open(left) as one, pikepdf.open(right) as two:
            contents = [[page.Contents.read_bytes() for page in pdf.pages] for pdf in (one, two)]
            return contents[0] == contents[1]
    return left.read_bytes() == right.read_bytes()


def test_writing_twice_gives_the_same_bytes(made: Path, tmp_path: Path) -> None:
    write(tmp_path)
    for path in made.rglob("*"):
        if path.is_file():
            assert path.read_bytes() == (tmp_path / path.relative_to(made)).read_bytes(), path


def test_planted_faults_give_their_findings_and_no_other(sample: Project) -> None:
    wanted = Counter((e.check, e.verdict, e.subject, e.conceded_by) for e in expected())
    found = _findings(sample)
    assert (wanted - found, found - wanted) == (Counter(), Counter())


def test_without_the_faults_there_is_no_finding(tmp_path: Path) -> None:
    write(tmp_path, mended=True)
    assert _findings(load_project(tmp_path)) == Counter()


def test_every_fault_has_its_own_key_and_gives_something() -> None:
    keys = [fault.key for fault in FAULTS]
    assert len(set(keys)) == len(keys)
    table = (SAMPLE / "FAULTS.md").read_text(encoding="utf-8")
    assert all(f"| {key} |" in table for key in keys)
