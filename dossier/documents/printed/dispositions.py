"""Nonconformity and concession sheets: one broken requirement, one signed answer."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from dossier.documents.printed.face import Asked, Name, Part, Printed, part, printed
from dossier.documents.sheet import columns, day, fact, row, table, words
from dossier.records.base import Paper
from dossier.records.papers import Concession, Nonconformity
from dossier.records.verdicts import Finding

_EMPTY = "No finding of the cross-check is named."

_ANSWERS = (
    "A concession answers the findings below on the joints that it names. It does not "
    "make them go away: they stay on record as conceded."
)


def nonconformities(of: Asked) -> Iterator[Printed]:
    """One sheet a nonconformity report; one that says so where there is none."""
    reports = of.seen.project.nonconformities
    for place, report in enumerate(reports, start=1):
        yield _nonconformity(of, report, place)
    if not reports:
        name = Name("NCR", "Nonconformity reports")
        yield _none(of, name, "No nonconformity report is on record.")


def _nonconformity(of: Asked, report: Nonconformity, place: int) -> Printed:
    found = [f for f in of.findings if f.id in report.findings]
    status = "closed" if report.closed_on else "open"
    return printed(
        of,
        Name("NCR", f"Nonconformity {report.number}", place, status=status),
        {"particulars": _particulars([
            ("What was found", report.description), ("Requirement", report.requirement),
            ("Disposition", report.disposition), ("Approved by", report.approver),
         ]),
         "findings": _findings(found, report.findings)},
        lead=report.title,
        facts=[
            fact("Report", report.number),
            fact("Joints", words(report.joints)),
            fact("Opened", day(report.opened_on)),
            fact("Closed", day(report.closed_on)),
            fact("Paper", _paper(report.document)),
        ],
    )  # fmt: skip


def concessions(of: Asked) -> Iterator[Printed]:
    """One sheet a concession; one that says so where there is none."""
    signed = of.seen.project.concessions
    for place, concession in enumerate(signed, start=1):
        yield _concession(of, concession, place)
    if not signed:
        yield _none(of, Name("CNS", "Concessions"), "No concession is on record.")


def _concession(of: Asked, given: Concession, place: int) -> Printed:
    found = [f for f in of.findings if f.conceded_by == given.number]
    return printed(
        of,
        Name("CNS", f"Concession {given.number}", place,
             status="signed" if given.signed_on else "not signed"),
        {"particulars": _particulars([
            ("Requirement", given.requirement), ("Disposition", given.disposition),
            ("Approved by", given.approver),
         ]),
         "findings": _findings(found, given.findings)},
        lead=given.title,
        facts=[
            fact("Concession", given.number),
            fact("Joints", words(given.joints)),
            fact("Signed", day(given.signed_on)),
            fact("Answers the checks", words(given.checks)),
            fact("Paper", _paper(given.document)),
        ],
        words=[_ANSWERS],
    )  # fmt: skip


def _none(of: Asked, name: Name, told: str) -> Printed:
    """The sheet that says that there is none, with the parts that every such sheet has."""
    content = {"particulars": part(_particulars([])["rows"], told), "findings": _findings([], [])}
    return printed(of, name, content)


def _paper(paper: Paper | None) -> str:
    return f"{paper.document}, page {paper.page}" if paper else ""


def _particulars(told: Sequence[tuple[str, str]]) -> Part:
    rows = [row([label, text], ["", "" if text else "hold"]) for label, text in told]
    return part(table("Particulars", columns(("Entry", 22), ("Text", 78)), rows), "")


def _findings(found: Sequence[Finding], named: Sequence[str]) -> Part:
    """The findings in question; ids that today's cross-check no longer gives are told as well."""
    heads = columns(("Verdict", 14), ("Finding", 50), ("Id", 36))
    rows = [
        row([str(f.verdict), f.sentence, f.id], [str(f.verdict), "", ""]) for f in found
    ]  # fmt: skip
    known = {f.id for f in found}
    rows += [
        row(["-", "not among the findings of this cross-check", name], ["", "hold", ""])
        for name in named
        if name not in known
    ]
    return part(table("Findings", heads, rows), _EMPTY)
