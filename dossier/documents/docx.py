"""Sheets as docx for editing: templates in a sandbox, nothing lost without a word.

Left to its defaults the template engine drops text at "&" and "<" and prints unknown names as
blanks, so values are escaped, unknown names are errors, and the result is opened again and read.
"""

from __future__ import annotations

import io
from collections.abc import Iterator, Mapping
from datetime import date
from pathlib import Path
from typing import Any

from dossier.archive import canonical
from dossier.documents.plain import refuse_control_characters, texts
from dossier.documents.raster import png, title_of
from dossier.errors import DossierError
from dossier.resources import shared

SHADES = {
    "clear": "E0EFE6", "good": "E0EFE6", "note": "ECEFF1", "hold": "FBEDCC", "soon": "FBEDCC",
    "nonconformity": "F6D9D5", "bad": "F6D9D5", "cut-out": "D9BCCD",
}  # fmt: skip


_WIDE = ("heat_input", "temperatures")


class LostTextError(DossierError):
    """A value that went into a template is not in the document that came out."""


def render_docx(
    template: str, context: Mapping[str, Any], day: date, overrides: Path | None = None
) -> bytes:
    """The docx of one sheet, equal bytes for equal content; drawings go in as pictures.

    Every value at "svg" in the context becomes a picture. `overrides` is a project's own folder
    of templates. Raises InputError: a control character; jinja2.TemplateError: a template that
    names what the context lacks or does what the sandbox forbids; LostTextError.
    """
    from docxtpl import DocxTemplate
    from jinja2 import StrictUndefined
    from jinja2.sandbox import SandboxedEnvironment

    refuse_control_characters(context)
    own = overrides / template if overrides else None
    path = own if own is not None and own.is_file() else shared("templates") / "docx" / template
    document = DocxTemplate(str(path))
    environment = SandboxedEnvironment(autoescape=True, undefined=StrictUndefined)
    environment.filters["shade"] = lambda mark: SHADES.get(mark, "auto")
    titles: dict[bytes, str] = {}
    document.render(_pictured(context, document, titles), jinja_env=environment)
    for shape in document.docx.inline_shapes:
        embedded = shape._inline.graphic.graphicData.pic.blipFill.blip.embed
        picture = document.docx.part.related_parts[embedded].blob
        shape._inline.docPr.set("descr", titles.get(picture, ""))
    properties = document.docx.core_properties
    head = context["head"]
    properties.title = f"{head['number']} {head['title']}"
    properties.author = properties.last_modified_by = head["contractor"]
    properties.revision = 1
    out = io.BytesIO()
    document.save(out)
    data = canonical(out.getvalue(), day)
    _read_again(data, context)
    return data


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
            else:
                made[key] = _pictured(inner, document, titles, key in _WIDE)
        return made
    if isinstance(value, list):
        return [_pictured(inner, document, titles) for inner in value]
    return value


def _document_texts(data: bytes) -> Iterator[str]:
    import docx

    document = docx.Document(io.BytesIO(data))
    for paragraph in document.element.body.iter(f"{{{_W}}}p"):
        yield "".join(node.text or "" for node in paragraph.iter(f"{{{_W}}}t"))


_W = "http://schemas.openxmlformats.org/wordprocessingml/2006/main"


def _read_again(data: bytes, context: Mapping[str, Any]) -> None:
    """Every cell of every table of the context must stand in the document."""
    found = " ".join(" ".join(_document_texts(data)).split())
    for place, text in texts(context):
        if ".cells[" in place and " ".join(text.split()) not in found:
            raise LostTextError(f"{place}: {text!r} did not arrive in the document")
