"""Was each section tested high and long enough, with gauges in calibration, and found tight?

Whether each of its joints was accepted before the test is asked of the joint.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator

from dossier.coverage.as_of import day_of
from dossier.coverage.calibration import use_reasons
from dossier.coverage.evidence import at, paper
from dossier.coverage.joint_file import JointFile
from dossier.coverage.pressure import own_reasons, rule_reasons
from dossier.coverage.view import View, project_basis
from dossier.records.construction import PressureTest
from dossier.records.joints import Joint
from dossier.records.verdicts import CLEAR, HOLD, Finding, Reason, worst

NAME = "pressure-test"


def check(seen: View) -> Iterator[Finding]:
    """One finding per test that does not prove its section."""
    sections = _sections(seen)
    for test in seen.project.pressure_tests:
        reasons = tuple(
            r for r in _reasons(seen, test, sections[test.number]) if r.verdict != CLEAR
        )
        if reasons:
            yield _finding(test, reasons)


def asked(seen: View) -> bool:
    """Whether there are pressure tests."""
    return bool(seen.project.pressure_tests)


def concerns(seen: View, file: JointFile) -> Iterator[Hashable]:
    """The joints that a test lists; of those it tells by KP one of each size of pipe."""
    for test in seen.known.tests_of(file.joint):
        sizes = tuple((item.od_mm, item.wall_mm, item.smys_mpa) for item in file.items)
        yield test.number, file.number if file.number in test.joints else sizes


def _sections(seen: View) -> dict[str, list[Joint]]:
    """The joints of each test by its number, in the order of the register of joints."""
    sections: dict[str, list[Joint]] = {test.number: [] for test in seen.project.pressure_tests}
    for joint in seen.project.joints if sections else ():
        for test in seen.known.tests_of(joint):
            sections[test.number].append(joint)
    return sections


def _finding(test: PressureTest, reasons: tuple[Reason, ...]) -> Finding:
    told = "; ".join(f"{r.variable} {r.found}, wanted {r.permitted}" for r in reasons)
    return Finding(
        NAME,
        worst(reasons),
        (("pressure test", test.number),),
        f"Pressure test {test.number}, {test.section or 'section not named'}: {told}.",
        reasons,
        (*at(test, "pressure_bar", "duration_h", "gauges", "joints"), *paper(test)),
        "Show charts and certificates of the gauges; a test that was too low, too short or not "
        "tight is repeated.",
    )


def _reasons(seen: View, test: PressureTest, joints: list[Joint]) -> Iterator[Reason]:
    basis = project_basis(seen, "pressure test")
    if not joints:
        yield Reason("section", "no joint of the register", "its joints", basis, HOLD)
    for number in test.joints:
        if number not in seen.known.joints:
            yield Reason("joint", f"{number}, not on record", "on record", basis, HOLD)
    yield from own_reasons(test)
    yield from rule_reasons(seen, test, joints)
    yield from _tight(seen, test)
    yield from _gauges(seen, test)


def _tight(seen: View, test: PressureTest) -> Iterator[Reason]:
    """The result; where none is recorded, leaks must be. An accepted test had none left."""
    basis = project_basis(seen, "pressure test")
    if test.result == "rejected":
        yield Reason("result", "rejected", "accepted", basis, HOLD)
        return
    if not test.result and "result" not in test.not_applicable:
        yield Reason("result", "not recorded", "accepted", basis, HOLD)
        if test.leaks is None and "leaks" not in test.not_applicable:
            yield Reason("leaks", "not recorded", "none, or each dealt with", basis, HOLD)
    if test.leaks and not test.disposition:
        found = f"{test.leaks}, nothing said of them"
        yield Reason("leaks", found, "none, or each dealt with", basis, HOLD)


def _gauges(seen: View, test: PressureTest) -> Iterator[Reason]:
    basis = project_basis(seen, "calibration of test gauges")
    day = day_of(test.started_at)
    if day is None:
        yield Reason("start of the test", "not recorded", "recorded", basis, HOLD)
    elif not test.gauges and "gauges" not in test.not_applicable:
        yield Reason("gauges", "not recorded", "their numbers", basis, HOLD)
    else:
        for number in test.gauges:
            yield from use_reasons(seen.known.instruments.get(number, []), number, day, basis)
