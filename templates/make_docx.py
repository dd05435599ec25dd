"""Make the docx templates: `python templates/make_docx.py`. The results are committed beside it."""

from __future__ import annotations

import io
import sys
from datetime import date
from pathlib import Path
from typing import Any

from docx import Document
from docx.enum.style import WD_STYLE_TYPE
from docx.enum.table import WD_TABLE_ALIGNMENT
from docx.oxml import OxmlElement
from docx.oxml.ns import qn
from docx.shared import Mm, Pt, RGBColor

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from dossier.archive import canonical

ACCENT = RGBColor(0x14, 0x5A, 0x6B)
SOFT = RGBColor(0x45, 0x54, 0x5C)
FONT = "DejaVu Sans Condensed"
WIDTH_MM = 180.0


def _element(name: str, **attributes: str) -> Any:
    made = OxmlElement(name)
    for key, value in attributes.items():
        made.set(qn(f"w:{key}"), value)
    return made


def _field(paragraph: Any, code: str) -> None:
    for kind, text in (("begin", ""), ("", code), ("separate", ""), ("", "1"), ("end", "")):
        run = paragraph.add_run()
        if kind:
            run._r.append(_element("w:fldChar", fldCharType=kind))
        elif text == code:
            instruction = _element("w:instrText")
            instruction.text = text
            run._r.append(instruction)
        else:
            run.text = text


def _borders(table: Any, *, boxed: bool = False) -> None:
    properties = table._tbl.tblPr
    borders = _element("w:tblBorders")
    for side in ("top", "left", "bottom", "right", "insideH", "insideV"):
        shown = boxed or side in ("bottom", "insideH", "top")
        borders.append(
            _element(f"w:{side}", val="single" if shown else "nil", sz="4", color="B9C5CA")
        )
    properties.append(borders)
    properties.append(_element("w:tblLayout", type="fixed"))
    margins = _element("w:tblCellMar")
    for side in ("left", "right"):
        margins.append(_element(f"w:{side}", w="60", type="dxa"))
    properties.append(margins)


def _write(cell: Any, text: str, *, bold: bool = False, colour: RGBColor | None = None) -> None:
    paragraph = cell.paragraphs[0]
    paragraph.paragraph_format.space_after = Pt(1)
    paragraph.paragraph_format.space_before = Pt(1)
    paragraph.paragraph_format.line_spacing = 1.0
    run = paragraph.add_run(text)
    run.bold = bold
    run.font.size = Pt(7.5)
    if colour is not None:
        run.font.color.rgb = colour


def _table(container: Any, rows: int, widths: list[float], *, boxed: bool = False) -> Any:
    if hasattr(container, "add_heading"):
        table = container.add_table(rows, len(widths))
    else:
        table = container.add_table(rows, len(widths), Mm(WIDTH_MM))
    table.alignment = WD_TABLE_ALIGNMENT.LEFT
    table.autofit = False
    _borders(table, boxed=boxed)
    whole = sum(widths)
    for row in table.rows:
        row._tr.get_or_add_trPr().append(_element("w:cantSplit"))
        for cell, width in zip(row.cells, widths, strict=True):
            cell.width = Mm(WIDTH_MM * width / whole)
    for column, width in zip(table._tbl.tblGrid.gridCol_lst, widths, strict=True):
        column.w = Mm(WIDTH_MM * width / whole)
    return table


def said(text: str) -> str:
    """The tag that prints a text in the language of the document."""
    quoted = text.replace("'", "\\'")
    return f"{{{{ _('{quoted}') }}}}"


def _heading(document: Any, text: str) -> None:
    paragraph = document.add_heading(text, level=2)
    paragraph.paragraph_format.space_before = Pt(9)
    paragraph.paragraph_format.space_after = Pt(3)
    paragraph.paragraph_format.keep_with_next = True


def _facts(document: Any, name: str) -> None:
    """Label and value, two facts a row."""
    table = _table(document, 3, [22, 28, 22, 28])
    _merge_tag(table.rows[0], f"{{%tr for pair in {name}|batch(2) %}}")
    cells = table.rows[1].cells
    for index in (0, 1):
        there = f"pair|length > {index}"
        label = f"{{{{ pair[{index}].label if {there} else '' }}}}"
        value = f"{{{{ pair[{index}].value if {there} else '' }}}}"
        _write(cells[2 * index], label, colour=SOFT)
        _write(cells[2 * index + 1], value, bold=True)
    _merge_tag(table.rows[2], "{%tr endfor %}")


def _merge_tag(row: Any, text: str) -> None:
    row.cells[0].text = text


def _rows(document: Any, name: str, widths: list[float]) -> None:
    """A table of the context: a heading row that repeats, then a row for each record."""
    table = _table(document, 4, widths)
    header = table.rows[0]
    header._tr.get_or_add_trPr().append(_element("w:tblHeader"))
    for index, cell in enumerate(header.cells):
        _write(cell, f"{{{{ {name}.columns[{index}].label }}}}", bold=True)
        cell._tc.get_or_add_tcPr().append(
            _element("w:shd", val="clear", color="auto", fill="E8EDEF")
        )
    _merge_tag(table.rows[1], f"{{%tr for r in {name}.rows %}}")
    for index, cell in enumerate(table.rows[2].cells):
        shade = f"{{% cellbg r.marks[{index}]|shade %}}"
        _write(cell, f"{shade}{{{{ r.cells[{index}] }}}}")
    _merge_tag(table.rows[3], "{%tr endfor %}")


def _note(document: Any, text: str) -> None:
    paragraph = document.add_paragraph()
    run = paragraph.add_run(text)
    run.font.size = Pt(7)
    run.font.color.rgb = SOFT
    paragraph.paragraph_format.space_after = Pt(2)


def _page(document: Any) -> None:
    section = document.sections[0]
    section.page_width, section.page_height = Mm(210), Mm(297)
    section.left_margin = section.right_margin = Mm(15)
    section.top_margin, section.bottom_margin = Mm(24), Mm(20)
    section.header_distance, section.footer_distance = Mm(10), Mm(9)
    for name, size, colour in (("Normal", 8.5, None), ("Heading 1", 15, ACCENT),
                               ("Heading 2", 10, ACCENT)):  # fmt: skip
        style = document.styles[name]
        style.font.name, style.font.size = FONT, Pt(size)
        fonts = style.element.get_or_add_rPr().get_or_add_rFonts()
        for theme in ("asciiTheme", "hAnsiTheme", "eastAsiaTheme", "cstheme"):
            fonts.attrib.pop(qn(f"w:{theme}"), None)
        for kind in ("ascii", "hAnsi", "cs", "eastAsia"):
            fonts.set(qn(f"w:{kind}"), FONT)
        style.paragraph_format.space_after = Pt(3)
        style.paragraph_format.line_spacing = 1.0
        if colour is not None:
            style.font.color.rgb = colour
    top = _table(section.header, 1, [60, 40])
    _write(top.rows[0].cells[0], "{{ head.project }} · {{ head.project_title }}", colour=SOFT)
    own = top.rows[0].cells[0].paragraphs[0]
    for text in ("{%p if head.look.logo %}", "{{ head.look.logo }}", "{%p endif %}"):
        own.insert_paragraph_before(text)
    line = top.rows[0].cells[0].add_paragraph()
    line.paragraph_format.space_after = Pt(1)
    run = line.add_run("{{ head.client }} / {{ head.contractor }}")
    run.font.size, run.font.color.rgb = Pt(7.5), SOFT
    for text in ("{%p if head.look.company %}", "{{ head.look.company|join(' · ') }}",
                 "{%p endif %}"):  # fmt: skip
        line = top.rows[0].cells[0].add_paragraph()
        line.paragraph_format.space_after = Pt(1)
        run = line.add_run(text)
        run.font.size, run.font.color.rgb = Pt(7.5), SOFT
    right = top.rows[0].cells[1]
    right.paragraphs[0].alignment = 2
    _write(
        right,
        f"{{{{ head.number }}}}  {said('revision')} {{{{ head.revision }}}}",
        bold=True,
        colour=ACCENT,
    )
    section.header.paragraphs[0]._p.getparent().remove(section.header.paragraphs[0]._p)
    last = section.header.add_paragraph()
    last.paragraph_format.space_after = Pt(0)
    last.add_run().font.size = Pt(2)
    foot = section.footer.paragraphs[0]
    foot.add_run(f"{{{{ head.title }}}} · {said('status')}: {{{{ head.status }}}} · "
                 f"{said('records to')} {{{{ head.as_of }}}} · {said('sheet')} ")  # fmt: skip
    _field(foot, "PAGE")
    foot.add_run(f" {said('of')} ")
    _field(foot, "NUMPAGES")
    for run in foot.runs:
        run.font.size, run.font.color.rgb = Pt(7), SOFT


def _approval(document: Any) -> None:
    table = _table(document, 4, [20, 30, 30, 20], boxed=True)
    for cell, text in zip(table.rows[0].cells, ("Role", "Name", "Post", "Date"), strict=True):
        _write(cell, said(text), bold=True)
    _merge_tag(table.rows[1], "{%tr for box in head.signatures %}")
    fields = ("role", "name", "post", "on")
    for cell, name in zip(table.rows[2].cells, fields, strict=True):
        _write(cell, f"{{{{ box.{name} }}}}")
    for cell in (*table.rows[0].cells, *table.rows[2].cells):
        cell.paragraphs[0].paragraph_format.keep_with_next = True
    table.rows[2].height = Mm(9)
    _merge_tag(table.rows[3], "{%tr endfor %}")


def _caution(document: Any) -> None:
    table = _table(document, 1, [100], boxed=True)
    cell = table.rows[0].cells[0]
    cell._tc.get_or_add_tcPr().append(_element("w:shd", val="clear", color="auto", fill="FDF7E8"))
    _write(cell, said("Caution"), bold=True)
    for text in ("{%p for text in head.caution %}", "{{ text }}", "{%p endfor %}"):
        paragraph = cell.add_paragraph()
        run = paragraph.add_run(text)
        run.font.size = Pt(7.5)
        paragraph.paragraph_format.space_after = Pt(1)


def _notes(document: Any) -> None:
    document.add_paragraph("{%p if notes %}")
    _heading(document, said("Notes"))
    for text in ("{%p for text in notes %}", "{{ loop.index }}. {{ text }}", "{%p endfor %}"):
        document.add_paragraph(text)
    document.add_paragraph("{%p endif %}")


def procedure() -> Any:
    """The template of the procedure sheet."""
    document = Document()
    _page(document)
    document.add_heading("{{ head.title }}", level=1).paragraph_format.space_before = Pt(0)
    _note(
        document,
        f"{{{{ preliminary }}}}{{% if change %}} {said('Change')}: {{{{ change }}}}{{% endif %}}",
    )
    _facts(document, "identity")
    _heading(document, said("Joint"))
    _facts(document, "joint")
    _note(document, "")
    pictures = _table(document, 2, [50, 50])
    for index, name in enumerate(("groove", "runs")):
        _write(pictures.rows[0].cells[index], f"{{{{ {name}.svg }}}}")
        _write(pictures.rows[1].cells[index], f"{{{{ {name}.note }}}}", colour=SOFT)
    _heading(document, said("Temperatures"))
    _facts(document, "heat")
    _heading(document, "{{ fillers.title }}")
    _rows(document, "fillers", [8, 8, 20, 8, 9, 11, 8, 10, 9, 9])
    _heading(document, "{{ parameters.title }}")
    _rows(document, "parameters", [6, 12, 10.5, 16.5, 9.5, 9.5, 14.5, 15, 8])
    _note(document, "{{ parameters.note }}")
    for chart in ("heat_input", "temperatures"):
        document.add_paragraph(f"{{%p if {chart}.svg %}}")
        document.add_paragraph(f"{{{{ {chart}.svg }}}}")
        _note(document, f"{{{{ {chart}.note }}}}")
        document.add_paragraph("{%p endif %}")
    for name, widths in (("preheat", [9, 15, 48, 14, 14]), ("cooling", [9, 19, 16, 16, 40])):
        _heading(document, f"{{{{ {name}.rows.title }}}}")
        _rows(document, f"{name}.rows", widths)
        _note(document, f"{{{{ {name}.rows.note }}}}")
    windows = _table(document, 2, [50, 50])
    for index, name in enumerate(("preheat", "cooling")):
        _write(windows.rows[0].cells[index], f"{{{{ {name}.chart.svg }}}}")
        _write(windows.rows[1].cells[index], f"{{{{ {name}.chart.note }}}}", colour=SOFT)
    _notes(document)
    document.add_paragraph("{%p for t in qualified %}")
    _heading(document, "{{ t.title }}")
    _rows(document, "t", [26, 44, 30])
    document.add_paragraph("{%p endfor %}")
    _heading(document, "{{ support.title }}")
    _rows(document, "support", [18, 18, 25, 26, 13])
    _note(document, "{{ support.note }}")
    _caution(document)
    _note(document, "")
    _approval(document)
    return document


def qualification() -> Any:
    """The template of the procedure qualification record."""
    document = Document()
    _page(document)
    document.add_heading("{{ head.title }}", level=1).paragraph_format.space_before = Pt(0)
    _note(document, f"{said('Supports')}: {{{{ used_by }}}}")
    _facts(document, "identity")
    _heading(document, said("Test piece"))
    _facts(document, "material")
    _note(document, "")
    picture = _table(document, 2, [100])
    _write(picture.rows[0].cells[0], "{{ groove.svg }}")
    _write(picture.rows[1].cells[0], "{{ groove.note }}", colour=SOFT)
    _heading(document, "{{ analysis.title }}")
    document.add_paragraph(
        "{% for c in analysis.columns %}{{ c.label }} {{ analysis.rows[0].cells[loop.index0] }}"
        "{{ '' if loop.last else '; ' }}{% endfor %}"
    )
    for name, widths in (
        ("fillers", [6, 9, 9, 21, 8, 9, 11, 8, 10, 9]),
        ("passes", [7, 11, 11, 14, 13, 11, 11, 11, 11]),
        ("tests", [18, 11, 23, 22, 14, 12]),
        ("hardness", [30, 20, 20, 18, 12]),
        ("qualified", [26, 44, 30]),
    ):
        _heading(document, f"{{{{ {name}.title }}}}")
        _rows(document, name, widths)
        _note(document, f"{{{{ {name}.note }}}}")
    _caution(document)
    _note(document, "")
    _approval(document)
    return document


def trimmed(document: Any) -> bytes:
    """The template without what the library's own start document has and no sheet uses."""
    used = {document.styles["Normal Table"].style_id}
    for style in list(document.styles):
        if style.type == WD_STYLE_TYPE.TABLE and style.style_id not in used:
            style.element.getparent().remove(style.element)
    for holder in (document.part, document.part.package):
        for key, relation in list(holder.rels.items()):
            if relation.reltype.endswith(("/stylesWithEffects", "/thumbnail", "/customXml")):
                del holder.rels[key]
    buffer = io.BytesIO()
    document.save(buffer)
    return canonical(buffer.getvalue(), date(2026, 1, 1))


def main() -> None:
    """Write the templates into the folder of this script."""
    folder = Path(__file__).resolve().parent / "docx"
    folder.mkdir(exist_ok=True)
    for name, made in (("procedure", procedure), ("qualification", qualification)):
        (folder / f"{name}.docx").write_bytes(trimmed(made()))


if __name__ == "__main__":
    main()
