"""What an issue of a dossier holds, as data: files, documents with pages, joints, completeness."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from typing import Any

from dossier import __version__
from dossier.coverage.view import View
from dossier.documents.findings import by_joint, open_points
from dossier.handover.completeness import Held
from dossier.handover.layout import Placed
from dossier.records.verdicts import CLEAR, Finding

FORMAT = 1
NAME = "issue.json"


@dataclass(frozen=True, slots=True)
class FileMade:
    """One file of the dossier: its name, its pages, the number of the first, its register."""

    name: str
    pages: int
    first: int
    placed: tuple[Placed, ...]


def issue_data(
    seen: View, findings: Sequence[Finding], files: Sequence[FileMade], held: Sequence[Held]
) -> dict[str, Any]:
    """The issue as plain data, for `verify`, `compare` and the transmittal register."""
    settings = seen.project.settings
    left = len(open_points(findings))
    missing = sum(one.gap for one in held)
    return {
        "format": FORMAT,
        "tool": __version__,
        "project": settings.number,
        "title": settings.title,
        "client": settings.client,
        "contractor": settings.contractor,
        "revision": settings.revision,
        "as_of": seen.as_of.isoformat(),
        "state": "draft" if left or missing else "issued",
        "open_points": left,
        "gaps": missing,
        "roles": [person.role for person in settings.signatories],
        "files": [{"name": f.name, "pages": f.pages, "first": f.first} for f in files],
        "documents": [entry for file in files for entry in _documents(file)],
        "joints": _joints(seen, findings),
        "completeness": [asdict(one) for one in held],
    }


def _documents(file: FileMade) -> list[dict[str, Any]]:
    volume = section = ""
    found = []
    for line in file.placed:
        if line.level == 1:
            volume, section = line.title.removesuffix(", continued"), ""
        elif line.level == 2:
            section = line.title.removesuffix(", continued")
        elif line.page is not None and line.part is not None:
            found.append({
                "number": line.number, "title": line.title, "revision": line.revision,
                "volume": volume, "section": section, "file": file.name, "page": line.page,
                "sheets": line.sheets, "kind": "paper" if line.part.paper else "printed",
                "lacking": line.part.lacking, "digest": line.part.digest(),
            })  # fmt: skip
    return found


def _joints(seen: View, findings: Sequence[Finding]) -> list[dict[str, Any]]:
    found = by_joint(findings)
    return [
        {
            "number": joint.number,
            "status": joint.status,
            "verdict": str(max((f.verdict for f in found.get(joint.number, ())), default=CLEAR)),
            "findings": sorted(f.id for f in found.get(joint.number, ())),
        }
        for joint in seen.project.joints
    ]
