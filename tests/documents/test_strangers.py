"""A template from a stranger reads no file, runs no code, ends, and fetches nothing."""

from __future__ import annotations

import io
import shutil
import zipfile
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import docx
import pytest

from dossier.coverage.view import View
from dossier.documents import docx as docx_module
from dossier.documents import pages, procedure
from dossier.documents.answers import Answers
from dossier.documents.docx import render_docx
from dossier.documents.docx_template import refuse_traps
from dossier.documents.guard import Guard
from dossier.errors import InputError
from dossier.resources import shared
from tests.documents import example
from tests.documents.reading import docx_text


@pytest.fixture(scope="module")
def sheet(seen: View, answers: Answers) -> Mapping[str, Any]:
    return procedure.context(seen, example.WPS, answers, "HX-WPS-1")


@pytest.fixture
def tight(monkeypatch: pytest.MonkeyPatch) -> Iterator[Guard]:
    guard = Guard(seconds=15.0, megabytes=400)
    monkeypatch.setattr(pages, "guarded", guard)
    monkeypatch.setattr(docx_module, "guarded", guard)
    yield guard
    guard.stop()


ENDLESS = (
    "{% for a in range(90000) %}{% for b in range(90000) %}{% for c in range(90000) %}"
    "{% endfor %}{% endfor %}{% endfor %}"
)
HUGE = (
    "{% set ns = namespace(s='xxxxxxxxxx') %}"
    "{% for a in range(60) %}{% set ns.s = ns.s ~ ns.s %}{% endfor %}"
)


@pytest.mark.usefixtures("tight")
@pytest.mark.parametrize(("body", "word"), [(ENDLESS, "no end"), (HUGE, "memory")])
def test_a_page_that_does_not_end_or_grows_is_stopped(
    sheet: Mapping[str, Any], tmp_path: Path, body: str, word: str
) -> None:
    (tmp_path / "own.html").write_text(body, encoding="utf-8")
    (tmp_path / "good.html").write_text("{{ head.number }}", encoding="utf-8")
    with pytest.raises(InputError, match=word):
        pages.page("own.html", sheet, tmp_path)
    assert pages.page("good.html", sheet, tmp_path) == "HX-WPS-1"


def test_a_page_that_was_changed_is_read_again(sheet: Mapping[str, Any], tmp_path: Path) -> None:
    for text in ("one", "two, in the same process", "3"):
        (tmp_path / "own.html").write_text(text, encoding="utf-8")
        assert pages.page("own.html", sheet, tmp_path) == text


def test_a_word_form_that_does_not_end_is_stopped(
    sheet: Mapping[str, Any], tmp_path: Path, tight: Guard
) -> None:
    assert tight.seconds == 15.0
    _form(tmp_path / "endless.docx", ENDLESS)
    with pytest.raises(InputError, match="no end"):
        render_docx("endless.docx", sheet, example.AS_OF, tmp_path)


@pytest.mark.parametrize("name", ["link.html", "../secret.html", "/etc/hostname"])
def test_a_page_includes_no_file_from_elsewhere(
    sheet: Mapping[str, Any], tmp_path: Path, name: str
) -> None:
    (tmp_path / "secret.html").write_text("the secret", encoding="utf-8")
    own = tmp_path / "templates"
    own.mkdir()
    (own / "link.html").symlink_to(tmp_path / "secret.html")
    (own / "own.html").write_text(f"{{% include '{name}' %}}", encoding="utf-8")
    with pytest.raises(InputError, match="TemplateNotFound"):
        pages.page("own.html", sheet, own)


def _form(path: Path, *paragraphs: str) -> None:
    document = docx.Document()
    for text in paragraphs:
        document.add_paragraph(text)
    document.save(str(path))


def test_a_word_form_is_not_read_through_a_link(sheet: Mapping[str, Any], tmp_path: Path) -> None:
    own = tmp_path / "templates"
    own.mkdir()
    _form(tmp_path / "outside.docx", "{{ head.number }}")
    (own / "procedure.docx").symlink_to(tmp_path / "outside.docx")
    with pytest.raises(InputError, match="leads out"):
        render_docx("procedure.docx", sheet, example.AS_OF, own)


def _with(name: str, content: bytes) -> bytes:
    source = io.BytesIO()
    docx.Document().save(source)
    out = io.BytesIO()
    with zipfile.ZipFile(source) as before, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as made:
        for entry in before.namelist():
            if entry != name:
                made.writestr(entry, before.read(entry))
        made.writestr(name, content)
    return out.getvalue()


OUTSIDE = (
    b'<Relationships><Relationship Id="r1" Type="x/attachedTemplate" '
    b'Target="http://127.0.0.1/a.dotm" TargetMode="External"/></Relationships>'
)


@pytest.mark.parametrize(
    ("data", "word"),
    [
        (_with("word/vbaProject.bin", b"x"), "macros"),
        (_with("word/embeddings/a.xlsx", b"x"), "embedded"),
        (_with("word/_rels/settings.xml.rels", OUTSIDE), "outside"),
        (_with("word/footnotes.xml", b'<!DOCTYPE a [<!ENTITY b SYSTEM "file:///etc/hostname">]>'),
         "document type"),
        (_with("word/bomb.xml", bytes(60_000_000)), "unpacked"),
        (b"no zip at all", "Word document"),
    ],
)  # fmt: skip
def test_a_word_form_with_a_trap_is_refused(data: bytes, word: str) -> None:
    with pytest.raises(InputError, match=word):
        refuse_traps(data, "form.docx")


def test_our_own_templates_hold_no_trap() -> None:
    for path in sorted((shared("templates") / "docx").glob("*.docx")):
        refuse_traps(path.read_bytes(), path.name)


def test_a_form_may_print_a_part_of_the_data_and_loses_none_of_it(
    sheet: Mapping[str, Any], tmp_path: Path
) -> None:
    _form(tmp_path / "procedure.docx", "No. {{ head.number }} for {{ head.contractor }}",
          "{% for r in fillers.rows %}{{ r.cells[2] }}; {% endfor %}")  # fmt: skip
    text = docx_text(render_docx("procedure.docx", sheet, example.AS_OF, tmp_path))
    assert f"No. HX-WPS-1 for {sheet['head']['contractor']}" in text
    assert "E6010;" in text


def test_a_folder_of_own_templates_may_hold_only_some(
    sheet: Mapping[str, Any], tmp_path: Path
) -> None:
    shutil.copy(shared("templates") / "docx" / "transmittal.docx", tmp_path)
    ours = render_docx("procedure.docx", sheet, example.AS_OF)
    assert render_docx("procedure.docx", sheet, example.AS_OF, tmp_path) == ours
