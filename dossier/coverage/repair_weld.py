"""A repair weld against the WPS that it was made to: a repair has one record for all its passes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import partial

from dossier.coverage.as_of import day_of
from dossier.coverage.in_force import Days, in_force_reasons
from dossier.coverage.joint_file import JointFile
from dossier.coverage.view import View, permitted, project_basis, wps_basis
from dossier.records.joints import Repair
from dossier.records.procedures import Procedure, Span
from dossier.records.verdicts import HOLD, Basis, Choice, Reason

API = Basis("API 1104", "21st", "section 10", "memory")
PRACTICE = Basis("common practice", "", "repair of defects", "practice")


def repair_basis(file: JointFile) -> Basis:
    """What asks for a sound repair: section 10 of API 1104 on its lines, else common practice."""
    line = file.line
    codes = (line.procedure_code, line.acceptance_code) if line else ()
    return API if "API 1104:21st" in codes else PRACTICE


def maker_reasons(file: JointFile, repair: Repair) -> Iterator[Reason]:
    """Who repaired and with which process: without both no certificate can be asked for.

    A repair by grinding alone answers them with "n/a".
    """
    basis = repair_basis(file)
    for name, wanted in (("welder", "a qualified welder"), ("process", "the process of the WPS")):
        if not getattr(repair, name) and name not in repair.not_applicable:
            yield Reason(name, "not recorded", wanted, basis, HOLD)


def removal_reason(file: JointFile, repair: Repair) -> Reason | None:
    """A record that the defect was not found and removed; a blank tells nothing either way."""
    if repair.excavated is not False:
        return None
    wanted = "to sound metal, before welding"
    return Reason("removal of the defect", "recorded as not done", wanted, repair_basis(file), HOLD)


def revision_reasons(seen: View, repair: Repair, wps: Procedure) -> Iterator[Reason]:
    """Whether the revision was issued, approved and in force on the day of the repair."""
    day = day_of(repair.repaired_at)
    if day is None:
        basis = project_basis(seen, "repair of rejected welds")
        yield Reason("time of the repair", "not recorded", "recorded", basis, HOLD)
        return
    asked = partial(sheet_reasons, repair)
    for reason in in_force_reasons(seen, wps, Days(day, day), asked):
        yield replace(reason, variable=f"repair WPS, {reason.variable}")


def sheet_reasons(repair: Repair, wps: Procedure) -> Iterator[Reason]:
    """What the record of a repair tells that the sheet bounds: process and preheat."""
    processes = {row.process for row in wps.passes}
    if processes and repair.process:
        yield Choice.of(processes, wps_basis(wps, "passes")).judge("process", repair.process)
    preheat = preheat_reason(repair, wps)
    if preheat is not None:
        yield preheat


def preheat_reason(repair: Repair, wps: Procedure) -> Reason | None:
    """The preheat of the repair against the least of the sheet; None where it asks for none."""
    if wps.preheat_min_c is None or "preheat_c" in repair.not_applicable:
        return None
    limit = permitted(Span(low=wps.preheat_min_c), wps_basis(wps, "preheat"), "°C")
    return limit.judge("preheat", repair.preheat_c)
