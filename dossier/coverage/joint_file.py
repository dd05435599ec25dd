"""The file on a joint: everything on record about it, gathered once for all checks."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TypeVar

from dossier.coverage.view import View
from dossier.records.base import Record
from dossier.records.construction import Coating, Lowering
from dossier.records.examinations import Examination
from dossier.records.joints import Joint, Line, Pass, Repair
from dossier.records.materials import Item
from dossier.records.position import Position
from dossier.records.procedures import Procedure, ProcedurePass
from dossier.records.treatment import HardnessTest, HeatTreatmentRecord

R = TypeVar("R", bound=Record)


@dataclass(frozen=True, slots=True)
class JointFile:
    """One joint with what hangs on it. `wps` and items are None where the registers lack them."""

    joint: Joint
    line: Line | None
    wps: Procedure | None
    members: tuple[tuple[str, Item | None], ...]  # number as written, item
    passes: list[Pass]  # in the order of number, then side
    repairs: list[Repair]
    examinations: list[Examination]
    coatings: list[Coating]
    lowerings: list[Lowering]
    heat_treatments: list[HeatTreatmentRecord]
    hardness_tests: list[HardnessTest]

    @property
    def number(self) -> str:
        """The joint number as written."""
        return self.joint.number

    @property
    def joints(self) -> tuple[Joint, ...]:
        """The joint alone, as the register that facts are gathered from."""
        return (self.joint,)

    @property
    def items(self) -> list[Item]:
        """The members that are on record."""
        return [item for _, item in self.members if item is not None]

    @property
    def wall_mm(self) -> float | None:
        """Wall of the thinner member, mm."""
        return min((i.wall_mm for i in self.items if i.wall_mm is not None), default=None)

    @property
    def od_mm(self) -> float | None:
        """Outside diameter of the smaller member, mm."""
        return min((i.od_mm for i in self.items if i.od_mm is not None), default=None)

    def planned(self) -> Iterator[tuple[Pass, Procedure, ProcedurePass]]:
        """Each pass with the row of the WPS that it was welded to, where there is one."""
        for made in self.passes:
            row = planned_pass(self.wps, made)
            if self.wps is not None and row is not None:
                yield made, self.wps, row


def planned_pass(wps: Procedure | None, made: Pass) -> ProcedurePass | None:
    """The row of the WPS for a pass: same kind and process, else the first of its kind."""
    rows = [row for row in wps.passes if row.kind == made.kind] if wps else []
    same = (row for row in rows if row.process == made.process)
    return next(same, rows[0] if rows else None)


def joint_of(seen: View, record: Pass | Examination) -> Joint | None:
    """The joint of a record: of several with one number that of the same row, else the last."""
    joints = seen.known.joints.get(record.joint, ())
    for joint in joints:
        if len(joints) > 1 and _same_row(joint.origin, record.origin):
            return joint
    return joints[-1] if joints else None


def _same_row(one: Position, other: Position) -> bool:
    return (one.file, one.sheet, one.line) == (other.file, other.sheet, other.line)


def _own(seen: View, joint: Joint, rows: list[R]) -> list[R]:
    """The rows of a joint; of one whose number stands twice, those that do not stand elsewhere.

    A row of the very sheet that holds the joints belongs to the joint in its own line.
    """
    if not rows or len(seen.known.joints.get(joint.number, ())) < 2:
        return rows
    place = joint.origin
    return [
        row
        for row in rows
        if (row.origin.file, row.origin.sheet) != (place.file, place.sheet)
        or row.origin.line == place.line
    ]


def joint_file(seen: View, joint: Joint) -> JointFile:
    """Gather the file on one joint from the indexed registers."""
    known = seen.known
    number = joint.number
    return JointFile(
        joint,
        known.lines.get(joint.line),
        known.procedure(joint.wps, joint.wps_revision),
        tuple((n, known.items.get(n)) for n in (joint.upstream_item, joint.downstream_item) if n),
        _own(seen, joint, known.passes.get(number, [])),
        _own(seen, joint, known.repairs.get(number, [])),
        _own(seen, joint, known.examinations.get(number, [])),
        _own(seen, joint, known.coatings.get(number, [])),
        _own(seen, joint, known.lowerings.get(number, [])),
        _own(seen, joint, known.heat_treatments.get(number, [])),
        _own(seen, joint, known.hardness_tests.get(number, [])),
    )
