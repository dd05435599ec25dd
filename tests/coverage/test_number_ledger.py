"""The ledger of joint numbers on a small log: every number in one state, with its reason."""

from __future__ import annotations

from dossier.coverage.number_ledger import ledger
from dossier.intake.numbering import joint_name
from dossier.records.joints import Joint
from dossier.records.materials import Item
from dossier.records.position import Position
from dossier.records.project import Numbering, Project, Settings

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
