"""Evidence documents of the project as PDF pages: scans and pictures, found and opened safely."""

from __future__ import annotations

import io
import time
from dataclasses import dataclass
from pathlib import Path

import pikepdf

from dossier.records.papers import Document

_PICTURES = (".png", ".jpg", ".jpeg", ".tif", ".tiff")
_LONG_AGO = time.gmtime(0)


@dataclass(frozen=True, slots=True)
class Paper:
    """An evidence document: its PDF, or why there is none."""

    document: Document
    data: bytes
    pages: int
    archival: bool  # claims PDF/A itself
    lacking: str = ""


def open_paper(document: Document, folder: Path) -> Paper:
    """Read one evidence document below the project's folder.

    A file that is missing, outside the folder, encrypted or broken yields a paper without pages
    that says why, so that the dossier is built and tells.
    """
    if not document.file:
        return _none(document, "no file is named in the register")
    path = (folder / document.file).resolve()
    if not path.is_relative_to(folder.resolve()):
        return _none(document, "the file lies outside the project's folder")
    if not path.is_file():
        return _none(document, f"the file {document.file} is missing")
    try:
        data = _picture(path) if path.suffix.lower() in _PICTURES else path.read_bytes()
        with pikepdf.open(io.BytesIO(data)) as pdf:
            return Paper(document, data, len(pdf.pages), _claims_archival(pdf))
    except pikepdf.PasswordError:
        return _none(document, f"the file {document.file} is locked by a password")
    except (pikepdf.PdfError, OSError, ValueError) as error:
        return _none(document, f"the file {document.file} cannot be read ({type(error).__name__})")


def _none(document: Document, why: str) -> Paper:
    return Paper(document, b"", 0, archival=True, lacking=why)


def _claims_archival(pdf: pikepdf.Pdf) -> bool:
    with pdf.open_metadata() as metadata:
        return bool(metadata.pdfa_status)


def _picture(path: Path) -> bytes:
    """A scanned picture, each of its frames as a page, at the size its resolution gives."""
    from PIL import Image, ImageSequence

    out = io.BytesIO()
    with Image.open(path) as picture:
        dots = picture.info.get("dpi", (150, 150))[0] or 150
        frames = [frame.convert("RGB") for frame in ImageSequence.Iterator(picture)]
    frames[0].save(
        out, "PDF", save_all=True, append_images=frames[1:], resolution=float(dots),
        creationDate=_LONG_AGO, modDate=_LONG_AGO,
    )  # fmt: skip
    return out.getvalue()
