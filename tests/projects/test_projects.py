"""One small project per defect: exactly the findings named in its file, and none when sound."""

from __future__ import annotations

from pathlib import Path

import pytest

from dossier.checks import ALL, run
from dossier.coverage.view import view
from dossier.intake import load_project
from tests.trial import CLEAN, DEFECTS, changed, expected, read, spoilt, told, written


def test_the_sound_project_has_no_finding(tmp_path: Path) -> None:
    project = load_project(written(read(CLEAN), tmp_path))
    findings = run(view(project))
    assert findings == [], "\n".join(f.sentence + str(f.reasons) for f in findings)


@pytest.mark.parametrize("path", DEFECTS, ids=lambda path: path.stem)
def test_a_defect_gives_its_findings_and_no_other(path: Path, tmp_path: Path) -> None:
    defect = read(path)
    registers = changed(read(CLEAN), defect["change"])
    folder = spoilt(written(registers, tmp_path), defect.get("files", []))
    findings = run(view(load_project(folder)))
    assert told(findings) == expected(defect)
    for finding in findings:
        assert finding.reasons
        assert finding.evidence or finding.check == "joint-number-ledger"
        assert finding.cure
        assert all(r.found and r.permitted and str(r.basis) for r in finding.reasons)


def test_every_check_has_a_defect() -> None:
    found = {e["check"] for path in DEFECTS for e in read(path)["expected"]}
    assert found == set(ALL)
