"""Every word of the documents has its German and Spanish; figures and people's words stay."""

from __future__ import annotations

import io
import re
from collections import Counter
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

import pikepdf
import pytest

from dossier.checks import run
from dossier.coverage.view import View, view
from dossier.documents import procedure, registers
from dossier.documents.answers import answers_of
from dossier.documents.docx import render_docx
from dossier.documents.issue import register_workbook
from dossier.documents.language import (
    LANGUAGES,
    catalogue,
    catalogue_file,
    entries,
    translated,
)
from dossier.documents.pages import page
from dossier.documents.pdf import render_document
from dossier.documents.plain import printable
from dossier.errors import InputError
from dossier.intake import load_project
from dossier.records.project import Project
from tests.documents import example, wording
from tests.documents.overprint import faults
from tests.documents.reading import docx_text, flat, pdf_text, xlsx_rows

OTHERS = tuple(one for one in LANGUAGES if one != "en")
SAMPLE = Path(__file__).resolve().parents[2] / "sample_project"
_UNITS = frozenset(
    {"mm", "in", "MPa", "kJ", "ml", "min", "rev", "CFR", "ISO", "API", "EN", "edition"}
)


def _data(text: str, people: frozenset[str]) -> bool:
    """Whether a text is made of numbers, units and what people wrote."""
    found = re.findall(r"[^\W_]+", text)
    return all(re.search(r"\d", w) or len(w) < 2 or w in _UNITS or w in people for w in found)


def _people(project: Project) -> frozenset[str]:
    return frozenset(w for text in wording.written(project) for w in re.findall(r"[^\W_]+", text))


@pytest.fixture(scope="module")
def projects() -> list[tuple[View, Any]]:
    sample = view(load_project(SAMPLE), None)
    small = view(example.project(), example.AS_OF)
    return [(sample, run(sample)), (small, example.findings())]


@pytest.mark.parametrize("language", OTHERS)
def test_every_label_heading_note_and_caution_is_translated(
    projects: list[tuple[View, Any]], monkeypatch: pytest.MonkeyPatch, language: str
) -> None:
    said = catalogue(language)
    lacking: set[tuple[str, str]] = set()
    for seen, findings in projects:
        people = _people(seen.project)
        for template, context in wording.contexts(seen, findings, monkeypatch):
            if template not in wording.ENGLISH:
                for text in wording.worded(context):
                    lacking |= {(template, one) for one in said.lacking(text)
                                if not _data(one, people)}  # fmt: skip
    for template, text in wording.template_words():
        lacking |= {(template, one) for one in said.lacking(text)}
    lacking |= {("cautions", one) for text in wording.caution_words() for one in said.lacking(text)}
    assert sorted(lacking) == []


def test_templates_print_no_word_that_is_not_marked() -> None:
    bodies = {"wide", "bare", "tight", "keep"}
    assert [found for found in wording.unmarked() if found[1] not in bodies] == []


@pytest.mark.parametrize("language", OTHERS)
def test_catalogues_are_sound(language: str) -> None:
    found = list(entries(catalogue_file(language).read_text(encoding="utf-8")))
    doubled = [text for text, count in Counter(e for e, _ in found).items() if count > 1]
    assert doubled == []
    for english, said in found:
        assert len(re.findall(r"\{#?\}", english)) == said.count("{}"), english
        assert english.strip() == english
        assert said.strip() == said
    printable([said for _, said in found])
    assert {e for e, _ in found} == {
        e for e, _ in entries(catalogue_file("de").read_text(encoding="utf-8"))
    }


def test_an_unknown_language_is_refused() -> None:
    with pytest.raises(InputError, match="language"):
        catalogue("xx")


def test_patterns_figures_and_sentences() -> None:
    say = catalogue("de").say
    assert say("4 to 12 mm") == "4 bis 12 mm"
    assert say("Harrow Fen to Cold Ash") == "Harrow Fen to Cold Ash"
    assert say("Pipe book L1") == "Rohrbuch L1"
    assert (
        say("Bars: permitted. Somebody's own words.") == "Balken: zulässig. Somebody's own words."
    )
    assert say("In force, revision 3") == "In Kraft, Revision 3"


def test_english_is_the_same_object() -> None:
    context = {"label": "Joint"}
    assert translated(context, catalogue("en")) is context


def _in(language: str) -> View:
    project = example.project()
    return view(replace(project, settings=replace(project.settings, language=language)),
                example.AS_OF)  # fmt: skip


WORDS = {
    "de": ("Schweißanweisung (WPS) WPS-01", "Vorsicht", "Wanddicke", "4.8 bis 19.1 mm"),
    "es": ("Especificación del procedimiento", "Precaución", "Espesor de pared", "4.8 a 19.1 mm"),
}


@pytest.mark.parametrize("language", OTHERS)
def test_all_forms_speak_the_language_and_nothing_runs_over(language: str) -> None:
    seen = _in(language)
    sheet: Mapping[str, Any] = procedure.context(
        seen, example.WPS, answers_of(seen.project), "HX-WPS-1"
    )
    pdf = render_document(page("procedure.html", sheet))
    assert faults(pdf) == []
    made = {"pdf": flat(pdf_text(pdf, how="-raw")),
            "docx": docx_text(render_docx("procedure.docx", sheet, seen.as_of))}  # fmt: skip
    for form, text in made.items():
        for word in WORDS[language]:
            assert word in text, (form, word)
    with pikepdf.open(io.BytesIO(pdf)) as opened:
        assert str(opened.Root.Lang) == language
    book = register_workbook(registers.joint_register(seen, {}, "HX-JNT-1"), seen)
    assert catalogue(language).say("Welders") in list(xlsx_rows(book))[3]
