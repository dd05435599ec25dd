"""Reading issued files back, as somebody else would."""

from __future__ import annotations

import io
import subprocess
from collections.abc import Iterator

import docx
from openpyxl import load_workbook


def pdf_text(data: bytes, first: int = 0, last: int = 0, how: str = "-layout") -> str:
    pages = ["-f", str(first), "-l", str(last)] if first else []
    done = subprocess.run(
        ["pdftotext", how, *pages, "-", "-"], input=data, capture_output=True, check=True
    )
    return done.stdout.decode()


def flat(text: str) -> str:
    return " ".join(text.split())


def docx_text(data: bytes) -> str:
    document = docx.Document(io.BytesIO(data))
    cells = [c.text for t in document.tables for r in t.rows for c in r.cells]
    return flat(" ".join([*(p.text for p in document.paragraphs), *cells]))


def xlsx_rows(data: bytes, sheet: int = 0) -> Iterator[tuple[object, ...]]:
    book = load_workbook(io.BytesIO(data))
    yield from book.worksheets[sheet].iter_rows(values_only=True)
