"""Where the repairs of a joint lie, and how often one place was repaired.

Places are measured around the circumference from the datum at 12 o'clock; on a pipe a stretch that
runs over the datum goes on at its beginning. A place that is not recorded lies nowhere: nothing is
concluded from it.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import inf, pi
from typing import NamedTuple

from dossier.coverage.joint_file import JointFile
from dossier.records.joints import Repair

STEP_MM = 1e-6
_SAME = 0.5  # the part of the shorter of two repairs that makes their place surely one


class Place(NamedTuple):
    """A stretch of the weld in mm."""

    start_mm: float
    length_mm: float


def shared_mm(one: Place, other: Place, around_mm: float = inf) -> float:
    """Length in mm that two stretches of a weld share; less than 0: how far they lie apart.

    `around_mm` is the circumference; `inf` where the weld does not close upon itself.

    >>> shared_mm(Place(10, 60), Place(50, 100)), shared_mm(Place(10, 60), Place(300, 10))
    (20.0, -230.0)
    >>> shared_mm(Place(990, 30), Place(5, 40), around_mm=1000)
    15
    """
    turns = (0.0,) if around_mm == inf else (-around_mm, 0.0, around_mm)
    first, second = one.start_mm, other.start_mm
    if around_mm != inf:
        first, second = first % around_mm, second % around_mm
    return max(
        min(first + one.length_mm, second + turn + other.length_mm) - max(first, second + turn)
        for turn in turns
    )


def place_of(repair: Repair) -> Place | None:
    """The stretch that was repaired; None where its start or its length is not recorded."""
    if repair.start_mm is None or repair.length_mm is None:
        return None
    return Place(repair.start_mm, repair.length_mm)


def around_mm_of(file: JointFile) -> float:
    """The circumference of the smaller member in mm; `inf` where no diameter is on record."""
    return inf if file.od_mm is None else pi * file.od_mm


class Order(NamedTuple):
    """How many-th repair of one place it surely is, and may be."""

    sure: int
    possible: int


def order_of(file: JointFile, repair: Repair) -> Order:
    """The recorded order of a repair, or one more than the rejections repaired before in its place.

    A rejection was repaired before where the one that this repair answers is younger than that
    repair. Surely the same is a place that half of the shorter repair lies in.
    """
    earlier = tuple(_earlier(file, repair))
    sure = len({before for before, share in earlier if share >= _SAME})
    possible = len({before for before, _ in earlier})
    return Order(max(repair.order, 1 + sure), max(repair.order, 1 + possible))


def _earlier(file: JointFile, repair: Repair) -> Iterator[tuple[str, float]]:
    """The report of each earlier repair that overlaps, and the part of the shorter one in both."""
    place = place_of(repair)
    again = next((r.examined_at for r in file.examinations if r.report == repair.examination), None)
    if place is None or again is None:
        return
    around_mm = around_mm_of(file)
    for other in file.repairs:
        there = place_of(other)
        if there is None or other.repaired_at is None or other.repaired_at > again:
            continue
        shorter_mm = min(place.length_mm, there.length_mm)
        shared = shared_mm(place, there, around_mm)
        if shared > STEP_MM and other.examination != repair.examination:
            yield other.examination, shared / shorter_mm
