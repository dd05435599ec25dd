"""Does any report, page or image stand for two examinations?

One report may list many joints of one day. It cannot be of two days or of two examiners, and one
page cannot show a joint both before and after its repair.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from dossier.coverage.as_of import day_of
from dossier.coverage.evidence import at, paper
from dossier.coverage.view import View, project_basis
from dossier.records.examinations import Examination
from dossier.records.papers import Document
from dossier.records.verdicts import HOLD, Evidence, Finding, Reason

NAME = "report-reuse"
_CURE = "Lay the papers side by side; correct the reference, or show the paper that is missing."


def check(seen: View) -> Iterator[Finding]:
    """One finding per joint and report, per page, and per file that serves twice."""
    yield from _reports(seen)
    yield from _images(seen)
    yield from _files(seen)


def _reports(seen: View) -> Iterator[Finding]:
    by_number: dict[tuple[str, str], list[Examination]] = defaultdict(list)
    by_page: dict[tuple[str, str, str, int], list[Examination]] = defaultdict(list)
    for report in seen.project.examinations:
        by_number[report.method, report.report].append(report)
        if report.document is not None:
            page = report.document
            key = (report.joint, report.method, page.document, page.page)
            by_page[key].append(report)
    for (_, number), rows in by_number.items():
        reasons = tuple(_contradictions(seen, rows)) if len(rows) > 1 else ()
        if reasons:
            for joint in dict.fromkeys(row.joint for row in rows):
                yield _of_joint(joint, ("report", number), rows, reasons)
    for (joint, _, document, nth), rows in by_page.items():
        if len({row.report for row in rows}) > 1:
            basis = project_basis(seen, "a page for each examination of a joint")
            found = ", ".join(dict.fromkeys(row.report for row in rows))
            reason = Reason("page", f"{found} all on page {nth}", "one of them", basis, HOLD)
            yield _of_joint(joint, ("document", document), rows, (reason,))


def _contradictions(seen: View, rows: list[Examination]) -> Iterator[Reason]:
    basis = project_basis(seen, "identity of reports")
    examiners = sorted({row.examiner for row in rows if row.examiner})
    days = sorted({str(day) for row in rows if (day := day_of(row.examined_at)) is not None})
    if len(examiners) > 1:
        yield Reason("examiner", ", ".join(examiners), "one of them", basis, HOLD)
    if len(days) > 1:
        yield Reason("day of examination", ", ".join(days), "one of them", basis, HOLD)
    alike = [(row.joint, row.films, row.examined_at) for row in rows]
    twice = sorted({joint for joint, films, at_ in alike if alike.count((joint, films, at_)) > 1})
    if twice:
        yield Reason("entry", f"{', '.join(twice)} entered twice", "entered once", basis, HOLD)


def _of_joint(
    joint: str, about: tuple[str, str], rows: list[Examination], reasons: tuple[Reason, ...]
) -> Finding:
    told = "; ".join(f"{r.variable}: {r.found}" for r in reasons)
    kind, name = about
    return Finding(
        NAME,
        HOLD,
        (("joint", joint), about),
        f"{kind.capitalize()} {name} serves twice for joint {joint} or others: {told}.",
        reasons,
        tuple(proof for row in rows for proof in (*at(row, "report"), *paper(row))),
        _CURE,
    )


def _images(seen: View) -> Iterator[Finding]:
    """A digital radiograph shows one joint."""
    images = {radiograph.document for radiograph in seen.project.radiographs}
    used: dict[str, list[Examination]] = defaultdict(list)
    for report in seen.project.examinations:
        if report.document is not None and report.document.document in images:
            used[report.document.document].append(report)
    basis = project_basis(seen, "identity of images")
    for document, rows in used.items():
        joints = list(dict.fromkeys(row.joint for row in rows))
        for joint in joints if len(joints) > 1 else ():
            reason = Reason("image", f"of {', '.join(joints)}", "one joint", basis, HOLD)
            yield _of_joint(joint, ("document", document), rows, (reason,))


def _files(seen: View) -> Iterator[Finding]:
    """Two entries of the register of documents that are one file."""
    by_file: dict[str, list[Document]] = defaultdict(list)
    for document in seen.project.documents:
        if document.file:
            by_file[document.file].append(document)
    basis = project_basis(seen, "register of documents")
    for file, documents in by_file.items():
        if len(documents) < 2:
            continue
        numbers = ", ".join(document.number for document in documents)
        yield Finding(
            NAME,
            HOLD,
            (("file", file),),
            f"File {file} is entered as {len(documents)} documents: {numbers}.",
            (Reason("file", f"named by {numbers}", "one document", basis, HOLD),),
            tuple(Evidence(document.origin, document.number) for document in documents),
            _CURE,
        )
