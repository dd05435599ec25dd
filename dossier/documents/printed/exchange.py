"""Papers that go to and fro with the dossier: transmittal, comment sheet, certificate draft."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from dossier.documents.findings import open_points
from dossier.documents.printed.face import (
    Asked,
    Name,
    Part,
    Printed,
    boxes,
    form_table,
    part,
    printed,
)
from dossier.documents.sheet import columns, day, document_number, fact, row, table, words
from dossier.records.verdicts import code_title

_FURTHER, _COMMENTS = 3, 14
# Meaning of the review codes: common practice of the trade.
_REVIEW = (
    ("1", "proceed"),
    ("2", "proceed, with the changes noted; send again"),
    ("3", "do not proceed; send again"),
    ("4", "for information, not reviewed"),
)

_DRAFT = (
    "This is a draft made from the records. The program that made it signs nothing and "
    "certifies nothing. It becomes a certificate only when the persons named below have "
    "satisfied themselves of it and have signed."
)
_STATEMENT = (
    "Statement: the welds in the scope below were made, examined and tested to the codes "
    "named there and to the requirements of the project, with no exceptions but the "
    "concessions listed. Each person signs for the work that is theirs."
)


def transmittal(of: Asked) -> Iterator[Printed]:
    """What is sent, with the boxes that sender and receiver fill in."""
    settings = of.seen.project.settings
    heads = (("No.", 6), ("Document", 24), ("Title", 40), ("Revision", 10), ("Form", 10),
             ("Copies", 10))  # fmt: skip
    sent = _sent(of)
    rows = [boxes([str(n), *cells, ""]) for n, cells in enumerate(sent, start=1)]
    rows += [boxes([str(len(sent) + n), *[""] * 5]) for n in range(1, _FURTHER + 1)]
    asked = [boxes([label, ""]) for label in ("Sent on", "Purpose of issue", "Reply wanted by")]
    got = [boxes(["", "", "", ""])]
    yield printed(
        of,
        Name("TRM", "Transmittal", status="for issue"),
        {
            "particulars": part(
                form_table("Particulars", (("Entry", 30), ("Text", 70)), asked), ""
            ),
            "sent": part(form_table("Sent", heads, rows), ""),
            "receipt": part(form_table("Receipt", (("Received by", 35), ("Post", 25), ("On", 15),
                                                   ("Signature", 25)), got), ""),
        },
        lead=settings.title,
        facts=[
            fact("From", settings.contractor),
            fact("To", settings.client),
            fact("Contract", settings.contract),
            fact("Records to", of.seen.as_of.isoformat()),
        ],
    )  # fmt: skip


def _sent(of: Asked) -> list[list[str]]:
    """Number, title, revision and form of what the tool issues for every project."""
    settings = of.seen.project.settings
    sent = [[document_number(settings, "DOS", 1), "Welding quality dossier", settings.revision,
             "PDF"]]  # fmt: skip
    for place, wps in enumerate(of.seen.project.procedures, start=1):
        number = document_number(settings, "WPS", place)
        sent.append([number, words([wps.number, wps.title]), wps.revision, "PDF, docx"])
    for place, pqr in enumerate(of.seen.project.pqrs, start=1):
        number = document_number(settings, "PQR", place)
        sent.append([number, f"Procedure qualification {pqr.number}", settings.revision, "PDF"])
    return sent


def comment_sheet(of: Asked) -> Iterator[Printed]:
    """A form for the reviewer's comments and the answers to them."""
    settings = of.seen.project.settings
    heads = (("No.", 5), ("Document", 16), ("Sheet", 8), ("Comment", 32), ("Code", 7),
             ("Reply", 24), ("Closed", 8))  # fmt: skip
    rows = [boxes([str(n), *[""] * 6], "tall") for n in range(1, _COMMENTS + 1)]
    codes = [row(list(pair)) for pair in _REVIEW]
    yield printed(
        of,
        Name("CMT", "Comment sheet", status="for reply"),
        {
            "comments": part(form_table("Comments and replies", heads, rows), ""),
            "codes": part(table("Codes", columns(("Code", 10), ("Meaning", 90)), codes,
                                "Common practice; the contract may use others."), ""),
        },
        lead="One line a comment. Every comment of code 2 or 3 is answered before the document "
        "is sent again.",
        facts=[
            fact("On", document_number(settings, "DOS", 1)),
            fact("Revision", settings.revision),
            fact("Reviewer", settings.client),
            fact("Replies by", settings.contractor),
        ],
        form="wide",
    )  # fmt: skip


def conformity(of: Asked) -> Iterator[Printed]:
    """Draft of the certificate of conformity; the tool never signs it."""
    left = open_points(of.findings)
    ready = (
        "no finding of hold or worse is open"
        if not left
        else (
            f"{len(left)} findings of hold or worse are open, so the statement cannot be made yet"
        )
    )
    yield printed(
        of,
        Name("COC", "Certificate of conformity, draft", status="draft, not signed"),
        {"scope": _scope(of), "open": _open(of), "exceptions": _exceptions(of)},
        lead=f"Records to {of.seen.as_of}: {ready}.",
        words=[_DRAFT, _STATEMENT],
        facts=[
            fact("Contract", of.seen.project.settings.contract),
            fact("Location", of.seen.project.settings.location),
        ],
    )  # fmt: skip


def _scope(of: Asked) -> Part:
    heads = columns(
        ("Line", 11), ("Title", 25), ("Procedures", 17), ("Welders", 17), ("Acceptance", 17),
        ("Joints", 7, "right"), ("Cut out", 6, "right"),
    )  # fmt: skip
    rows = []
    for line in of.seen.project.lines:
        counts = Counter(j.status for j in of.seen.project.joints if j.line == line.id)
        codes = (line.procedure_code, line.welder_code, line.acceptance_code)
        rows.append(row([line.id, line.title, *map(code_title, codes), str(counts["welded"]),
                         str(counts["cut out"])]))  # fmt: skip
    return part(table("Scope", heads, rows), "No line is on record.")


def _open(of: Asked) -> Part:
    counts = Counter((str(f.verdict), f.check) for f in open_points(of.findings))
    heads = columns(("Verdict", 25), ("Check", 55), ("Findings", 20, "right"))
    ordered = sorted(counts.items(), key=lambda pair: (pair[0][0], -pair[1], pair[0][1]))
    rows = [row([verdict, check, str(count)], [verdict, "", ""])
            for (verdict, check), count in ordered]  # fmt: skip
    return part(table("Open findings", heads, rows), "None.")


def _exceptions(of: Asked) -> Part:
    heads = columns(("Number", 16), ("Kind", 16), ("Title", 36), ("Joints", 18), ("Date", 14))
    rows = [
        row([c.number, "concession", c.title, words(c.joints),
             day(c.signed_on) if c.signed_on else "not signed"],
            [*[""] * 4, "" if c.signed_on else "hold"])
        for c in of.seen.project.concessions
    ]  # fmt: skip
    rows += [
        row([n.number, "nonconformity", n.title, words(n.joints),
             day(n.closed_on) if n.closed_on else "open"],
            [*[""] * 4, "" if n.closed_on else "hold"])
        for n in of.seen.project.nonconformities
    ]  # fmt: skip
    return part(table("Concessions and nonconformities", heads, rows), "None.")
