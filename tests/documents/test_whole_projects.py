"""Every document of the trial projects: nothing over its edge or over other text, equal twice,
and the same text as when somebody last looked."""

from __future__ import annotations

import hashlib
import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from dossier.checks import run
from dossier.coverage.view import View, view
from dossier.documents.issue import (
    Issued,
    form_issue,
    matrix_issue,
    procedure_issue,
    register_issue,
)
from dossier.documents.pdf import render
from dossier.handover.sections import CONTENTS, source
from dossier.intake import load_project
from tests.documents import example
from tests.documents.overprint import faults
from tests.documents.reading import pdf_text

ROOT = Path(__file__).resolve().parents[2]
SNAPSHOTS = Path(__file__).parent / "snapshots"
NEW = "DOSSIER_NEW_SNAPSHOTS"  # set to write them anew, on purpose


@pytest.fixture(scope="module")
def sample() -> View:
    return view(load_project(ROOT / "sample_project"), None)


def issued(seen: View) -> Iterator[Issued]:
    """Everything that the issuing commands write for a project."""
    findings = example.findings()
    yield from procedure_issue(seen)
    yield from matrix_issue(seen)
    yield from register_issue(seen, findings)
    yield from form_issue(seen, findings)


def test_no_document_of_the_sample_is_clipped_or_overprinted(sample: View) -> None:
    of = source(sample, run(sample), None)
    told: dict[str, list[str]] = {}
    for name, make in CONTENTS.items():
        pages = [sheet.content.html() for sheet in make(of)]
        pages = pages[:: max(1, len(pages) // 5)]  # of many alike a few, evenly spread
        for start in range(0, len(pages), 5):
            found = faults(render(pages[start : start + 5]).data)
            if found:
                told[f"{name} {start}"] = found
    assert told == {}


MADE = """
import hashlib, sys
sys.path.insert(0, {root!r})
from dossier.coverage.view import view
from tests.documents import example
from tests.documents.test_whole_projects import issued
for one in issued(view(example.project(), example.AS_OF)):
    print(hashlib.sha256(one.data()).hexdigest(), one.name)
"""


def test_two_processes_give_the_same_bytes_in_all_forms(tmp_path: Path) -> None:
    told = []
    for seed, zone, folder in (("0", "UTC", ROOT), ("4711", "Asia/Tokyo", tmp_path)):
        done = subprocess.run(
            [sys.executable, "-c", MADE.format(root=str(ROOT))],
            capture_output=True, text=True, check=True, cwd=folder,
            env={**os.environ, "PYTHONHASHSEED": seed, "TZ": zone, "LC_ALL": "C"},
        )  # fmt: skip
        told.append(done.stdout.splitlines())
    assert told[0] == told[1]
    assert {line.rsplit(".", 1)[1] for line in told[0]} == {"docx", "pdf", "xlsx"}


def _text(one: Issued) -> str:
    lines = (line.rstrip() for line in pdf_text(one.data(), how="-raw").splitlines())
    return "\n".join(line for line in lines if line) + "\n"


def test_the_text_of_every_document_is_the_one_looked_at_last() -> None:
    seen = view(example.project(), example.AS_OF)
    made = {one.name.removesuffix(".pdf"): _text(one) for one in issued(seen)
            if one.name.endswith(".pdf")}  # fmt: skip
    if os.environ.get(NEW):
        SNAPSHOTS.mkdir(exist_ok=True)
        for path in SNAPSHOTS.glob("*.txt"):
            path.unlink()
        for name, text in made.items():
            (SNAPSHOTS / f"{name}.txt").write_text(text, encoding="utf-8")
    kept = {path.stem: path.read_text(encoding="utf-8") for path in SNAPSHOTS.glob("*.txt")}
    assert sorted(made) == sorted(kept)
    for name, text in made.items():
        assert text == kept[name], f"{name}: if it is meant so, set {NEW}=1 and look at the diff"


def test_snapshots_are_small() -> None:
    sizes = {path.name: path.stat().st_size for path in SNAPSHOTS.glob("*.txt")}
    assert max(sizes.values()) < 12_000
    assert sum(sizes.values()) < 60_000
    assert len({hashlib.sha256(p.read_bytes()).digest() for p in SNAPSHOTS.glob("*.txt")}) == len(
        sizes
    )
