"""Was a certificate only issued after the joint was welded, and on what day did it cure the hold?

A late certificate is a certificate: it clears what was held for it. The records of an earlier day
still show the hold.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime

from dossier.coverage.evidence import at, paper
from dossier.coverage.joint_file import JointFile
from dossier.coverage.view import View, project_basis
from dossier.records.verdicts import NOTE, Evidence, Finding, Reason

NAME = "late-certificate"


def check(seen: View, file: JointFile) -> Iterator[Finding]:
    """One finding per joint and certificate that came after the welding."""
    yield from _items(seen, file)
    yield from _batches(seen, file)


def _items(seen: View, file: JointFile) -> Iterator[Finding]:
    welded = file.joint.welded_on
    told: set[str] = set()
    for item in file.items:
        certificate = seen.known.material_certificates.get(item.certificate)
        if certificate is None or certificate.issued_on is None or welded is None:
            continue
        if certificate.issued_on > welded and item.number not in told:
            told.add(item.number)
            about = ("item", item.number)
            proofs = (*at(item, "certificate"), *paper(certificate))
            name, days = certificate.number, (certificate.issued_on, welded)
            yield _finding(seen, file, about, name, days, proofs)


def _batches(seen: View, file: JointFile) -> Iterator[Finding]:
    begun: dict[str, datetime | None] = {}
    uses = [(made.batch, made.started_at or made.finished_at) for made in file.passes]
    uses += [(repair.batch, repair.repaired_at) for repair in file.repairs]
    for batch_number, moment in uses:
        before = begun.setdefault(batch_number, moment)
        if before is None or (moment is not None and moment < before):
            begun[batch_number] = moment
    for number, used_at in begun.items():
        batch = seen.known.batches.get(number)
        if batch is None or batch.certificate_on is None:
            continue
        first = used_at.date() if used_at else file.joint.welded_on
        if first is not None and batch.certificate_on > first:
            days_ = (batch.certificate_on, first)
            yield _finding(seen, file, ("batch", number), batch.certificate, days_, paper(batch))


def _finding(
    seen: View,
    file: JointFile,
    about: tuple[str, str],
    name: str,
    days: tuple[date, date],
    proofs: tuple[Evidence, ...],
) -> Finding:
    issued, used = days
    basis = project_basis(seen, "certificates before use")
    kind, number = about
    return Finding(
        NAME,
        NOTE,
        (("joint", file.number), about),
        f"Certificate {name} of {kind} {number} is of {issued}; joint {file.number} was welded on "
        f"{used}. What was held for want of it was cured on {issued}.",
        (Reason("certificate issued", str(issued), f"by {used}", basis, NOTE),),
        proofs,
        f"Nothing more to cure: the certificate of {issued} answers the hold.",
    )
