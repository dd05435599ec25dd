"""What changed between two issues of a dossier: joints, verdicts, documents, findings."""

from __future__ import annotations

import json
import zipfile
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from dossier.coverage.view import View
from dossier.documents.findings import by_joint, open_points
from dossier.documents.front import Change
from dossier.errors import Fault, ProjectError
from dossier.handover.issue_data import FORMAT
from dossier.handover.issue_data import NAME as ISSUE
from dossier.handover.plan import Part
from dossier.records.verdicts import CLEAR, Finding
from dossier.units import counted

# What a file of another form, a damaged zip or a locked one raises.
_NO_ISSUE = (
    OSError, ValueError, LookupError, TypeError, AttributeError, RuntimeError, StopIteration,
    zipfile.BadZipFile,
)  # fmt: skip
_LARGEST = 500_000_000  # bytes, unpacked
_IN_PACKAGE = f"data/{ISSUE}"


@dataclass(frozen=True, slots=True)
class Issue:
    """What two issues are compared by. Values are what the change sheet prints."""

    name: str
    facts: Mapping[str, str]
    joints: Mapping[str, str]  # number -> status and verdict
    findings: Mapping[str, str]  # id -> sentence
    documents: Mapping[str, tuple[str, str, str]]  # number -> title, revision, digest

    @classmethod
    def of(cls, seen: View, findings: Sequence[Finding], parts: Sequence[Part]) -> Issue:
        """The issue that is being built."""
        settings, day = seen.project.settings, seen.as_of.isoformat()
        worst = {
            number: max((f.verdict for f in found), default=CLEAR)
            for number, found in by_joint(findings).items()
        }
        return cls(
            f"revision {settings.revision}",
            {"revision": settings.revision, "records to": day},
            {j.number: f"{j.status}, {worst.get(j.number, CLEAR)}" for j in seen.project.joints},
            {f.id: f.sentence for f in open_points(findings)},
            {
                _key(p.number, p.title): (
                    p.title,
                    _own_revision(p.revision, settings.revision),
                    p.digest(),
                )
                for p in parts
            },
        )


def _key(number: str, title: str) -> str:
    """What a document goes by: its title where the tool counts its number anew in every issue."""
    return title if title.startswith("Joint history ") else number


def _own_revision(revision: str, issue: str) -> str:
    """The revision of a document that has one of its own; "" where it is that of the issue."""
    return "" if revision in (issue, "-") else f"rev. {revision}"


def read_issue(path: Path) -> Issue:
    """The issue in a folder that was built, in a package (folder or zip), or in its `issue.json`.

    Raises ProjectError: there is none, or it is of a form that this version does not know.
    """
    try:
        data, sentences = _read(path)
        if data["format"] != FORMAT:
            raise ValueError
        return _issue(data, sentences)
    except _NO_ISSUE:
        raise _none(path) from None


def issue_file(path: Path) -> Path:
    """The file that tells an issue from others: issue.json of a built folder or of a package.

    A zip, or an issue.json, is that file itself. Raises ProjectError: there is none.
    """
    inside = path / _IN_PACKAGE if (path / _IN_PACKAGE).is_file() else path / ISSUE
    found = inside if path.is_dir() else path
    if not found.is_file():
        raise _none(path)
    return found


def _none(path: Path) -> ProjectError:
    expected = f"a built dossier, a package or its {ISSUE}, written by this tool"
    return ProjectError([Fault(str(path), "", "", "none that can be read", expected)])


def _read(path: Path) -> tuple[Any, Any]:
    if zipfile.is_zipfile(path):
        with zipfile.ZipFile(path) as archive:
            root = next(n for n in archive.namelist() if n.endswith(_IN_PACKAGE))
            names = [root, f"{root.removesuffix(ISSUE)}check.json"]
            if any(archive.getinfo(name).file_size > _LARGEST for name in names):
                raise ValueError("larger than any issue")
            texts = [archive.read(name) for name in names]
    else:
        file = issue_file(path)
        texts = [file.read_bytes(), file.with_name("check.json").read_bytes()]
    issue, check = (json.loads(text) for text in texts)
    return issue, {f["id"]: f for f in check["findings"]}


def _issue(data: Any, found: Any) -> Issue:
    still_open = {
        key: f["sentence"]
        for key, f in found.items()
        if f["verdict"] in ("hold", "nonconformity", "cut-out") and not f["conceded_by"]
    }
    return Issue(
        f"revision {data['revision']}, records to {data['as_of']}",
        {"revision": data["revision"], "records to": data["as_of"]},
        {j["number"]: f"{j['status']}, {j['verdict']}" for j in data["joints"]},
        still_open,
        {
            _key(d["number"], d["title"]): (
                d["title"],
                _own_revision(d["revision"], data["revision"]),
                d["digest"],
            )
            for d in data["documents"]
            if d["volume"]  # what stands in front is new in every issue
        },
    )


def differences(before: Issue, now: Issue) -> list[Change]:
    """Every difference, joints first; equal issues have none."""
    changes = [*_of("issue", before.facts, now.facts), *_of("joint", before.joints, now.joints)]
    changes += _of("open point", before.findings, now.findings)
    for key in sorted({*before.documents, *now.documents}):
        old, new = before.documents.get(key), now.documents.get(key)
        if old == new:
            continue
        shown = [_document(one) for one in (old, new)]
        if old and new and shown[0] == shown[1]:
            shown[1] = f"{shown[1]}, new content"
        changes.append(_change("document", key, shown[0], shown[1]))
    return changes


def _document(one: tuple[str, str, str] | None) -> str:
    return "" if one is None else ", ".join(part for part in one[:2] if part)


def _of(kind: str, before: Mapping[str, str], now: Mapping[str, str]) -> list[Change]:
    keys = [*now, *(key for key in before if key not in now)]
    return [
        _change(kind, key, before.get(key, ""), now.get(key, ""))
        for key in keys
        if before.get(key) != now.get(key)
    ]


def _change(kind: str, name: str, before: str, now: str) -> Change:
    what = "changed" if before and now else "new" if now else "gone"
    return Change(kind=kind, name=name, what=what, before=before, now=now)


def as_text(before: Issue, now: Issue, changes: Sequence[Change]) -> str:
    """The differences for people, one a line."""
    lines = [f"From {before.name} to {now.name}: {counted(len(changes), 'change')}."]
    for one in changes:
        middle = f"{one['before']} -> {one['now']}" if one["what"] == "changed" else ""
        lines.append(f"{one['kind']} {one['name']} {one['what']}: "
                     f"{middle or one['now'] or one['before']}")  # fmt: skip
    return "\n".join(lines)
