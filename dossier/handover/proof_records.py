"""Proof of the records: they are read again, checked again, and give what the dossier prints."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from pathlib import Path
from typing import Any

import pikepdf

from dossier import __version__
from dossier.checks import run
from dossier.coverage.view import View, view
from dossier.documents.finding_list import findings_as_data
from dossier.errors import DossierError
from dossier.handover.bag import Item
from dossier.handover.origin import record_files
from dossier.handover.package import PROJECT, attached_otherwise, derived
from dossier.handover.proof import Packed, Step, Trouble, step
from dossier.handover.proof_content import same_content
from dossier.handover.proof_dossier import page_texts, squeezed
from dossier.handover.proof_files import prove_files
from dossier.handover.proof_issue import prove_issue
from dossier.handover.proof_papers import prove_papers
from dossier.handover.review_page import NAME as REVIEW
from dossier.handover.review_page import review_page
from dossier.handover.sections import CONTENTS
from dossier.handover.store import digest_of
from dossier.handover.volumes import load_volumes
from dossier.intake.load import PROJECT_FILE, load_project
from dossier.records.verdicts import Finding
from dossier.units import counted

Data = Mapping[str, Any]


def prove_records(data: Path) -> list[Step]:
    """Read the records below `data` again, check them again and compare."""
    issue = json.loads((data / "issue.json").read_bytes())
    folder = data / PROJECT
    if not record_files(folder):
        missing = Trouble(f"{PROJECT}/{PROJECT_FILE}", "missing: nothing can be proved without it")
        return [step("records", "", [missing])]
    try:
        project = load_project(folder)
    except DossierError as error:
        faults = [Trouble(PROJECT, line) for line in str(error).splitlines()]
        return [step("records", "read against their schemas", faults)]
    seen = view(project, date.fromisoformat(issue["as_of"]))
    findings = run(seen)
    packed = Packed(data, issue, _sums(data))
    made = derived(seen, issue, packed.sums)
    return [
        step("records", f"{counted(len(project.joints), 'joint')} read against the schemas"),
        step(
            "attachments",
            "records in the dossier are those of the package",
            list(_attached(data, issue)),
        ),
        step("derived files", "tables, map and transmittal made again", _derived(made, data)),
        _review(seen, findings, data, issue),
        _findings(seen, findings, data, issue),
        *_of_issue(seen, findings, packed),
        prove_files(seen, findings, packed, [item.name for item in made]),
    ]


def _of_issue(seen: View, findings: Sequence[Finding], packed: Packed) -> list[Step]:
    """What issue.json says of the project, and its papers."""
    settings = seen.project.settings
    try:
        volumes = load_volumes(settings.volumes, packed.data / PROJECT, frozenset(CONTENTS))
    except DossierError as error:
        faults = [Trouble(PROJECT, line) for line in str(error).splitlines()]
        return [step("issue", "by the volumes of the project", faults)]
    return [
        prove_issue(seen, findings, volumes, packed.issue),
        prove_papers(seen, volumes, packed),
    ]


def _attached(data: Path, issue: Data) -> Iterator[Trouble]:
    wanted = {name: data / PROJECT / name for name in record_files(data / PROJECT)}
    wanted["check.json"] = data / "check.json"
    first = data / issue["files"][0]["name"]
    try:
        yield from (Trouble(*told) for told in attached_otherwise(first, wanted))
    except (pikepdf.PdfError, OSError) as error:
        yield Trouble(first.name, f"cannot be read ({type(error).__name__})")


def _sums(data: Path) -> dict[str, str]:
    return {
        path.relative_to(data).as_posix(): digest_of(path)
        for path in data.rglob("*")
        if path.is_file()
    }


def _derived(made: Sequence[Item], data: Path) -> list[Trouble]:
    return [
        Trouble(item.name, "is not what the records give")
        for item in made
        if not (data / item.name).is_file()
        or (
            isinstance(item.content, bytes)
            and not same_content(item.name, (data / item.name).read_bytes(), item.content)
        )
    ]


def _review(seen: View, findings: Sequence[Finding], data: Path, issue: Data) -> Step:
    """The review page made again: equal bytes, where it was made with the same tool."""
    if issue["tool"] != __version__:
        why = f"made with version {issue['tool']}, this is {__version__}"
        return Step("review page", "", left_out=why)
    made, path = review_page(seen, findings, issue), data / REVIEW
    same = path.is_file() and same_content(REVIEW, path.read_bytes(), made)
    wrong = [] if same else [Trouble(REVIEW, "is not what the records give")]
    return step("review page", "made again from the records", wrong)


def _findings(seen: View, findings: Sequence[Finding], data: Path, issue: Data) -> Step:
    """The cross-check run again: equal to check.json, and to what the report prints."""
    now = findings_as_data(seen.project.settings, seen.as_of, findings)
    then = json.loads((data / "check.json").read_bytes())
    told = f"cross-check run again: {len(now['findings'])} findings"
    if issue["tool"] != __version__:
        told += f" (built with version {issue['tool']}, checked with {__version__})"
    troubles = list(_differing(then, now))
    troubles += _not_printed(data, issue, now)
    return step("findings", told, troubles)


def _differing(then: Data, now: Data) -> Iterator[Trouble]:
    before = {one["id"]: one for one in then["findings"]}
    after = {one["id"]: one for one in json.loads(json.dumps(now))["findings"]}
    for key in sorted({*before, *after}):
        if key not in after:
            yield Trouble(key, "in check.json, not found again")
        elif key not in before:
            yield Trouble(key, "found now, not in check.json")
        elif before[key] != after[key]:
            yield Trouble(key, "found with other reasons or evidence than in check.json")
    if dict(then["counts"]) != now["counts"] and before == after:
        yield Trouble("check.json", "its counts are not those of its findings")
    for key in sorted({*then, *now} - {"findings", "counts"}):
        if then.get(key) != now.get(key):
            yield Trouble(f"check.json, {key}", "is not what the records give")


def _not_printed(data: Path, issue: Data, now: Data) -> Iterator[Trouble]:
    first = {file["name"]: file["first"] for file in issue["files"]}
    reports = [one for one in issue["documents"] if one["title"].startswith("Cross-check report")]
    if not reports:
        return
    text = ""
    for one in reports:
        at = one["page"] - first[one["file"]]
        text += "".join(page_texts(data / one["file"])[at : at + one["sheets"]])
    for finding in now["findings"]:
        if squeezed(finding["id"]) not in text:
            yield Trouble(finding["id"], "not printed in the cross-check report")
