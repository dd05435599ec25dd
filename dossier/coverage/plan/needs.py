"""What the planned joints ask of welders: the distinct welds, by pass group of their WPS.

A pass group is what one welder makes: all passes of a WPS with one process, filler group,
covering, transfer mode and direction. It is turned into a weld by the very function that turns
recorded passes into one, so that a joint is planned as it will be checked.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from dossier.coverage.joint_file import JointFile, joint_file
from dossier.coverage.view import View
from dossier.coverage.work import work_of
from dossier.records.joints import Joint, Pass
from dossier.records.procedures import Procedure, ProcedurePass
from dossier.records.weld import Weld

FILLING = "fill"


@dataclass(frozen=True, slots=True)
class Need:
    """One distinct weld that planned joints ask for, under one welder code."""

    name: str  # "N1", by its place in the plan
    code: str
    weld: Weld
    wps: tuple[str, ...]
    kinds: tuple[str, ...]  # passes of the group: "root", "fill", ...
    joints: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Needs:
    """All needs, what each planned joint asks for, and the joints that cannot be planned."""

    needs: tuple[Need, ...]
    of_joint: dict[str, tuple[int, ...]]  # joint -> places in `needs`
    unplanned: tuple[tuple[str, str], ...]  # joint, why


def needs_of(seen: View) -> Needs:
    """The needs of all joints with status "planned", in the order in which they are met."""
    found: dict[tuple[str, Weld], int] = {}
    joints: dict[int, list[str]] = defaultdict(list)
    sources: dict[int, dict[str, None]] = defaultdict(dict)
    kinds: dict[int, tuple[str, ...]] = {}
    of_joint: dict[str, tuple[int, ...]] = {}
    unplanned = []
    for joint in seen.project.joints:
        if joint.status != "planned":
            continue
        file, wps = joint_file(seen, joint), procedure_of(seen, joint)
        why = _unknown(file, wps)
        if why or wps is None or file.line is None:
            unplanned.append((joint.number, why))
            continue
        places = []
        for group, weld in groups_of(seen, file, wps):
            place = found.setdefault((file.line.welder_code, weld), len(found))
            joints[place].append(joint.number)
            sources[place][wps.number] = None
            kinds.setdefault(place, tuple(dict.fromkeys(row.kind for row in group)))
            places.append(place)
        of_joint[joint.number] = tuple(dict.fromkeys(places))
    needs = tuple(
        Need(f"N{place + 1}", code, weld, tuple(sources[place]), kinds[place],
             tuple(dict.fromkeys(joints[place])))
        for (code, weld), place in found.items()
    )  # fmt: skip
    return Needs(needs, of_joint, tuple(unplanned))


def procedure_of(seen: View, joint: Joint) -> Procedure | None:
    """The WPS of a planned joint: the revision named, else the one in force, else the last."""
    named = seen.known.procedure(joint.wps, joint.wps_revision)
    listed = seen.known.procedures.get(joint.wps, [])
    return named or seen.known.in_force(joint.wps, seen.as_of) or (listed[-1] if listed else None)


def _unknown(file: JointFile, wps: Procedure | None) -> str:
    if not file.joint.wps:
        return "no WPS is named"
    if wps is None:
        return f"{file.joint.wps} is not on record"
    if not wps.passes:
        return f"{wps.number} lists no passes"
    return "" if file.line else f"line {file.joint.line} is not on record"


Group = tuple[ProcedurePass, ...]


def groups_of(seen: View, file: JointFile, wps: Procedure) -> Iterator[tuple[Group, Weld]]:
    """Each pass group of a WPS with the weld that it makes in a joint."""
    groups = pass_groups(wps)
    deposits = _deposits(groups, file)
    made = [
        Pass(joint=file.number, number=number, kind=row.kind, process=row.process,
             welder=str(place), direction=row.direction)
        for place, group in enumerate(groups)
        for number, row in enumerate(wps.passes, 1)
        if row in group
    ]  # fmt: skip
    planned = replace(file, wps=wps, passes=made, repairs=[])
    for work in work_of(seen, planned):
        place = int(work.welder)
        first = groups[place][0]
        yield (
            groups[place],
            replace(
                work.weld,
                filler=first.filler,
                filler_group=first.filler_group,
                covering=first.covering,
                transfer=first.transfer,
                current=first.current,
                deposit_mm=deposits[place],
            ),
        )


def pass_groups(wps: Procedure) -> list[Group]:
    """The passes of a WPS in groups that one test of one process can stand for."""
    groups: dict[tuple[str, ...], list[ProcedurePass]] = {}
    for row in wps.passes:
        current = row.current if row.process in ("141", "GTAW") else ""
        filler = row.filler_group or row.filler
        key = (row.process, filler, row.covering, row.transfer, row.direction, current)
        groups.setdefault(key, []).append(row)
    return [tuple(rows) for rows in groups.values()]


def _deposits(groups: Sequence[Group], file: JointFile) -> list[float | None]:
    """Thickness of each group: as the WPS states it; the filling group takes what is left.

    It deposits at least what its passes state, since each of them is made: passes melt into one
    another and the cap stands proud, so that their sum may exceed the wall.
    """
    if file.joint.weld_type == "fillet" or file.wall_mm is None:
        return [None] * len(groups)
    filling = next(
        (n for n, group in enumerate(groups) if any(row.kind == FILLING for row in group)),
        len(groups) - 1,
    )
    stated = [_stated(group) for group in groups]
    others = [value for n, value in enumerate(stated) if n != filling]
    known = [value for value in others if value is not None]
    left = round(file.wall_mm - sum(known), 6)
    least = stated[filling] or 0.0
    stated[filling] = max(left, least) if len(known) == len(others) and left > 0 else None
    return stated


def _stated(group: Group) -> float | None:
    values = [row.deposit_mm for row in group]
    known = [value for value in values if value is not None]
    return round(sum(known), 6) if len(known) == len(values) else None
