"""Documents issued alone claim PDF/A-3a and PDF/UA-1, and have what the claims need."""

from __future__ import annotations

import io
from collections.abc import Iterator, Mapping
from typing import Any

import pikepdf
import pytest

from dossier.coverage.view import View
from dossier.documents import procedure
from dossier.documents.answers import Answers
from dossier.documents.pages import page
from dossier.documents.pdf import render, render_document
from tests.documents import example


@pytest.fixture(scope="module")
def sheet(seen: View, answers: Answers) -> Mapping[str, Any]:
    return procedure.context(seen, example.WPS, answers, "HX-WPS-1")


@pytest.fixture(scope="module")
def alone(sheet: Mapping[str, Any]) -> bytes:
    return render_document(page("procedure.html", sheet))


def _parts(node: Any) -> Iterator[Any]:
    for part in node.get("/K", []) if isinstance(node, pikepdf.Dictionary) else []:
        if isinstance(part, pikepdf.Dictionary) and "/S" in part:
            yield part
            yield from _parts(part)


def test_claims_title_language_and_tags(alone: bytes) -> None:
    with pikepdf.open(io.BytesIO(alone)) as pdf:
        with pdf.open_metadata() as metadata:
            assert metadata["pdfaid:part"] == "3"
            assert metadata["pdfaid:conformance"] == "A"
            assert metadata["pdfuaid:part"] == "1"
            assert "WPS" in metadata["dc:title"]
        assert str(pdf.Root.Lang) == "en"
        assert pdf.Root.MarkInfo.Marked
        assert pdf.Root.ViewerPreferences.DisplayDocTitle


def test_every_header_cell_has_its_scope_and_every_figure_its_words(alone: bytes) -> None:
    with pikepdf.open(io.BytesIO(alone)) as pdf:
        parts = list(_parts(pdf.Root.StructTreeRoot))
        scopes = [part.A.Scope for part in parts if part.S == "/TH"]
        figures = [str(part.get("/Alt", "")) for part in parts if part.S == "/Figure"]
    assert len(scopes) > 10
    assert set(scopes) == {"/Column"}
    assert len(figures) >= 4
    assert all(figures)


def test_pictures_are_not_smoothed() -> None:
    dot = ("data:image/png;base64,iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAIAAACQd1PeAAAADElEQVR4nGNg"
           "YGAAAAAEAAH2FzhVAAAAAElFTkSuQmCC")  # fmt: skip
    html = f"<html lang=en><title>t</title><img alt=dot src='{dot}'></html>"
    with pikepdf.open(io.BytesIO(render([html]).data)) as pdf:
        pictures = [o for o in pdf.objects if isinstance(o, pikepdf.Stream)
                    and o.get("/Subtype") == "/Image"]  # fmt: skip
        assert len(pictures) == 1
        assert pictures[0].get("/Interpolate", False) is False


def test_pages_to_be_bound_claim_no_tags(sheet: Mapping[str, Any]) -> None:
    bound = io.BytesIO(render([page("procedure.html", sheet)]).data)
    with pikepdf.open(bound) as pdf, pdf.open_metadata() as metadata:
        assert metadata["pdfaid:conformance"] == "B"
        assert "pdfuaid:part" not in metadata
