"""Findings as SARIF 2.1.0 (OASIS Standard, 2020), the common form for results of checkers.

A hold is a question that the records cannot answer: kind "open". The standard lets only kind
"fail" bear a level, so the level of a hold is "none" and its verdict stands in the properties.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any
from urllib.parse import quote

from dossier import __version__
from dossier.records.position import Position
from dossier.records.verdicts import CLEAR, CUT_OUT, HOLD, NONCONFORMITY, NOTE, Evidence, Finding

SCHEMA = (
    "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
)
_ROOT = "PROJECT"  # the folder that holds project.yaml
_KIND_AND_LEVEL = {
    CLEAR: ("pass", "none"),
    NOTE: ("fail", "note"),
    HOLD: ("open", "none"),
    NONCONFORMITY: ("fail", "error"),
    CUT_OUT: ("fail", "error"),
}
_NO_PLACE = Position("project.yaml", 1)  # a viewer drops a result that stands nowhere


def sarif(
    findings: Sequence[Finding], questions: Mapping[str, str], files: Mapping[str, str]
) -> dict[str, Any]:
    """A SARIF log of one run.

    `questions` gives the question of every check that ran; `files` the path of each evidence
    document below the project folder.
    """
    rules = [_rule(name, question, findings) for name, question in questions.items()]
    places = {name: index for index, name in enumerate(questions)}
    driver = {"name": "dossier", "version": __version__, "rules": rules}
    run = {
        "tool": {"driver": driver},
        "invocations": [{"executionSuccessful": True}],
        "originalUriBaseIds": {_ROOT: {"description": {"text": "the project folder"}}},
        "columnKind": "unicodeCodePoints",
        "results": [_result(finding, places[finding.check], files) for finding in findings],
    }
    return {"$schema": SCHEMA, "version": "2.1.0", "runs": [run]}


def _rule(name: str, question: str, findings: Iterable[Finding]) -> dict[str, Any]:
    bases = sorted({r.basis for f in findings if f.check == name for r in f.reasons})
    standards = list(dict.fromkeys((b.standard, b.edition) for b in bases if b.known != "project"))
    return {
        "id": name,
        "shortDescription": {"text": question},
        "properties": {
            "standards": [{"standard": s, "edition": edition} for s, edition in standards],
            "projectRequirements": sorted({b.standard for b in bases if b.known == "project"}),
        },
    }


def _result(finding: Finding, rule: int, files: Mapping[str, str]) -> dict[str, Any]:
    kind, level = _KIND_AND_LEVEL[finding.verdict]
    positions = list(dict.fromkeys(e.position for e in finding.evidence if e.position))
    first, *others = positions or [_NO_PLACE]
    result: dict[str, Any] = {
        "ruleId": finding.check,
        "ruleIndex": rule,
        "kind": kind,
        "level": level,
        "message": {"text": _message(finding)},
        "locations": [_location(first, finding)],
        "partialFingerprints": {"findingId/v1": finding.id},
        "properties": {
            "verdict": str(finding.verdict),
            "subject": dict(finding.subject),
            "reasons": [
                {"variable": r.variable, "found": r.found, "permitted": r.permitted,
                 "standard": r.basis.standard, "edition": r.basis.edition,
                 "clause": r.basis.clause, "verdict": str(r.verdict)}
                for r in finding.reasons
            ],
        },
    }  # fmt: skip
    related = [_location(position) for position in others]
    related += [_page(proof, files) for proof in finding.evidence if proof.document]
    if related:
        result["relatedLocations"] = [{"id": i, **one} for i, one in enumerate(related, start=1)]
    if finding.conceded_by:
        told = f"Conceded by {finding.conceded_by}"
        result["suppressions"] = [{"kind": "external", "status": "accepted", "justification": told}]
    return result


def _message(finding: Finding) -> str:
    return f"{finding.sentence} Cure: {finding.cure}" if finding.cure else finding.sentence


def _artifact(file: str) -> dict[str, str]:
    return {"uri": quote(file), "uriBaseId": _ROOT}


def _location(position: Position, finding: Finding | None = None) -> dict[str, Any]:
    """A place in a register; a row of a workbook stands as a line, its cell in the properties."""
    told: dict[str, Any] = {
        "physicalLocation": {
            "artifactLocation": _artifact(position.file),
            "region": {"startLine": max(position.line, 1)},
        }
    }
    if position.sheet:
        told["properties"] = {"cell": position.place}
    if finding and finding.subject:
        told["logicalLocations"] = [{"name": name, "kind": k} for k, name in finding.subject]
    return told


def _page(proof: Evidence, files: Mapping[str, str]) -> dict[str, Any]:
    """A page of an evidence document; its lines are not known, so the page is told in words."""
    page = f"{proof.document}, page {proof.page}" if proof.page else proof.document
    told: dict[str, Any] = {
        "message": {"text": page},
        "logicalLocations": [{"name": page, "kind": "document page"}],
    }
    if file := files.get(proof.document):
        told["physicalLocation"] = {"artifactLocation": _artifact(file)}
    return told
