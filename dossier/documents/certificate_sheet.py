"""One welder qualification certificate: test piece, designation, range, confirmations, validity.

Content after the lists of ISO 9606-1:2012, clauses 7 to 9 and annex A, and API 1104, 21st edition,
6.8 (known by memory); the arrangement is our own. The sheet reports the records; the signed
certificate governs.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from typing import TypedDict

from dossier.codes.iso_9606_1_2012.designation import designation_of
from dossier.coverage.continuity import BY_WORK, Timeline, timeline
from dossier.coverage.view import View
from dossier.documents.amounts import amount
from dossier.documents.answers import Answers
from dossier.documents.plain_range import plain_rows
from dossier.documents.sheet import (
    Fact,
    Figure,
    Head,
    Table,
    coded,
    columns,
    day,
    fact,
    head,
    row,
    system_of,
    table,
    words,
)
from dossier.documents.welder_matrix import last_day, state
from dossier.drawings.timeline import NARROW, WIDE, Lane, timeline_chart
from dossier.errors import InputError
from dossier.records.verdicts import Evidence
from dossier.records.welders import Certificate, Confirmation, Deposit, Welder
from dossier.units import System

_STATES = {"F": "in force", "S": "in force, ends within 30 days", "E": "not in force",
           "?": "cannot be told from the records"}  # fmt: skip


class CertificateSheet(TypedDict):
    """All data of one certificate sheet."""

    head: Head
    identity: list[Fact]
    test_piece: list[Fact]
    deposits: Table
    ranges: list[Table]
    chart: Figure
    confirmations: Table


def context(
    seen: View, welder: Welder, certificate: Certificate, answers: Answers, number: str
) -> CertificateSheet:
    """Plain data of the sheet of one certificate. Reads no clock and no file."""
    system = system_of(seen.project.settings)
    told = timeline(seen, welder, certificate)
    letter = state(certificate, answers, seen.as_of)
    return CertificateSheet(
        head=head(
            seen, number=number, status=_STATES[letter],
            title=f"Welder qualification {welder.stamp}, certificate {certificate.number}",
        ),
        identity=_identity(welder, certificate, answers),
        test_piece=_test_piece(certificate, system),
        deposits=_deposits(certificate, system),
        ranges=[_range(certificate, part, answers, system) for part in certificate.deposits],
        chart=chart(f"Certificate {certificate.number} in time", [(welder, told)], seen, NARROW),
        confirmations=_confirmations(certificate, told),
    )  # fmt: skip


def designation(certificate: Certificate) -> str:
    """The designation by ISO 9606-1, or why there is none; "" for other codes."""
    if not certificate.code.startswith("ISO 9606-1"):
        return ""
    try:
        return str(designation_of(certificate))
    except InputError as error:
        return f"none: {error}"


def _identity(welder: Welder, certificate: Certificate, answers: Answers) -> list[Fact]:
    facts = [
        fact("Welder", f"{welder.stamp}, {welder.name}"),
        fact("Employer", welder.employer),
        fact("Code", coded(certificate.code)),
        fact("Test welded on", day(certificate.welded_on)),
        fact("Certificate issued on", day(certificate.issued_on)),
        fact("Welded to (WPS)", certificate.wps),
        fact("Examiner", certificate.examiner),
        fact("Result", certificate.result),
        fact("Validity kept by", certificate.method),
        fact("In force to", last_day(certificate, answers)),
        fact("Paper", str(_paper(certificate))),
        fact("Record", str(certificate.origin)),
    ]
    if told := designation(certificate):
        facts.insert(3, fact("Designation", told))
    return facts


def _paper(certificate: Certificate | Confirmation) -> Evidence:
    paper = certificate.document
    return Evidence(document=paper.document, page=paper.page) if paper else Evidence()


def _test_piece(certificate: Certificate, system: System) -> list[Fact]:
    more = (("full-size branch test", certificate.branch),
            ("fillet welded with the butt", certificate.supplementary_fillet))  # fmt: skip
    return [
        fact("Product and weld", words([certificate.product, certificate.weld_type])),
        fact("Positions", words(certificate.positions)),
        fact("Direction", certificate.direction),
        fact("Sides", certificate.sides),
        fact("Material group", certificate.material_group),
        fact("Minimum yield strength", amount(certificate.smys_mpa, "MPa", system)),
        fact("Wall thickness", amount(certificate.wall_mm, "mm", system)),
        fact("Outside diameter", amount(certificate.od_mm, "mm", system)),
        fact("Throat", amount(certificate.throat_mm, "mm", system)),
        fact("Also welded", words(name for name, on in more if on)),
    ]


def _deposits(certificate: Certificate, system: System) -> Table:
    heads = columns(
        ("Process", 9), ("Deposit", 9, "right"), ("Filler", 25), ("Group", 8), ("Covering", 10),
        ("Transfer", 11), ("Backing", 11), ("Layers", 7, "right"), ("Root", 6), ("Current", 8),
    )  # fmt: skip
    rows = [
        row([part.process, amount(part.deposit_mm, "mm", system), part.filler, part.filler_group,
             part.covering, part.transfer, part.backing, str(part.layers or ""),
             {True: "yes", False: "no", None: ""}[part.root], part.current])
        for part in certificate.deposits
    ]  # fmt: skip
    return table("What the welder put into the test piece", heads, rows)


def _range(certificate: Certificate, part: Deposit, answers: Answers, system: System) -> Table:
    heads = columns(("Variable", 25), ("Qualified", 47), ("Clause", 28))
    try:
        rows = [row(cells) for cells in plain_rows(answers.welder_range(certificate, part), system)]
        note = ""
    except InputError as error:
        rows, note = [], f"No range: {error}."
    return table(f"May be welded on the strength of it, process {part.process}", heads, rows, note)


def _confirmations(certificate: Certificate, told: Timeline) -> Table:
    heads = columns(("Signed on", 12), ("By", 36), ("Process", 12), ("Joint", 16), ("Kind", 12),
                    ("Paper", 12))  # fmt: skip
    rows = [
        row([day(one.signed_on), one.by, one.process or "all", one.joint,
             "renewal" if one.renewal else "confirmation", str(_paper(one))])
        for one in sorted(certificate.confirmations, key=lambda c: c.signed_on)
    ]  # fmt: skip
    proved = [c for c in told.confirmations if c.by == BY_WORK]
    note = ""
    if proved:
        note = (f"By the code, work counts too: {len(proved)} days of production welding, the last "
                f"on {day(proved[-1].signed_on)}.")  # fmt: skip
    return table("Confirmations", heads, rows, note)


def lane(welder: Welder, told: Timeline) -> Lane:
    """One certificate as a lane of a timeline.

    Work from the day of the test on and under this holder of the stamp only: what came before is
    the business of an earlier certificate or of somebody else.
    """
    first = max(told.certificate.welded_on, welder.since or date.min)
    days = {use.day for use in told.joints if first <= use.day <= (welder.until or date.max)}
    return Lane(
        name=f"{told.stamp}, {told.certificate.number}",
        detail=words([told.certificate.processes, coded(told.certificate.code)]),
        bars=tuple((bar.since, bar.until) for bar in told.bars),
        gaps=tuple((gap.since, gap.until) for gap in told.gaps if gap.until is not None),
        ticks=tuple(c.signed_on for c in told.confirmations if c.by != BY_WORK),
        work=tuple(sorted(days)),
        tested=told.certificate.welded_on,
    )


def chart(
    title: str, told: Iterable[tuple[Welder, Timeline]], seen: View, width: float = WIDE
) -> Figure:
    """The timeline of several certificates."""
    lanes: Sequence[Lane] = [lane(welder, one) for welder, one in told]
    if not lanes:
        return Figure(svg="", note="No certificate is on record.")
    return Figure(svg=timeline_chart(title, lanes, seen.as_of, width), note="")
