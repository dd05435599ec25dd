"""Is every document that a record refers to on record, with the page named?"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from dossier.coverage.references import Reference, references
from dossier.coverage.view import View, project_basis
from dossier.records.verdicts import HOLD, Evidence, Finding, Reason

NAME = "evidence-document"


def check(seen: View) -> Iterator[Finding]:
    """One finding per document that is missing or lacks a page that a record names."""
    faulty: dict[str, list[tuple[Reference, Reason]]] = defaultdict(list)
    for reference in references(seen.project):
        reason = _reason(seen, reference)
        if reason is not None:
            faulty[reference.paper.document].append((reference, reason))
    for number, rows in faulty.items():
        records = ", ".join(str(reference.origin) for reference, _ in rows[:3])
        yield Finding(
            NAME,
            HOLD,
            (("document", number),),
            f"Document {number}: {rows[0][1].found}; {len(rows)} records refer to it ({records}).",
            tuple(dict.fromkeys(reason for _, reason in rows)),
            tuple(Evidence(reference.origin, number) for reference, _ in rows),
            "File the document or correct the reference.",
        )


def _reason(seen: View, reference: Reference) -> Reason | None:
    basis = project_basis(seen, "register of documents")
    document = seen.known.documents.get(reference.paper.document)
    if document is None:
        return Reason("document", "not in the register", "on record", basis, HOLD)
    if not document.file:
        return Reason("file", "none named", "a file of the project", basis, HOLD)
    if document.pages is not None and reference.paper.page > document.pages:
        found = f"page {reference.paper.page} of {document.pages}"
        return Reason("page", found, "a page of the document", basis, HOLD)
    return None
