"""Heat map: which heats ended up at which joints, with the certificate that proves each."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from dossier.documents.amounts import amount
from dossier.documents.printed.face import Asked, Name, Part, Printed, part, printed
from dossier.documents.sheet import Row, columns, fact, row, table, words
from dossier.drawings.heat_rows import heat_rows
from dossier.records.materials import Item

CODE = "HTM"
_ROWS = 24  # heats in one drawing, so that it fits on a page


@dataclass(slots=True)
class _Heat:
    items: list[Item] = field(default_factory=list)
    joints: dict[str, int] = field(default_factory=dict)  # joint -> place in the log
    logged: bool = False  # the log gives it to an item of another or of no heat


def make(of: Asked) -> Iterator[Printed]:
    """The heats of the project in one document."""
    heats = _heats(of)
    used = {number: heat for number, heat in heats.items() if heat.joints}
    joints = [joint.number for joint in of.seen.project.joints]
    names = list(used)
    drawings = [
        heat_rows(
            f"Heats {start + 1} to {min(start + _ROWS, len(names))} by joint",
            [(name, sorted(used[name].joints.values())) for name in names[start : start + _ROWS]],
            joints,
        )
        for start in range(0, len(names), _ROWS)
    ]
    yield printed(
        of,
        Name(CODE, "Heat map"),
        {"heats": _table(of, heats, drawings)},
        lead="A mark at every joint at which an item of the heat ends, in the order of the log.",
        facts=[
            fact("Heats on record or in the log", str(len(heats))),
            fact("Heats at a joint", str(len(used))),
        ],
        form="wide",
    )


def _heats(of: Asked) -> dict[str, _Heat]:
    """By heat number: its items and the joints that these end at; "" stands for no heat."""
    heats: dict[str, _Heat] = {}
    for item in of.seen.project.items:
        heats.setdefault(item.heat, _Heat()).items.append(item)
    for place, joint in enumerate(of.seen.project.joints):
        ends = ((joint.upstream_item, joint.upstream_heat),
                (joint.downstream_item, joint.downstream_heat))  # fmt: skip
        for number, logged in ends:
            end = of.seen.known.items.get(number)
            if end is not None:
                heats[end.heat].joints.setdefault(joint.number, place)
            if logged and (end is None or logged != end.heat):
                other = heats.setdefault(logged, _Heat())
                other.joints.setdefault(joint.number, place)
                other.logged = True
    return dict(sorted(heats.items()))


def _table(of: Asked, heats: dict[str, _Heat], drawings: list[str]) -> Part:
    heads = columns(
        ("Heat", 9), ("Certificate", 10), ("Type", 4), ("Page", 10), ("Maker", 12),
        ("Items", 5, "right"), ("Length", 7, "right"), ("Joints", 5, "right"), ("At joints", 38),
    )  # fmt: skip
    rows = [_row(of, number, heat) for number, heat in heats.items()]
    note = (
        "A shaded heat stands in the log beside an item that the register gives another heat. "
        "At joints: the first of a stretch and the last, in the order of the log."
    )
    return part(table("Heats", heads, rows, note if rows else ""), "No heat is on record.",
                drawings)  # fmt: skip


def _row(of: Asked, number: str, heat: _Heat) -> Row:
    names = list(dict.fromkeys(item.certificate for item in heat.items if item.certificate))
    papers = [of.seen.known.material_certificates.get(name) for name in names]
    known = [paper for paper in papers if paper is not None]
    pages = (f"{p.document.document}, page {p.document.page}" for p in known if p.document)
    lengths = [item.length_m for item in heat.items if item.length_m is not None]
    cells = [
        number or "no heat recorded",
        words(names),
        words(dict.fromkeys(p.kind for p in known)),
        words(pages),
        words(dict.fromkeys(item.maker for item in heat.items)),
        str(len(heat.items)),
        amount(sum(lengths), "m", of.system) if lengths else "",
        str(len(heat.joints)),
        stretches(of, heat.joints),
    ]
    certified = "" if known or not heat.items else "hold"
    return row(cells, ["hold" if heat.logged or not number else "", certified, *[""] * 7])


def stretches(of: Asked, joints: dict[str, int]) -> str:
    """Joints by their place in the log, neighbours as "first to last"."""
    log = of.seen.project.joints
    runs: list[list[int]] = []
    for place in sorted(joints.values()):
        if runs and runs[-1][-1] == place - 1:
            runs[-1].append(place)
        else:
            runs.append([place])
    told = []
    for run in runs:
        first, last = log[run[0]].number, log[run[-1]].number
        told += [first] if len(run) == 1 else [first, last] if len(run) == 2 else [
            f"{first} to {last}"]  # fmt: skip
    return words(told)
