"""Sheets as docx for editing: templates in a sandbox, nothing lost without a word.

Left to its defaults the template engine drops text at "&" and "<" and prints unknown names as
blanks, so values are escaped, unknown names are errors, and the result is opened again and read.
"""

from __future__ import annotations

import base64
import io
import re
import zipfile
from collections.abc import Iterator, Mapping
from datetime import date
from pathlib import Path
from typing import Any

from dossier.archive import canonical
from dossier.documents.guard import guarded
from dossier.documents.language import catalogue, translated
from dossier.documents.plain import refuse_control_characters, texts
from dossier.documents.raster import png, title_of
from dossier.errors import DossierError
from dossier.resources import shared

_WIDE = ("heat_input", "temperatures")
_W = "{http://schemas.openxmlformats.org/wordprocessingml/2006/main}"


class LostTextError(DossierError):
    """A value that went into a template is not in the document that came out."""


def render_docx(
    template: str, context: Mapping[str, Any], day: date, overrides: Path | None = None
) -> bytes:
    """The docx of one sheet, equal bytes for equal content; drawings go in as pictures.

    Every value at "svg" in the context becomes a picture. `overrides` is a project's own folder
    of templates. Raises InputError: a control character, a template of the project that takes too
    long or too much, holds what is refused, names what the context lacks or does what the sandbox
    forbids; LostTextError.
    """
    from dossier.documents.docx_template import template_path

    refuse_control_characters(context)
    path = template_path(template, overrides)
    if path.is_relative_to(shared("templates")):
        return _made(path, context, day, own=False)
    data: bytes = guarded(_made, path, context, day, True)
    return data


def _made(path: Path, context: Mapping[str, Any], day: date, own: bool) -> bytes:
    from dossier.documents.docx_template import (
        PRINTED,
        Template,
        environment,
        has_breaks,
        template_bytes,
    )

    look = context["head"]["look"]
    said = translated(context, catalogue(look["language"]))
    made = environment(look["language"], own)
    document = Template(template_bytes(path, look, own), made, has_breaks(texts(said)))
    document.init_docx()
    titles: dict[bytes, str] = {}
    PRINTED.clear()
    document.render(_pictured(said, document, titles), jinja_env=made)
    _describe(document.docx, said["head"], titles)
    out = io.BytesIO()
    document.save(out)
    data = canonical(out.getvalue(), day)
    _read_again(data, {"printed": list(PRINTED)} if own else _cells(said))
    return data


def _describe(document: Any, head: Mapping[str, Any], titles: Mapping[bytes, str]) -> None:
    for shape in document.inline_shapes:
        embedded = shape._inline.graphic.graphicData.pic.blipFill.blip.embed
        picture = document.part.related_parts[embedded].blob
        shape._inline.docPr.set("descr", titles.get(picture, ""))
    properties = document.core_properties
    properties.title = f"{head['number']} {head['title']}"
    properties.author = properties.last_modified_by = head["contractor"]
    properties.revision = 1


def _pictured(value: Any, document: Any, titles: dict[bytes, str], wide: bool = False) -> Any:
    """The context with every drawing as a picture; `titles` gathers what each one shows."""
    from docx.shared import Mm
    from docxtpl import InlineImage

    if isinstance(value, Mapping):
        made = {}
        for key, inner in value.items():
            if key == "svg" and inner:
                picture = png(inner)
                titles[picture] = title_of(inner)
                width = Mm(130 if wide else 82)
                made[key] = InlineImage(document, io.BytesIO(picture), width=width)
            elif key == "logo" and inner:
                data = base64.b64decode(inner.partition(",")[2])
                made[key] = InlineImage(document, io.BytesIO(data), height=Mm(9))
            else:
                made[key] = _pictured(inner, document, titles, key in _WIDE)
        return made
    if isinstance(value, list):
        return [_pictured(inner, document, titles) for inner in value]
    return value


def _document_texts(data: bytes) -> Iterator[str]:
    """The text of every paragraph, those in tables, heads and feet too."""
    from docx.oxml import parse_xml

    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        for name in archive.namelist():
            if re.fullmatch(r"word/(document|header\d*|footer\d*|footnotes)\.xml", name):
                for paragraph in parse_xml(archive.read(name)).iter(f"{_W}p"):
                    yield "".join(node.text or "" for node in paragraph.iter(f"{_W}t"))


def _cells(context: Mapping[str, Any]) -> dict[str, str]:
    """Every cell of every table, by its place."""
    return {place: text for place, text in texts(context) if ".cells[" in place}


def _read_again(data: bytes, wanted: Mapping[str, Any]) -> None:
    """Every text of `wanted` must stand in the document."""
    found = _flat(" ".join(_document_texts(data)))
    for place, text in texts(wanted):
        if _flat(text) not in found:
            raise LostTextError(f"{place}: {text!r} did not arrive in the document")


def _flat(text: str) -> str:
    return " ".join(text.split())
