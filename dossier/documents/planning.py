"""Consumables for the joints still to be welded to a procedure: an estimate to order by.

Weld metal from the preparation and the walls on record, shared among the passes as the sketch of
the runs lays them; what must be bought follows from deposition efficiency and stub loss.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TypedDict

from dossier.calc.consumables import (
    CELLULOSIC_BASIS,
    EFFICIENCY_BASIS,
    average_deposition_efficiency,
    efficiency_with_stub,
    to_buy_kg,
)
from dossier.calc.groove_section import groove_section
from dossier.calc.weld_metal import girth_length_m, mass_kg_m
from dossier.coverage.joint_file import joint_file
from dossier.coverage.view import View
from dossier.documents.amounts import amount
from dossier.documents.sheet import (
    Fact,
    Head,
    Row,
    Table,
    columns,
    fact,
    head,
    row,
    system_of,
    table,
)
from dossier.drawings.runs import lay_runs
from dossier.drawings.shapes import Shape, shape
from dossier.drawings.words import middle
from dossier.errors import InputError
from dossier.records.joints import Joint
from dossier.records.procedures import Procedure, ProcedurePass
from dossier.units import System, show

ELECTRODE_MM, STATED_STUB_MM, CELLULOSIC_STUB_MM = 355.6, 50.8, 101.6  # 14 in; 2 in; 4 in
# ISO 4063 process -> row of the deposition efficiencies; 135 is told apart by its gas.
_EFFICIENCY = {
    "111": "SMAW 14 in", "114": "FCAW self-shielded", "121": "SAW", "136": "FCAW gas-shielded",
    "138": "metal-cored",
}  # fmt: skip


class Planning(TypedDict):
    """All data of one planning sheet."""

    head: Head
    summary: list[Fact]
    consumables: Table
    sizes: Table
    joints: Table


@dataclass(frozen=True, slots=True)
class Part:
    """What one pass group takes in one joint: section of its metal, runs, arc time."""

    planned: ProcedurePass
    section_mm2: float
    runs: int
    arc_min: float | None  # None where the sheet sets no travel speed


@dataclass(frozen=True, slots=True)
class Estimate:
    """One joint of one size."""

    length_m: float
    parts: tuple[Part, ...]

    @property
    def section_mm2(self) -> float:
        """Section of all weld metal."""
        return sum(part.section_mm2 for part in self.parts)

    @property
    def mass_kg(self) -> float:
        """Weld metal of the joint."""
        return self.length_m * mass_kg_m(self.section_mm2)

    @property
    def runs(self) -> int:
        """Runs of the joint as the sketch lays them."""
        return sum(part.runs for part in self.parts)

    @property
    def arc_min(self) -> float | None:
        """Arc time of one welder on the whole joint, in minutes."""
        times = [part.arc_min for part in self.parts]
        return None if None in times else sum(time or 0.0 for time in times)


@dataclass(frozen=True, slots=True)
class Size:
    """Joints of one diameter and wall: all on record, and those still planned."""

    od_mm: float | None
    wall_mm: float | None
    joints: tuple[Joint, ...]

    @property
    def planned(self) -> int:
        """How many are still to be welded."""
        return sum(joint.status == "planned" for joint in self.joints)


def context(seen: View, wps: Procedure, number: str) -> Planning:
    """Plain data of the planning sheet of one procedure. Reads no clock and no file."""
    system = system_of(seen.project.settings)
    sizes = list(sizes_of(seen, wps))
    estimates = [(size, estimate(wps, size)) for size in sizes]
    left = sum(size.planned for size in sizes)
    unknown = sum(size.planned for size, found in estimates if isinstance(found, str))
    return Planning(
        head=head(seen, number=number, title=f"Consumables for the joints left, {wps.number}",
                  status="estimate"),
        summary=[
            fact("Procedure", f"{wps.number} rev. {wps.revision}, {wps.title}"),
            fact("Joints still planned", str(left)),
            fact("Joints on record to it", str(sum(len(size.joints) for size in sizes))),
            fact("Planned joints without a figure", str(unknown)),
        ],
        consumables=_consumables(wps, estimates, system),
        sizes=_sizes(estimates, system),
        joints=_joints(sizes, system),
    )  # fmt: skip


def sizes_of(seen: View, wps: Procedure) -> Iterator[Size]:
    """The joints that name the procedure, by diameter and wall of the smaller member."""
    groups: dict[tuple[float, float], list[Joint]] = defaultdict(list)
    for joint in seen.project.joints:
        if joint.wps == wps.number and joint.status != "void":
            file = joint_file(seen, joint)
            groups[file.od_mm or 0.0, file.wall_mm or 0.0].append(joint)
    for (od, wall), joints in sorted(groups.items()):
        yield Size(od or None, wall or None, tuple(joints))


def estimate(wps: Procedure, size: Size) -> Estimate | str:
    """The estimate of one joint of a size; in words why there is none."""
    if size.wall_mm is None or size.od_mm is None:
        return "diameter or wall is not recorded"
    if wps.groove is None or not wps.passes:
        return "the sheet tells no preparation or no passes"
    try:
        length = girth_length_m(size.od_mm, size.wall_mm)
        return Estimate(length, _parts(wps, size.wall_mm, length))
    except InputError as error:
        return str(error)


def _parts(wps: Procedure, wall_mm: float, length_m: float) -> tuple[Part, ...]:
    groove = wps.groove
    if groove is None:
        return ()
    section = groove_section(groove, wall_mm)
    if groove.kind == "fillet":
        each = section.whole_mm2 / len(wps.passes)
        return tuple(_part(planned, each, 1, length_m) for planned in wps.passes)
    sketch = shape(groove, wall_mm)
    runs: dict[str, int] = defaultdict(int)
    areas: dict[str, float] = defaultdict(float)
    for run in lay_runs(wps.passes, sketch):
        runs[run.kind] += 1
        low, high = sorted((run.low_mm, run.high_mm))
        areas[run.kind] += _strip(sketch, low, high) * (run.share[1] - run.share[0])
    whole = sum(areas.values())
    if whole <= 0:
        raise InputError("groove", found="no room for metal in it", expected="a gap or an angle")
    found = {kind: section.groove_mm2 * area / whole for kind, area in areas.items()}
    last = "cap" if "cap" in found else wps.passes[-1].kind
    found[last] = found.get(last, 0.0) + section.cap_mm2
    groups = [p for p in wps.passes if p.kind in found]
    alike = {p.kind: sum(other.kind == p.kind for other in groups) for p in groups}
    return tuple(
        _part(p, found[p.kind] / alike[p.kind], max(1, runs[p.kind] // alike[p.kind]), length_m)
        for p in groups
    )


def _part(planned: ProcedurePass, section: float, runs: int, length_m: float) -> Part:
    speed = middle(planned.travel_mm_min)
    return Part(planned, section, runs, runs * length_m * 1000 / speed if speed else None)


def _strip(sketch: Shape, low: float, high: float) -> float:
    """Section of the groove between two heights, in mm2."""
    steps = 24
    widths = []
    for step in range(steps + 1):
        left, right = sketch.edges(low + (high - low) * step / steps)
        widths.append(right - left)
    return (sum(widths) - (widths[0] + widths[-1]) / 2) * (high - low) / steps


def efficiency(planned: ProcedurePass) -> tuple[float, str] | None:
    """Deposition efficiency of a pass with its basis in words; None where none is published.

    >>> efficiency(ProcedurePass(kind="root", process="141", filler="ER70S-6")) is None
    True
    """
    name = _EFFICIENCY.get(planned.process, "")
    if planned.process == "135":
        name = "GMAW CO2" if planned.gas.startswith("C") else "GMAW 75 Ar 25 CO2"
    if not name:
        return None
    share = average_deposition_efficiency(name)
    if planned.process != "111":
        return share, name
    if planned.covering == "cellulosic":
        share = efficiency_with_stub(share, ELECTRODE_MM, STATED_STUB_MM, CELLULOSIC_STUB_MM)
        return share, f"{name}, stub {CELLULOSIC_STUB_MM:g} mm"
    return share, f"{name}, stub {STATED_STUB_MM:g} mm"


Estimates = Sequence[tuple[Size, Estimate | str]]


def _consumables(wps: Procedure, estimates: Estimates, system: System) -> Table:
    heads = columns(
        ("Consumable", 17), ("Size", 9, "right"), ("Process", 8), ("Passes", 13),
        ("Weld metal", 12, "right"), ("Efficiency", 10, "right"), ("To buy", 12, "right"),
        ("Efficiency of", 19),
    )  # fmt: skip
    groups: dict[tuple[str, float | None, str], list[ProcedurePass]] = defaultdict(list)
    for planned in wps.passes:
        groups[planned.filler, planned.filler_mm, planned.process].append(planned)
    rows = [_consumable(group, estimates, system) for group in groups.values()]
    note = (
        f"For the joints still planned. Efficiency: {EFFICIENCY_BASIS}, average figures, mostly "
        f"from memory; cellulosic electrodes with the longer stub of {CELLULOSIC_BASIS}. "
        "Spoilt electrodes, tack welds, repairs and tests are not counted: add what the site's "
        "own record shows."
    )
    return table("Consumables to have", heads, rows, note)


def _consumable(group: Sequence[ProcedurePass], estimates: Estimates, system: System) -> Row:
    first = group[0]
    mass = sum(
        size.planned * found.length_m * mass_kg_m(part.section_mm2)
        for size, found in estimates
        if not isinstance(found, str)
        for part in found.parts
        if part.planned in group
    )
    metal, known = show(round(mass, 1), "kg", system), efficiency(first)
    bought = ("-", "not computed", "no figure published for the process")
    if known is not None:
        share, basis = known
        bought = (show(round(100 * share, 1), "%"), show(to_buy_kg(mass, share), "kg", system),
                  basis)  # fmt: skip
    left = [found for size, found in estimates if size.planned]
    if all(isinstance(found, str) for found in left):
        metal = "no figure" if left else "none left"
        bought = (bought[0], metal, bought[2])
    kinds = ", ".join(dict.fromkeys(p.kind for p in group))
    size_words = amount(first.filler_mm, "mm", system)
    return row([first.filler, size_words, first.process, kinds, metal, *bought])


def _sizes(estimates: Estimates, system: System) -> Table:
    heads = columns(
        ("Diameter", 11, "right"), ("Wall", 9, "right"), ("On record", 9, "right"),
        ("Planned", 9, "right"), ("Section", 11, "right"), ("Length", 10, "right"),
        ("Metal a joint", 11, "right"), ("Runs a joint", 9, "right"),
        ("Arc time a joint", 11, "right"), ("Arc time left", 10, "right"),
    )  # fmt: skip
    note = (
        "Section with the cap at its greatest height, gap and root face at mid-range. Runs as the "
        "sketch of the procedure sheet lays them; the number does not bind. Arc time of one welder "
        "at the middle travel speed; grinding, heating and waiting come on top."
    )
    reasons = dict.fromkeys(found for _, found in estimates if isinstance(found, str))
    if reasons:
        note = f"{note} No figure: {'; '.join(reasons)}."
    return table("Joints by size", heads, [_size(one, found, system) for one, found in estimates],
                 note)  # fmt: skip


def _size(size: Size, found: Estimate | str, system: System) -> Row:
    start = [amount(size.od_mm, "mm", system), amount(size.wall_mm, "mm", system),
             str(len(size.joints)), str(size.planned)]  # fmt: skip
    if isinstance(found, str):
        return row([*start, "-", "-", "no figure", "-", "-", "-"])
    arc = found.arc_min
    return row([
        *start,
        show(round(found.section_mm2, 1), "mm2", system),
        show(round(found.length_m, 3), "m", system),
        show(round(found.mass_kg, 2), "kg", system),
        str(found.runs),
        "-" if arc is None else show(round(arc), "min"),
        "-" if arc is None else show(round(arc * size.planned / 60, 1), "h"),
    ])  # fmt: skip


def _joints(sizes: Sequence[Size], system: System) -> Table:
    heads = columns(("Joint", 20), ("Line", 14), ("Kind", 16), ("KP", 14, "right"),
                    ("Diameter", 18, "right"), ("Wall", 18, "right"))  # fmt: skip
    rows = [
        row([joint.number, joint.line, joint.kind, amount(joint.kp_m, "m", system),
             amount(size.od_mm, "mm", system), amount(size.wall_mm, "mm", system)])
        for size in sizes for joint in size.joints if joint.status == "planned"
    ]  # fmt: skip
    return table("Joints still planned", heads, rows)
