"""Examples of every command, for the reference and the manual; a test runs them in this order."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

EXAMPLES: Final[Mapping[str, tuple[str, ...]]] = {
    "check": (
        "dossier check sample_project",
        "dossier check sample_project --only pass-interval heat-input --as-of 2026-05-31",
        "dossier check sample_project --format sarif > findings.sarif",
    ),
    "history": (
        "dossier history sample_project ML-101",
        "dossier history sample_project ML-101 --format pdf --out out/ML-101.pdf",
    ),
    "ask": (
        "dossier ask sample_project                             # lists the questions",
        "dossier ask sample_project who-welded joint=ML-101",
        "dossier ask sample_project heat heat=H41237 --format csv > heat.csv",
    ),
    "draw": ("dossier draw sample_project --seed 2026 --joints 5",),
    "ready": (
        "dossier ready sample_project --for lowering",
        "dossier ready sample_project --for handover --format csv > handover.csv",
    ),
    "figures": ("dossier figures sample_project --out out",),
    "sheets": ("dossier sheets sample_project --out out",),
    "matrix": ("dossier matrix sample_project --out out",),
    "forms": ("dossier forms sample_project --out out",),
    "plan": (
        "dossier plan sample_project --days 60",
        "dossier plan sample_project --out out",
    ),
    "page": ("dossier page sample_project --out out/review.html",),
    "serve": ("dossier serve sample_project --port 0",),
    "templates": (
        "dossier templates list",
        "dossier templates show procedure.docx",
        "dossier templates check docs/own-form",
    ),
    "build": ("dossier build sample_project --out out/sample",),
    "join": (
        "dossier build sample_project --out out/shares --shard 1/2   # on one machine",
        "dossier build sample_project --out out/shares --shard 2/2   # on another",
        "dossier join sample_project --out out/shares",
    ),
    "package": ("dossier package sample_project --built out/sample --out out/handover.zip",),
    "verify": ("dossier verify out/handover.zip",),
    "compare": ("dossier compare out/sample out/shares",),
    "sign": ("dossier sign out/sample --key key.p12 --passphrase-file phrase.txt --role prepared",),
    "new": ("dossier new my_project",),
    "workbook": ("dossier workbook sample_project --out records.xlsx",),
    "map": ("dossier map sample_project/registers/weld-log.xlsx",),
    "schema": (
        "dossier schema joints > joints.json",
        "dossier schema --editor my_project",
    ),
    "migrate": ("dossier migrate my_project --check",),
    "range": ("dossier range sample_project/registers/welders.yaml",),
    "calc": (
        "dossier calc                                           # lists the formulas",
        "dossier calc arc_energy_kj_mm voltage_v=24 current_a=180 travel_mm_min=300",
    ),
    "doctor": ("dossier doctor",),
    "completion": ("dossier completion bash > dossier.bash",),
}
