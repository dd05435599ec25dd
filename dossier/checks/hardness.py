"""Do the hardness readings keep to the limits of report, WPS and code, and was one made at all?

A Brinell reading is compared with a Brinell limit only: the conversion to Vickers is an estimate
and never decides. What was too hard before the last heat treatment is answered by a sound test of
the same zone after it.
"""

from __future__ import annotations

from collections.abc import Iterator

from dossier.codes import iso_15156_2
from dossier.coverage.evidence import at, paper
from dossier.coverage.joint_file import JointFile
from dossier.coverage.view import View, permitted, project_basis, wps_basis
from dossier.records.procedures import Span
from dossier.records.treatment import HardnessTest
from dossier.records.verdicts import (
    CLEAR,
    HOLD,
    NONCONFORMITY,
    Basis,
    Finding,
    Range,
    Reason,
    worst,
)

NAME = "hardness-test"
_ANY_ZONE = "base_metal"  # the strictest limit where the report does not name the zone


def check(seen: View, file: JointFile) -> Iterator[Finding]:
    """One finding per report outside its limits, one for a joint that owes a test."""
    doubted = [(test, _doubts(seen, file, test)) for test in file.hardness_tests]
    sound = [test for test, reasons in doubted if test.result == "accepted" and not reasons]
    for test, reasons in doubted:
        if reasons and not _answered(file, test, sound):
            yield _finding(file, test, reasons)
    if _owed(seen, file):
        basis = project_basis(seen, "hardness after heat treatment")
        yield Finding(
            NAME,
            HOLD,
            (("joint", file.number),),
            f"Joint {file.number} was heat treated; no hardness test after it is on record.",
            (Reason("hardness test", "none after the treatment", "one", basis, HOLD),),
            (*at(file.joint), *(p for chart in file.heat_treatments for p in paper(chart))),
            "Test the hardness, or show the report.",
        )


def _doubts(seen: View, file: JointFile, test: HardnessTest) -> tuple[Reason, ...]:
    return tuple(r for r in _reasons(seen, file, test) if r.verdict != CLEAR)


def _answered(file: JointFile, test: HardnessTest, sound: list[HardnessTest]) -> bool:
    """Whether the zone was heat treated after the test, and found good after that."""
    ends = [chart.finished_at for chart in file.heat_treatments]
    if test.tested_at is None or None in ends:
        return False
    last = max((end for end in ends if end), default=test.tested_at)
    return last > test.tested_at and any(
        later.tested_at is not None
        and later.tested_at >= last
        and later.zone.strip().lower() == test.zone.strip().lower()
        for later in sound
    )


def _finding(file: JointFile, test: HardnessTest, reasons: tuple[Reason, ...]) -> Finding:
    told = "; ".join(f"{r.variable} {r.found}, permitted {r.permitted}" for r in reasons)
    return Finding(
        NAME,
        worst(reasons),
        (("joint", file.number), ("report", test.report), ("zone", test.zone or "blank")),
        f"Hardness of joint {file.number}, {test.zone or 'zone not named'}, report "
        f"{test.report}: {told}.",
        reasons,
        (*at(test, "values", "limit"), *paper(test)),
        "Test again beside the reading; a weld that stays too hard is heat treated or cut out, as "
        "the welding engineer decides.",
    )


def _reasons(seen: View, file: JointFile, test: HardnessTest) -> Iterator[Reason]:
    basis = project_basis(seen, "hardness test")
    if not test.values:
        yield Reason("readings", "none recorded", "recorded", basis, HOLD)
        return
    highest, vickers = max(test.values), test.method.startswith("HV")
    unit = "HV" if vickers else "HBW"
    if test.result == "rejected":
        yield Reason("result", "rejected", "accepted", basis, NONCONFORMITY)
    if test.limit is not None:
        stated = Basis(f"hardness report {test.report}", "", "limit", "project")
        yield permitted(Span(high=test.limit), stated, unit).judge("highest reading", highest)
    yield from _by_hv(file, test, highest if vickers else None)


def _by_hv(file: JointFile, test: HardnessTest, highest_hv: float | None) -> Iterator[Reason]:
    """The limits in HV of WPS and sour service; readings on another scale prove nothing."""
    limits: list[Range] = []
    if file.wps and file.wps.hardness_max_hv is not None:
        basis = wps_basis(file.wps, "hardness")
        limits.append(permitted(Span(high=file.wps.hardness_max_hv), basis, "HV"))
    if file.line and "sour" in file.line.service.lower().split():
        limit = iso_15156_2.hardness_limit_hv(_zone(test.zone))
        limits.append(permitted(Span(high=limit), iso_15156_2.HARDNESS, "HV"))
    for one in limits:
        if highest_hv is None:
            found = f"{max(test.values):g} {test.method}, not Vickers"
            yield Reason("highest reading", found, str(one), one.basis, HOLD)
        else:
            yield one.judge("highest reading", highest_hv)


def _zone(written: str) -> str:
    zone = written.strip().lower().replace(" ", "_")
    return zone if zone in iso_15156_2.LOCATIONS else _ANY_ZONE


def _owed(seen: View, file: JointFile) -> bool:
    if not (seen.project.settings.requirements.hardness_after_pwht and file.heat_treatments):
        return False
    ends = [chart.finished_at for chart in file.heat_treatments if chart.finished_at]
    last = max(ends, default=None)
    return not any(
        test.tested_at and (last is None or test.tested_at >= last) for test in file.hardness_tests
    )
