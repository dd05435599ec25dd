"""Findings as the sheets print them: by verdict, by joint, with reasons, evidence and cure."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from typing import TypedDict

from dossier.coverage.view import View
from dossier.documents.amounts import reason_rows
from dossier.documents.sheet import Fact, Head, Row, Table, columns, fact, head, row, table
from dossier.records.verdicts import CLEAR, HOLD, Finding, Verdict, code_title

SEVERE_FIRST = tuple(sorted((v for v in Verdict if v > CLEAR), reverse=True))


class Printed(TypedDict):
    """One finding of the report."""

    id: str
    check: str
    verdict: str
    subject: str
    sentence: str
    reasons: Table
    evidence: str
    cure: str
    conceded_by: str


class CheckReport(TypedDict):
    """All data of the cross-check report."""

    head: Head
    summary: list[Fact]
    counts: Table
    groups: list[tuple[str, list[Printed]]]
    choices: Table


def subject(finding: Finding) -> str:
    """The subject in words.

    >>> subject(Finding("x", HOLD, (("joint", "J-1"), ("welder", "W07")), ""))
    'joint J-1, welder W07'
    """
    return ", ".join(f"{kind} {name}" for kind, name in finding.subject if name)


def evidence(finding: Finding) -> str:
    """Where the proof stands: file with line or cell, document with page."""
    told = dict.fromkeys(str(one) for one in finding.evidence)
    # A row that is named with the page of its paper need not be named without it as well.
    return "; ".join(t for t in told if not any(o.startswith(f"{t}; ") for o in told)) or "-"


def in_order(findings: Iterable[Finding]) -> list[Finding]:
    """Severest first, then by check and subject."""
    return sorted(findings, key=lambda f: (-int(f.verdict), f.check, f.subject))


def open_points(findings: Iterable[Finding]) -> list[Finding]:
    """Findings of hold or worse that no concession answers: they stop a handover."""
    return [f for f in findings if f.verdict >= HOLD and not f.conceded_by]


def by_joint(findings: Iterable[Finding]) -> dict[str, list[Finding]]:
    """Findings by the joint they are about, each list in printing order."""
    groups: dict[str, list[Finding]] = defaultdict(list)
    for finding in in_order(findings):
        if number := finding.about("joint"):
            groups[number].append(finding)
    return dict(groups)


def printed(finding: Finding) -> Printed:
    """One finding as plain data."""
    heads = columns(("Variable", 19), ("Found", 20), ("Permitted", 23), ("Clause", 25),
                    ("Verdict", 13))  # fmt: skip
    return Printed(
        id=finding.id,
        check=finding.check,
        verdict=str(finding.verdict),
        subject=subject(finding),
        sentence=finding.sentence,
        reasons=table("", heads, reason_rows(finding.reasons)),
        evidence=evidence(finding),
        cure=finding.cure or "-",
        conceded_by=finding.conceded_by,
    )


def counts(findings: Sequence[Finding]) -> Table:
    """How many findings of each verdict each check made."""
    tally = Counter((f.check, f.verdict) for f in findings)
    heads = columns(
        ("Check", 46), *((str(v), 15, "right") for v in SEVERE_FIRST), ("all", 10, "right")
    )
    rows = []
    for check in sorted({f.check for f in findings}):
        numbers = [tally[check, verdict] for verdict in SEVERE_FIRST]
        marks = [str(v) if n else "" for v, n in zip(SEVERE_FIRST, numbers, strict=True)]
        cells = [check, *(str(n or "") for n in numbers), str(sum(numbers))]
        rows.append(row(cells, ["", *marks, ""]))
    return table("Findings by check and verdict", heads, rows)


def context(
    seen: View, findings: Sequence[Finding], number: str, choices: Mapping[str, str] | None = None
) -> CheckReport:
    """Plain data of the cross-check report. `choices` are the named readings in force."""
    ordered = in_order(findings)
    groups = [
        (str(verdict), [printed(f) for f in ordered if f.verdict == verdict])
        for verdict in SEVERE_FIRST
    ]
    chosen = seen.choices if choices is None else choices
    codes = [
        code_title(code)
        for one in seen.project.lines
        for code in (one.procedure_code, one.welder_code, one.acceptance_code)
        if code
    ]
    return CheckReport(
        head=head(seen, number=number, title="Cross-check report"),
        summary=[
            fact("Joints on record", str(len(seen.project.joints))),
            fact("Passes on record", str(len(seen.project.passes))),
            fact("Findings", str(len(ordered))),
            fact("Open points (hold or worse)", str(len(open_points(ordered)))),
            fact("Answered by a concession", str(sum(bool(f.conceded_by) for f in ordered))),
            fact("Codes", "; ".join(dict.fromkeys(codes))),
        ],
        counts=counts(ordered),
        groups=[(verdict, found) for verdict, found in groups if found],
        choices=table(
            "Readings of the codes chosen by the project",
            columns(("Question", 50), ("Reading", 50)),
            [row([question, reading]) for question, reading in sorted(chosen.items())],
            "Where the project chose none, the stricter reading was taken.",
        ),
    )


def finding_row(finding: Finding) -> Row:
    """A finding as one row: verdict, subject, sentence, cure, evidence, id."""
    cells = [str(finding.verdict), subject(finding), finding.sentence, finding.cure,
             evidence(finding), finding.id]  # fmt: skip
    return row(cells, [str(finding.verdict), "", "", "", "", "soft"])


def gap_table(findings: Iterable[Finding]) -> Table:
    """The open points with what would cure each, severest first."""
    heads = columns(("Verdict", 10), ("Subject", 16), ("Finding", 27), ("Cure", 20),
                    ("Evidence", 15), ("Id", 12))  # fmt: skip
    rows = [finding_row(f) for f in in_order(open_points(findings))]
    return table("Open points", heads, rows)
