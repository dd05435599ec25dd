"""Do pups agree with the pipe that they were cut from: known, same heat and wall, length enough?

Whatever was cut from one pipe, pups and cut-offs together, cannot be longer than the pipe was.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator

from dossier.coverage.evidence import at
from dossier.coverage.joint_file import JointFile
from dossier.coverage.view import View, project_basis
from dossier.records.materials import Item
from dossier.records.verdicts import HOLD, Finding, Reason

NAME = "pup-balance"
_ROUNDING_M = 0.005  # lengths are taped to the centimetre


def check(seen: View) -> Iterator[Finding]:
    """One finding per pup that differs from its parent, one per parent that is overdrawn."""
    cut: dict[str, list[Item]] = {}
    for item in seen.project.items:
        if item.parent:
            cut.setdefault(item.parent, []).append(item)
    for number, pups in cut.items():
        parent = seen.known.items.get(number)
        for pup in pups:
            yield from _one(seen, pup, parent)
        if parent is not None:
            yield from _sum(seen, parent, pups)


def concerns(_: View, file: JointFile) -> Iterator[Hashable]:
    """The items that were cut from another."""
    for item in file.items:
        if item.parent:
            yield item.number


def _one(seen: View, pup: Item, parent: Item | None) -> Iterator[Finding]:
    basis = project_basis(seen, "traceability of cut pipe")
    reasons: list[Reason] = []
    if parent is None:
        wanted = "an item of the register"
        reasons.append(Reason("parent", f"{pup.parent}, not on record", wanted, basis, HOLD))
    else:
        for variable, own, theirs in (
            ("heat", pup.heat, parent.heat),
            ("grade", pup.grade, parent.grade),
            ("wall", _mm(pup.wall_mm), _mm(parent.wall_mm)),
        ):
            if own != theirs:
                wanted = f"{theirs or 'blank'}, as {parent.number}"
                reasons.append(Reason(variable, own or "blank", wanted, basis, HOLD))
    if reasons:
        told = "; ".join(f"{r.variable} {r.found}, wanted {r.permitted}" for r in reasons)
        yield Finding(
            NAME,
            HOLD,
            (("item", pup.number),),
            f"{pup.number}, cut from {pup.parent}: {told}.",
            tuple(reasons),
            (*at(pup, "parent", "heat"), *(at(parent, "heat") if parent else ())),
            "Read the number carried over at the cut, or the cutting record, and correct the "
            "register; a pup without a proved parent comes out.",
        )


def _mm(value: float | None) -> str:
    return "" if value is None else f"{value:g} mm"


def _sum(seen: View, parent: Item, pups: list[Item]) -> Iterator[Finding]:
    basis = project_basis(seen, "length balance of cut pipe")
    names = ", ".join(pup.number for pup in pups)
    blank = [item.number for item in (parent, *pups) if item.length_m is None]
    if blank:
        reason = Reason("length", f"blank for {', '.join(blank)}", "recorded", basis, HOLD)
    else:
        total = sum(pup.length_m or 0.0 for pup in pups)
        whole = parent.length_m or 0.0
        if total <= whole + _ROUNDING_M:
            return
        found = f"{total:.2f} m ({names})"
        reason = Reason("length cut", found, f"up to {whole:.2f} m", basis, HOLD)
    yield Finding(
        NAME,
        HOLD,
        (("item", parent.number),),
        f"What was cut from {parent.number}: {reason.found}; {reason.permitted}.",
        (reason,),
        tuple(proof for item in (parent, *pups) for proof in at(item, "length_m")),
        "Measure the pups again, or find the one that was cut from another pipe.",
    )
