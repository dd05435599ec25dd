"""Were basic electrodes baked as the project asks, and used within the time after issue?

Moisture in a basic covering puts hydrogen into the weld, which may crack hours later. Batches
whose bakings are answered "n/a" (vacuum packed, used from the pack) are passed over. Of a repair
only the end is on record: electrodes that were out too long by then are a hold.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from typing import NamedTuple

from dossier.coverage.evidence import at, paper
from dossier.coverage.joint_file import JointFile
from dossier.coverage.view import View, permitted, project_basis
from dossier.records.joints import Pass, Repair
from dossier.records.materials import Baking, Batch
from dossier.records.procedures import Span
from dossier.records.verdicts import CLEAR, HOLD, NONCONFORMITY, Finding, Reason, Verdict, worst

NAME = "consumable-baking"
_COVERED_ELECTRODE = "111"


def asked(seen: View) -> bool:
    """Whether the project limits the baking or the time after issue."""
    rules = seen.project.settings.requirements
    return rules.baking_valid_h is not None or rules.baking_c is not None


def check(seen: View, file: JointFile) -> Iterator[Finding]:
    """One finding per batch whose bakings do not cover the passes and repairs welded with it."""
    if not asked(seen):
        return
    used = _basic(file)
    _repaired(seen, file, used)
    for number, uses in used.items():
        batch = seen.known.batches.get(number)
        if batch is None or "bakings" in batch.not_applicable:
            continue
        judged = [(use, _best(seen, batch, use)) for use in uses]
        faulty = [(use, reasons) for use, reasons in judged if worst(reasons) != CLEAR]
        if faulty:
            yield _finding(file, batch, faulty)


class _Use(NamedTuple):
    """A pass, known by its start, or a repair, known by its end."""

    made: Pass | Repair
    moment: datetime | None

    @property
    def mark(self) -> str:
        made = self.made
        return made.number if isinstance(made, Repair) else f"{made.number}{made.side[:1]}"

    @property
    def known_as(self) -> str:
        return "end of the repair" if isinstance(self.made, Repair) else "start of the pass"


def _basic(file: JointFile) -> dict[str, list[_Use]]:
    """The passes of basic covered electrodes by their batch, as the WPS tells the covering."""
    used: dict[str, list[_Use]] = {}
    for made, _, row in file.planned():
        if made.process == _COVERED_ELECTRODE and row.covering == "basic" and made.batch:
            used.setdefault(made.batch, []).append(_Use(made, made.started_at))
    return used


def _repaired(seen: View, file: JointFile, used: dict[str, list[_Use]]) -> None:
    """Add the repairs whose WPS tells that electrodes of the class of the batch are basic."""
    for repair in file.repairs:
        batch = seen.known.batches.get(repair.batch)
        wps = seen.known.procedure(repair.wps, repair.wps_revision)
        if batch is None or wps is None or repair.process != _COVERED_ELECTRODE:
            continue
        rows = (row for row in wps.passes if row.filler == batch.classification)
        if any(row.covering == "basic" for row in rows):
            used.setdefault(batch.number, []).append(_Use(repair, repair.repaired_at))


def _best(seen: View, batch: Batch, use: _Use) -> tuple[Reason, ...]:
    """The reasons of the baking that serves the weld best, of equals the last; a hold for none."""
    basis = project_basis(seen, "baking of electrodes")
    if use.moment is None:
        return (Reason(use.known_as, "not recorded", "recorded", basis, HOLD),)
    late = HOLD if isinstance(use.made, Repair) else NONCONFORMITY
    opened = [one for one in batch.bakings if _open(one, use.made.welder, use.moment)]
    opened.sort(key=lambda one: one.baked_at, reverse=True)
    out = [tuple(_reasons(seen, one, use.moment, late)) for one in opened]
    if not out:
        found = f"none on record before {use.moment:%Y-%m-%d %H:%M}"
        return (Reason("baking", found, "a baking before use", basis, HOLD),)
    return min(out, key=worst)


def _open(baking: Baking, welder: str, moment: datetime) -> bool:
    """The electrodes of this baking may be those that the welder used then."""
    if baking.baked_at > moment:
        return False
    issued = baking.issued_at is None or baking.issued_at <= moment
    returned = baking.returned_at is not None and baking.returned_at < moment
    return issued and not returned and baking.welder in ("", welder)


def _reasons(seen: View, baking: Baking, moment: datetime, late: Verdict) -> Iterator[Reason]:
    rules = seen.project.settings.requirements
    basis = project_basis(seen, "baking of electrodes")
    if rules.baking_c is not None:
        oven = permitted(rules.baking_c, basis, "°C")
        yield oven.judge("baking temperature", baking.temperature_c)
    if rules.baking_holding_h is not None:
        yield permitted(rules.baking_holding_h, basis, "h").judge("baking time", baking.holding_h)
    if rules.baking_valid_h is not None:
        out = baking.issued_at
        hours = None if out is None else round((moment - out).total_seconds() / 3600, 2)
        limit = permitted(Span(high=rules.baking_valid_h), basis, "h")
        yield limit.judge("time since issue", hours, late)


def _finding(
    file: JointFile, batch: Batch, faulty: list[tuple[_Use, tuple[Reason, ...]]]
) -> Finding:
    reasons = tuple(dict.fromkeys(r for _, judged in faulty for r in judged if r.verdict != CLEAR))
    told = "; ".join(f"{r.variable} {r.found}, wanted {r.permitted}" for r in reasons[:3])
    passes = [use.mark for use, _ in faulty if isinstance(use.made, Pass)]
    repairs = [use.mark for use, _ in faulty if isinstance(use.made, Repair)]
    welds = (_several("pass", "passes", passes), _several("repair", "repairs", repairs))
    return Finding(
        NAME,
        worst(reasons),
        (("joint", file.number), ("batch", batch.number)),
        f"Batch {batch.number} in joint {file.number}{''.join(welds)}: {told}.",
        reasons,
        (*(e for use, _ in faulty for e in at(use.made, "batch", _moment(use))), *paper(batch)),
        "Show the oven log and the issue slips; electrodes out too long need the welding "
        "engineer's disposition, as a rule an examination after the full delay.",
    )


def _several(one: str, more: str, marks: list[str]) -> str:
    return f", {one if len(marks) == 1 else more} {', '.join(marks)}" if marks else ""


def _moment(use: _Use) -> str:
    return "repaired_at" if isinstance(use.made, Repair) else "started_at"
