"""The findings as plain data, for other programs: what `dossier check --format json` prints."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from datetime import date
from typing import Any

from dossier.records.project import Settings
from dossier.records.verdicts import Basis, Evidence, Finding, Reason, Verdict


def findings_as_data(
    settings: Settings, as_of: date, findings: Sequence[Finding]
) -> dict[str, Any]:
    """Project, day, findings in their order, and the count of each verdict and of conceded ones."""
    counts = Counter(str(finding.verdict) for finding in findings)
    return {
        "project": settings.number,
        "title": settings.title,
        "as_of": as_of.isoformat(),
        "findings": [finding_as_data(finding) for finding in findings],
        "counts": {
            **{str(verdict): counts[str(verdict)] for verdict in Verdict if verdict},
            "conceded": sum(1 for finding in findings if finding.conceded_by),
        },
    }


def finding_as_data(finding: Finding) -> dict[str, Any]:
    """One finding as plain data, with its reasons, evidence and cure."""
    return {
        "id": finding.id,
        "check": finding.check,
        "verdict": str(finding.verdict),
        "subject": dict(finding.subject),
        "sentence": finding.sentence,
        "reasons": [_reason(reason) for reason in finding.reasons],
        "evidence": [_evidence(evidence) for evidence in finding.evidence],
        "cure": finding.cure,
        "conceded_by": finding.conceded_by or None,
    }


def _reason(reason: Reason) -> dict[str, Any]:
    return {
        "variable": reason.variable,
        "found": reason.found,
        "permitted": reason.permitted,
        "verdict": str(reason.verdict),
        "basis": _basis(reason.basis),
    }


def _basis(basis: Basis) -> dict[str, str]:
    return {
        "standard": basis.standard,
        "edition": basis.edition,
        "clause": basis.clause,
        "known": basis.known,
    }


def _evidence(evidence: Evidence) -> dict[str, Any]:
    data: dict[str, Any] = {}
    if evidence.position is not None:
        data["file"] = evidence.position.file
        kind = "cell" if evidence.position.sheet else "line"
        place = evidence.position.place
        data[kind] = place if kind == "cell" else evidence.position.line
    if evidence.document:
        data["document"] = evidence.document
        data["page"] = evidence.page
    return data
