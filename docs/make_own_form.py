"""The client's form of docs/own-form.md, as somebody would draw it up in a word processor.

Usage: python docs/make_own_form.py   (writes docs/own-form/templates/procedure.docx)
"""

from __future__ import annotations

import io
from datetime import date
from pathlib import Path
from typing import Any

from docx import Document
from docx.oxml import OxmlElement
from docx.oxml.ns import qn
from docx.shared import Mm, Pt

from dossier.archive import canonical

PLACE = Path(__file__).parent / "own-form" / "templates" / "procedure.docx"
TOP = (
    ("Doc. no.", "{{ head.number }}", "Rev.", "{{ head.revision }}"),
    ("Job", "{{ head.project }} {{ head.project_title }}", "State", "{{ head.status }}"),
)
LABELS = ("Process", "Filler", "Size", "Direction")
CELLS = ("{{ r.cells[1] }}", "{{ r.cells[2] }}", "{{ r.cells[4] }}", "{{ r.cells[8] }}")


def _grid(document: Any, rows: int, columns: int) -> Any:
    table = document.add_table(rows, columns)
    table.style = "Table Grid"
    return table


def _repeated(row: Any) -> None:
    row._tr.get_or_add_trPr().append(OxmlElement("w:tblHeader"))
    row._tr.trPr[-1].set(qn("w:val"), "true")


def form() -> Any:
    """The form: a head, a grid of facts, the passes, cautions, three boxes to sign."""
    document = Document()
    section = document.sections[0]
    section.page_width, section.page_height = Mm(210), Mm(297)
    document.styles["Normal"].font.size = Pt(9)
    document.add_heading("Weld instruction {{ head.number }}", level=1)
    head = _grid(document, 2, 4)
    for row, texts in zip(head.rows, TOP, strict=True):
        for cell, text in zip(row.cells, texts, strict=True):
            cell.text = text
    document.add_heading("What it is for", level=2)
    facts = _grid(document, 3, 2)
    facts.rows[0].cells[0].text = "{%tr for f in identity + joint + heat %}"
    facts.rows[1].cells[0].text = "{{ f.label }}"
    facts.rows[1].cells[1].text = "{{ f.value }}"
    facts.rows[2].cells[0].text = "{%tr endfor %}"
    document.add_paragraph("{{ groove.svg }}")
    document.add_paragraph("{{ groove.note }}")
    document.add_heading("Passes", level=2)
    passes = _grid(document, 4, 5)
    for cell, text in zip(passes.rows[0].cells, ("Pass", *LABELS), strict=True):
        cell.text = text
    _repeated(passes.rows[0])
    passes.rows[1].cells[0].text = "{%tr for r in fillers.rows %}"
    for cell, text in zip(passes.rows[2].cells, ("{{ r.cells[0] }}", *CELLS), strict=True):
        cell.text = text
    passes.rows[3].cells[0].text = "{%tr endfor %}"
    for text in ("{%p for text in head.caution %}", "{{ text }}", "{%p endfor %}"):
        document.add_paragraph(text)
    signed = _grid(document, 3, 3)
    signed.rows[0].cells[0].text = "{%tr for box in head.signatures %}"
    for cell, field in zip(signed.rows[1].cells, ("role", "name", "on"), strict=True):
        cell.text = f"{{{{ box.{field} }}}}"
    signed.rows[2].cells[0].text = "{%tr endfor %}"
    return document


def main() -> None:
    """Write the form."""
    document = form()
    for style in list(document.styles):
        if style.type == 3 and style.name not in ("Normal Table", "Table Grid"):
            style.element.getparent().remove(style.element)
    for holder in (document.part, document.part.package):
        for key, relation in list(holder.rels.items()):
            if relation.reltype.endswith(("/stylesWithEffects", "/thumbnail", "/customXml")):
                del holder.rels[key]
    out = io.BytesIO()
    document.save(out)
    PLACE.parent.mkdir(parents=True, exist_ok=True)
    PLACE.write_bytes(canonical(out.getvalue(), date(2026, 1, 1)))


if __name__ == "__main__":
    main()
