"""Findings for the page, each with reasons, evidence and the cure it shares with others."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from dossier.documents.amounts import reason_rows
from dossier.documents.findings import in_order
from dossier.documents.sheet import columns
from dossier.records.verdicts import Evidence, Finding
from dossier.review.pack import cells_of, worded

_HEADS = columns(("Variable", 19), ("Found", 20), ("Permitted", 23), ("Clause", 25),
                 ("Verdict", 13))  # fmt: skip


def finding_columns(findings: Sequence[Finding]) -> dict[str, Any]:
    """One list a column, severest first. Findings with one cure share its index in `cure`."""
    ordered = in_order(findings)
    return {
        "id": [one.id for one in ordered],
        "check": worded(one.check for one in ordered),
        "verdict": worded(int(one.verdict) for one in ordered),
        "subject": [[list(pair) for pair in one.subject if pair[1]] for one in ordered],
        "sentence": [one.sentence for one in ordered],
        "cure": worded(one.cure or "No cure is named: see the reasons." for one in ordered),
        "conceded": worded(one.conceded_by for one in ordered),
        "heads": [column["label"] for column in _HEADS],
        "reasons": [[cells_of(line) for line in reason_rows(one.reasons)] for one in ordered],
        "evidence": [[_evidence(part) for part in one.evidence] for one in ordered],
    }


def _evidence(one: Evidence) -> list[str | int]:
    """Where it was read, the document, and its page (0: none named)."""
    where = str(one.position) if one.position else ""
    return [where, one.document, one.page or 0]
