"""Do the recorded indications give the verdict that the report states?"""

from __future__ import annotations

from collections.abc import Iterator

from dossier.codes.editions import acceptance_code
from dossier.codes.quality_system import RECORDS
from dossier.coverage.evidence import at, paper
from dossier.coverage.joint_file import JointFile
from dossier.coverage.view import View
from dossier.records.examinations import Examination
from dossier.records.joints import Joint
from dossier.records.verdicts import (
    CLEAR,
    CUT_OUT,
    HOLD,
    NOTE,
    Finding,
    Reason,
    Verdict,
    worst,
)

NAME = "indication-acceptance"


def check(seen: View, file: JointFile) -> Iterator[Finding]:
    """One finding per report whose stated result is not what the code gives.

    Where line, diameter or wall is unknown, the limits cannot be asked: a rejection stands, and an
    acceptance in spite of indications is not proven.
    """
    unknown = tuple(_unknown(file))
    for report in file.examinations:
        if not report.result or not (report.indications or report.result == "rejected"):
            continue
        if unknown:
            if report.result == "accepted":
                yield _unproven(file.joint, report, unknown)
            continue
        reasons = _judged(seen, file, report)
        verdict = _verdict(report, worst(reasons))
        if verdict != CLEAR:
            yield _finding(file.joint, report, reasons, verdict)


def _judged(seen: View, file: JointFile, report: Examination) -> tuple[Reason, ...]:
    if file.line is None or file.od_mm is None or file.wall_mm is None:
        return ()
    return acceptance_code(file.line.acceptance_code).accept(
        report.method,
        report.indications,
        od_mm=file.od_mm,
        wall_mm=file.wall_mm,
        choices=seen.choices,
    )


def _unknown(file: JointFile) -> Iterator[Reason]:
    """What the limits cannot be asked without."""
    for name, held in (("line", file.line), ("diameter", file.od_mm), ("wall", file.wall_mm)):
        if held is None:
            yield Reason(name, "not on record", "on record", RECORDS, HOLD)


def _unproven(joint: Joint, report: Examination, unknown: tuple[Reason, ...]) -> Finding:
    kinds = ", ".join(dict.fromkeys(one.kind for one in report.indications))
    lacking = " and ".join(reason.variable for reason in unknown)
    return Finding(
        NAME,
        HOLD,
        (("joint", joint.number), ("report", report.report)),
        f"{report.report} states joint {joint.number} accepted with {kinds}; without {lacking} on "
        "record the limits cannot be asked.",
        unknown,
        (*at(report, "result", "indications"), *paper(report)),
        "Record what is lacking, or have the acceptance confirmed against the limits in writing.",
    )


def _verdict(report: Examination, computed: Verdict) -> Verdict:
    """What the difference between the stated and the computed result amounts to.

    A crack leaves no choice but the code's own. An acceptance that the limits contradict breaks a
    requirement; a rejection that they do not ask for is a cautious reader's right.
    """
    if report.result == "rejected":
        return {CUT_OUT: CUT_OUT, CLEAR: NOTE}.get(computed, CLEAR)
    return computed if computed >= HOLD else CLEAR


def _finding(
    joint: Joint, report: Examination, reasons: tuple[Reason, ...], verdict: Verdict
) -> Finding:
    shown = tuple(reason for reason in reasons if reason.verdict != CLEAR) or reasons
    limits = "; ".join(f"{r.variable} {r.found}, permitted {r.permitted}" for r in shown[:3])
    return Finding(
        NAME,
        verdict,
        (("joint", joint.number), ("report", report.report)),
        f"{report.report} states joint {joint.number} {report.result}; the recorded indications "
        f"give: {limits}.",
        shown,
        (*at(report, "result", "indications"), *paper(report)),
        "Have the film read again by a certified examiner and the verdict corrected.",
    )
