"""Was a golden weld that no pressure test reached examined in full by film or ultrasound?

ASME B31.3 spares a closure weld the leak test where it is examined so; under other codes this is
common practice, and a project that asks for it itself finds it among its own examinations.
"""

from __future__ import annotations

from collections.abc import Iterator

from dossier.codes.practice import PRACTICE
from dossier.coverage.acceptance import Needed, accepted, last_welding, needed
from dossier.coverage.evidence import at, paper
from dossier.coverage.joint_file import JointFile
from dossier.coverage.view import View
from dossier.records.verdicts import HOLD, NONCONFORMITY, Basis, Finding, Reason

NAME = "golden-weld"
_WHOLE = Needed(("RT", "UT"), 100.0)
_B31_3 = "ASME B31.3"


def check(seen: View, file: JointFile) -> Iterator[Finding]:
    """One finding per golden weld that neither a test nor an examination of all of it proves."""
    if file.joint.kind != "golden" or accepted(file, _WHOLE) is not None or _tested(seen, file):
        return
    standard, _, edition = (file.line.acceptance_code if file.line else "").partition(":")
    if standard == _B31_3:
        yield _finding(file, Basis(_B31_3, edition, "345.2.3(c)", "memory"), asked=True)
    elif not any(_wide(need) for need in needed(seen, file)):
        yield _finding(file, PRACTICE, asked=False)


def _wide(need: Needed) -> bool:
    return need.percent >= _WHOLE.percent and set(need.methods) <= set(_WHOLE.methods)


def _tested(seen: View, file: JointFile) -> bool:
    """Whether a pressure test that was not rejected began after the last welding."""
    welded = last_welding(file)
    starts = [t.started_at for t in seen.known.tests_of(file.joint) if t.result != "rejected"]
    return welded is not None and any(start and start >= welded for start in starts)


def _finding(file: JointFile, basis: Basis, *, asked: bool) -> Finding:
    joint = file.joint
    verdict = NONCONFORMITY if asked else HOLD
    reports = [report for report in file.examinations if report.method in _WHOLE.methods]
    listed = ", ".join(f"{r.report} {r.result or 'not yet read'}, {_extent(r.extent_percent)}"
                       for r in reports)  # fmt: skip
    wanted = "RT or UT over 100 %, accepted after the last welding"
    reason = Reason("examination", listed or "no RT or UT", wanted, basis, verdict)
    return Finding(
        NAME,
        verdict,
        (("joint", joint.number),),
        f"Golden weld {joint.number} was never under test pressure and is not examined in full: "
        f"{reason.found}.",
        (reason,),
        (*at(joint, "kind"), *(proof for report in reports for proof in paper(report))),
        "Examine the whole weld by film or ultrasound, or show its report; else test it under "
        "pressure.",
    )


def _extent(percent: float | None) -> str:
    return "extent not recorded" if percent is None else f"over {percent:g} %"
