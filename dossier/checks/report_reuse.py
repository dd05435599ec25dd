"""Does any report, page or image stand for two examinations?

One report may list many joints of one day. It cannot be of two days or of two examiners, and one
page cannot show a joint both before and after its repair.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from pathlib import PurePosixPath
from typing import NamedTuple

from dossier.coverage.evidence import page_of, page_proof
from dossier.coverage.facts import Groups, Records, Told, by_key, shared
from dossier.coverage.view import View, project_basis
from dossier.records.papers import Document
from dossier.records.position import Position
from dossier.records.verdicts import HOLD, Evidence, Finding, Reason

NAME = "report-reuse"
_CURE = "Lay the papers side by side; correct the reference, or show the paper that is missing."
_REPORT, _PAGE, _IMAGE = "report", "page", "image"


class _Row(NamedTuple):
    """What is kept of an examination, and where it stands."""

    origin: Position
    joint: str
    report: str
    examiner: str
    examined_at: str
    films: tuple[str, ...]
    document: str
    page: int | None


def check(seen: View) -> Iterator[Finding]:
    """One finding per joint and report, per page, and per file that serves twice."""
    yield from conclude(seen, by_key(_gather(seen, seen.project)))
    yield from of_registers(seen)


def of_registers(seen: View) -> Iterator[Finding]:
    """Two entries of the register of documents that are one file."""
    yield from _files(seen)


def _gather(seen: View, records: Records) -> Iterator[Told]:
    """Each examination by its report, by the page that shows it, and by its image."""
    images = {radiograph.document for radiograph in seen.project.radiographs}
    for report in records.examinations:
        document, page = page_of(report)
        moment = str(report.examined_at) if report.examined_at else ""
        kept = (report.joint, report.report, report.examiner, moment, report.films, document, page)
        yield (_REPORT, report.method, report.report), report.origin, kept
        if document:
            yield (_PAGE, document, page, report.method, report.joint), report.origin, kept
        if document in images:
            yield (_IMAGE, document), report.origin, kept


FACTS = {NAME: _gather}


def conclude(seen: View, groups: Groups) -> Iterator[Finding]:
    """One finding per joint and report, per page, and per image that serves twice."""
    for (what, *name), own in shared(groups, least=2):
        rows = [_Row(fact.origin, *fact.values) for fact in own]  # type: ignore[arg-type]
        if what == _REPORT:
            yield from _reports(seen, str(name[1]), rows)
        elif what == _PAGE:
            yield from _pages(seen, rows)
        else:
            yield from _images(seen, rows)


def _reports(seen: View, number: str, rows: list[_Row]) -> Iterator[Finding]:
    reasons = tuple(_contradictions(seen, rows))
    if reasons:
        for joint in dict.fromkeys(row.joint for row in rows):
            yield _of_joint(joint, ("report", number), rows, reasons)


def _pages(seen: View, rows: list[_Row]) -> Iterator[Finding]:
    if len({row.report for row in rows}) > 1:
        basis = project_basis(seen, "a page for each examination of a joint")
        found = ", ".join(dict.fromkeys(row.report for row in rows))
        reason = Reason("page", f"{found} all on page {rows[0].page}", "one of them", basis, HOLD)
        yield _of_joint(rows[0].joint, ("document", rows[0].document), rows, (reason,))


def _contradictions(seen: View, rows: list[_Row]) -> Iterator[Reason]:
    basis = project_basis(seen, "identity of reports")
    examiners = sorted({row.examiner for row in rows if row.examiner})
    days = sorted({row.examined_at[:10] for row in rows if row.examined_at})
    if len(examiners) > 1:
        yield Reason("examiner", ", ".join(examiners), "one of them", basis, HOLD)
    if len(days) > 1:
        yield Reason("day of examination", ", ".join(days), "one of them", basis, HOLD)
    alike = [(row.joint, row.films, row.examined_at) for row in rows]
    twice = sorted({entry[0] for entry in alike if alike.count(entry) > 1})
    if twice:
        yield Reason("entry", f"{', '.join(twice)} entered twice", "entered once", basis, HOLD)


def _of_joint(
    joint: str, about: tuple[str, str], rows: list[_Row], reasons: tuple[Reason, ...]
) -> Finding:
    told = "; ".join(f"{r.variable}: {r.found}" for r in reasons)
    kind, name = about
    return Finding(
        NAME,
        HOLD,
        (("joint", joint), about),
        f"{kind.capitalize()} {name} serves twice for joint {joint} or others: {told}.",
        reasons,
        tuple(
            proof
            for row in rows
            for proof in (
                Evidence(row.origin.of("report")),
                page_proof(row.origin, row.document, row.page),
            )
        ),
        _CURE,
    )


def _images(seen: View, rows: list[_Row]) -> Iterator[Finding]:
    """A digital radiograph shows one joint."""
    basis = project_basis(seen, "identity of images")
    joints = list(dict.fromkeys(row.joint for row in rows))
    for joint in joints if len(joints) > 1 else ():
        reason = Reason("image", f"of {', '.join(joints)}", "one joint", basis, HOLD)
        yield _of_joint(joint, ("document", rows[0].document), rows, (reason,))


def _files(seen: View) -> Iterator[Finding]:
    """Two entries of the register of documents that are one file."""
    by_file: dict[str, list[Document]] = defaultdict(list)
    for document in seen.project.documents:
        if document.file:
            by_file[PurePosixPath(document.file).as_posix()].append(document)
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
