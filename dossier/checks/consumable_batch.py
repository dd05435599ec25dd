"""Is every batch on record, certified, of the class the WPS names, and used within its life?"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from dossier.coverage.as_of import day_of
from dossier.coverage.evidence import at, paper
from dossier.coverage.joint_file import JointFile
from dossier.coverage.view import View, project_basis, wps_basis
from dossier.records.joints import Joint, Pass
from dossier.records.materials import Batch
from dossier.records.verdicts import HOLD, NONCONFORMITY, Finding, Reason, worst

NAME = "consumable-batch"


def check(seen: View, file: JointFile) -> Iterator[Finding]:
    """One finding per batch."""
    used: dict[str, list[Pass]] = defaultdict(list)
    for made in file.passes:
        used[made.batch].append(made)
    for number, passes in used.items():
        batch = seen.known.batches.get(number)
        reasons = tuple(_reasons(seen, file, batch, passes))
        if reasons:
            yield _finding(file.joint, number, batch, passes, reasons)


def _finding(
    joint: Joint,
    number: str,
    batch: Batch | None,
    passes: list[Pass],
    reasons: tuple[Reason, ...],
) -> Finding:
    told = "; ".join(f"{r.variable}: {r.found}, wanted {r.permitted}" for r in reasons)
    return Finding(
        NAME,
        worst(reasons),
        (("joint", joint.number), ("batch", number or "blank")),
        f"Batch {number or '(blank)'} in joint {joint.number}: {told}.",
        reasons,
        (*(e for made in passes for e in at(made, "batch")), *(paper(batch) if batch else ())),
        "Show the batch certificate; a batch of another class needs the welding engineer's "
        "disposition.",
    )


def _reasons(
    seen: View, file: JointFile, batch: Batch | None, passes: list[Pass]
) -> Iterator[Reason]:
    register = project_basis(seen, "register of consumable batches")
    if batch is None:
        yield Reason("batch", "not on record", "on record", register, HOLD)
        return
    if not batch.certificate:
        yield Reason("certificate", "none on record", "an inspection document", register, HOLD)
    yield from _life(seen, batch, passes)
    planned = [(wps, row) for made, wps, row in file.planned() if made.batch == passes[0].batch]
    rows = {(row.kind, row.filler): wps for wps, row in planned}
    for (kind, wanted), wps in sorted(rows.items(), key=lambda pair: pair[0]):
        if wanted and batch.classification != wanted:
            basis = wps_basis(wps, f"{kind} pass")
            yield Reason("classification", batch.classification, wanted, basis, NONCONFORMITY)


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
