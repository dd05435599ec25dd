"""What each welder did: passes and repairs summed to the deposits that the codes ask about.

Where a stamp had another holder, or none, on another day of the work, it is the work of another.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from dossier.coverage.as_of import day_of
from dossier.coverage.joint_file import JointFile, planned_pass
from dossier.coverage.lookup import holder_on
from dossier.coverage.view import View
from dossier.records.joints import Joint, Pass, Repair
from dossier.records.materials import Batch
from dossier.records.position import Position
from dossier.records.procedures import Procedure
from dossier.records.weld import Weld


@dataclass(frozen=True, slots=True)
class Work:
    """One welder's deposit with one process in one joint (or one repair of it)."""

    joint: Joint
    welder: str
    weld: Weld
    days: tuple[date, ...]  # every day on which some of it was welded
    origins: tuple[Position, ...]
    repair: str = ""  # number of the repair, "" for production welding
    answers: list[Any] = field(default_factory=list, repr=False, compare=False)


def work_of(seen: View, file: JointFile) -> list[Work]:
    """The deposits of a joint, one for each welder and process, then one for each repair."""
    if not file.works:
        file.works.extend(_works(seen, file))
    return file.works


def _works(seen: View, file: JointFile) -> Iterator[Work]:
    groups: dict[tuple[str, str], list[Pass]] = defaultdict(list)
    for made in file.passes:
        groups[made.welder, made.process].append(made)
    for passes in groups.values():
        for own, days in _of_one_person(seen, file, passes):
            yield Work(
                file.joint,
                own[0].welder,
                _welded(seen, file, own),
                tuple(sorted(day for day in days if day is not None)),
                tuple(p.origin.of("welder") for p in own),
            )
    for repair in file.repairs:
        if repair.welder and repair.process:
            day = day_of(repair.repaired_at)
            yield Work(
                file.joint,
                repair.welder,
                _repaired(seen, file, repair),
                (day,) if day else (),
                (repair.origin,),
                repair.number,
            )


def _of_one_person(
    seen: View, file: JointFile, passes: list[Pass]
) -> Iterable[tuple[list[Pass], set[date | None]]]:
    """The passes of a stamp with their days, apart for each person who held it, and for nobody."""
    welded_on = file.joint.welded_on
    days = {day_of(p.finished_at or p.started_at) or welded_on for p in passes}
    if len(days) == 1:
        return ((passes, days),)
    known = seen.known.welders.get(passes[0].welder, [])
    first = min(day for day in days if day is not None)
    parts: dict[str, tuple[list[Pass], set[date | None]]] = {}
    for made in passes:
        day = day_of(made.finished_at or made.started_at) or welded_on
        person = holder_on(known, day or first)  # one without a day counts with the first
        own, on = parts.setdefault(person.name if person else "", ([], set()))
        own.append(made)
        on.add(day)
    return parts.values()


def deposited_mm(passes: Iterable[Pass]) -> float | None:
    """Thickness that one welder put in: each layer once, whatever side it is on, in mm.

    None when the thickness of any layer is not recorded.
    """
    layers: dict[int, float] = {}
    for made in passes:
        if made.deposit_mm is None:
            return None
        layers[made.number] = max(layers.get(made.number, 0.0), made.deposit_mm)
    return round(sum(layers.values()), 6)


def _welded(seen: View, file: JointFile, passes: list[Pass]) -> Weld:
    first = passes[0]
    wps = file.wps or _any_revision(seen, file.joint.wps)
    row = planned_pass(wps, first)
    root = any(made.kind == "root" for made in passes)
    return Weld(
        **_place(file, wps, seen.known.batches.get(first.batch)),
        process=first.process,
        direction=first.direction or (row.direction if row else ""),
        transfer=row.transfer if row else "",
        current=row.current if row else "",
        deposit_mm=deposited_mm(passes),
        backing=_backing(wps, root=root),
        layers=len({made.number for made in passes}),
        root=root,
    )


def _any_revision(seen: View, number: str) -> Procedure | None:
    """The last revision listed: it tells groove and technique where the one named is unknown.

    That the one named is unknown is the finding; it need not become a second one on the welder.
    """
    revisions = seen.known.procedures.get(number, [])
    return revisions[-1] if revisions else None


def _repaired(seen: View, file: JointFile, repair: Repair) -> Weld:
    wps = seen.known.procedure(repair.wps, repair.wps_revision)
    row = next((r for r in wps.passes if r.process == repair.process), None) if wps else None
    return Weld(
        **_place(file, wps, seen.known.batches.get(repair.batch)),
        process=repair.process,
        direction=row.direction if row else "",
        transfer=row.transfer if row else "",
        current=row.current if row else "",
        deposit_mm=repair.deposit_mm,
        backing="weld metal",
        root=False,
    )


def _backing(wps: Procedure | None, *, root: bool) -> str:
    if not root:
        return "weld metal"  # a filling pass lies on what was welded before
    return wps.groove.backing if wps and wps.groove else ""


def _place(file: JointFile, wps: Procedure | None, batch: Batch | None) -> dict[str, Any]:
    """What joint, members, WPS and batch say of the weld, whoever made it."""
    items = file.items
    position = file.joint.position_code
    if not position and wps and len(wps.positions) == 1:
        position = wps.positions[0]
    groove = wps.groove if wps else None
    product = "pipe" if any(item.od_mm is not None for item in items) else "plate"
    return {
        "product": product if items else "",
        "weld_type": file.joint.weld_type,
        "position": position,
        "material_group": items[0].material_group if items else "",
        "smys_mpa": max((i.smys_mpa for i in items if i.smys_mpa is not None), default=None),
        "filler": batch.classification if batch else "",
        "filler_group": batch.filler_group if batch else "",
        "wall_mm": file.wall_mm,
        "od_mm": file.od_mm,
        "throat_mm": groove.throat_mm.low if groove and groove.throat_mm else None,
        "branch_angle_deg": file.joint.branch_angle_deg,
        "sides": groove.sides if groove else "",
    }
