"""The files of the evidence documents: are they there, and how many pages has each PDF?

Files are opened for reading only, and no page is looked at.
"""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from dossier.errors import InputError
from dossier.intake.paths import confined
from dossier.records.papers import Document
from dossier.records.scans import Scan


def scans(folder: Path, documents: Iterable[Document]) -> tuple[Scan, ...]:
    """What was found of the file of each document that names one, in their order."""
    return tuple(scan(folder, document) for document in documents if document.file)


def scan(folder: Path, document: Document) -> Scan:
    """What was found of the file of one document; a file that is no PDF is not opened."""
    try:
        path = confined(folder, document.file)
        found = path.is_file()
    except (InputError, OSError):
        return Scan(document=document.number, found=False)
    if not found:
        return Scan(document=document.number, found=False)
    if path.stat().st_size == 0:
        return Scan(document=document.number, found=True, unreadable="an empty file")
    if path.suffix.lower() != ".pdf":
        return Scan(document=document.number, found=True)
    return _counted(path, document)


def _counted(path: Path, document: Document) -> Scan:
    import pikepdf

    try:
        with pikepdf.open(path) as pdf:
            return Scan(document=document.number, found=True, pages=len(pdf.pages))
    except pikepdf.PasswordError:
        return Scan(document=document.number, found=True, unreadable="locked by a password")
    except Exception:  # noqa: BLE001 - a damaged file raises errors of any type
        return Scan(document=document.number, found=True, unreadable="no PDF that can be read")
