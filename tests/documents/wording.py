"""Every word that the documents of a project print and no person of the project wrote."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import fields, is_dataclass
from typing import Any

from jinja2 import nodes

from dossier.calc.cautions import CAUTIONS
from dossier.coverage.view import View
from dossier.documents import issue, pages
from dossier.documents.language import drawn
from dossier.handover import sections
from dossier.records.verdicts import Finding
from dossier.resources import shared

# Fields of the contexts that hold words of the program; cells and values are mostly data.
WORDED = frozenset({
    "label", "title", "note", "lead", "empty", "caution", "role", "status", "words", "legend",
    "preliminary", "told",
})  # fmt: skip
# The report of findings and the figures of repairs are read in English, as the findings are.
ENGLISH = frozenset({"check_report.html", "rates.html"})


def worded(value: Any, key: str = "") -> Iterator[str]:
    """The texts of a context that are words of the program, drawings included."""
    if isinstance(value, str):
        if value.startswith("<svg "):
            yield from drawn(value)
        elif key in WORDED:
            yield value
    elif isinstance(value, Mapping):
        for name, inner in value.items():
            yield from worded(inner, str(name))
    elif isinstance(value, Sequence):
        for inner in value:
            yield from worded(inner, key)


def contexts(
    seen: View, findings: Sequence[Finding], monkeypatch: Any
) -> list[tuple[str, Mapping[str, Any]]]:
    """The template and context of every document of a project, none of them rendered."""
    found: list[tuple[str, Mapping[str, Any]]] = []

    def kept(template: str, context: Mapping[str, Any], overrides: object = None) -> str:
        del overrides
        found.append((template, context))
        return "page"

    for module in (issue, sections):
        monkeypatch.setattr(module, "page", kept)
    monkeypatch.setattr(pages, "page", kept)
    books = [
        *issue.procedure_issue(seen),
        *issue.matrix_issue(seen),
        *issue.register_issue(seen, findings),
        *issue.form_issue(seen, findings),
    ]
    for one in books:
        if one.html:
            one.html()
        else:
            name, _, context = json.loads(one.made_of)
            found.append((name, {"of": context}))
    source = sections.source(seen, findings, None)
    for make in sections.CONTENTS.values():
        for sheet in make(source):
            sheet.content.html()
    return found


def template_words() -> Iterator[tuple[str, str]]:
    """Name and text of every `_("...")` of our templates, and every text that is not marked."""
    environment = pages.environment()
    for path in sorted((shared("templates") / "pdf").glob("*.html")):
        tree = environment.parse(path.read_text("utf-8"))
        for call in tree.find_all(nodes.Call):
            named = isinstance(call.node, nodes.Name) and call.node.name == "_"
            emptied = isinstance(call.node, nodes.Getattr) and call.node.attr == "table"
            for argument in call.args if named or emptied else ():
                if isinstance(argument, nodes.Const):
                    yield path.name, str(argument.value)


def unmarked() -> Iterator[tuple[str, str]]:
    """Name and text of everything that our templates print in English whatever the language."""
    environment = pages.environment()
    for path in sorted((shared("templates") / "pdf").glob("*.html")):
        tree = environment.parse(path.read_text("utf-8"))
        text = "\x00".join(data.data for data in tree.find_all(nodes.TemplateData))
        text = re.sub(r"<style>.*?</style>", "", text, flags=re.DOTALL)
        text = re.sub(r"<[^>]*>", "\x00", text.replace("\x00", ""))
        for part in text.split("\x00"):
            if re.search(r"[A-Za-z]{2}", part):
                yield path.name, part.strip()


def written(record: Any) -> Iterator[str]:
    """Every text that the records of a project hold."""
    if isinstance(record, str):
        yield record
    elif is_dataclass(record):
        for one in fields(record):
            yield from written(getattr(record, one.name))
    elif isinstance(record, Mapping):
        for inner in record.values():
            yield from written(inner)
    elif isinstance(record, list | tuple):
        for inner in record:
            yield from written(inner)


def caution_words() -> list[str]:
    return list(CAUTIONS.values())
