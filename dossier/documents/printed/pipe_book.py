"""Pipe book: every item of a line in the order in which it lies, with heat, length and joints."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from dossier.coverage.run_of_pipe import Laid, in_run, run_of_pipe
from dossier.coverage.view import View
from dossier.documents.amounts import amount
from dossier.documents.printed.face import Asked, Name, Part, Printed, part, printed
from dossier.documents.sheet import Row, columns, fact, row, table, words
from dossier.records.joints import Joint, Line
from dossier.records.materials import Item

CODE = "PBK"
_HEADS = (
    ("No.", 4, "right"), ("Item", 8), ("Kind", 5), ("Heat", 7.5), ("Certificate", 8.5),
    ("Grade", 7), ("Diameter", 6.5, "right"), ("Wall", 6, "right"), ("Length", 6, "right"),
    ("Coating", 11.5), ("Left joint", 7.5), ("Right joint", 7.5), ("Left KP", 6, "right"),
    ("Cut from", 9),
)  # fmt: skip


def make(of: Asked) -> Iterator[Printed]:
    """One pipe book a line; a project without lines gets an empty one."""
    lines = of.seen.project.lines
    for place, line in enumerate(lines, start=1):
        joints = [j for j in of.seen.project.joints if j.line == line.id]
        yield _book(of, line, joints, place)
    if not lines:
        yield printed(of, Name(CODE, "Pipe book"), {"run": _run(of, [])})


def _book(of: Asked, line: Line, joints: Sequence[Joint], place: int) -> Printed:
    run = list(run_of_pipe(joints))
    items = [item for laid in run if (item := of.seen.known.items.get(laid.item))]
    lengths = [item.length_m for item in items if item.length_m is not None]
    gaps = sum(laid.gap for laid in run)
    return printed(
        of,
        Name(CODE, f"Pipe book {line.id}", place),
        {
            "run": _run(of, run),
            "branches": _branches(of, joints),
            "pups": _pups(of, items),
        },
        lead=f"{line.title}. Items in the order of the chainage of their joints.",
        facts=[
            fact("Items in the run", str(len(run))),
            fact("Length of these", amount(sum(lengths), "m", of.system) if lengths else ""),
            fact("Items without a length", str(len(run) - len(lengths))),
            fact("Breaks in the run", str(gaps) if gaps else "none"),
        ],
        form="wide",
    )


def _run(of: Asked, run: Sequence[Laid]) -> Part:
    rows = [_row(of, number, laid) for number, laid in enumerate(run, start=1)]
    note = (
        "Length as on the register of items; KP in km of the joint at the left end. A shaded "
        "number begins after a break: the joint before it ends at another item."
    )
    return part(table("Run of items", columns(*_HEADS), rows, note if rows else ""),
                "No joint names the items of this line.")  # fmt: skip


def _row(of: Asked, number: int, laid: Laid) -> Row:
    item = of.seen.known.items.get(laid.item)
    left, right = laid.left, laid.right
    cells = [
        str(number),
        laid.item or "not named",
        *_material(of, item, laid),
        item.coating if item else "",
        left.number if left else "",
        right.number if right else "",
        "" if left is None or left.kp_m is None else f"{left.kp_m / 1000:.3f}",
        item.parent if item else "",
    ]
    return row(cells, ["hold" if laid.gap else "", "" if item else "hold", *[""] * 12])


def _material(of: Asked, item: Item | None, laid: Laid) -> list[str]:
    """Kind to length; an item that is not on record has the heat that the log gives it."""
    if item is None:
        logged = (laid.left.downstream_heat if laid.left else "") or (
            laid.right.upstream_heat if laid.right else ""
        )
        return ["not on record", logged, *[""] * 5]
    return [
        item.kind, item.heat, item.certificate, item.grade, amount(item.od_mm, "mm", of.system),
        amount(item.wall_mm, "mm", of.system), amount(item.length_m, "m", of.system),
    ]  # fmt: skip


def _branches(of: Asked, joints: Sequence[Joint]) -> Part:
    heads = columns(("Joint", 12), ("Weld", 10), ("KP, km", 8, "right"), ("On", 16), ("Heat", 12),
                    ("Joined to it", 16), ("Heat of that", 12), ("Status", 14))  # fmt: skip
    rows = [
        row([j.number, j.weld_type, "" if j.kp_m is None else f"{j.kp_m / 1000:.3f}",
             j.upstream_item, j.upstream_heat, j.downstream_item, j.downstream_heat, j.status])
        for j in joints
        if not in_run(j)
    ]  # fmt: skip
    del of
    return part(table("Off the run: branches, fillet welds, cut-outs, void numbers", heads, rows),
                "No branch, fillet weld, cut-out or void number in this line.")  # fmt: skip


def _pups(of: Asked, items: Sequence[Item]) -> Part:
    heads = columns(("Cut pipe", 14), ("Heat", 12), ("Length", 10, "right"),
                    ("Pups cut from it", 44), ("Cut in all", 10, "right"),
                    ("Left over", 10, "right"))  # fmt: skip
    parents = dict.fromkeys(item.parent for item in items if item.parent)
    rows = [_parent(of.seen, of, number) for number in parents]
    note = "Pups of all lines are counted, so that a pipe is never cut twice over."
    return part(table("Cut pipes and their pups", heads, rows, note if rows else ""),
                "No item of this line was cut from another.")  # fmt: skip


def _parent(seen: View, of: Asked, number: str) -> Row:
    parent = seen.known.items.get(number)
    pups = [item for item in seen.project.items if item.parent == number]
    told = words(
        f"{pup.number} ({amount(pup.length_m, 'm', of.system)}, heat {pup.heat or '-'})"
        for pup in pups
    )
    known = [pup.length_m for pup in pups if pup.length_m is not None]
    whole = parent.length_m if parent else None
    cut = sum(known) if len(known) == len(pups) else None
    left = None if whole is None or cut is None else round(whole - cut, 3)
    cells = [number, parent.heat if parent else "not on record",
             amount(whole, "m", of.system), told, amount(cut, "m", of.system),
             amount(left, "m", of.system)]  # fmt: skip
    return row(cells, ["", "" if parent else "hold", *[""] * 4])
