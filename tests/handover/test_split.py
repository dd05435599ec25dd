"""A dossier in several files: limits kept, registers right, links that lead to the page."""

from __future__ import annotations

import base64
import json
import zlib
from pathlib import Path

import pikepdf
import pytest

from dossier.handover import build, merge
from dossier.handover.layout import Limits
from dossier.handover.printing import LimitsError
from dossier.handover.verify import verify
from tests.documents.reading import flat, pdf_text
from tests.handover import small
from tests.handover.conftest import Made


@pytest.fixture(scope="module")
def split(made: Made, tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("split")
    how = made.how(limits=Limits(pages=12))
    build(made.seen, made.findings, made.project, out, how=how)
    return out


def test_no_file_is_longer_than_the_limit_and_pages_run_on(split: Path) -> None:
    files = json.loads((split / "issue.json").read_bytes())["files"]
    assert len(files) > 2
    assert [file["name"] for file in files] == [
        f"dossier_{n}_of_{len(files)}.pdf" for n in range(1, len(files) + 1)
    ]
    total, at = sum(file["pages"] for file in files), 1
    for file in files:
        texts = pdf_text((split / file["name"]).read_bytes()).split("\f")[:-1]
        assert file["pages"] == len(texts) <= 12
        for number, text in enumerate(texts, start=at):
            assert f"page {number} of {total}" in flat(text)
        at += len(texts)


def test_each_file_has_its_own_cover_and_register(split: Path) -> None:
    issue = json.loads((split / "issue.json").read_bytes())
    for index, file in enumerate(issue["files"], start=1):
        texts = pdf_text((split / file["name"]).read_bytes()).split("\f")[:-1]
        assert f"{index} of {len(issue['files'])}" in flat(texts[0])
        register = flat(" ".join(text for text in texts if "Register of contents" in text))
        own = [d for d in issue["documents"] if d["file"] == file["name"]]
        assert own
        for document in own:
            assert document["number"] in register
            assert document["number"] in texts[document["page"] - file["first"]]


def test_a_document_is_never_cut_even_by_a_limit_of_one_page(made: Made, tmp_path: Path) -> None:
    how = made.how(limits=Limits(pages=1))
    build(made.seen, made.findings, made.project, tmp_path, how=how)
    issue = json.loads((tmp_path / "issue.json").read_bytes())
    bound = [d["file"] for d in issue["documents"] if d["volume"]]
    assert len(bound) == len(set(bound)) == len(issue["files"])


def test_a_limit_of_size_is_kept(made: Made, tmp_path: Path) -> None:
    whole = (made.out / "dossier.pdf").stat().st_size
    how = made.how(limits=Limits(megabytes=whole * 0.7 / 1e6))
    build(made.seen, made.findings, made.project, tmp_path, how=how)
    sizes = [path.stat().st_size for path in tmp_path.glob("dossier_*.pdf")]
    assert len(sizes) > 1
    assert max(sizes) <= whole * 0.7


def test_links_of_the_register_lead_to_the_documents(made: Made) -> None:
    issue = json.loads((made.out / "issue.json").read_bytes())
    wanted = {d["page"] for d in issue["documents"]}
    with pikepdf.open(made.out / "dossier.pdf") as pdf:
        index = {page.obj.objgen: n for n, page in enumerate(pdf.pages, start=1)}
        led = {
            index[note.Dest[0].objgen]
            for page in pdf.pages
            for note in page.obj.get("/Annots", ())
            if "/Dest" in note
        }
        assert wanted <= led
        assert not [
            note for page in pdf.pages for note in page.obj.get("/Annots", ())
            if str(note.get("/A", {}).get("/URI", "")).startswith("part:")
        ]  # fmt: skip


def test_many_sources_are_merged_in_steps_to_the_same_pages(
    made: Made, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(merge, "OPEN_FILES", 2)
    how = made.how(limits=Limits(megabytes=999))  # another wish, so that it is merged again
    build(made.seen, made.findings, made.project, tmp_path, how=how)
    texts = [pdf_text((place / "dossier.pdf").read_bytes()) for place in (made.out, tmp_path)]
    assert texts[0] == texts[1]
    assert not list(tmp_path.glob("*.part"))


def test_the_review_page_leads_to_each_paper_in_its_file(split: Path) -> None:
    issue = json.loads((split / "issue.json").read_bytes())
    text = (split / "review.html").read_text(encoding="utf-8")
    core = text.split('id="data-core">')[1].split("<")[0]
    known = json.loads(zlib.decompress(base64.b64decode(core)))["documents"]
    papers = [d["number"] for d in issue["documents"] if d["kind"] == "paper"]
    assert {"D-001", "D-002", "D-003"} <= set(papers)
    for number in papers:
        _, file, page = known[number]
        texts = pdf_text((split / file).read_bytes()).split("\f")[:-1]
        assert f"{number}, page 1" in flat(texts[page - 1])
    assert {number for number, (_, file, _) in known.items() if file} == set(papers)


def test_a_page_of_an_older_tool_is_left_to_its_checksums(
    package: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("dossier.handover.proof_records.__version__", "99.0.0")
    proof = verify(package)
    step = next(one for one in proof.steps if one.name == "review page")
    assert (proof.holds, step.state) == (True, "left out")
    assert "made with version" in step.left_out


def test_a_limit_that_cannot_be_kept_is_refused_and_nothing_is_lost(
    made: Made, tmp_path: Path
) -> None:
    out = made.copy(tmp_path / "out")
    before = small.tree(out)
    with pytest.raises(LimitsError, match=r"dossier.*documents has \d+ pages.*Nothing was written"):
        build(
            made.seen, made.findings, made.project, out, how=made.how(limits=Limits(megabytes=0.02))
        )
    assert small.tree(out) == before


def test_a_tighter_limit_is_still_a_limit() -> None:
    assert Limits(pages=1).tighter(0.85) == Limits(pages=1)
    assert Limits(megabytes=2).tighter(0.5) == Limits(megabytes=1)
