"""A random sample of joints for an audit: weighted, drawn by a seed, the same on every machine.

Method: each welded joint has the weight 1; a repair, a cut-out and its replacement, and a tie-in,
golden weld or crossing add to it, since that is where failures were found (common practice of
auditors). Joints are drawn without replacement by Efraimidis and Spirakis (Information Processing
Letters 97, 2006): each draws u from the digest of seed and number, and those with the smallest
-ln(u) / weight are taken. The order of the register does not matter.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from math import log

from dossier.coverage.joint_file import JointFile, joint_file
from dossier.coverage.view import View
from dossier.errors import InputError

REPAIRED, REPLACED, SPECIAL = 8, 8, 5
_SPECIAL_KINDS = ("tie-in", "golden", "crossing")
METHOD = (
    f"Weighted random sample without replacement: every welded joint has weight 1, a repaired one "
    f"{REPAIRED} more, a cut-out or its replacement {REPLACED} more, a tie-in, golden weld or "
    f"crossing {SPECIAL} more. Drawn from SHA-256 of seed and joint number, so that the seed "
    f"alone repeats it."
)


@dataclass(frozen=True, slots=True)
class Drawn:
    """One joint of the sample with its weight and what gave it."""

    file: JointFile
    weight: int
    because: tuple[str, ...]


def draw(seen: View, seed: int, count: int) -> list[Drawn]:
    """So many joints (all, where there are fewer), in the order in which they were drawn.

    Raises InputError: a count of less than 1.
    """
    if count < 1:
        raise InputError("joints", found=count, expected="1 or more")
    replaced = {joint.replaces for joint in seen.project.joints if joint.replaces}
    pool: dict[str, Drawn] = {}
    for joint in seen.project.joints:
        if joint.status in ("welded", "cut out"):
            pool.setdefault(joint.number, weighed(joint_file(seen, joint), replaced))
    ordered = sorted(pool.values(), key=lambda one: (_key(seed, one), one.file.number))
    return ordered[:count]


def weighed(file: JointFile, replaced: set[str]) -> Drawn:
    """A joint with its weight and what gave it; `replaced` are the joints cut out for others."""
    weight, because = 1, []
    rejected = any(e.result == "rejected" for e in file.examinations)
    if file.repairs or rejected:
        weight += REPAIRED
        because.append("repaired" if file.repairs else "rejected once")
    if file.joint.status == "cut out" or file.joint.replaces or file.number in replaced:
        weight += REPLACED
        because.append("cut out" if file.joint.status == "cut out" else "replacement")
    if file.joint.kind in _SPECIAL_KINDS:
        weight += SPECIAL
        because.append(file.joint.kind)
    return Drawn(file, weight, tuple(because))


def _key(seed: int, one: Drawn) -> float:
    digest = hashlib.sha256(f"{seed}|{one.file.number}".encode()).digest()
    u = (int.from_bytes(digest[:8], "big") + 1) / (2**64 + 1)  # inside 0 to 1, ends left out
    return -log(u) / one.weight
