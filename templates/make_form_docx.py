"""Make the docx templates of the forms: `python templates/make_form_docx.py`."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

from docx import Document
from docx.shared import Mm, Pt

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))
sys.path.insert(0, str(Path(__file__).resolve().parent))

from make_docx import (
    _approval,
    _caution,
    _element,
    _facts,
    _heading,
    _merge_tag,
    _note,
    _page,
    _table,
    _write,
    trimmed,
)

# Template -> part -> (widths of its columns, height of its rows in mm).
FORMS: dict[str, dict[str, tuple[list[float], float]]] = {
    "fit-up-sheet": {"joints": ([10, 14, 20, 7, 7, 11, 10, 11, 10], 12)},
    "daily-sheet": {"*": ([8, 10, 21, 8, 9, 7, 7, 6, 6, 7, 6, 7], 8)},
    "nonconformity-sheets": {"particulars": ([22, 78], 8), "findings": ([14, 50, 36], 6)},
    "concession-sheets": {"particulars": ([22, 78], 8), "findings": ([14, 50, 36], 6)},
    "transmittal": {
        "particulars": ([30, 70], 8),
        "sent": ([6, 24, 40, 10, 10, 10], 6),
        "receipt": ([35, 25, 15, 25], 12),
    },
    "comment-sheet": {"comments": ([5, 18, 8, 30, 7, 23, 9], 12), "codes": ([10, 90], 6)},
    "conformity-draft": {
        "scope": ([11, 25, 16, 16, 16, 8, 8], 6),
        "open": ([25, 55, 20], 6),
        "exceptions": ([16, 16, 36, 18, 14], 6),
    },
}


def _form_rows(document: Any, name: str, widths: list[float], height_mm: float) -> None:
    """A ruled table of the context; its rows are never lower than `height_mm`."""
    table = _table(document, 4, widths, boxed=True)
    header = table.rows[0]
    header._tr.get_or_add_trPr().append(_element("w:tblHeader"))
    for index, cell in enumerate(header.cells):
        _write(cell, f"{{{{ {name}.columns[{index}].label }}}}", bold=True)
        cell._tc.get_or_add_tcPr().append(
            _element("w:shd", val="clear", color="auto", fill="E8EDEF")
        )
    _merge_tag(table.rows[1], f"{{%tr for r in {name}.rows %}}")
    table.rows[2].height = Mm(height_mm)
    for index, cell in enumerate(table.rows[2].cells):
        shade = f"{{% cellbg r.marks[{index}]|shade %}}"
        _write(cell, f"{shade}{{{{ r.cells[{index}] }}}}")
    _merge_tag(table.rows[3], "{%tr endfor %}")


def _part(document: Any, name: str, widths: list[float], height_mm: float) -> None:
    document.add_paragraph(f"{{%p if {name}.rows.title %}}")
    _heading(document, f"{{{{ {name}.rows.title }}}}")
    document.add_paragraph("{%p endif %}")
    document.add_paragraph(f"{{%p if {name}.rows.rows %}}")
    _form_rows(document, f"{name}.rows", widths, height_mm)
    document.add_paragraph("{%p else %}")
    document.add_paragraph(f"{{{{ {name}.empty }}}}")
    document.add_paragraph("{%p endif %}")
    _note(document, f"{{{{ {name}.rows.note }}}}")


def form(parts: dict[str, tuple[list[float], float]]) -> Any:
    """The template of one form; the part "*" stands for every part of the document."""
    document = Document()
    _page(document)
    document.add_heading("{{ head.title }}", level=1).paragraph_format.space_before = Pt(0)
    _note(document, "{{ lead }}")
    _facts(document, "facts")
    for text in ("{%p for text in words %}", "{{ text }}", "{%p endfor %}"):
        document.add_paragraph(text)
    for name, (widths, height_mm) in parts.items():
        if name == "*":
            document.add_paragraph("{%p for p in content.values() %}")
            _part(document, "p", widths, height_mm)
            document.add_paragraph("{%p endfor %}")
        else:
            _part(document, f"content.{name}", widths, height_mm)
    document.add_paragraph("{%p if head.caution %}")
    _caution(document)
    document.add_paragraph("{%p endif %}")
    _note(document, "")
    _approval(document)
    return document


def main() -> None:
    """Write the templates into the folder of this script."""
    folder = Path(__file__).resolve().parent / "docx"
    for name, parts in FORMS.items():
        (folder / f"{name}.docx").write_bytes(trimmed(form(parts)))


if __name__ == "__main__":
    main()
