"""What spares a check its asking never hides a finding."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from benchmarks.generate import written as generated
from benchmarks.rules import RULES
from dossier.checks import ALL, OF_CUT_OUTS, OF_JOINTS, asked_of, of_file
from dossier.coverage.joint_file import JointFile, joint_file
from dossier.coverage.view import View, view
from dossier.intake import load_project
from dossier.records.verdicts import Finding
from tests.trial import CLEAN, DEFECTS, changed, read, spoilt, written


def files(seen: View) -> Iterator[JointFile]:
    for joint in seen.project.joints:
        if joint.status in ("welded", "cut out"):
            yield joint_file(seen, joint)


def one_by_one(seen: View, file: JointFile) -> list[Finding]:
    names = OF_JOINTS if file.joint.status == "welded" else OF_CUT_OUTS
    return [finding for name in names for finding in OF_JOINTS[name](seen, file)]


def assert_the_same(folder: Path) -> int:
    seen, plainly = view(load_project(folder)), view(load_project(folder))
    asked = asked_of(seen, frozenset(ALL))
    count = 0
    for quick, careful in zip(files(seen), files(plainly), strict=True):
        found = list(of_file(seen, quick, asked))
        wanted = one_by_one(plainly, careful)
        assert sorted(found, key=str) == sorted(wanted, key=str)
        count += len(found)
    return count


# That every defect is found with the quick questions is tested with its findings; that they spare
# nothing else is asked of every second one.
@pytest.mark.parametrize("path", [CLEAN, *DEFECTS[::2]], ids=lambda path: path.stem)
def test_a_defect_is_found_with_and_without(path: Path, tmp_path: Path) -> None:
    defect = read(path) if path != CLEAN else {"change": []}
    registers = changed(read(CLEAN), defect["change"])
    assert_the_same(spoilt(written(registers, tmp_path), defect.get("files", [])))


def test_a_long_line_is_asked_the_same_with_and_without(tmp_path: Path) -> None:
    assert assert_the_same(generated(tmp_path, 300, seed=11)) > 3


def test_the_rules_that_the_benchmark_counts_are_of_checks() -> None:
    assert set(RULES) <= set(ALL)
    assert all(len(set(rules)) == len(rules) for rules in RULES.values())
