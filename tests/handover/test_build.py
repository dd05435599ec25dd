"""The built dossier: every page numbered, every page reference right, equal bytes twice."""

from __future__ import annotations

import hashlib
import json
import re
import shutil
from dataclasses import replace
from pathlib import Path
from typing import Any

import pikepdf
import pytest

from dossier.coverage.view import View, view
from dossier.documents import registers
from dossier.errors import ProjectError
from dossier.handover import How, build
from dossier.handover.papers import open_paper
from dossier.handover.sections import CONTENTS, source
from dossier.handover.store import Store
from dossier.handover.volumes import load_volumes
from dossier.records.papers import Document
from tests.documents import example
from tests.documents.reading import flat, pdf_text
from tests.documents.scans import make_papers, make_picture

NEEDED = "volumes:\n  - title: A\n    sections:\n      - title: B\n        needed: ["


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return make_papers(tmp_path_factory.mktemp("project"))


@pytest.fixture(scope="module")
def seen() -> View:
    return view(example.project(4), example.AS_OF)


@pytest.fixture(scope="module")
def built(seen: View, folder: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("out")
    build(seen, example.findings(), folder, out, how=How(workers=1))
    return out


@pytest.fixture(scope="module")
def pages(built: Path) -> list[str]:
    return pdf_text((built / "dossier.pdf").read_bytes()).split("\f")[:-1]


@pytest.fixture(scope="module")
def documents(built: Path) -> list[dict[str, Any]]:
    found = json.loads((built / "issue.json").read_text(encoding="utf-8"))["documents"]
    assert len(found) > 20
    return list(found)


def test_every_page_is_numbered_scans_included(pages: list[str], built: Path) -> None:
    with pikepdf.open(built / "dossier.pdf") as pdf:
        assert len(pdf.pages) == len(pages)
    for number, text in enumerate(pages, start=1):
        assert f"page {number} of {len(pages)}" in flat(text)
        assert "HX-204-DOS-0001 rev. 0" in flat(text)


def test_a_dossier_with_open_points_is_a_draft_on_every_page(pages: list[str]) -> None:
    assert all("DRAFT: 2 open points, 5 gaps" in flat(text) for text in pages)


def test_a_dossier_without_open_points_and_gaps_is_none(seen: View, tmp_path: Path) -> None:
    project = with_preset(tmp_path / "project", "      - {title: Rates, content: repair-rates}\n")
    build(short(seen), [], project, tmp_path / "out", how=How(workers=1, drafts=False))
    text = pdf_text((tmp_path / "out" / "dossier.pdf").read_bytes())
    assert "DRAFT" not in text
    assert "no open point" in (tmp_path / "out" / "README.txt").read_text(encoding="utf-8")


def with_preset(project: Path, sections: str) -> Path:
    own = project / "templates" / "volumes"
    own.mkdir(parents=True)
    text = f"volumes:\n  - title: Only volume\n    sections:\n{sections}"
    (own / "short.yaml").write_text(text, encoding="utf-8")
    return project


def short(seen: View, *documents: Document) -> View:
    settings = replace(seen.project.settings, volumes="short")
    return view(replace(seen.project, settings=settings, documents=documents), example.AS_OF)


def _register(pages: list[str]) -> list[tuple[str, int, int]]:
    """(document number, sheets, page) of the lines of the register of contents."""
    text = "\n".join(t for t in pages if "Register of contents" in t)
    line = re.compile(r"^\s+((?:HX-204|D)-\S+)\s.*?\s(\d+)\s+(\d+)\s*$", re.MULTILINE)
    return [(m[1], int(m[2]), int(m[3])) for m in line.finditer(text)]


def test_the_register_names_the_page_on_which_each_document_begins(
    pages: list[str], documents: list[dict[str, Any]]
) -> None:
    entries = _register(pages)
    assert [(n, p) for n, _, p in entries] == [(d["number"], d["page"]) for d in documents]
    for number, sheets, at in entries:
        assert number in pages[at - 1]
        assert number in pages[at + sheets - 2]
        if number.startswith("HX"):
            assert f"sheet 1 of {sheets}" in flat(pages[at - 1])
    assert [at for _, _, at in entries] == sorted(at for _, _, at in entries)


def test_bookmarks_lead_from_volume_to_section_to_document(
    built: Path, pages: list[str], documents: list[dict[str, Any]]
) -> None:
    with pikepdf.open(built / "dossier.pdf") as pdf, pdf.open_outline() as outline:
        index = {page.objgen: i for i, page in enumerate(p.obj for p in pdf.pages)}
        volumes = list(outline.root)
        assert [v.title.split(",")[0] for v in volumes] == [
            "HX-204-CPL-0001 Completeness of this dossier",
            "HX-204-REV-0001 Revision history",
            *(f"Volume {n}" for n in range(1, 6)),
        ]
        seen_documents = 0
        for volume in volumes:
            at = index[volume.destination[0].objgen]
            assert volume.title.split()[-1] in flat(pages[at])
            for section in volume.children:
                for document in section.children:
                    place = index[document.destination[0].objgen]
                    assert document.title.split()[0] in pages[place]
                    seen_documents += 1
        assert seen_documents == len(documents) - 2


def test_scans_keep_their_content_and_gain_a_strip(built: Path, pages: list[str]) -> None:
    at = {n: p for n, _, p in _register(pages)}
    with pikepdf.open(built / "dossier.pdf") as pdf:
        straight, turned = pdf.pages[at["D-001"] - 1], pdf.pages[at["D-001"]]
        assert [float(v) for v in straight.mediabox] == [0, -26, 595, 842]
        assert turned.rotation == 90
        assert [float(v) for v in turned.mediabox] == [0, 0, 868, 595]
        assert [float(v) for v in pdf.pages[at["D-002"] - 1].mediabox] == [-26, 0, 400, 700]
        assert [float(v) for v in pdf.pages[at["D-004"] - 1].mediabox] == [0, 0, 612, 818]
    assert "scan mc" in pages[at["D-001"] - 1]
    assert "D-001, page 1 of 2" in flat(pages[at["D-001"] - 1])
    assert "D-001, page 2 of 2" in flat(pages[at["D-001"]])


def test_a_missing_paper_has_a_sheet_that_says_so(pages: list[str]) -> None:
    at = {n: p for n, _, p in _register(pages)}
    assert "the file papers/pqr.pdf is missing" in flat(pages[at["D-003"] - 1])


def test_empty_sections_are_named_as_empty(pages: list[str]) -> None:
    register = [text for text in pages if "Register of contents" in text]
    assert ": none on record" in flat(" ".join(register))


def test_archival_form_is_claimed_only_where_every_paper_claims_it(
    seen: View, built: Path, tmp_path: Path
) -> None:
    with pikepdf.open(built / "dossier.pdf") as pdf, pdf.open_metadata() as metadata:
        assert not metadata.pdfa_status
    lone = view(replace(seen.project, documents=()), example.AS_OF)
    build(lone, [], tmp_path / "nowhere", tmp_path, how=How(workers=1))
    with pikepdf.open(tmp_path / "dossier.pdf") as pdf:
        with pdf.open_metadata() as metadata:
            assert metadata.pdfa_status == "3B"
            assert metadata["dc:title"].startswith("HX-204-DOS-0001")
        assert "/OutputIntents" in pdf.Root
        fonts = {str(f.BaseFont): f for p in pdf.pages for f in p.resources["/Font"].values()}
        assert all("/FontFile2" in f.DescendantFonts[0].FontDescriptor for f in fonts.values())


def test_the_records_of_the_check_travel_inside(built: Path) -> None:
    beside = json.loads((built / "check.json").read_text(encoding="utf-8"))
    assert [f["verdict"] for f in beside["findings"]] == ["nonconformity", "hold", "note"]
    with pikepdf.open(built / "dossier.pdf") as pdf:
        inside = pdf.attachments["check.json"].get_file().read_bytes()
        assert inside == (built / "check.json").read_bytes()
        assert str(pdf.Root.AF[0].AFRelationship) == "/Data"


def test_building_twice_gives_equal_bytes_in_any_number_of_workers(
    seen: View, folder: Path, built: Path, tmp_path: Path
) -> None:
    build(seen, example.findings(), folder, tmp_path, how=How(workers=2))
    names = sorted(p.relative_to(built) for p in built.rglob("*") if p.is_file())
    assert names == sorted(p.relative_to(tmp_path) for p in tmp_path.rglob("*") if p.is_file())
    differing = [n for n in names if (built / n).read_bytes() != (tmp_path / n).read_bytes()]
    assert differing == []


def test_checksums_prove_every_file(built: Path) -> None:
    lines = (built / "checksums.sha256").read_text(encoding="utf-8").splitlines()
    listed = {line.split("  ", 1)[1]: line.split("  ", 1)[0] for line in lines}
    files = {p.relative_to(built).as_posix() for p in built.rglob("*") if p.is_file()}
    assert set(listed) == files - {"checksums.sha256", "README.txt"}
    for name, digest in listed.items():
        assert hashlib.sha256((built / name).read_bytes()).hexdigest() == digest


def test_a_new_build_removes_only_its_own_unchanged_leftovers(
    seen: View, folder: Path, built: Path, tmp_path: Path
) -> None:
    out = tmp_path / "out"
    shutil.copytree(built, out)
    (out / "notes.txt").write_text("mine", encoding="utf-8")
    (out / "procedures" / "WPS-R1_rev_0.docx").write_bytes(b"edited by hand")
    fewer = view(replace(seen.project, procedures=(example.WPS,)), example.AS_OF)
    build(fewer, example.findings(), folder, out, how=How(workers=1))
    assert (out / "notes.txt").read_text(encoding="utf-8") == "mine"
    assert (out / "procedures" / "WPS-R1_rev_0.docx").read_bytes() == b"edited by hand"
    assert not (out / "procedures" / "WPS-R1_rev_0.pdf").exists()
    assert not [p for p in out.iterdir() if p.name.startswith(".")]


def test_a_failed_build_leaves_what_was_there(
    seen: View, folder: Path, built: Path, tmp_path: Path
) -> None:
    out = tmp_path / "out"
    shutil.copytree(built, out)
    before = (out / "dossier.pdf").read_bytes()
    bad = replace(seen.project, settings=replace(seen.project.settings, volumes="no-such"))
    with pytest.raises(ProjectError, match="pipeline"):
        build(view(bad, example.AS_OF), [], folder, out, how=How(workers=1))
    assert (out / "dossier.pdf").read_bytes() == before
    assert not [p for p in out.iterdir() if p.name.startswith(".")]


def test_a_project_may_keep_its_own_volumes_and_templates(seen: View, tmp_path: Path) -> None:
    project = with_preset(tmp_path / "project", "      - {title: Rates, content: repair-rates}\n")
    (project / "templates" / "rates.html").write_text(
        '{% extends "base.html" %}{% block body %}<h1>House form</h1>{% endblock %}',
        encoding="utf-8",
    )
    build(short(seen), [], project, tmp_path / "out", how=How(workers=1))
    text = pdf_text((tmp_path / "out" / "dossier.pdf").read_bytes())
    assert "House form" in text
    assert "Only volume" in text
    assert text.count("\f") == 6


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (f"{NEEDED}{{record: A, registers: [tea], asked_by: [x]}}]", "tea"),
        (f"{NEEDED}{{record: A, papers: [b], when: it rains}}]", "it rains"),
        (f"{NEEDED}{{record: A, papers: [b], asked_by: ['cfr_192_records:NONE']}}]", "NONE"),
        (f"{NEEDED}{{record: A}}]", "registers or papers"),
        ("volumes: []", "at least one volume"),
        ("volumes:\n  - title: A\n    sections:\n      - {title: B, content: poems}", "poems"),
        ("volumes:\n  - sections: []", "a title for each volume"),
        ("volumes:\n  - title: A\n    sections:\n      - {content: open-points}", "each section"),
    ],
)
def test_an_unusable_preset_is_refused_with_the_reason(
    tmp_path: Path, text: str, told: str
) -> None:
    own = tmp_path / "templates" / "volumes"
    own.mkdir(parents=True)
    (own / "mine.yaml").write_text(text, encoding="utf-8")
    with pytest.raises(ProjectError, match=told):
        load_volumes("mine", tmp_path, frozenset({"open-points"}))


@pytest.mark.parametrize(
    ("file", "told"),
    [
        ("", "no file is named"),
        ("../outside.pdf", "outside the project"),
        ("none.pdf", "missing"),
        ("broken.pdf", "cannot be read"),
        ("locked.pdf", "password"),
    ],
)
def test_a_paper_that_cannot_be_read_says_why(tmp_path: Path, file: str, told: str) -> None:
    project = tmp_path / "project"
    project.mkdir()
    (tmp_path / "outside.pdf").write_bytes(b"%PDF")
    (project / "broken.pdf").write_bytes(b"nothing of the kind")
    with pikepdf.new() as pdf:
        pdf.add_blank_page()
        pdf.save(project / "locked.pdf", encryption=pikepdf.Encryption(user="u", owner="o"))
    paper = open_paper(
        Document(number="D", title="T", file=file), project, Store(tmp_path / "store", "")
    )
    assert paper.pages == 0
    assert told in paper.lacking


def test_a_picture_becomes_a_page_of_its_own_size(tmp_path: Path) -> None:
    make_picture(tmp_path / "scan.png")
    document = Document(number="D", title="T", file="scan.png")
    paper = open_paper(document, tmp_path, Store(tmp_path / "store", ""))
    assert (paper.pages, paper.lacking, paper.archival) == (1, "", True)
    again = open_paper(document, tmp_path, Store(tmp_path / "other", ""))
    assert paper.path.read_bytes() == again.path.read_bytes()


def test_a_long_register_is_printed_in_parts(seen: View, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("dossier.handover.sections.ROWS", 3)
    made = source(seen, example.findings(), None)
    whole = registers.joint_register(seen, {}, "N")["rows"]["rows"]
    sheets = list(CONTENTS["joint-register"](made))
    assert len(sheets) == -(-len(whole) // 3) > 1
    assert sheets[0].title == f"Joint register, part 1 of {len(sheets)}"
    assert len({sheet.number for sheet in sheets}) == len(sheets)
    pages = [sheet.content.html() for sheet in sheets]
    for row in whole:
        assert sum(f">{row['cells'][0]}</td>" in page for page in pages) == 1
    assert [page.count("<svg") > 0 for page in pages] == [True] + [False] * (len(pages) - 1)
