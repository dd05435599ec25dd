"""The ledger of joint numbers on a small log: every number in one state, with its reason."""

from __future__ import annotations

from datetime import date

import pytest

from dossier.checks import joint_number_ledger
from dossier.coverage.facts import by_key
from dossier.coverage.number_ledger import ledger
from dossier.coverage.view import View, view
from dossier.intake.numbering import joint_name
from dossier.records.joints import Joint
from dossier.records.materials import Item
from dossier.records.position import Position
from dossier.records.project import Numbering, Project, Settings
from dossier.records.verdicts import Finding

NUMBERING = Numbering(
    pattern=r"(?P<series>J|T)-(?P<sequence>\d+)(?:(?P<event>R|W)(?P<order>\d)?)?",
    events={"R": "repair", "W": "re-weld"},
    void={"J-04": "skipped by the crew", "J-08": "never welded"},
)


def joint(line: int, number: str, status: str = "welded", replaces: str = "") -> Joint:
    return Joint(
        number=number, name=joint_name(number, NUMBERING), line="L", status=status,
        replaces=replaces, origin=Position("log.csv", line),
    )  # fmt: skip


def project(*joints: Joint, items: tuple[Item, ...] = ()) -> Project:
    settings = Settings(number="1", title="", client="", contractor="", numbering=NUMBERING)
    return Project(settings=settings, joints=joints, items=items)


def test_every_number_has_one_state() -> None:
    entries = ledger(
        project(
            joint(2, "J-01"), joint(3, "J-02", "cut out"), joint(4, "J-02W", replaces="J-02"),
            joint(5, "J-03"), joint(6, "J-03"), joint(7, "J-06", "cut out"), joint(8, "J-07R2"),
            joint(9, "J-08"), joint(10, "J-09", "void"), joint(11, "T-1"), joint(12, "T-3"),
            items=(
                Item(number="P-1"), Item(number="P-1A", kind="pup", parent="P-1"),
                Item(number="P-9B", kind="pup", parent="P-9"), Item(number="X", kind="pup"),
            ),
        )
    )  # fmt: skip
    assert [(e.number, e.state, e.explanation) for e in entries] == [
        ("J-01", "used", "welded"),
        ("J-02", "replaced by", "cut out; J-02W stands in its place"),
        ("J-02W", "used", "re-weld 1 of J-02; in place of J-02"),
        ("J-03", "doubled", "2 times (no date, no date)"),
        ("J-04", "void", "skipped by the crew"),
        ("J-05", "missing", "not in the log"),
        ("J-06", "cut out", "cut out, nothing in its place"),
        ("J-07R2", "used", "repair 2 of J-07"),
        ("J-08", "void and used", "declared void (never welded), and in the log as welded"),
        ("J-09", "void", "void in the log"),
        ("T-1", "used", "welded"),
        ("T-2", "missing", "not in the log"),
        ("T-3", "used", "welded"),
        ("P-1A", "pup", "cut from P-1"),
        ("P-9B", "pup", "cut from P-9, which is not on record"),
        ("X", "pup", "its pipe is not recorded"),
    ]
    assert [str(e.origin) for e in entries[4:6]] == ["log.csv, line 5", "log.csv, line 5"]


def test_a_mistyped_number_is_not_a_thousand_missing_ones() -> None:
    entries = ledger(project(joint(2, "J-001"), joint(3, "J-999999999")))
    assert [(e.number, e.state) for e in entries] == [
        ("J-001", "used"),
        ("J-002 to J-999999998", "missing"),
        ("J-999999999", "used"),
    ]


LONG = (
    joint(2, "J-04003"), joint(3, "J-00002"), joint(4, "J-08001", "cut out"), joint(5, "J-03999"),
    joint(6, "J-00001"), joint(7, "J-04001"), joint(8, "J-08001W", replaces="J-08001"),
    joint(9, "J-03999"), joint(10, "J-00004", "void"), joint(11, "J-04002R"),
    joint(13, "T-03990"), joint(14, "T-04005W", replaces="T-03990"), joint(15, "T-04000", "void"),
)  # fmt: skip


@pytest.mark.parametrize("log", [LONG, LONG[::-1]], ids=["as written", "backwards"])
def test_a_long_log_in_parts_gives_the_findings_of_the_whole(log: tuple[Joint, ...]) -> None:
    seen = view(project(*log), date(2026, 6, 30))
    whole = list(joint_number_ledger.check(seen))
    assert {f.about("joint") for f in whole} == {
        "J-00003", "J-00005 to J-03998", "J-03999", "J-04000", "J-04004 to J-08000",
        *(f"T-0{n}" for n in (3991, 3992, 3993, 3994, 3995, 3996, 3997, 3998, 3999)),
        "T-04001", "T-04002", "T-04003", "T-04004", "T-04005W",
    }  # fmt: skip
    parts = in_parts(seen)
    assert sorted(parts, key=lambda f: f.id) == sorted(whole, key=lambda f: f.id)


def in_parts(seen: View) -> list[Finding]:
    """The findings of the log where each part of it is weighed by itself, and then their ends."""
    (gather,) = joint_number_ledger.FACTS.values()
    facts, findings = list(gather(seen, seen.project)), []
    while facts:
        results = list(joint_number_ledger.conclude(seen, by_key(facts)))
        findings += [result for result in results if isinstance(result, Finding)]
        facts = [result for result in results if not isinstance(result, Finding)]
    return findings
