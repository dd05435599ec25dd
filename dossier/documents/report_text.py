"""The cross-check report for a terminal."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from datetime import date
from itertools import groupby

from dossier.documents.findings import SEVERE_FIRST, evidence, in_order, open_points
from dossier.records.project import Settings
from dossier.records.verdicts import Finding, Verdict
from dossier.units import counted

_COLOURS = {Verdict.NOTE: "36", Verdict.HOLD: "33", Verdict.NONCONFORMITY: "31",
            Verdict.CUT_OUT: "35"}  # fmt: skip
_PLAIN = "1"  # bold
_WIDTH = 96


def report_text(
    settings: Settings, as_of: date, findings: Sequence[Finding], *, colour: bool = False
) -> str:
    """Findings by verdict, severest first, and check, each with reasons, proof and cure.

    Those that a concession answers stand apart, after the others.
    """
    ordered = in_order(findings)
    lines = [
        _safe(f"{settings.number}  {settings.title}"),
        f"Cross-check, records to {as_of.isoformat()}",
    ]
    for verdict in SEVERE_FIRST:
        group = [f for f in ordered if f.verdict == verdict and not f.conceded_by]
        lines += _group(f"{str(verdict).upper()} ({len(group)})", group, _COLOURS[verdict], colour)
    conceded = [f for f in ordered if f.conceded_by]
    lines += _group(f"CONCEDED ({len(conceded)})", conceded, _PLAIN, colour)
    tally = ", ".join(
        f"{sum(f.verdict == verdict for f in ordered)} {verdict}" for verdict in SEVERE_FIRST
    )
    told = f"{counted(len(ordered), 'finding')}: {tally}; {len(conceded)} conceded. "
    lines += ["", f"{told}{len(open_points(ordered))} open."]
    return "\n".join(lines)


def _group(title: str, group: Sequence[Finding], code: str, colour: bool) -> Iterator[str]:
    if not group:
        return
    yield ""
    yield _paint(title, code, colour)
    for check, own in groupby(group, key=lambda finding: finding.check):
        found = list(own)
        yield f" {_paint(check, _PLAIN, colour)} ({len(found)})"
        for finding in found:
            yield from _finding(finding)


def _paint(text: str, code: str, colour: bool) -> str:
    bold = "" if code == _PLAIN else "1;"
    return f"\x1b[{bold}{code}m{text}\x1b[0m" if colour else text


def _safe(text: str) -> str:
    """Text of a record without control characters, which could drive the terminal."""
    return "".join(c if c.isprintable() else "?" for c in text)


def _wrap(label: str, text: str, indent: str = "      ") -> list[str]:
    first = f"{indent}{label}"
    return textwrap.wrap(
        _safe(text), _WIDTH, initial_indent=first, subsequent_indent=" " * len(first)
    )


def _finding(finding: Finding) -> Iterator[str]:
    conceded = (
        f"[{finding.verdict}, conceded by {finding.conceded_by}] " if finding.conceded_by else ""
    )
    yield from _wrap("", f"{conceded}{finding.sentence}", "  ")
    for reason in finding.reasons:
        if reason.verdict or len(finding.reasons) == 1:
            told = f"{reason.variable}: found {reason.found}, permitted {reason.permitted}"
            yield from _wrap("", f"{told} [{reason.basis}]", "    ")
    if finding.evidence:
        yield from _wrap("proof: ", evidence(finding), "    ")
    if finding.cure:
        yield from _wrap("cure:  ", finding.cure, "    ")
    yield f"    id:    {finding.id}"
