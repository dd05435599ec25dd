"""Is every batch on record, certified, of the class the WPS names, and used within its life?

A pass must be of the class of its own row of the WPS. A repair has one record for all its passes:
its batch must be of a class that the repair WPS names for the process.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from datetime import date

from dossier.coverage.as_of import day_of
from dossier.coverage.evidence import at, paper
from dossier.coverage.joint_file import JointFile
from dossier.coverage.view import View, project_basis, wps_basis
from dossier.records.joints import Joint, Pass, Repair
from dossier.records.materials import Batch
from dossier.records.verdicts import HOLD, NONCONFORMITY, Choice, Finding, Reason, worst

NAME = "consumable-batch"


def check(seen: View, file: JointFile) -> Iterator[Finding]:
    """One finding per batch."""
    used: dict[str, list[Pass | Repair]] = defaultdict(list)
    for made in file.passes:
        used[made.batch].append(made)
    for repair in file.repairs:
        if repair.batch or "batch" not in repair.not_applicable:
            used[repair.batch].append(repair)
    for number, welded in used.items():
        batch = seen.known.batches.get(number)
        reasons = tuple(_reasons(seen, file, batch, welded))
        if reasons:
            yield _finding(file.joint, number, batch, welded, reasons)


def _finding(
    joint: Joint,
    number: str,
    batch: Batch | None,
    welded: list[Pass | Repair],
    reasons: tuple[Reason, ...],
) -> Finding:
    told = "; ".join(f"{r.variable}: {r.found}, wanted {r.permitted}" for r in reasons)
    return Finding(
        NAME,
        worst(reasons),
        (("joint", joint.number), ("batch", number or "blank")),
        f"Batch {number or '(blank)'} in joint {joint.number}: {told}.",
        reasons,
        (*(e for made in welded for e in at(made, "batch")), *(paper(batch) if batch else ())),
        "Show the batch certificate; a batch of another class needs the welding engineer's "
        "disposition.",
    )


def _reasons(
    seen: View, file: JointFile, batch: Batch | None, welded: list[Pass | Repair]
) -> Iterator[Reason]:
    register = project_basis(seen, "register of consumable batches")
    if batch is None:
        yield Reason("batch", "not on record", "on record", register, HOLD)
        return
    if not batch.certificate:
        yield Reason("certificate", "none on record", "an inspection document", register, HOLD)
    yield from _life(seen, batch, welded)
    planned = [(wps, row) for made, wps, row in file.planned() if made.batch == batch.number]
    rows = {(row.kind, row.filler): wps for wps, row in planned}
    for (kind, wanted), wps in sorted(rows.items(), key=lambda pair: pair[0]):
        if wanted and batch.classification != wanted:
            basis = wps_basis(wps, f"{kind} pass")
            yield Reason("classification", batch.classification, wanted, basis, NONCONFORMITY)
    yield from dict.fromkeys(_of_repairs(seen, file, batch))


def _of_repairs(seen: View, file: JointFile, batch: Batch) -> Iterator[Reason]:
    """The class against all that the repair WPS names for the process, as far as it names any."""
    for repair in file.repairs:
        wps = seen.known.procedure(repair.wps, repair.wps_revision)
        if wps is None or repair.batch != batch.number:
            continue
        rows = (row for row in wps.passes if repair.process in ("", row.process))
        named = Choice.of((row.filler for row in rows if row.filler), wps_basis(wps, "passes"))
        if named.values and batch.classification not in named:
            yield named.judge("classification of the repair", batch.classification)


def _life(seen: View, batch: Batch, welded: list[Pass | Repair]) -> Iterator[Reason]:
    used = sorted(day for day in map(_day, welded) if day)
    if not used:
        return
    basis = project_basis(seen, "register of consumable batches")
    if batch.expires_on and used[-1] > batch.expires_on:
        limit = f"used by {batch.expires_on}"
        yield Reason("shelf life", f"used on {used[-1]}", limit, basis, NONCONFORMITY)
    if batch.received_on and used[0] < batch.received_on:
        limit = f"received on {batch.received_on}"
        yield Reason("receipt", f"used on {used[0]}", limit, basis, HOLD)


def _day(made: Pass | Repair) -> date | None:
    if isinstance(made, Repair):
        return day_of(made.repaired_at)
    return day_of(made.finished_at or made.started_at)
