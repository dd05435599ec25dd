"""Three tests of the record of a joint: is it traceable, verifiable and complete?

Traceable: linked to its originals (heat to certificate to page, batch to certificate, report to
page). Verifiable: confirmed by a second, separate document. Complete: finalised by signature or
date, with no blank where an answer is needed.
Source: the terms are those of the pipeline regulator of the United States (advisory bulletin
ADB-2012-06, 77 FR 26822, secondary); which links and fields count is common practice, and fields
beyond them are the project's own (`needed_fields`).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from dossier.coverage.joint_file import JointFile
from dossier.coverage.view import View
from dossier.records.base import Paper, Record
from dossier.records.verdicts import Basis, Evidence

TERMS = Basis("PHMSA ADB-2012-06", "2012", "77 FR 26822", known="secondary")
NAMES = ("traceable", "verifiable", "complete")


@dataclass(frozen=True, slots=True)
class Point:
    """One thing that a test looked at: what, whether it holds, what shows it or is missing."""

    what: str
    told: str
    holds: bool
    evidence: tuple[Evidence, ...] = ()


@dataclass(frozen=True, slots=True)
class RecordTest:
    """One of the three tests of a joint's record. No point at all is no proof."""

    name: str
    points: tuple[Point, ...]

    @property
    def holds(self) -> bool:
        """Every point holds, and there is at least one."""
        return bool(self.points) and all(point.holds for point in self.points)

    @property
    def missing(self) -> list[str]:
        """What is missing, in words."""
        return [f"{p.what}: {p.told}" for p in self.points if not p.holds]


def record_tests(seen: View, file: JointFile) -> tuple[RecordTest, RecordTest, RecordTest]:
    """The three tests of one joint, each with all its points."""
    return (
        RecordTest(NAMES[0], tuple(_traceable(seen, file))),
        RecordTest(NAMES[1], tuple(_verifiable(seen, file))),
        RecordTest(NAMES[2], tuple(_complete(seen, file))),
    )


def letters(tests: Iterable[RecordTest]) -> str:
    """T, V and C for the tests that hold, a dash for one that does not.

    >>> letters([RecordTest("traceable", (Point("heat", "", True),)), RecordTest("complete", ())])
    'T–'
    """
    return "".join(test.name[0].upper() if test.holds else "–" for test in tests)


def _proof(record: Record, paper: Paper | None = None) -> tuple[Evidence, ...]:
    if paper is None:
        return (Evidence(record.origin),)
    return (Evidence(record.origin, paper.document, paper.page),)


def _page(seen: View, what: str, record: Record, paper: Paper | None) -> Point:
    """A record must lead to a page of a document that is in the register, with its file."""
    if paper is None:
        return Point(what, "names no page", False, _proof(record))
    document = seen.known.documents.get(paper.document)
    if document is None or not document.file:
        why = "not in the register" if document is None else "has no file"
        return Point(what, f"{paper.document} {why}", False, _proof(record, paper))
    beyond = document.pages is not None and paper.page > document.pages
    told = f"{paper.document}, page {paper.page}" + (" is past its end" if beyond else "")
    return Point(what, told, not beyond, _proof(record, paper))


def _traceable(seen: View, file: JointFile) -> Iterator[Point]:
    for number, item in file.members:
        if item is None:
            yield Point(f"item {number}", "not on record", False, _proof(file.joint))
            continue
        what = f"heat {item.heat or 'of ' + number}"
        paper = seen.known.material_certificates.get(item.certificate)
        if paper is None:
            yield Point(what, "no certificate on record", False, _proof(item))
        elif item.heat not in {heat.number for heat in paper.heats}:
            yield Point(what, f"not on certificate {paper.number}", False, _proof(paper))
        else:
            yield _page(seen, what, paper, paper.document)
    if not file.members:
        yield Point("members", "none named", False, _proof(file.joint))
    for number in _batches(file):
        batch = seen.known.batches.get(number)
        if batch is None:
            yield Point(f"batch {number}", "not on record", False, _proof(file.joint))
        elif not batch.certificate:
            yield Point(f"batch {number}", "no certificate", False, _proof(batch))
        else:
            yield _page(seen, f"batch {number}", batch, batch.document)
    for what, record, document in _reports(file):
        yield _page(seen, what, record, document)


def _batches(file: JointFile) -> list[str]:
    used = [made.batch for made in file.passes] + [repair.batch for repair in file.repairs]
    return sorted({number for number in used if number})


def _reports(file: JointFile) -> Iterator[tuple[str, Record, Paper | None]]:
    yield from ((f"report {e.report}", e, e.document) for e in file.examinations)
    yield from ((f"repair {r.number}", r, r.document) for r in file.repairs)
    yield from ((f"coating report {c.report}", c, c.document) for c in file.coatings)


def _verifiable(seen: View, file: JointFile) -> Iterator[Point]:
    """Two separate sources that say the same; one that agrees with itself proves nothing."""
    logged = (file.joint.upstream_heat, file.joint.downstream_heat)
    names = (file.joint.upstream_item, file.joint.downstream_item)
    for number, heat in zip(names, logged, strict=True):
        item = seen.known.items.get(number)
        paper = seen.known.material_certificates.get(item.certificate) if item else None
        listed = {one.number for one in paper.heats} if paper else set()
        what = f"heat of {number or 'a member'}"
        if not heat:
            yield Point(what, "the log gives no heat to compare", False, _proof(file.joint))
        else:
            told = "log and certificate agree" if heat in listed else f"{heat} on no certificate"
            proof = (*_proof(file.joint), *(_proof(paper, paper.document) if paper else ()))
            yield Point(what, told, heat in listed, proof)
    yield _confirmed(file)
    for repair in file.repairs:
        named = [e for e in file.examinations if e.report == repair.examined_by]
        told = f"by {repair.examined_by}" if named else "no report after it on record"
        proof = _proof(named[0], named[0].document) if named else _proof(repair)
        yield Point(f"repair {repair.number} confirmed", told, bool(named), proof)


def _confirmed(file: JointFile) -> Point:
    """The weld itself: a report on a paper other than the log, made after it was welded."""
    own = file.joint.document.document if file.joint.document else ""
    welded = file.joint.welded_on
    for e in file.examinations:
        apart = e.document is not None and e.document.document != own
        later = e.examined_at is None or welded is None or e.examined_at.date() >= welded
        if e.result and apart and later:
            return Point("weld confirmed", f"by {e.report}", True, _proof(e, e.document))
    return Point("weld confirmed", "no report on a paper of its own", False, _proof(file.joint))


# Register -> fields that must be answered; "n/a" is an answer.
_NEEDED: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("joints", ("wps", "wps_revision", "upstream_item", "downstream_item", "welded_on")),
    ("passes", ("welder", "process", "batch")),
    ("examinations", ("examined_at", "examiner", "result")),
    ("repairs", ("wps", "welder", "repaired_at", "examined_by")),
    ("coatings", ("coated_at", "result")),
    ("lowerings", ("lowered_at",)),
)
_HUNG: dict[str, Callable[[JointFile], Iterable[Record]]] = {
    "joints": lambda file: (file.joint,),
    "passes": lambda file: file.passes,
    "examinations": lambda file: file.examinations,
    "repairs": lambda file: file.repairs,
    "coatings": lambda file: file.coatings,
    "lowerings": lambda file: file.lowerings,
}


def _complete(seen: View, file: JointFile) -> Iterator[Point]:
    own = seen.project.settings.requirements.needed_fields
    asked = [*_NEEDED, *((n.register, n.fields) for n in own
                         if not n.kinds or file.joint.kind in n.kinds)]  # fmt: skip
    for register, names in asked:
        if register in _HUNG:
            for record in _HUNG[register](file):
                yield from _answered(register, record, names)
    for report in file.examinations:
        if report.method != "VT":  # a visual examination is logged on the spot
            yield from _answered("examinations", report, ("reported_on",))
    if not file.passes:
        yield Point("passes", "none on record", False, _proof(file.joint))
    yield _signed_procedure(file)
    for number, item in file.members:
        paper = seen.known.material_certificates.get(item.certificate) if item else None
        if paper is not None:
            told = f"dated {paper.issued_on}" if paper.issued_on else "not dated"
            dated = paper.issued_on is not None
            yield Point(f"certificate of {number}", told, dated, _proof(paper, paper.document))


def _answered(register: str, record: Record, names: Iterable[str]) -> Iterator[Point]:
    """One point for the answered fields of a record, one for each blank."""
    blank = [
        name for name in names
        if name not in record.not_applicable and getattr(record, name, None) in (None, "", ())
    ]  # fmt: skip
    if not blank:
        yield Point(register, "no needed field is blank", True, _proof(record))
    for name in blank:
        told = f"{name.replace('_', ' ')} is blank"
        yield Point(register, told, False, (Evidence(record.origin.of(name)),))


def _signed_procedure(file: JointFile) -> Point:
    if file.wps is None:
        return Point("WPS", "not on record", False, _proof(file.joint))
    what = f"{file.wps.number} rev. {file.wps.revision}"
    signed = [a for a in file.wps.approvals if a.role == "approved" and a.name and a.signed_on]
    told = f"approved {signed[0].signed_on}" if signed else "no dated approval"
    return Point(what, told, bool(signed), _proof(file.wps, file.wps.document))
