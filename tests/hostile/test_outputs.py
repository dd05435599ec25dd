"""Records that try to be more than text stay text in every form that is issued."""

from __future__ import annotations

import csv
import io
import json
import re
import zipfile
from collections.abc import Iterator
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook

from dossier.checks import run
from dossier.coverage.view import View, view
from dossier.documents.docx import render_docx
from dossier.documents.issue import procedure_issue, register_issue
from dossier.documents.pages import page
from dossier.documents.pdf import render
from dossier.documents.report_text import report_text
from dossier.documents.sheet import head
from dossier.errors import InputError
from dossier.handover.sections import CONTENTS, Source, source
from dossier.handover.tables import tables
from dossier.handover.transmittal import transmittal
from dossier.intake import load_project
from dossier.records.verdicts import Finding
from tests.documents.reading import docx_text
from tests.review.hostile import BREAKS_OUT, FORMULA, IMAGE, hostile_project

STARTS = ("=", "+", "@", "\t", "\r")


@pytest.fixture(scope="module")
def hostile(tmp_path_factory: pytest.TempPathFactory) -> tuple[View, list[Finding]]:
    seen = view(load_project(hostile_project(tmp_path_factory.mktemp("hostile"))))
    return seen, run(seen)


@pytest.fixture(scope="module")
def printed(hostile: tuple[View, list[Finding]]) -> Source:
    return source(*hostile, None)


class Elements(HTMLParser):
    """What a browser would make of a page."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[tuple[str, dict[str, str]]] = []
        self.words: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.found.append((tag, {name: value or "" for name, value in attrs}))

    def handle_data(self, data: str) -> None:
        self.words.append(data)


def acts(html: str) -> Iterator[str]:
    """Elements and attributes that run, load or lead somewhere."""
    parser = Elements()
    parser.feed(html)
    for tag, attributes in parser.found:
        if tag in ("script", "iframe", "object", "embed", "form", "base", "foreignobject"):
            yield tag
        for name, value in attributes.items():
            leads = name in ("href", "src", "xlink:href") and re.match(
                r"\s*(javascript|data:text|file|http)", value, re.IGNORECASE
            )
            if name.startswith("on") or leads:
                yield f"{tag} {name}={value[:40]}"


def test_what_is_looked_for_is_found() -> None:
    assert list(acts(f"<p>{BREAKS_OUT}</p>")) == ["script"]
    assert list(acts(IMAGE)) == ["img onerror=window.harmed = 2"]
    assert list(acts("<svg><a xlink:href='javascript:1'>x</a></svg>")) == [
        "a xlink:href=javascript:1"
    ]


def test_no_page_of_any_document_acts(printed: Source) -> None:
    words = []
    for make in CONTENTS.values():
        for sheet in make(printed):
            html = sheet.content.html()
            assert list(acts(html)) == [], sheet.title
            parser = Elements()
            parser.feed(html)
            words.append("".join(parser.words))
    whole = "\n".join(words)
    for text in (BREAKS_OUT, IMAGE, FORMULA):
        assert text in whole  # it is there, as words


@pytest.mark.parametrize("title", [BREAKS_OUT, IMAGE, FORMULA, "{{ 7 * 7 }}{% raw %}"])
def test_a_title_is_words_in_page_and_docx(hostile: tuple[View, list[Finding]], title: str) -> None:
    before = hostile[0]
    wps = replace(before.project.procedures[0], title=title)
    changed = view(replace(before.project, procedures=(wps,), pqrs=()), before.as_of)
    sheet = next(CONTENTS["procedure-sheets"](source(changed, [], None)))
    parser = Elements()
    parser.feed(sheet.content.html())
    assert title in "".join(parser.words)
    data = next(one for one in procedure_issue(changed) if one.name.endswith(".docx")).data()
    assert title in " ".join(docx_text(data).split())
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        for name in archive.namelist():
            assert not re.search("vba|embed|activeX", name)
            outside = b'TargetMode="External"' in archive.read(name)
            assert not (name.endswith(".rels") and outside)


def test_no_cell_of_any_workbook_is_a_formula(hostile: tuple[View, list[Finding]]) -> None:
    guarded = 0
    for one in register_issue(*hostile):
        for sheet in load_workbook(io.BytesIO(one.data())).worksheets:
            for row in sheet.iter_rows():
                for cell in row:
                    assert cell.data_type != "f", (one.name, cell.coordinate)
                    if isinstance(cell.value, str) and cell.value.startswith("=HYPERLINK"):
                        assert cell.quotePrefix
                        guarded += 1
    assert guarded


def cells(data: bytes) -> Iterator[str]:
    for row in csv.reader(io.StringIO(data.decode(), newline="")):
        yield from row


def starts_formula(cell: str) -> bool:
    number = re.fullmatch(r"[+-]?[0-9.]+(e[+-]?[0-9]+)?", cell)
    return cell.startswith((*STARTS, "-")) and len(cell) > 1 and not number


def test_no_cell_of_the_tables_starts_a_formula(hostile: tuple[View, list[Finding]]) -> None:
    seen = hostile[0]
    joints = tuple(replace(one, remarks=f"{start}1+1") for one, start in
                   zip(seen.project.joints, (*STARTS, "-"), strict=False))  # fmt: skip
    made = tables(replace(seen.project, joints=joints))
    found = [cell for item in made if item.name.endswith(".csv")
             and isinstance(item.content, bytes) for cell in cells(item.content)]  # fmt: skip
    assert [cell for cell in found if starts_formula(cell)] == []
    assert "'=1+1" in found
    assert f"'{FORMULA}" in found


def test_no_cell_of_the_transmittal_starts_a_formula(printed: Source) -> None:
    entry = {"number": "=1+1", "title": "@sum", "revision": "-2+3", "volume": "+1;", "section": "",
             "file": "d.pdf", "page": 3, "sheets": 1, "kind": "paper", "lacking": "",
             "digest": ""}  # fmt: skip
    issue = {"documents": [entry], "contractor": "=cmd", "as_of": "2026-01-01", "state": "draft",
             "revision": "0", "files": []}  # fmt: skip
    items = transmittal(issue, {"d.pdf": "00"}, head(printed.seen, number="N", title="T"), "en")
    found = list(cells(next(i.content for i in items if i.name.endswith(".csv"))))  # type: ignore[arg-type]
    assert [cell for cell in found if starts_formula(cell)] == []
    assert {"'=1+1", "'@sum", "'-2+3", "'+1;"} <= set(found)


def test_a_terminal_is_sent_no_control_characters(hostile: tuple[View, list[Finding]]) -> None:
    seen, findings = hostile
    told = [replace(one, sentence=f"{one.sentence}\x1b]0;owned\x07\x9b31m") for one in findings]
    settings = replace(seen.project.settings, title="\x1b[2Jx")
    text = report_text(settings, seen.as_of, told)
    assert "owned" in text
    assert not re.search("[\x00-\x09\x0b-\x1f\x7f-\x9f]", text)


@pytest.mark.parametrize("bad", ["\ud800", "\x00", "\ufffe"])
def test_what_no_form_can_hold_is_refused_with_its_place(
    hostile: tuple[View, list[Finding]], bad: str, tmp_path: Path
) -> None:
    from dossier.documents import procedure
    from dossier.documents.answers import answers_of

    seen = hostile[0]
    wps = replace(seen.project.procedures[0], title=f"a{bad}b")
    data = procedure.context(seen, wps, answers_of(seen.project), "N")
    with pytest.raises(InputError, match="control character"):
        page("procedure.html", data)
    with pytest.raises(InputError, match="control character"):
        render_docx("procedure.docx", data, seen.as_of, tmp_path)


def test_turned_writing_is_taken_out_of_what_is_read(tmp_path: Path) -> None:
    from tests.hostile.spoiling import sound
    from tests.trial import written

    registers: dict[str, Any] = sound()
    registers["joints"][0]["remarks"] = "safe\u202egpj.exe\u2066 end\u2069"
    project = load_project(written(registers, tmp_path))
    assert project.joints[0].remarks == "safegpj.exe end"
    assert any("cannot be seen" in doubt.why for doubt in project.doubts)
    json.dumps([doubt.why for doubt in project.doubts])


@pytest.mark.parametrize(
    "body",
    ['<img src="file:///etc/hostname">', '<img src="http://127.0.0.1:9/x.png">',
     '<link rel="attachment" href="file:///etc/passwd">', '<object data="file:///etc/passwd">',
     "<style>@import url(file:///etc/passwd)</style>",
     "<style>p{background:url(http://127.0.0.1:9/)}</style>"],
)  # fmt: skip
def test_a_page_of_a_stranger_fetches_nothing(body: str) -> None:
    with pytest.raises(InputError, match="may not read"):
        render([f"<title>x</title>{body}<p>x"])
