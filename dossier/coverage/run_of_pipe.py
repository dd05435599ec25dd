"""Items in the order in which they lie in a line, from the members that the joints name."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from dossier.records.joints import Joint


@dataclass(frozen=True, slots=True)
class Laid:
    """One item of the run with the joints at its ends; `gap` where the run is broken before it."""

    item: str
    left: Joint | None = None
    right: Joint | None = None
    gap: bool = False


def in_run(joint: Joint) -> bool:
    """A joint that carries the line on: a butt weld that is there or is planned."""
    return joint.weld_type == "butt" and joint.status in ("welded", "planned")


def run_of_pipe(joints: Iterable[Joint]) -> Iterator[Laid]:
    """The run of one line by KP, then by the order of the log.

    Each joint must begin with the item at which the one before ended; where it does not, the run
    starts anew with a gap. An item that a joint does not name is "".
    """
    run = [joint for joint in joints if in_run(joint)]
    run.sort(key=lambda joint: (joint.kp_m is None, joint.kp_m or 0.0))
    before: Joint | None = None
    for joint in run:
        if before is None:
            yield Laid(joint.upstream_item, None, joint)
        elif before.downstream_item == joint.upstream_item:
            yield Laid(joint.upstream_item, before, joint)
        else:
            yield Laid(before.downstream_item, before, None)
            yield Laid(joint.upstream_item, None, joint, gap=True)
        before = joint
    if before is not None:
        yield Laid(before.downstream_item, before, None)
