"""The cross-check report for a terminal."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from datetime import date

from dossier.documents.findings import SEVERE_FIRST, evidence, in_order, open_points
from dossier.records.project import Settings
from dossier.records.verdicts import Finding, Verdict

_COLOURS = {Verdict.NOTE: "36", Verdict.HOLD: "33", Verdict.NONCONFORMITY: "31",
            Verdict.CUT_OUT: "35"}  # fmt: skip
_WIDTH = 96


def report_text(
    settings: Settings, as_of: date, findings: Sequence[Finding], *, colour: bool = False
) -> str:
    """Findings grouped by verdict, severest first, each with reasons, proof and cure."""
    ordered = in_order(findings)
    lines = [f"{settings.number}  {settings.title}", f"Cross-check, records to {as_of.isoformat()}"]
    for verdict in SEVERE_FIRST:
        group = [f for f in ordered if f.verdict == verdict]
        if group:
            lines += ["", _paint(f"{str(verdict).upper()} ({len(group)})", verdict, colour)]
        for finding in group:
            lines += _finding(finding)
    tally = ", ".join(
        f"{sum(f.verdict == verdict for f in ordered)} {verdict}" for verdict in SEVERE_FIRST
    )
    lines += ["", f"{len(ordered)} findings: {tally}. {len(open_points(ordered))} open."]
    return "\n".join(lines)


def _paint(text: str, verdict: Verdict, colour: bool) -> str:
    return f"\x1b[1;{_COLOURS[verdict]}m{text}\x1b[0m" if colour else text


def _safe(text: str) -> str:
    """Text of a record without control characters, which could drive the terminal."""
    return "".join(c if c.isprintable() else "?" for c in text)


def _wrap(label: str, text: str, indent: str = "      ") -> list[str]:
    first = f"{indent}{label}"
    return textwrap.wrap(
        _safe(text), _WIDTH, initial_indent=first, subsequent_indent=" " * len(first)
    )


def _finding(finding: Finding) -> list[str]:
    conceded = f" [conceded by {_safe(finding.conceded_by)}]" if finding.conceded_by else ""
    lines = _wrap("", f"{finding.sentence}{conceded}", "  ")
    for reason in finding.reasons:
        if reason.verdict or len(finding.reasons) == 1:
            told = f"{reason.variable}: found {reason.found}, permitted {reason.permitted}"
            lines += _wrap("", f"{told} [{reason.basis}]", "    ")
    if finding.evidence:
        lines += _wrap("proof: ", evidence(finding), "    ")
    if finding.cure:
        lines += _wrap("cure:  ", finding.cure, "    ")
    lines.append(f"    id:    {finding.id}")
    return lines
