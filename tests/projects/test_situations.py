"""Twenty situations of a site, each with exactly the verdicts that it deserves."""

from __future__ import annotations

from pathlib import Path

import pytest

from dossier.checks import run
from dossier.coverage.view import view
from dossier.intake import load_project
from tests.trial import CLEAN, PROJECTS, changed, expected, read, told, written

SITUATIONS = sorted((PROJECTS / "situations").glob("*.yaml"))


def test_all_twenty_are_there() -> None:
    assert {int(path.stem[:2]) for path in SITUATIONS} == set(range(1, 21))


@pytest.mark.parametrize("path", SITUATIONS, ids=lambda path: path.stem)
def test_a_situation_gets_its_verdicts(path: Path, tmp_path: Path) -> None:
    situation = read(path)
    registers = changed(read(CLEAN), situation["change"])
    findings = run(view(load_project(written(registers, tmp_path))))
    assert told(findings) == expected(situation)
