"""Do the dates of certificates, procedures and tests follow each other as they must?"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from dossier.coverage.evidence import at, paper
from dossier.coverage.view import View, project_basis
from dossier.records.verdicts import HOLD, NOTE, Basis, Evidence, Finding, Reason, worst
from dossier.records.welders import Certificate

NAME = "certificate-dates"
# A certificate that gives the day of its issue as that of the test counts its validity too long.
SAME_DAY = Basis("common practice", "", "issued after the tests of the test piece", "practice")
_CURE = "Look at the paper and correct the date; ask whoever issued it where the paper is wrong."
Subject = tuple[tuple[str, str], ...]


def check(seen: View) -> Iterator[Finding]:
    """One finding per paper whose dates contradict each other."""
    basis = project_basis(seen, "order of dates")
    for welder in seen.project.welders:
        for certificate in welder.certificates:
            subject = (("welder", welder.stamp), ("certificate", certificate.number))
            reasons = tuple(_of_welder(certificate, basis))
            yield from _finding(subject, reasons, paper(certificate))
    yield from _procedures(seen, basis)
    for examiner in seen.project.examiners:
        for held in examiner.certificates:
            dates = (held.issued_on, held.expires_on)
            reasons = tuple(_order("end of validity", *dates, basis))
            subject = (("examiner", examiner.id), ("certificate", held.number))
            yield from _finding(subject, reasons, at(examiner))
    for one in seen.project.instruments:
        reasons = tuple(_order("due day", one.calibrated_on, one.due_on, basis))
        yield from _finding((("instrument", one.number),), reasons, paper(one))
    for batch in seen.project.batches:
        reasons = tuple(_order("end of shelf life", batch.received_on, batch.expires_on, basis))
        yield from _finding((("batch", batch.number),), reasons, paper(batch))


def _order(name: str, first: date | None, then: date | None, basis: Basis) -> Iterator[Reason]:
    if first and then and then < first:
        yield Reason(name, str(then), f"from {first}", basis, HOLD)


def _of_welder(certificate: Certificate, basis: Basis) -> Iterator[Reason]:
    welded, issued = certificate.welded_on, certificate.issued_on
    yield from _order("day of issue", welded, issued, basis)
    if issued == welded:
        yield Reason("day of issue", str(issued), f"after {welded}", SAME_DAY, NOTE)
    yield from _order("end", welded, certificate.ended_on, basis)
    for entry in certificate.confirmations:
        yield from _order("confirmation", welded, entry.signed_on, basis)


def _procedures(seen: View, basis: Basis) -> Iterator[Finding]:
    """A WPS cannot rest on a test that was welded after it was approved."""
    for wps in seen.project.procedures:
        signed = [a.signed_on for a in wps.approvals if a.role == "approved" and a.signed_on]
        if not signed or wps.status == "draft":
            continue
        tests = [test for name in wps.pqrs if (test := seen.known.pqrs.get(name)) is not None]
        reasons = tuple(
            reason
            for test in tests
            for reason in _order(f"approval, {test.number}", test.welded_on, min(signed), basis)
        )
        proofs = (*at(wps, "approvals"), *(proof for test in tests for proof in paper(test)))
        subject = (("procedure", wps.number), ("revision", wps.revision))
        yield from _finding(subject, reasons, proofs)


def _finding(
    subject: Subject, reasons: tuple[Reason, ...], proofs: tuple[Evidence, ...]
) -> Iterator[Finding]:
    if reasons:
        about = ", ".join(f"{kind} {name}" for kind, name in subject)
        told = "; ".join(f"{r.variable} {r.found}, expected {r.permitted}" for r in reasons)
        sentence = f"The dates of {about} do not follow each other: {told}."
        yield Finding(NAME, worst(reasons), subject, sentence, reasons, proofs, _CURE)
