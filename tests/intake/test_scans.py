"""Files of the evidence: there or not, pages counted, and why they cannot be."""

from __future__ import annotations

from pathlib import Path

import pikepdf
import pytest

from dossier.intake.scans import scans
from dossier.records.papers import Document
from dossier.records.scans import Scan
from tests.trial import paper


def found(folder: Path, file: str) -> Scan:
    (scan,) = scans(folder, [Document(number="D-1", title="Paper", file=file)])
    return scan


def test_pages_of_a_pdf_are_counted_whatever_case_its_name_has(tmp_path: Path) -> None:
    paper(tmp_path / "papers/a.PDF", 3)
    assert found(tmp_path, "papers/a.PDF") == Scan(document="D-1", found=True, pages=3)


def test_a_document_without_a_file_is_not_looked_for(tmp_path: Path) -> None:
    assert scans(tmp_path, [Document(number="D-1", title="Paper")]) == ()


@pytest.mark.parametrize("file", ["gone.pdf", "folder", "../out.pdf", "/etc/hosts"])
def test_what_is_no_file_of_the_project_is_not_found(tmp_path: Path, file: str) -> None:
    (tmp_path / "folder").mkdir()
    assert found(tmp_path, file) == Scan(document="D-1", found=False)


def test_a_photograph_is_there_and_is_not_opened(tmp_path: Path) -> None:
    (tmp_path / "a.jpg").write_bytes(b"no picture at all")
    assert found(tmp_path, "a.jpg") == Scan(document="D-1", found=True)


@pytest.mark.parametrize(
    ("content", "why"), [(b"", "an empty file"), (b"no page", "no PDF that can be read")]
)
def test_a_damaged_file_says_why(tmp_path: Path, content: bytes, why: str) -> None:
    (tmp_path / "a.pdf").write_bytes(content)
    assert found(tmp_path, "a.pdf") == Scan(document="D-1", found=True, unreadable=why)


def test_a_locked_file_says_so(tmp_path: Path) -> None:
    with pikepdf.new() as pdf:
        pdf.add_blank_page()
        pdf.save(tmp_path / "a.pdf", encryption=pikepdf.Encryption(owner="one", user="two"))
    assert found(tmp_path, "a.pdf").unreadable == "locked by a password"


def test_reading_leaves_the_file_as_it_was(tmp_path: Path) -> None:
    paper(tmp_path / "a.pdf", 2)
    before = (tmp_path / "a.pdf").read_bytes()
    assert found(tmp_path, "a.pdf").pages == 2
    assert (tmp_path / "a.pdf").read_bytes() == before
