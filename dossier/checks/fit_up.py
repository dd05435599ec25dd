"""Was the joint fitted up within the root gap and the misalignment that WPS and project permit?

Asked of what is recorded; whether it must be recorded is the project's list of fields needed.
"""

from __future__ import annotations

from collections.abc import Iterator

from dossier.codes.api_1104_21.fit_up import high_low
from dossier.codes.api_1104_21.settings import sizes
from dossier.coverage.evidence import at, paper
from dossier.coverage.joint_file import JointFile
from dossier.coverage.view import View, permitted, project_basis, wps_basis
from dossier.records.procedures import Span
from dossier.records.verdicts import CLEAR, Finding, Reason, worst

NAME = "fit-up"
_API = "API 1104:21st"


def check(seen: View, file: JointFile) -> Iterator[Finding]:
    """One finding for a joint outside the limits of its fit-up."""
    reasons = tuple(r for r in _reasons(seen, file) if r.verdict != CLEAR)
    if reasons:
        told = "; ".join(f"{r.variable} {r.found}, permitted {r.permitted}" for r in reasons)
        yield Finding(
            NAME,
            worst(reasons),
            (("joint", file.number),),
            f"Joint {file.number}, fit-up: {told}.",
            reasons,
            (*at(file.joint, "fit_up_gap_mm", "hi_lo_mm"), *(paper(file.wps) if file.wps else ())),
            "Check the readings against the fit-up sheet; otherwise have the weld dispositioned "
            "by the welding engineer.",
        )


def _reasons(seen: View, file: JointFile) -> Iterator[Reason]:
    joint, groove = file.joint, file.wps.groove if file.wps else None
    if file.wps and groove and groove.gap_mm and joint.fit_up_gap_mm is not None:
        gap = permitted(groove.gap_mm, wps_basis(file.wps, "joint preparation"), "mm")
        yield gap.judge("root gap", joint.fit_up_gap_mm)
    if joint.hi_lo_mm is None:
        return
    limit = seen.project.settings.requirements.hi_lo_max_mm
    if limit is not None:
        basis = project_basis(seen, "misalignment")
        yield permitted(Span(low=0, high=limit), basis, "mm").judge("hi-lo", joint.hi_lo_mm)
    if file.wps and groove and groove.hi_lo_max_mm is not None:
        most = permitted(
            Span(low=0, high=groove.hi_lo_max_mm), wps_basis(file.wps, "misalignment"), "mm"
        )
        yield most.judge("hi-lo", joint.hi_lo_mm)
    elif limit is None and file.line and file.line.procedure_code == _API:
        yield high_low(joint.hi_lo_mm, sizes(seen.choices))
