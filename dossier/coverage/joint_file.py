"""The file on a joint: everything on record about it, gathered once for all checks."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from operator import attrgetter
from typing import Any, TypeVar

from dossier.coverage.view import View
from dossier.records.base import Record
from dossier.records.construction import Coating, Lowering
from dossier.records.examinations import Examination
from dossier.records.joint_records import JointRecords
from dossier.records.joints import Joint, Line, Pass, Repair
from dossier.records.materials import Item
from dossier.records.position import Position
from dossier.records.procedures import Procedure, ProcedurePass
from dossier.records.treatment import HardnessTest, HeatTreatmentRecord

R = TypeVar("R", bound=Record)
Rows = dict[tuple[str, str], ProcedurePass | None]


@dataclass(slots=True, eq=False)  # frozen, it takes three times as long to make
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
    # Rows of the WPS by kind of pass and process, as far as asked; all joints of the WPS share it.
    rows: Rows = field(default_factory=dict, repr=False, compare=False)
    plan: list[tuple[Pass, Procedure, ProcedurePass]] = field(
        default_factory=list, repr=False, compare=False
    )  # see `planned`
    works: list[Any] = field(default_factory=list, repr=False, compare=False)  # see `work_of`

    @property
    def number(self) -> str:
        """The joint number as written."""
        return self.joint.number

    @property
    def joints(self) -> tuple[Joint, ...]:
        """The joint alone, as the register that facts are gathered from."""
        return (self.joint,)

    def records(self) -> Iterator[Record]:
        """Every record of the file that may name a document: the joint and what hangs on it."""
        yield self.joint
        for rows in (self.repairs, self.examinations, self.coatings, self.lowerings,
                     self.heat_treatments, self.hardness_tests):  # fmt: skip
            yield from rows

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

    def planned(self) -> list[tuple[Pass, Procedure, ProcedurePass]]:
        """Each pass with the row of the WPS that it was welded to, where there is one."""
        if not self.plan:
            self.plan.extend(self._planned())
        return self.plan

    def _planned(self) -> Iterator[tuple[Pass, Procedure, ProcedurePass]]:
        wps, rows = self.wps, self.rows
        if wps is None:
            return
        for made in self.passes:
            kind = (made.kind, made.process)
            if kind not in rows:
                rows[kind] = planned_pass(wps, made)
            row = rows[kind]
            if row is not None:
                yield made, wps, row


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
        seen.rows.setdefault((joint.wps, joint.wps_revision), {}),
    )


def files_at_hand(
    seen: View, stream: Iterable[JointRecords]
) -> Iterator[tuple[JointRecords, JointFile]]:
    """The file on each joint of a stream.

    While a file is out, the view knows its joint and its members beside what its registers hold.
    """
    items, joints = seen.known.items, seen.known.joints
    for records in stream:
        joint = records.joint
        own = [item for item in records.registers["items"] if item.number not in items]
        items.update((item.number, item) for item in own)
        before = joints.get(joint.number)
        joints[joint.number] = [*(before or ()), joint]
        yield records, _file(seen, joint, records.registers)
        for item in own:
            items.pop(item.number, None)
        if before is None:
            del joints[joint.number]
        else:
            joints[joint.number] = before


def _file(seen: View, joint: Joint, own: dict[str, list[Any]]) -> JointFile:
    known = seen.known
    number = joint.number
    passes = _both(known.passes, number, own["passes"])
    passes.sort(key=_ORDER)
    return JointFile(
        joint,
        known.lines.get(joint.line),
        known.procedure(joint.wps, joint.wps_revision),
        tuple([(n, known.items.get(n)) for n in (joint.upstream_item, joint.downstream_item) if n]),
        passes,
        _both(known.repairs, number, own["repairs"]),
        _both(known.examinations, number, own["examinations"]),
        _both(known.coatings, number, own["coatings"]),
        _both(known.lowerings, number, own["lowerings"]),
        _both(known.heat_treatments, number, own["heat_treatments"]),
        _both(known.hardness_tests, number, own["hardness_tests"]),
        seen.rows.setdefault((joint.wps, joint.wps_revision), {}),
    )


_ORDER = attrgetter("number", "side")


def _both(register: dict[str, list[R]], number: str, own: list[R]) -> list[R]:
    """The rows of a joint in its register, then those in its own line."""
    return [*register.get(number, ()), *own] if register else own
