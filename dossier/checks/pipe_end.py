"""Is each end of a pipe in one joint only, and no item welded to itself?

In the run of a line a pipe lies downstream of one joint and upstream of the next. In a station the
log may begin at either end: there a pipe has two butt welds at most. A pipe that was cut into pups
is not asked, nor are branches and fillets, which sit anywhere on it.
"""

from __future__ import annotations

from collections.abc import Iterator

from dossier.coverage.evidence import at
from dossier.coverage.facts import Fact, Groups, Records, Told, by_key, shared
from dossier.coverage.view import View, project_basis
from dossier.records.joints import Joint
from dossier.records.verdicts import HOLD, Evidence, Finding, Reason

NAME = "pipe-end"
_IN_RUN = frozenset({"mainline", "tie-in", "golden", "crossing"})  # sides are those of the flow
_UPSTREAM, _DOWNSTREAM, _EITHER, _BOTH = "upstream", "downstream", "either", "both"
_SEAM = "plate"  # a plate rolled to a shell is welded to itself
_CURE = (
    "Read the numbers on the pipes again and correct the log; each piece of a pipe that was cut "
    "has a number of its own."
)


def check(seen: View) -> Iterator[Finding]:
    """One finding per joint and item whose end another joint has as well, or that is both sides."""
    yield from conclude(seen, by_key(_gather(seen, seen.project)))


def _gather(seen: View, records: Records) -> Iterator[Told]:
    """Each standing butt weld by the ends that it joins, and the pipes that were cut."""
    for joint in records.joints:
        if joint.status == "welded" and joint.weld_type == "butt":
            yield from _ends(seen, joint)
    for item in records.items:
        if item.parent:
            for end in (_UPSTREAM, _DOWNSTREAM, _EITHER):
                yield (end, item.parent), item.origin, ("", "")


def _ends(seen: View, joint: Joint) -> Iterator[Told]:
    items = seen.known.items
    up, down = items.get(joint.upstream_item), items.get(joint.downstream_item)
    kept = (joint.number, joint.name.base)
    if up is not None and up is down:
        if up.kind != _SEAM:
            yield (_BOTH, up.number), joint.origin, kept
        return
    in_run = joint.kind in _IN_RUN
    if up is not None and up.kind == "pipe":
        yield (_UPSTREAM if in_run else _EITHER, up.number), joint.origin, kept
    if down is not None and down.kind == "pipe":
        yield (_DOWNSTREAM if in_run else _EITHER, down.number), joint.origin, kept


FACTS = {NAME: _gather}


def conclude(seen: View, groups: Groups) -> Iterator[Finding]:
    """The joints that have one end of a pipe between them, and those of one item alone."""
    few = {key: rows for key, rows in groups.items() if len(rows) > 1 or key[0] == _BOTH}
    for (end, item), own in shared(few):
        welds = {fact.values[1] for fact in own}  # repairs of a joint are the same weld
        most = 2 if end == _EITHER else 1
        if end == _BOTH or (len(welds) > most and "" not in welds):
            yield from _found(seen, str(end), str(item), own)


def _found(seen: View, end: str, item: str, own: list[Fact]) -> Iterator[Finding]:
    basis = project_basis(seen, "log of pipe")
    numbers = list(dict.fromkeys(str(fact.values[0]) for fact in own))
    listed = ", ".join(numbers)
    for number in numbers:
        if end == _BOTH:
            reason = Reason("members", f"{item} on both sides", "two items", basis, HOLD)
        elif end == _EITHER:
            wanted = "two, one at each end"
            reason = Reason(f"butt welds of {item}", listed, wanted, basis, HOLD)
        else:
            reason = Reason(f"{item} {end} of", listed, "one joint", basis, HOLD)
        yield Finding(
            NAME,
            HOLD,
            (("joint", number), ("item", item)),
            f"Joint {number}: {reason.variable} {reason.found}, wanted {reason.permitted}.",
            (reason,),
            tuple(_proofs(end, own)),
            _CURE,
        )


def _proofs(end: str, own: list[Fact]) -> Iterator[Evidence]:
    for fact in own:
        sides = (end,) if end in (_UPSTREAM, _DOWNSTREAM) else (_UPSTREAM, _DOWNSTREAM)
        yield from (proof for side in sides for proof in at(fact, f"{side}_item"))
