"""Strip map: how far every joint of a line has come, by KP."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from dossier.coverage.joint_file import joint_file
from dossier.coverage.stages import STAGES, stages_reached
from dossier.documents.printed.face import Asked, Name, Part, Printed, part, printed
from dossier.documents.sheet import columns, fact, row, table
from dossier.drawings.stage_strip import Cell, stage_strip
from dossier.records.joints import Joint, Line

CODE = "STR"
_PER_ROW = 64  # joints in a row of the map, so that a cell has room for its letter
_LENGTHS_M = (100, 200, 250, 500, 1000, 2000, 2500, 5000, 10_000, 20_000, 50_000, 100_000)


def make(of: Asked) -> Iterator[Printed]:
    """One strip map a line; a project without lines gets an empty one."""
    for place, line in enumerate(of.seen.project.lines, start=1):
        yield _map(of, line, place)
    if not of.seen.project.lines:
        yield printed(of, Name(CODE, "Strip map"), {"stages": _counts([])})


def _map(of: Asked, line: Line, place: int) -> Printed:
    joints = [j for j in of.seen.project.joints
              if j.line == line.id and j.status in ("welded", "planned")]  # fmt: skip
    cells = [_cell(of, joint) for joint in joints]
    known = sorted((c for c in cells if c.kp_m is not None), key=lambda c: c.kp_m or 0.0)
    loose = [cell for cell in cells if cell.kp_m is None]
    drawings = [*_by_chainage(line, known), *_by_order(line, loose)]
    return printed(
        of,
        Name(CODE, f"Strip map {line.id}", place),
        {"stages": _counts(cells, drawings)},
        lead=f"{line.title}. A filled cell with a letter: the joint has reached the stage. An "
        "empty cell: not on record.",
        facts=[fact("Joints welded or planned", str(len(joints))),
               fact("Joints without a chainage", str(len(loose)))],
        form="wide",
    )  # fmt: skip


def _cell(of: Asked, joint: Joint) -> Cell:
    reached = stages_reached(of.seen, joint_file(of.seen, joint))
    return Cell(joint.number, joint.kp_m, reached)


def _by_chainage(line: Line, cells: Sequence[Cell]) -> Iterator[str]:
    places = [cell.kp_m for cell in cells if cell.kp_m is not None]
    if not places:
        return
    length = _row_length(places)
    first, last = int(places[0] // length), int(places[-1] // length)
    for index in range(first, last + 1):
        ends = (index * length, (index + 1) * length)
        own = [c for c in cells if ends[0] <= (c.kp_m or 0.0) < ends[1]]
        if own:
            title = f"{line.id}, KP {ends[0] / 1000:g} to {ends[1] / 1000:g}"
            yield stage_strip(title, STAGES, own, ends)


def _row_length(places: Sequence[float]) -> float:
    """Metres in a row: the longest round length of which no row holds too many joints."""
    best = float(_LENGTHS_M[0])
    for length in _LENGTHS_M:
        counts: dict[int, int] = {}
        for place in places:
            counts[int(place // length)] = counts.get(int(place // length), 0) + 1
        if max(counts.values()) > _PER_ROW:
            break
        best = float(length)
    return best


def _by_order(line: Line, cells: Sequence[Cell]) -> Iterator[str]:
    for start in range(0, len(cells), _PER_ROW):
        own = cells[start : start + _PER_ROW]
        yield stage_strip(f"{line.id}, joints without chainage, in the order of the log",
                          STAGES, own)  # fmt: skip


def _counts(cells: Sequence[Cell], drawings: Sequence[str] = ()) -> Part:
    heads = columns(("Stage", 30), ("Letter", 10), ("Joints", 20, "right"),
                    ("Share", 20, "right"), ("Still to come", 20, "right"))  # fmt: skip
    rows = []
    for index, stage in enumerate(STAGES if cells else ()):
        done = sum(cell.reached[index] for cell in cells)
        share = f"{100 * done / len(cells):.1f} %"
        rows.append(row([stage, stage[0].upper(), str(done), share, str(len(cells) - done)]))
    note = (
        "Accepted: every examination that the project asks for was accepted. Share of the joints "
        "that are welded or planned; cut-outs and void numbers are left out."
    )
    return part(table("Stages", heads, rows, note if rows else ""),
                "No joint of this line is on record.", drawings)  # fmt: skip
