"""The issued files: the same values in every form, nothing lost, nothing executed, equal bytes."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

import docx
import jinja2
import pikepdf
import pytest
from docxtpl import DocxTemplate
from openpyxl import load_workbook

from dossier.coverage.view import View
from dossier.documents import (
    findings,
    procedure,
    registers,
)
from dossier.documents.answers import Answers
from dossier.documents.docx import LostTextError, _read_again, render_docx
from dossier.documents.docx import _cells as docx_cells
from dossier.documents.files import write_whole
from dossier.documents.issue import procedure_sheets, register_files, welder_matrix_files
from dossier.documents.joint_history import joint_history_pdf
from dossier.documents.pages import environment, page
from dossier.documents.pdf import render
from dossier.documents.plain import texts
from dossier.documents.sheet import columns, head, row, table
from dossier.documents.xlsx import HEADING_ROW, Sheet, workbook
from dossier.errors import InputError
from dossier.resources import shared
from tests.documents import example
from tests.documents.reading import docx_text, flat, pdf_text, xlsx_rows


@pytest.fixture(scope="module")
def sheet(seen: View, answers: Answers) -> Mapping[str, Any]:
    return procedure.context(seen, example.WPS, answers, "HX-204-WPS-0001")


@pytest.fixture(scope="module")
def issued(seen: View, tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("issued")
    procedure_sheets(seen, example.findings(), folder)
    welder_matrix_files(seen, example.findings(), folder)
    register_files(seen, example.findings(), folder)
    return folder


def _cells(context: object) -> set[str]:
    return {flat(text) for place, text in texts(context) if ".cells[" in place}


def test_every_value_of_a_sheet_stands_in_docx_and_pdf(sheet, issued: Path) -> None:  # type: ignore[no-untyped-def]
    in_docx = docx_text((issued / "WPS-01_rev_1.docx").read_bytes())
    in_pdf = flat(pdf_text((issued / "WPS-01_rev_1.pdf").read_bytes()))
    words = {word for text in _cells(sheet) for word in text.split()}
    words |= {w for f in sheet["identity"] for w in f["value"].split()}
    assert {w for w in words if w not in in_docx} == set()
    assert {w for w in words if w not in in_pdf} == set()


def test_marks_of_markup_survive_in_every_form(issued: Path, seen: View, tmp_path: Path) -> None:
    in_docx = docx_text((issued / "WPS-01_rev_1.docx").read_bytes())
    assert "wall range < 19.1 mm" in in_docx
    assert "brush & grind" in in_docx
    header = docx.Document(issued / "WPS-01_rev_1.docx").sections[0].header
    told = " ".join(c.text for t in header.tables for r in t.rows for c in r.cells)
    assert "Invented Pipelines <East>" in told
    pdf = flat(pdf_text((issued / "WPS-01_rev_1.pdf").read_bytes()))
    assert "Invented Pipelines <East>" in pdf
    assert "Harrow Fen to Cold Ash & tie-ins" in pdf
    path = joint_history_pdf(seen, example.findings(), "ML-002", tmp_path / "h.pdf")
    assert "& cannot be < 10 min" in flat(pdf_text(path.read_bytes(), how="-raw"))


def test_a_sheet_shows_number_revision_pages_status_and_caution_on_paper(issued: Path) -> None:
    data = (issued / "WPS-01_rev_1.pdf").read_bytes()
    with pikepdf.open(io.BytesIO(data)) as pdf:
        total = len(pdf.pages)
    for number in range(1, total + 1):
        text = flat(pdf_text(data, number, number))
        assert "HX-204-WPS-0001" in text
        assert "revision 1" in text
        assert f"sheet {number} of {total}" in text
        assert "status: issued" in text
    whole = flat(pdf_text(data))
    assert "hot work permit" in whole
    assert "R. Marsh" in whole


def test_heading_rows_repeat_on_every_page(seen: View) -> None:
    many = [row([f"J-{n}", "x"]) for n in range(200)]
    data = registers.Register(
        head=head(seen, number="N-1", title="Long register"), strips=[], note="",
        rows=table("", columns(("Joint number", 1), ("Remark", 1)), many),
    )  # fmt: skip
    made = render([page("register.html", data)])
    assert made.pages[0] > 3
    for number in range(1, made.pages[0] + 1):
        assert "Joint number" in pdf_text(made.data, number, number)


def test_docx_heading_rows_are_marked_to_repeat(issued: Path) -> None:
    document = docx.Document(issued / "WPS-01_rev_1.docx")
    marked = [t for t in document.tables if t.rows[0]._tr.xpath("w:trPr/w:tblHeader")]
    assert len(marked) >= 4
    assert all(s._inline.docPr.get("descr") for s in document.inline_shapes)
    assert len(document.inline_shapes) == 5


def test_files_are_equal_twice(seen: View, issued: Path, tmp_path: Path) -> None:
    procedure_sheets(seen, [], tmp_path)
    welder_matrix_files(seen, [], tmp_path)
    register_files(seen, example.findings(), tmp_path)
    names = sorted(p.name for p in issued.iterdir())
    assert names == sorted(p.name for p in tmp_path.iterdir())
    differing = [n for n in names if (issued / n).read_bytes() != (tmp_path / n).read_bytes()]
    assert differing == []


def test_each_document_of_a_chunk_counts_its_own_sheets(sheet) -> None:  # type: ignore[no-untyped-def]
    html = page("procedure.html", sheet)
    one, two = render([html]), render([html, html])
    assert two.pages == one.pages * 2
    last = two.pages[0] * 2
    assert f"sheet {one.pages[0]} of {one.pages[0]}" in flat(pdf_text(two.data, last, last))


def test_pdf_claims_archival_form_with_embedded_fonts(issued: Path) -> None:
    with pikepdf.open(issued / "WPS-01_rev_1.pdf") as pdf:
        with pdf.open_metadata() as metadata:
            assert metadata.pdfa_status == "3A"
        assert "/OutputIntents" in pdf.Root
        fonts = [f for p in pdf.pages for f in p.resources.get("/Font", {}).values()]
        assert fonts
        for font in fonts:
            assert "/FontFile2" in font.DescendantFonts[0].FontDescriptor
            assert "Dossier-Sans" in str(font.BaseFont)


@pytest.mark.parametrize("bad", ["a\x0bb", "a\x00b", "a\uffffb"])
def test_control_characters_are_refused_with_their_place(seen, sheet, bad: str) -> None:  # type: ignore[no-untyped-def]
    spoiled = {**sheet, "notes": [bad]}
    for issue in (
        lambda: page("procedure.html", spoiled),
        lambda: render_docx("procedure.docx", spoiled, example.AS_OF),
        lambda: workbook(head(seen, number=bad, title=""), [], example.AS_OF),
    ):
        with pytest.raises(InputError, match="control character"):
            issue()


def test_a_character_without_a_glyph_is_refused_with_its_place(sheet) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(InputError, match=r"notes\[0\].*U\+6F22"):
        page("procedure.html", {**sheet, "notes": ["\u6f22"]})


def _own_template(folder: Path, body: str) -> Path:
    (folder / "own.html").write_text(body, encoding="utf-8")
    return folder


@pytest.mark.parametrize(
    "body",
    [
        "{{ cycler.__init__.__globals__ }}",
        "{{ ''.__class__.__mro__[1].__subclasses__() }}",
        "{{ head.__class__.__base__ }}",
    ],
)
def test_a_template_cannot_run_code(sheet, tmp_path: Path, body: str) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(InputError, match=r"own\.html: (SecurityError|UndefinedError)"):
        page("own.html", sheet, _own_template(tmp_path, body))


def test_a_template_cannot_name_what_is_not_there(sheet, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(InputError, match=r"own\.html: UndefinedError"):
        page("own.html", sheet, _own_template(tmp_path, "{{ head.nummer }}"))


@pytest.mark.parametrize(
    "body",
    [
        '<link rel="attachment" href="file:///etc/passwd">',
        '<img src="file:///etc/hostname">',
        '<img src="http://127.0.0.1:9/x.png">',
        '<link rel="stylesheet" href="../../pyproject.toml">',
    ],
)
def test_a_page_cannot_fetch_a_file(body: str) -> None:
    with pytest.raises(InputError, match="may not read"):
        render([f"<title>x</title>{body}<p>x"])


def test_a_docx_template_cannot_run_code_nor_name_the_unknown(sheet, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
    for name, body, error in (
        ("run.docx", "{{ cycler.__init__.__globals__.os }}", "SecurityError"),
        ("unknown.docx", "{{ head.nummer }}", "UndefinedError"),
    ):
        document = docx.Document()
        document.add_paragraph(body)
        document.save(tmp_path / name)
        with pytest.raises(InputError, match=f"{name}: {error}"):
            render_docx(name, sheet, example.AS_OF, tmp_path)


def test_a_docx_that_lost_a_value_is_not_issued(sheet) -> None:  # type: ignore[no-untyped-def]
    empty = io.BytesIO()
    docx.Document().save(empty)
    with pytest.raises(LostTextError):
        _read_again(empty.getvalue(), docx_cells(sheet))


def test_the_committed_docx_template_uses_only_names_of_the_context(sheet) -> None:  # type: ignore[no-untyped-def]
    template = DocxTemplate(str(shared("templates") / "docx" / "procedure.docx"))
    known = jinja2.Environment(autoescape=True)
    known.filters["shade"] = str
    assert template.get_undeclared_template_variables(jinja_env=known) <= {*sheet, "_"}


def test_a_drawing_filter_takes_only_drawings() -> None:
    with pytest.raises(InputError, match="drawing"):
        environment().filters["svg"]("<script>")


def test_workbook_has_filters_frozen_heading_print_titles_and_a4(issued: Path) -> None:
    book = load_workbook(issued / "joint_register.xlsx")
    page_ = book.worksheets[0]
    assert page_.freeze_panes == f"A{HEADING_ROW + 1}"
    assert page_.print_title_rows == f"${HEADING_ROW}:${HEADING_ROW}"
    listed = page_.tables["Records1"]
    assert listed.ref == listed.autoFilter.ref == f"A{HEADING_ROW}:Q{HEADING_ROW + 6}"
    assert listed.column_names == [c.value for c in page_[HEADING_ROW]]
    assert page_.print_area.replace("$", "") == f"'Joint register'!A1:Q{HEADING_ROW + 6}"
    assert int(page_.page_setup.paperSize) == 9
    assert page_.page_setup.orientation == "landscape"
    assert page_.sheet_properties.pageSetUpPr.fitToPage  # else the width below is not kept
    assert (page_.page_setup.fitToWidth, page_.page_setup.fitToHeight) == (1, 0)


def test_workbook_holds_figures_as_numbers_with_the_unit_in_the_heading(issued: Path) -> None:
    rows = list(xlsx_rows((issued / "joint_register.xlsx").read_bytes()))
    heading = rows[HEADING_ROW - 1]
    first = dict(zip(heading, rows[HEADING_ROW], strict=True))
    assert first["Diameter, mm"] == 323.9
    assert first["Wall, mm"] == 12.7
    assert first["Joint"] == "ML-001"
    assert len(rows) == HEADING_ROW + 6


def test_workbook_text_is_never_a_formula(seen: View) -> None:
    evil = ["=1+1", "+cmd", "-2+3", "@sum", '=HYPERLINK("x")', "_x0041_"]
    part = table("", columns(("Remark", 1)), [row([text]) for text in evil])
    data = workbook(head(seen, number="N", title="T"), [Sheet("S", part)], example.AS_OF)
    cells = [r[0] for r in load_workbook(io.BytesIO(data)).worksheets[0].iter_rows(min_row=5)]
    assert [c.data_type for c in cells] == ["s"] * len(evil)
    assert [c.value for c in cells][:5] == evil[:5]
    assert all(c.quotePrefix for c in cells[:5])
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        assert b"<f>" not in archive.read("xl/worksheets/sheet1.xml")


def test_matrix_workbook_has_a_sheet_by_welder_and_one_by_need(issued: Path) -> None:
    book = load_workbook(issued / "welder_matrix.xlsx")
    assert book.sheetnames == ["By welder", "By joint need", "Needs", "Lapses ahead"]
    letters = [r[2].value for r in book["By joint need"].iter_rows(min_row=HEADING_ROW + 1)]
    assert letters == ["F", "F", "-"]


def test_report_on_paper_gives_found_permitted_clause_proof_and_cure(seen: View) -> None:
    html = page("check_report.html", findings.context(seen, example.findings(), "N"))
    text = flat(pdf_text(render([html]).data))
    for told in ("323.9 mm", "60.3 mm to 219.1 mm", "API 1104, 21st edition, 6.2.2",
                 "joints.xlsx, Log!A5", "have the weld dispositioned"):  # fmt: skip
        assert told in text


def test_an_interrupted_write_leaves_the_old_file(tmp_path: Path, monkeypatch) -> None:  # type: ignore[no-untyped-def]
    target = write_whole(tmp_path / "a.txt", b"old")

    def broken(*_: object) -> None:
        raise OSError("full")

    monkeypatch.setattr(Path, "replace", broken)
    with pytest.raises(OSError, match="full"):
        write_whole(target, b"new")
    assert target.read_bytes() == b"old"
    assert [p.name for p in tmp_path.iterdir()] == ["a.txt"]


def test_a_sheet_without_a_drawable_joint_says_why(seen: View, answers: Answers) -> None:
    bare = replace(example.WPS, groove=replace(example.GROOVE, angle_deg=None))
    data = procedure.context(seen, bare, answers, "N")
    assert data["groove"]["svg"] == ""
    assert "angle_deg" in data["groove"]["note"]
    assert render_docx("procedure.docx", data, example.AS_OF)
