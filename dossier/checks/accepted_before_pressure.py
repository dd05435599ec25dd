"""Was each joint of a tested section accepted before the test, and none welded into it later?

A weld made after the test of its section was never under test pressure: it must be a golden or
tie-in weld, which the project examines all the more.
"""

from __future__ import annotations

from collections.abc import Iterator

from dossier.coverage.acceptance import cleared_at, last_welding, needed
from dossier.coverage.evidence import at, paper
from dossier.coverage.joint_file import JointFile
from dossier.coverage.view import View, project_basis
from dossier.records.construction import PressureTest
from dossier.records.verdicts import NONCONFORMITY, Finding, Reason

NAME = "accepted-before-test"
_AFTER_TEST = ("golden", "tie-in")


def check(seen: View, file: JointFile) -> Iterator[Finding]:
    """One finding per test that the joint was not ready for, if no other test heals it."""
    tests = [test for test in seen.known.tests_of(file.joint) if test.started_at is not None]
    asked = [(test, tuple(_asked(seen, file, test))) for test in tests]
    if any(test.result != "rejected" and not found for test, found in asked):
        return
    for _, found in asked:
        yield from found


def _asked(seen: View, file: JointFile, test: PressureTest) -> Iterator[Finding]:
    start = test.started_at
    welded = last_welding(file)
    basis = project_basis(seen, "pressure test after acceptance")
    if start is None:
        return
    if welded is not None and welded > start:
        if file.joint.kind not in _AFTER_TEST or test.joints:
            found = f"{welded:%Y-%m-%d %H:%M}, kind {file.joint.kind}"
            wanted = f"before the test of {start:%Y-%m-%d %H:%M}, or a golden or tie-in weld"
            reason = Reason("last welding", found, wanted, basis, NONCONFORMITY)
            yield _finding(file, test, reason)
        return
    cleared = cleared_at(seen, file)
    if any(True for _ in needed(seen, file)) and (cleared is None or cleared > start):
        found = f"{cleared:%Y-%m-%d %H:%M}" if cleared else "not yet"
        wanted = f"before the test of {start:%Y-%m-%d %H:%M}"
        yield _finding(file, test, Reason("accepted", found, wanted, basis, NONCONFORMITY))


def _finding(file: JointFile, test: PressureTest, reason: Reason) -> Finding:
    return Finding(
        NAME,
        NONCONFORMITY,
        (("joint", file.number), ("pressure test", test.number)),
        f"Joint {file.number} in pressure test {test.number}: {reason.variable} {reason.found}, "
        f"wanted {reason.permitted}.",
        (reason,),
        (
            *at(file.joint, "finished_at", "kind"),
            *(proof for report in file.examinations for proof in at(report, "examined_at")),
            *paper(test),
        ),
        "Examine the joint now; a weld that was never under test pressure is marked golden and "
        "examined as such, or the section is tested again.",
    )
