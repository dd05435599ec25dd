"""Were basic electrodes baked as the project asks, and used within the time after issue?

Moisture in a basic covering puts hydrogen into the weld, which may crack hours later. Batches
whose bakings are answered "n/a" (vacuum packed, used from the pack) are passed over.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from dossier.coverage.evidence import at, paper
from dossier.coverage.joint_file import JointFile
from dossier.coverage.view import View, permitted, project_basis
from dossier.records.joints import Pass
from dossier.records.materials import Baking, Batch
from dossier.records.procedures import Span
from dossier.records.verdicts import CLEAR, HOLD, Finding, Reason, worst

NAME = "consumable-baking"
_COVERED_ELECTRODE = "111"


def asked(seen: View) -> bool:
    """Whether the project limits the baking or the time after issue."""
    rules = seen.project.settings.requirements
    return rules.baking_valid_h is not None or rules.baking_c is not None


def check(seen: View, file: JointFile) -> Iterator[Finding]:
    """One finding per batch whose bakings do not cover the passes welded with it."""
    if not asked(seen):
        return
    for number, passes in _basic(file).items():
        batch = seen.known.batches.get(number)
        if batch is None or "bakings" in batch.not_applicable:
            continue
        judged = [(made, _best(seen, batch, made)) for made in passes]
        faulty = [(made, reasons) for made, reasons in judged if worst(reasons) != CLEAR]
        if faulty:
            yield _finding(file, batch, faulty)


def _basic(file: JointFile) -> dict[str, list[Pass]]:
    """The passes of basic covered electrodes by their batch, as the WPS tells the covering."""
    used: dict[str, list[Pass]] = {}
    for made, _, row in file.planned():
        if made.process == _COVERED_ELECTRODE and row.covering == "basic" and made.batch:
            used.setdefault(made.batch, []).append(made)
    return used


def _best(seen: View, batch: Batch, made: Pass) -> tuple[Reason, ...]:
    """The reasons of the baking that serves the pass best; a hold where there is none."""
    basis = project_basis(seen, "baking of electrodes")
    if made.started_at is None:
        return (Reason("start of the pass", "not recorded", "recorded", basis, HOLD),)
    out = [tuple(_reasons(seen, one, made.started_at)) for one in batch.bakings if _open(one, made)]
    if not out:
        found = f"none on record before {made.started_at:%Y-%m-%d %H:%M}"
        return (Reason("baking", found, "a baking before use", basis, HOLD),)
    return min(out, key=worst)


def _open(baking: Baking, made: Pass) -> bool:
    """The electrodes of this baking may be those of the pass."""
    start = made.started_at
    if start is None or baking.baked_at > start:
        return False
    issued = baking.issued_at is None or baking.issued_at <= start
    returned = baking.returned_at is not None and baking.returned_at < start
    return issued and not returned and baking.welder in ("", made.welder)


def _reasons(seen: View, baking: Baking, start: datetime) -> Iterator[Reason]:
    rules = seen.project.settings.requirements
    basis = project_basis(seen, "baking of electrodes")
    if rules.baking_c is not None:
        oven = permitted(rules.baking_c, basis, "°C")
        yield oven.judge("baking temperature", baking.temperature_c)
    if rules.baking_holding_h is not None:
        yield permitted(rules.baking_holding_h, basis, "h").judge("baking time", baking.holding_h)
    if rules.baking_valid_h is not None:
        out = baking.issued_at
        hours = None if out is None else round((start - out).total_seconds() / 3600, 2)
        limit = permitted(Span(high=rules.baking_valid_h), basis, "h")
        yield limit.judge("time since issue", hours)


def _finding(
    file: JointFile, batch: Batch, faulty: list[tuple[Pass, tuple[Reason, ...]]]
) -> Finding:
    reasons = tuple(dict.fromkeys(r for _, judged in faulty for r in judged if r.verdict != CLEAR))
    told = "; ".join(f"{r.variable} {r.found}, wanted {r.permitted}" for r in reasons[:3])
    marks = ", ".join(f"{made.number}{made.side[:1]}" for made, _ in faulty)
    passes = "pass" if len(faulty) == 1 else "passes"
    return Finding(
        NAME,
        worst(reasons),
        (("joint", file.number), ("batch", batch.number)),
        f"Batch {batch.number} in joint {file.number}, {passes} {marks}: {told}.",
        reasons,
        (*(e for made, _ in faulty for e in at(made, "batch", "started_at")), *paper(batch)),
        "Show the oven log and the issue slips; electrodes out too long need the welding "
        "engineer's disposition, as a rule an examination after the full delay.",
    )
