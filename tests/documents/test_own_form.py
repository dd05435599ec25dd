"""The client's form of the documentation works as it says."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

from dossier.coverage.view import View
from dossier.documents import procedure
from dossier.documents.answers import Answers
from dossier.documents.docx import render_docx
from dossier.documents.template_check import checked
from tests.documents import example
from tests.documents.reading import docx_text

DOCS = Path(__file__).resolve().parents[2] / "docs"
FORM = DOCS / "own-form" / "templates"


def test_the_form_has_no_fault_and_is_filled_in(seen: View, answers: Answers) -> None:
    slips = list(checked(FORM))
    assert [str(slip) for slip in slips if slip.fault] == []
    assert len(slips) == 1
    sheet = procedure.context(seen, example.WPS, answers, "HX-WPS-1")
    data = render_docx("procedure.docx", sheet, seen.as_of, FORM)
    text = docx_text(data)
    assert "Weld instruction HX-WPS-1" in text
    for one in (*sheet["identity"], *sheet["joint"], *sheet["heat"]):
        assert " ".join(one["value"].split()) in text
    for row in sheet["fillers"]["rows"]:
        assert row["cells"][2] in text
    assert render_docx("procedure.docx", sheet, seen.as_of, FORM) == data


def test_the_page_names_what_the_check_says() -> None:
    page = (DOCS / "own-form.md").read_text(encoding="utf-8")
    (slip,) = checked(FORM)
    told = str(slip).split("preheat")[0]
    assert told in page


def test_the_form_is_what_its_script_makes(tmp_path: Path) -> None:
    code = (
        "import sys, pathlib; sys.path.insert(0, sys.argv[1]); import make_own_form as m; "
        "m.PLACE = pathlib.Path(sys.argv[2]); m.main()"
    )
    made = tmp_path / "procedure.docx"
    subprocess.run([sys.executable, "-c", code, str(DOCS), str(made)], check=True, cwd=DOCS.parent)
    assert made.read_bytes() == (FORM / "procedure.docx").read_bytes()
