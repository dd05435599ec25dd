"""Batch use: which joints each batch of consumables went into, by whom and when."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date

from dossier.coverage.as_of import day_of
from dossier.documents.printed.face import Asked, Name, Printed, part, printed
from dossier.documents.printed.heat_map import stretches
from dossier.documents.sheet import Row, columns, day, fact, row, table, words

CODE = "BTU"


@dataclass(slots=True)
class _Use:
    joints: dict[str, int] = field(default_factory=dict)
    welders: set[str] = field(default_factory=set)
    days: set[date] = field(default_factory=set)
    passes: int = 0
    repairs: int = 0


def make(of: Asked) -> Iterator[Printed]:
    """Every batch of the register and every batch that a pass, repair or coating names."""
    uses = _uses(of)
    heads = columns(
        ("Batch", 9), ("Classification", 12), ("Certificate", 11), ("Use until", 7),
        ("Joints", 5, "right"), ("Passes", 5, "right"), ("Repairs", 5.5, "right"),
        ("First use", 7), ("Last use", 7), ("Welders", 12), ("In joints", 22),
    )  # fmt: skip
    rows = [_row(of, number, use) for number, use in uses.items()]
    unused = sum(not use.joints for use in uses.values())
    note = "A shaded batch is not on the register; a shaded day of last use is past its end."
    yield printed(
        of,
        Name(CODE, "Batch use"),
        {"batches": part(table("Batches", heads, rows, note if rows else ""),
                         "No batch is on record.")},
        lead="Welding and coating batches with the joints they went into.",
        facts=[fact("Batches", str(len(uses))), fact("Of these not used", str(unused))],
        form="wide",
    )  # fmt: skip


def _uses(of: Asked) -> dict[str, _Use]:
    project = of.seen.project
    uses = {batch.number: _Use() for batch in project.batches}
    places: dict[str, int] = {}
    welded: dict[str, date | None] = {}
    for place, joint in enumerate(project.joints):
        places.setdefault(joint.number, place)
        welded.setdefault(joint.number, joint.welded_on)
    for made in project.passes:
        if made.batch:
            use = uses.setdefault(made.batch, _Use())
            moment = day_of(made.finished_at or made.started_at) or welded.get(made.joint)
            _add(use, made.joint, places, moment, made.welder)
            use.passes += 1
    for repair in project.repairs:
        if repair.batch:
            use = uses.setdefault(repair.batch, _Use())
            _add(use, repair.joint, places, day_of(repair.repaired_at), repair.welder)
            use.repairs += 1
    for coating in project.coatings:
        if coating.batch:
            use = uses.setdefault(coating.batch, _Use())
            _add(use, coating.joint, places, day_of(coating.coated_at), "")
    return dict(sorted(uses.items()))


def _add(use: _Use, joint: str, places: dict[str, int], moment: date | None, by: str) -> None:
    if joint in places:
        use.joints.setdefault(joint, places[joint])
    if moment is not None:
        use.days.add(moment)
    if by:
        use.welders.add(by)


def _row(of: Asked, number: str, use: _Use) -> Row:
    batch = of.seen.known.batches.get(number)
    first, last = min(use.days, default=None), max(use.days, default=None)
    ends = batch.expires_on if batch else None
    late = ends is not None and last is not None and last > ends
    certificate = "" if batch is None else words([batch.certificate, batch.certificate_kind])
    cells = [
        number, batch.classification if batch else "not on record", certificate, day(ends),
        str(len(use.joints)), str(use.passes), str(use.repairs), day(first), day(last),
        words(sorted(use.welders)), stretches(of, use.joints),
    ]  # fmt: skip
    marks = ["" if batch else "hold", *[""] * 7, "hold" if late else "", "", ""]
    return row(cells, marks)
