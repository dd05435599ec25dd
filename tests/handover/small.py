"""A small project on the disk with papers and a short preset: a dossier of a dozen pages."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import yaml

from dossier.checks import run
from dossier.coverage.view import View, view
from dossier.intake import load_project
from dossier.records.verdicts import Finding
from tests import trial
from tests.documents.scans import make_papers, make_picture

PRESET = """volumes:
  - title: Volume 1, welding
    sections:
      - {title: Joint register, content: joint-register}
      - {title: Joint histories, content: joint-histories}
      - title: Papers
        papers: [material certificate, radiographic report]
        needed:
          - {record: Mill certificates, papers: [material certificate], asked_by: ["Contract"]}
  - title: Volume 2, conformity
    sections:
      - {title: Cross-check report, content: check-report}
      - {title: Other papers, papers: ["*"]}
"""
DOCUMENTS = [
    {"number": "D-001", "title": "Mill certificate", "kind": "material certificate",
     "file": "papers/mc.pdf", "pages": 2},
    {"number": "D-002", "title": "Film report", "kind": "radiographic report",
     "file": "papers/rt.pdf", "pages": 1},
    {"number": "D-003", "title": "Photograph", "kind": "photograph", "file": "papers/p.png"},
]  # fmt: skip
ROUTE = {
    "line": "ML",
    "points": [
        {"lon_deg": 10.0, "lat_deg": 50.0, "kp_m": 0.0},
        {"lon_deg": 10.1, "lat_deg": 50.05, "kp_m": 1000.0},
    ],
}


def registers(**changes: Any) -> trial.Registers:
    """The registers of the sound trial project, with papers; `changes` are settings."""
    whole = trial.read(trial.CLEAN)
    settings = {
        **whole["project"], "volumes": "short", "routes": [ROUTE],
        "signatories": [{"role": "prepared", "name": "P. Quill"},
                        {"role": "approved", "name": "M. Stoat"}],
        "revisions": [{"revision": "A", "issued_on": "2026-06-30", "purpose": "for review"}],
        "revision": "A", **changes,
    }  # fmt: skip
    known = {d["number"] for d in DOCUMENTS}
    documents = [d for d in whole.get("documents", []) if d["number"] not in known]
    made = {**whole, "project": settings, "documents": [*documents, *DOCUMENTS]}
    for index, joint in enumerate(made["joints"]):
        joint["kp_m"] = 100.0 * (index + 1)
    return made


def write(folder: Path, made: trial.Registers | None = None) -> Path:
    """The project in a folder."""
    (folder / "templates" / "volumes").mkdir(parents=True, exist_ok=True)
    (folder / "templates" / "volumes" / "short.yaml").write_text(PRESET, encoding="utf-8")
    if not (folder / "papers").exists():
        make_papers(folder)
        make_picture(folder / "papers" / "p.png")
    return trial.written(made or registers(), folder)


def read(folder: Path) -> tuple[View, list[Finding]]:
    """The project as seen, and what the checks find."""
    seen = view(load_project(folder))
    return seen, run(seen)


def change(folder: Path, register: str, where: str, field: str, value: Any) -> None:
    """Change one field of the record whose first field is `where`."""
    path = folder / f"{register}.yaml"
    records = yaml.safe_load(path.read_text(encoding="utf-8"))
    for record in records:
        if str(next(iter(record.values()))) == where:
            record[field] = value
    path.write_text(yaml.safe_dump(records, sort_keys=False), encoding="utf-8")


def tree(folder: Path) -> dict[str, bytes]:
    """Every file below a folder."""
    files = sorted(path for path in folder.rglob("*") if path.is_file())
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in files}
