"""Does every WPS carry the signatures that the project asks for, and every test its examiner?

A signature needs its day: without it nobody can tell whether it came before the work.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from dossier.coverage.evidence import at, paper
from dossier.coverage.view import View, project_basis
from dossier.records.procedures import Approval, Pqr, Procedure
from dossier.records.verdicts import HOLD, Finding, Reason
from dossier.records.welders import Certificate, Welder

NAME = "signature-complete"


def check(seen: View) -> Iterator[Finding]:
    """One finding per paper that lacks a signature."""
    rules = seen.project.settings.requirements
    for wps in seen.project.procedures if rules.procedure_roles else ():
        if wps.status == "issued":
            yield from _procedure(seen, wps, rules.procedure_roles)
    if rules.test_examiner:
        for pqr in seen.project.pqrs:
            if not pqr.examiner:
                yield _test(seen, pqr)
        for welder in seen.project.welders:
            for certificate in welder.certificates:
                if not certificate.examiner:
                    yield _certificate(seen, welder, certificate)


def _procedure(seen: View, wps: Procedure, roles: tuple[str, ...]) -> Iterator[Finding]:
    basis = project_basis(seen, "signatures on a WPS")
    signed = {approval.role: approval for approval in wps.approvals}
    reasons = [_reason(seen, role, signed.get(role)) for role in roles]
    lacking = tuple(reason for reason in reasons if reason is not None)
    days = [(role, signed[role].signed_on) for role in roles if role in signed]
    dated = [(role, day) for role, day in days if day is not None]
    early = [(a, b) for a, b in pairwise(dated) if b[1] < a[1]]
    wrong = tuple(
        Reason(f"{b[0]}", f"signed on {b[1]}", f"after {a[0]}, {a[1]}", basis, HOLD)
        for a, b in early
    )
    if lacking or wrong:
        told = "; ".join(f"{r.variable} {r.found}" for r in (*lacking, *wrong))
        yield Finding(
            NAME,
            HOLD,
            (("procedure", wps.number), ("revision", wps.revision)),
            f"{wps.number} revision {wps.revision}, signatures: {told}.",
            (*lacking, *wrong),
            (*at(wps, "approvals"), *paper(wps)),
            "Show the signed sheet, or have it signed; nobody signs with an earlier day.",
        )


def _reason(seen: View, role: str, approval: Approval | None) -> Reason | None:
    basis = project_basis(seen, "signatures on a WPS")
    if approval is None:
        return Reason(role, "not signed", "signed and dated", basis, HOLD)
    if approval.signed_on is None:
        return Reason(role, f"{approval.name}, no day", "signed and dated", basis, HOLD)
    return None


def _test(seen: View, pqr: Pqr) -> Finding:
    basis = project_basis(seen, "examiner of procedure tests")
    return Finding(
        NAME,
        HOLD,
        (("procedure test", pqr.number),),
        f"Procedure test {pqr.number} names nobody who witnessed it.",
        (Reason("examiner", "blank", "named", basis, HOLD),),
        (*at(pqr, "examiner"), *paper(pqr)),
        "Show the record with the examiner's name and signature.",
    )


def _certificate(seen: View, welder: Welder, certificate: Certificate) -> Finding:
    basis = project_basis(seen, "examiner of welder tests")
    return Finding(
        NAME,
        HOLD,
        (("welder", welder.stamp), ("certificate", certificate.number)),
        f"Certificate {certificate.number} of {welder.stamp} names no examiner.",
        (Reason("examiner", "blank", "named", basis, HOLD),),
        (*at(certificate, "examiner"), *paper(certificate)),
        "Show the certificate with the examiner's name and signature.",
    )
