"""Evidence documents of the project as PDF pages: scans and pictures, found and opened safely."""

from __future__ import annotations

import io
from dataclasses import dataclass
from pathlib import Path

import pikepdf

from dossier.errors import InputError
from dossier.handover.normalise import normalise
from dossier.handover.pictures import ENDINGS, picture_pdf
from dossier.handover.store import Store, digest_of
from dossier.intake.paths import confined
from dossier.records.papers import Document

_FORM = "evidence 4"  # counts up when normalising changes, so that old results are not used

# What the PDF library says of a file whose table of objects it had to make anew: all pages may be
# there, which only the register can tell. Where the file ends too soon, the pictures of a page may
# be gone though the pages are all there.
_REBUILT = ("file is damaged", "reconstruct cross-reference table")
_CUT = "EOF"


@dataclass(frozen=True, slots=True)
class Paper:
    """An evidence document: the PDF to be bound in, or why there is none."""

    document: Document
    path: Path
    pages: int
    digest: str  # of the file as filed
    archival: bool = True  # claims PDF/A itself, or was made so
    key: str = ""  # of the store, where it says whether the file had to be put in order
    lacking: str = ""


def open_paper(document: Document, folder: Path, store: Store) -> Paper:
    """Read one evidence document below the project's folder; the file itself is never changed.

    A file that is missing, outside the folder, encrypted or broken yields a paper without pages
    that says why, so that the dossier is built and tells.
    """
    if not document.file:
        return _none(document, "no file is named in the register")
    try:
        path = confined(folder, document.file)
    except InputError:
        return _none(document, "the file lies outside the project's folder, or cannot be reached")
    if not path.is_file():
        return _none(document, f"the file {document.file} is missing")
    try:
        return _opened(document, path, store)
    except pikepdf.PasswordError:
        return _none(document, f"the file {document.file} is locked by a password")
    except Exception as error:  # noqa: BLE001 - a damaged file raises errors of any type
        return _none(document, f"the file {document.file} cannot be read ({type(error).__name__})")


def _none(document: Document, why: str) -> Paper:
    return Paper(document, Path(), 0, "", lacking=why)


def _opened(document: Document, path: Path, store: Store) -> Paper:
    digest = digest_of(path)
    picture = path.suffix.lower() in ENDINGS
    # The ending decides how the same bytes are read.
    key = store.key([_FORM, digest, "picture" if picture else "pdf"])
    if kept := store.find(key):
        count, archival, changed, rebuilt = kept.pages
        if rebuilt and document.pages != count:
            return _none(document, _damaged(document))
        return Paper(document, kept.path if changed else path, count, digest, bool(archival), key)
    data = picture_pdf(path) if picture else b""
    with pikepdf.open(io.BytesIO(data) if picture else path) as pdf:
        count, archival = len(pdf.pages), picture or _claims_archival(pdf)
        if not count:
            return _none(document, f"the file {document.file} has no page")
        said = " ".join(pdf.get_warnings()).replace(str(path), "")
        rebuilt = any(sign in said for sign in _REBUILT)
        if (rebuilt and document.pages != count) or _CUT in said:
            return _none(document, _damaged(document))
        changed = normalise(pdf) or picture
        out = io.BytesIO()
        if changed:
            pdf.save(out, deterministic_id=True)
    kept = store.keep(key, out.getvalue(), (count, int(archival), int(changed), int(rebuilt)))
    return Paper(document, kept.path if changed else path, count, digest, archival, key)


def _damaged(document: Document) -> str:
    return f"the file {document.file} is damaged: pages may be lacking"


def _claims_archival(pdf: pikepdf.Pdf) -> bool:
    with pdf.open_metadata() as metadata:
        return bool(metadata.pdfa_status)
