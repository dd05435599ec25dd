"""Are the passes on record, and in the sequence of the WPS, each with a process it names?"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from dossier.coverage.evidence import at, paper
from dossier.coverage.joint_file import JointFile
from dossier.coverage.view import View, project_basis, wps_basis
from dossier.records.joints import Pass
from dossier.records.procedures import Procedure
from dossier.records.verdicts import HOLD, NONCONFORMITY, Basis, Finding, Reason, worst

NAME = "pass-sequence"


def check(seen: View, file: JointFile) -> Iterator[Finding]:
    """One finding per joint whose passes are not those of its WPS, in its order.

    A process that the WPS does not name at all is the business of `joint-inside-procedure`.
    """
    wps = file.wps
    if not file.passes:
        yield _unlogged(seen, file)
        return
    if wps is None or not wps.passes:
        return
    reasons = (*_numbers(seen, file.passes), *_kinds(wps, file.passes), *_order(wps, file.passes))
    if reasons:
        told = "; ".join(f"{r.variable}: {r.found}" for r in reasons)
        yield Finding(
            NAME,
            worst(reasons),
            (("joint", file.number),),
            f"The passes of joint {file.number} are not the sequence of {wps.number}: {told}.",
            reasons,
            (*(proof for made in file.passes for proof in at(made, "kind")), *paper(wps)),
            "Complete or correct the log from the daily record; a sequence that no WPS covers "
            "needs the welding engineer's disposition.",
        )


def _unlogged(seen: View, file: JointFile) -> Finding:
    """A welded joint of which no pass is on record: who welded it, and how, cannot be told."""
    basis = project_basis(seen, "weld log, passes in full")
    wanted = _listed(file.wps) if file.wps and file.wps.passes else "at least one"
    return Finding(
        NAME,
        HOLD,
        (("joint", file.number),),
        f"Joint {file.number} is welded, and none of its passes is on record.",
        (Reason("passes", "none on record", wanted, basis, HOLD),),
        at(file.joint, "number", "status"),
        "Enter the passes from the daily record; without them neither welders, batches nor "
        "parameters can be proved.",
    )


def _numbers(seen: View, passes: list[Pass]) -> Iterator[Reason]:
    have = {made.number for made in passes}
    missing = sorted(set(range(1, max(have) + 1)) - have)
    if missing:
        basis = project_basis(seen, "weld log, passes in full")
        listed = ", ".join(map(str, missing))
        yield Reason("pass numbers", f"{listed} missing", f"1 to {max(have)}", basis, HOLD)


def _kinds(wps: Procedure, passes: list[Pass]) -> Iterator[Reason]:
    basis = wps_basis(wps, "passes")
    planned: dict[str, set[str]] = {}
    for row in wps.passes:
        planned.setdefault(row.kind, set()).add(row.process)
    everywhere = set().union(*planned.values())
    for kind, processes in planned.items():
        if not any(made.kind == kind for made in passes):
            yield Reason(f"{kind} pass", "not recorded", "/".join(sorted(processes)), basis, HOLD)
    for kind, process in sorted({(made.kind, made.process) for made in passes}):
        if kind not in planned:
            yield Reason(f"{kind} pass", f"made with {process}", _listed(wps), basis, HOLD)
        elif process in everywhere and process not in planned[kind]:
            wanted = "/".join(sorted(planned[kind]))
            found = f"made with {process}"
            yield Reason(f"process of the {kind} pass", found, wanted, basis, NONCONFORMITY)


def _listed(wps: Procedure) -> str:
    return ", ".join(dict.fromkeys(row.kind for row in wps.passes))


def _order(wps: Procedure, passes: list[Pass]) -> Iterator[Reason]:
    """A pass of an earlier kind laid after one of a later kind."""
    rank = {kind: n for n, kind in enumerate(dict.fromkeys(row.kind for row in wps.passes))}
    known = sorted((made for made in passes if made.kind in rank), key=lambda made: made.number)
    basis: Basis = wps_basis(wps, "order of passes")
    for before, after in pairwise(known):
        if rank[after.kind] < rank[before.kind]:
            found = f"{after.kind} pass {after.number} after {before.kind} pass {before.number}"
            yield Reason("order", found, _listed(wps), basis, NONCONFORMITY)
