"""The built dossier: every page numbered, every page reference right, equal bytes twice."""

from __future__ import annotations

import hashlib
import json
import re
import shutil
from dataclasses import replace
from pathlib import Path

import pikepdf
import pytest

from dossier.coverage.view import View, view
from dossier.errors import ProjectError
from dossier.handover import build
from dossier.handover.papers import open_paper
from dossier.handover.rendering import render_all
from dossier.handover.volumes import load_volumes
from dossier.records.papers import Document
from tests.documents import example
from tests.documents.reading import flat, pdf_text
from tests.documents.scans import make_papers, make_picture


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return make_papers(tmp_path_factory.mktemp("project"))


@pytest.fixture(scope="module")
def seen() -> View:
    return view(example.project(4), example.AS_OF)


@pytest.fixture(scope="module")
def built(seen: View, folder: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("out")
    build(seen, example.findings(), folder, out, workers=1)
    return out


@pytest.fixture(scope="module")
def pages(built: Path) -> list[str]:
    return pdf_text((built / "dossier.pdf").read_bytes()).split("\f")[:-1]


def test_every_page_is_numbered_scans_included(pages: list[str], built: Path) -> None:
    with pikepdf.open(built / "dossier.pdf") as pdf:
        assert len(pdf.pages) == len(pages)
    for number, text in enumerate(pages, start=1):
        assert f"page {number} of {len(pages)}" in flat(text)
        assert "HX-204-DOS-0001 rev. 0" in flat(text)


def test_a_dossier_with_open_points_is_a_draft_on_every_page(pages: list[str]) -> None:
    assert all("DRAFT: 2 open points" in flat(text) for text in pages)


def test_a_dossier_without_open_points_is_none(seen: View, folder: Path, tmp_path: Path) -> None:
    build(seen, [], folder, tmp_path, workers=1)
    text = pdf_text((tmp_path / "dossier.pdf").read_bytes())
    assert "DRAFT" not in text
    assert "no open point" in (tmp_path / "README.txt").read_text(encoding="utf-8")


def _register(pages: list[str]) -> list[tuple[str, int, int]]:
    """(document number, sheets, page) of the lines of the register of contents."""
    text = "\n".join(t for t in pages if "Register of contents" in t)
    line = re.compile(r"^\s+((?:HX-204|D)-\S+)\s.*?\s(\d+)\s+(\d+)\s*$", re.MULTILINE)
    return [(m[1], int(m[2]), int(m[3])) for m in line.finditer(text)]


def test_the_register_names_the_page_on_which_each_document_begins(pages: list[str]) -> None:
    entries = _register(pages)
    assert len(entries) == 24
    for number, sheets, at in entries:
        assert number in pages[at - 1]
        assert number in pages[at + sheets - 2]
        if number.startswith("HX"):
            assert f"sheet 1 of {sheets}" in flat(pages[at - 1])
    assert [at for _, _, at in entries] == sorted(at for _, _, at in entries)


def test_bookmarks_lead_from_volume_to_section_to_document(built: Path, pages: list[str]) -> None:
    with pikepdf.open(built / "dossier.pdf") as pdf, pdf.open_outline() as outline:
        index = {page.objgen: i for i, page in enumerate(p.obj for p in pdf.pages)}
        volumes = list(outline.root)
        assert [v.title.split(",")[0] for v in volumes] == [f"Volume {n}" for n in range(1, 6)]
        seen_documents = 0
        for volume in volumes:
            at = index[volume.destination[0].objgen]
            assert volume.title in flat(pages[at])
            for section in volume.children:
                for document in section.children:
                    place = index[document.destination[0].objgen]
                    assert document.title.split()[0] in pages[place]
                    seen_documents += 1
        assert seen_documents == 24


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
    assert "Pressure test: none on record" in flat(" ".join(pages[1:4]))


def test_archival_form_is_claimed_only_where_every_paper_claims_it(
    seen: View, built: Path, tmp_path: Path
) -> None:
    with pikepdf.open(built / "dossier.pdf") as pdf, pdf.open_metadata() as metadata:
        assert not metadata.pdfa_status
    lone = view(replace(seen.project, documents=()), example.AS_OF)
    build(lone, [], tmp_path / "nowhere", tmp_path, workers=1)
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
    build(seen, example.findings(), folder, tmp_path, workers=2)
    names = sorted(p.relative_to(built) for p in built.rglob("*") if p.is_file())
    assert names == sorted(p.relative_to(tmp_path) for p in tmp_path.rglob("*") if p.is_file())
    differing = [n for n in names if (built / n).read_bytes() != (tmp_path / n).read_bytes()]
    assert differing == []


def test_workers_render_chunks_in_order() -> None:
    html = [f"<title>{n}</title><p>document {n}</p>" for n in range(60)]
    told: list[int] = []
    results = render_all(html, 2, lambda done, _: told.append(done))
    assert told == [25, 50, 60]
    assert [sum(r.pages) for r in results] == [25, 25, 10]
    text = flat(pdf_text(results[1].data))
    assert text.startswith("document 25 ")
    assert text.endswith("document 49")


def test_workers_are_replaced_and_the_work_goes_on(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("dossier.handover.rendering.CHUNK", 1)
    monkeypatch.setattr("dossier.handover.rendering.CHUNKS_PER_WORKER", 1)
    html = [f"<title>{n}</title><p>document {n}</p>" for n in range(5)]
    results = render_all(html, 2, lambda *_: None)
    assert [flat(pdf_text(r.data)) for r in results] == [f"document {n}" for n in range(5)]


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
    build(fewer, example.findings(), folder, out, workers=1)
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
        build(view(bad, example.AS_OF), [], folder, out, workers=1)
    assert (out / "dossier.pdf").read_bytes() == before
    assert not [p for p in out.iterdir() if p.name.startswith(".")]


def test_a_project_may_keep_its_own_volumes_and_templates(seen: View, tmp_path: Path) -> None:
    project = make_papers(tmp_path / "project")
    own = project / "templates"
    (own / "volumes").mkdir(parents=True)
    (own / "volumes" / "short.yaml").write_text(
        "volumes:\n  - title: Only volume\n    sections:\n"
        "      - {title: Rates, content: repair-rates}\n",
        encoding="utf-8",
    )
    (own / "rates.html").write_text(
        '{% extends "base.html" %}{% block body %}<h1>House form</h1>{% endblock %}',
        encoding="utf-8",
    )
    settings = replace(seen.project.settings, volumes="short")
    short = view(replace(seen.project, settings=settings), example.AS_OF)
    build(short, [], project, tmp_path / "out", workers=1)
    text = pdf_text((tmp_path / "out" / "dossier.pdf").read_bytes())
    assert "House form" in text
    assert "Only volume" in text
    assert text.count("\f") == 4


@pytest.mark.parametrize(
    ("text", "told"),
    [
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
    paper = open_paper(Document(number="D", title="T", file=file), project)
    assert paper.pages == 0
    assert told in paper.lacking


def test_a_picture_becomes_a_page_of_its_own_size(tmp_path: Path) -> None:
    make_picture(tmp_path / "scan.png")
    document = Document(number="D", title="T", file="scan.png")
    paper = open_paper(document, tmp_path)
    assert (paper.pages, paper.lacking) == (1, "")
    assert paper.data == open_paper(document, tmp_path).data
