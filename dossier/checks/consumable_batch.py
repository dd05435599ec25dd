"""Is every batch on record, certified, of the class the WPS names, and used within its life?"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from dossier.coverage.as_of import day_of
from dossier.coverage.evidence import at, paper
from dossier.coverage.lookup import planned_pass
from dossier.coverage.view import View, project_basis, wps_basis
from dossier.records.joints import Joint, Pass
from dossier.records.materials import Batch
from dossier.records.verdicts import HOLD, NONCONFORMITY, Evidence, Finding, Reason, worst

NAME = "consumable-batch"


def check(seen: View) -> Iterator[Finding]:
    """One finding per joint and batch."""
    for joint in seen.welded():
        used: dict[str, list[Pass]] = defaultdict(list)
        for made in seen.known.passes.get(joint.number, []):
            used[made.batch].append(made)
        for number, passes in used.items():
            reasons = tuple(_reasons(seen, joint, seen.known.batches.get(number), passes))
            if reasons:
                yield _finding(seen, joint, number, passes, reasons)


def _finding(
    seen: View, joint: Joint, number: str, passes: list[Pass], reasons: tuple[Reason, ...]
) -> Finding:
    batch = seen.known.batches.get(number)
    proof: tuple[Evidence, ...] = paper(batch) if batch else ()
    told = "; ".join(f"{r.variable}: {r.found}, wanted {r.permitted}" for r in reasons)
    return Finding(
        NAME,
        worst(reasons),
        (("joint", joint.number), ("batch", number or "blank")),
        f"Batch {number or '(blank)'} in joint {joint.number}: {told}.",
        reasons,
        (*(e for made in passes for e in at(made, "batch")), *proof),
        "Show the batch certificate; a batch of another class needs the welding engineer's "
        "disposition.",
    )


def _reasons(seen: View, joint: Joint, batch: Batch | None, passes: list[Pass]) -> Iterator[Reason]:
    register = project_basis(seen, "register of consumable batches")
    if batch is None:
        yield Reason("batch", "not on record", "on record", register, HOLD)
        return
    if not batch.certificate:
        yield Reason("certificate", "none on record", "an inspection document", register, HOLD)
    yield from _life(seen, batch, passes)
    wps = seen.known.wps_of(joint)
    for kind, wanted in sorted(_fillers(seen, joint, passes)) if wps else ():
        if wps and batch.classification != wanted:
            basis = wps_basis(wps, f"{kind} pass")
            yield Reason("classification", batch.classification, wanted, basis, NONCONFORMITY)


def _fillers(seen: View, joint: Joint, passes: list[Pass]) -> set[tuple[str, str]]:
    wps = seen.known.wps_of(joint)
    rows = {made.kind: planned_pass(wps, made) for made in passes} if wps else {}
    return {(kind, row.filler) for kind, row in rows.items() if row and row.filler}


def _life(seen: View, batch: Batch, passes: list[Pass]) -> Iterator[Reason]:
    days = [day_of(made.finished_at or made.started_at) for made in passes]
    used = sorted(day for day in days if day)
    if not used:
        return
    basis = project_basis(seen, "register of consumable batches")
    if batch.expires_on and used[-1] > batch.expires_on:
        limit = f"used by {batch.expires_on}"
        yield Reason("shelf life", f"used on {used[-1]}", limit, basis, NONCONFORMITY)
    if batch.received_on and used[0] < batch.received_on:
        limit = f"received on {batch.received_on}"
        yield Reason("receipt", f"used on {used[0]}", limit, basis, HOLD)
