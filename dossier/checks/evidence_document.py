"""Is every document that a record refers to on record and in its place, with the page named?"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Hashable, Iterator, Mapping

from dossier.coverage.evidence import at
from dossier.coverage.joint_file import JointFile
from dossier.coverage.references import Reference, references, references_of
from dossier.coverage.view import View, project_basis
from dossier.records.papers import Document
from dossier.records.scans import Scan
from dossier.records.verdicts import HOLD, Evidence, Finding, Reason
from dossier.units import counted

NAME = "evidence-document"
# The files of digital radiographs are opened, and asked after, by their own check.
_RADIOGRAPHS = (".dcm", ".dic")


def check(seen: View) -> Iterator[Finding]:
    """One finding per document that is missing, unreadable, or lacks a page that a record names."""
    scans = {scan.document: scan for scan in seen.project.scans}
    faulty: dict[str, list[Reason]] = defaultdict(list)
    users: dict[str, list[Reference]] = defaultdict(list)
    for document in seen.project.documents:
        faulty[document.number] += _file(seen, document, scans.get(document.number))
    for reference in references(seen.project):
        reason = _page(seen, reference, scans)
        if reason is not None:
            faulty[reference.paper.document].append(reason)
            users[reference.paper.document].append(reference)
    for number, reasons in faulty.items():
        if reasons:
            yield _finding(seen, number, tuple(dict.fromkeys(reasons)), users[number])


def concerns(seen: View, file: JointFile) -> Iterator[Hashable]:
    """Each line that refers to a page which is not there."""
    named = [record for record in file.records() if getattr(record, "document", None)]
    scans = {scan.document: scan for scan in seen.project.scans} if named else {}
    for reference in references_of(named):
        if _page(seen, reference, scans) is not None:
            yield reference


def _finding(
    seen: View, number: str, reasons: tuple[Reason, ...], users: list[Reference]
) -> Finding:
    document = seen.known.documents.get(number)
    named = ", ".join(str(reference.origin) for reference in users[:3])
    used = f"; used by {counted(len(users), 'record')} ({named})" if users else ""
    return Finding(
        NAME,
        HOLD,
        (("document", number),),
        f"Document {number}: {'; '.join(dict.fromkeys(r.found for r in reasons))}{used}.",
        reasons,
        (
            *(Evidence(reference.origin, number) for reference in users),
            *(at(document, "file", "pages") if document else ()),
        ),
        "File the document or correct the reference.",
    )


def _file(seen: View, document: Document, scan: Scan | None) -> Iterator[Reason]:
    """What is wrong with the file itself, where it was looked for."""
    if scan is None or document.file.lower().endswith(_RADIOGRAPHS):
        return
    basis = project_basis(seen, "files of the evidence")
    if not scan.found:
        wanted = "a file of the project"
        yield Reason("file", f"{document.file} is not there", wanted, basis, HOLD)
    elif scan.unreadable:
        wanted = "a file that can be read"
        yield Reason("file", f"{document.file}: {scan.unreadable}", wanted, basis, HOLD)
    elif None not in (document.pages, scan.pages) and document.pages != scan.pages:
        wanted = f"{document.pages}, as registered"
        yield Reason("pages", f"{scan.pages} in the file", wanted, basis, HOLD)


def _page(seen: View, reference: Reference, scans: Mapping[str, Scan]) -> Reason | None:
    basis = project_basis(seen, "register of documents")
    paper = reference.paper
    document = seen.known.documents.get(paper.document)
    if document is None:
        return Reason("document", "not in the register", "on record", basis, HOLD)
    if not document.file:
        return Reason("file", "none named", "a file of the project", basis, HOLD)
    scan = scans.get(paper.document)
    pages = document.pages if document.pages is not None else scan.pages if scan else None
    if pages is not None and paper.page > pages:
        found = f"page {paper.page} of {pages}"
        return Reason("page", found, "a page of the document", basis, HOLD)
    return None
