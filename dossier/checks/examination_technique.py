"""Was each joint examined by a method and a technique that are right for it?"""

from __future__ import annotations

from collections.abc import Iterator

from dossier.codes.api_1104_21.films import FILM_DENSITY
from dossier.codes.asme_v_2007 import density_range
from dossier.coverage.evidence import at, paper
from dossier.coverage.joint_file import JointFile
from dossier.coverage.view import View, permitted, project_basis
from dossier.records.examinations import Examination
from dossier.records.project import Technique
from dossier.records.verdicts import CLEAR, HOLD, Basis, Choice, Finding, Range, Reason, worst

NAME = "examination-technique"
# The wall behind a fillet or branch weld changes in thickness, so that its film cannot be read
# as that of a butt weld.
FILM = Basis("common practice", "", "films of butt welds only", "practice")


def check(seen: View, file: JointFile) -> Iterator[Finding]:
    """One finding per report whose method or technique does not suit the joint."""
    for report in file.examinations:
        reasons = tuple(r for r in _reasons(seen, file, report) if r.verdict != CLEAR)
        if reasons:
            told = "; ".join(f"{r.variable} {r.found}, permitted {r.permitted}" for r in reasons)
            yield Finding(
                NAME,
                worst(reasons),
                (("joint", file.number), ("report", report.report)),
                f"{report.report} examined joint {file.number} by {report.method}: {told}.",
                reasons,
                (*at(report, "method", "technique", "procedure", "density"), *paper(report)),
                "Examine the joint again by a method and technique that are agreed for it, or "
                "show the agreement.",
            )


def _reasons(seen: View, file: JointFile, report: Examination) -> Iterator[Reason]:
    rules = seen.project.settings.requirements.techniques
    own = [rule for rule in rules if rule.method == report.method]
    weld_type = file.joint.weld_type
    fit = [rule for rule in own if weld_type in rule.weld_types or not rule.weld_types]
    if own and not fit:
        types = sorted({name for rule in own for name in rule.weld_types})
        basis = project_basis(seen, f"techniques, {report.method}")
        yield Choice.of(types, basis).judge("weld type", weld_type, HOLD)
    elif not own and report.method == "RT":
        yield Choice.of(["butt"], FILM).judge("weld type", weld_type, HOLD)
    yield from _agreed(seen, fit, report)
    yield from _film(seen, file, fit, report)


def _agreed(seen: View, fit: list[Technique], report: Examination) -> Iterator[Reason]:
    basis = project_basis(seen, f"techniques, {report.method}")
    procedures = {name for rule in fit for name in rule.procedures}
    if procedures and all(rule.procedures for rule in fit):
        yield Choice.of(procedures, basis).judge("procedure", report.procedure or None, HOLD)
    techniques = {name for rule in fit for name in rule.techniques}
    if techniques and all(rule.techniques for rule in fit):
        yield Choice.of(techniques, basis).judge("technique", report.technique or None, HOLD)
    if fit and all(rule.iqi_recorded for rule in fit) and not report.iqi:
        yield Reason("IQI", "not recorded", "recorded", basis, HOLD)


def _film(
    seen: View, file: JointFile, fit: list[Technique], report: Examination
) -> Iterator[Reason]:
    """The density by the project's own range, else by that of the line's code."""
    if report.method != "RT":
        return
    spans = [rule.density for rule in fit if rule.density is not None]
    if spans:
        limit = permitted(spans[0], project_basis(seen, "density of films"), "")
        yield limit.judge("density", report.density, HOLD)
        return
    own = _density_of_code(file.line.acceptance_code if file.line else "")
    if own is not None and report.density is not None:
        yield own.judge("density", report.density, HOLD)


def _density_of_code(code: str) -> Range | None:
    """The range of the code that judges the films, where it is known here.

    ASME B31.3 takes it from Section V; that of X-rays is used, the wider one.
    """
    if code == "API 1104:21st":
        return FILM_DENSITY
    return density_range("xray") if code.startswith("ASME B31.3") else None
