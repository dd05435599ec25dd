"""Was the joint heat treated as its WPS asks: rates, soak temperature and time, and last of all?

Judged is the last chart of the joint: a treatment that failed and was done again is answered by
the later chart. Welding after the treatment needs another one; film or ultrasound, pressure test
and coating come after it.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from dossier.coverage.acceptance import last_welding, needed
from dossier.coverage.evidence import at, paper
from dossier.coverage.joint_file import JointFile
from dossier.coverage.view import View, permitted, wps_basis
from dossier.records.procedures import HeatTreatment, Procedure, Span
from dossier.records.treatment import HeatTreatmentRecord
from dossier.records.verdicts import (
    CLEAR,
    HOLD,
    NONCONFORMITY,
    Basis,
    Evidence,
    Finding,
    Reason,
    Verdict,
    worst,
)

NAME = "heat-treatment"
# ASME B31.3, 341.3.1 asks for it for the P-numbers named there; elsewhere it is common practice.
EXAMINED = Basis("common practice", "", "examination after heat treatment", "practice")
TESTED = Basis("ASME B31.3", "2018", "345.2.2", "memory")
COATED = Basis("common practice", "", "coating after heat treatment", "practice")
_INSIDE = ("RT", "UT")


def check(seen: View, file: JointFile) -> Iterator[Finding]:
    """One finding for a joint whose heat treatment is missing, unplanned or not as asked."""
    wps = file.wps
    if wps is None or not (wps.pwht or file.heat_treatments):
        return
    charts = sorted(file.heat_treatments, key=lambda chart: str(chart.finished_at or ""))
    order = tuple(_order(seen, file, charts[-1])) if wps.pwht and charts else ()
    reasons = (*(r for r in _reasons(file, wps, charts) if r.verdict != CLEAR), *order)
    if reasons:
        told = "; ".join(f"{r.variable} {r.found}, wanted {r.permitted}" for r in reasons)
        yield Finding(
            NAME,
            worst(reasons),
            (("joint", file.number),),
            f"Heat treatment of joint {file.number}: {told}.",
            reasons,
            (
                *at(file.joint, "wps"),
                *(p for chart in charts for p in paper(chart)),
                *paper(wps),
                *(_steps(seen, file) if order else ()),
            ),
            "Show the chart; a treatment outside its limits is repeated, or dispositioned by the "
            "welding engineer with hardness readings. What came before the treatment is examined, "
            "tested or coated again.",
        )


def _steps(seen: View, file: JointFile) -> Iterator[Evidence]:
    """Where the steps that must follow the treatment are on record."""
    for report in file.examinations:
        if report.method in _INSIDE:
            yield from at(report, "examined_at")
    for test in seen.known.tests_of(file.joint):
        yield from paper(test)
    for coating in file.coatings:
        yield from paper(coating)


def _reasons(
    file: JointFile, wps: Procedure, charts: list[HeatTreatmentRecord]
) -> Iterator[Reason]:
    basis = wps_basis(wps, "post-weld heat treatment")
    if wps.pwht is None:
        found = f"treated, chart {charts[-1].chart}"
        yield Reason("heat treatment", found, "none", basis, NONCONFORMITY)
        return
    if not charts:
        yield Reason("chart", "none on record", "a chart of the joint", basis, HOLD)
        return
    last = charts[-1]
    if last.result == "rejected":
        yield Reason("result", f"rejected, chart {last.chart}", "accepted", basis, HOLD)
    yield from _curve(wps.pwht, last, basis)
    welded = last_welding(file)
    if last.finished_at is None:
        yield Reason("end of the treatment", "not recorded", "recorded", basis, HOLD)
    elif welded and welded > (last.started_at or last.finished_at):
        found = f"{welded:%Y-%m-%d %H:%M}"
        wanted = f"before the treatment of {last.finished_at:%Y-%m-%d %H:%M}"
        yield Reason("last welding", found, wanted, basis, NONCONFORMITY)


def _order(seen: View, file: JointFile, last: HeatTreatmentRecord) -> Iterator[Reason]:
    """What was done before the last treatment and belongs after it."""
    if last.finished_at is not None:
        yield from _examined(seen, file, last.finished_at)
        yield from _tested(seen, file, last.finished_at)
        yield from _coated(file, last.finished_at)


def _examined(seen: View, file: JointFile, treated: datetime) -> Iterator[Reason]:
    """Films and ultrasound that accepted the joint between its last welding and the treatment."""
    welded = last_welding(file)
    for need in needed(seen, file):
        moments = [
            report.examined_at
            for report in file.examinations
            if report.method in need.methods
            and report.method in _INSIDE
            and report.result == "accepted"
            and report.examined_at is not None
            and (welded is None or report.examined_at >= welded)
        ]
        if moments and max(moments) < treated:
            yield _early(need.title, max(moments), treated, EXAMINED, HOLD)


def _tested(seen: View, file: JointFile, treated: datetime) -> Iterator[Reason]:
    """A pressure test of the weld before its treatment, if none after it heals it."""
    welded = last_welding(file) or treated
    starts = [
        test.started_at
        for test in seen.known.tests_of(file.joint)
        if test.result != "rejected" and test.started_at is not None and test.started_at >= welded
    ]
    if starts and max(starts) < treated:
        yield _early("pressure test", max(starts), treated, TESTED, NONCONFORMITY)


def _coated(file: JointFile, treated: datetime) -> Iterator[Reason]:
    """The last coating, applied before the treatment."""
    moments = [coating.coated_at for coating in file.coatings if coating.coated_at is not None]
    if moments and max(moments) < treated:
        yield _early("coated", max(moments), treated, COATED, NONCONFORMITY)


def _early(what: str, done: datetime, treated: datetime, basis: Basis, verdict: Verdict) -> Reason:
    """A step that was taken before the end of the treatment that it must follow."""
    wanted = f"after the treatment that ended {treated:%Y-%m-%d %H:%M}"
    return Reason(what, f"{done:%Y-%m-%d %H:%M}", wanted, basis, verdict)


def _curve(asked: HeatTreatment, chart: HeatTreatmentRecord, basis: Basis) -> Iterator[Reason]:
    if asked.temperature_c is not None:
        soak = permitted(asked.temperature_c, basis, "°C")
        yield soak.judge("soak, lowest reading", chart.soak_low_c)
        yield soak.judge("soak, highest reading", chart.soak_high_c)
    limits = (
        ("soak time", asked.holding_min, "low", "min", chart.holding_min),
        ("heating rate", asked.heating_c_h, "high", "°C/h", chart.heating_c_h),
        ("cooling rate", asked.cooling_c_h, "high", "°C/h", chart.cooling_c_h),
    )
    for variable, limit, end, unit, value in limits:
        if limit is not None:
            span = Span(low=limit) if end == "low" else Span(high=limit)
            yield permitted(span, basis, unit).judge(variable, value)
