"""Customs of cross-country pipelining whose limits are the project's own.

None of these figures is from a standard: each limit is an argument, and the value a project has
not set is asked of it. Basis: common practice.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from dossier.errors import InputError
from dossier.records.procedures import Span
from dossier.records.verdicts import (
    CLEAR,
    CUT_OUT,
    HOLD,
    NOTE,
    Basis,
    Range,
    Reason,
)

PRACTICE = Basis("common practice", "", "", "practice")

# Usual figures, offered where a project sets none (common practice).
HOT_PASS_MIN = Span(low=3, high=5)  # minutes after the root bead
SECOND_HOT_PASS_MIN = Span(high=10)  # minutes after the hot pass
ROOT_GAP_MM = 1.6
REPAIR_SHARE_PERCENT = 30.0
REPAIR_RATE_PERCENT = 5.0
JOINT_FIELDS = (
    "weld_no", "station", "welder_root", "welder_fill", "pipe_no_upstream", "pipe_no_downstream",
)  # fmt: skip


def bead_delay(minutes: float, usual: Span) -> Reason:
    """Time between two beads in minutes against the usual one: later is a note, the WPS decides.

    Common practice. Raises InputError: `usual` has no upper end.
    """
    if usual.high is None:
        raise InputError("usual", found="no upper end", expected="the longest usual time")
    return Range(0, usual.high, PRACTICE, "min").judge("time between beads", minutes, NOTE)


def root_gap(gap_mm: float, limits: Span) -> Reason:
    """Root gap in mm against the WPS's limits.

    Common practice; nominal about 1.6 mm. Raises InputError: a limit is missing.
    """
    if limits.low is None or limits.high is None:
        raise InputError("limits", found="an open end", expected="both ends of the WPS's root gap")
    return Range(limits.low, limits.high, PRACTICE).judge("root gap", gap_mm)


def missing_of_joint(
    stated: Iterable[str], required: Sequence[str] = JOINT_FIELDS
) -> tuple[str, ...]:
    """Fields of a joint's entry in the log that are not stated.

    Common practice.

    >>> missing_of_joint(JOINT_FIELDS[:5])
    ('pipe_no_downstream',)
    """
    have = set(stated)
    return tuple(field for field in required if field not in have)


def cut_out_linked(old: str, status: str, new: Sequence[str]) -> Reason:
    """A cut-out keeps its old number, marked so, and is linked to the one or two new welds.

    Common practice.
    """
    kept = bool(old) and status == "cut out"
    linked = 1 <= len(new) <= 2 and old not in new and len(set(new)) == len(new)
    verdict = CLEAR if kept and linked else HOLD
    found = f"{old or 'no number'}, {status or 'no status'}, to {', '.join(new) or 'none'}"
    return Reason("cut-out", found, "old number kept, one or two new welds", PRACTICE, verdict)


def golden_weld(
    pressure_tested: bool, radiographed_percent: float, ultrasonic_percent: float
) -> tuple[Reason, ...]:
    """A weld that no pressure test reaches is examined wholly, by radiography and by ultrasound.

    Common practice of owners; the law asks for one method on all tie-ins.
    """
    if pressure_tested:
        return (Reason("pressure test", "tested", "tested, or examined twice", PRACTICE),)
    whole = Range(100, 100, PRACTICE, "%")
    return (
        whole.judge("radiography", radiographed_percent),
        whole.judge("ultrasonic testing", ultrasonic_percent),
    )


def repair_length(percent_of_weld: float, limit_percent: float = REPAIR_SHARE_PERCENT) -> Reason:
    """Length repaired in % of the weld against the owner's limit; beyond it the weld comes out.

    Common practice.
    """
    return Range(0, limit_percent, PRACTICE, "%").judge("repaired length", percent_of_weld, CUT_OUT)


def repair_rate_percent(inspected: int, rejected: int) -> float:
    """Rejected welds in % of those inspected.

    Common practice. Raises InputError: none inspected, or more rejected than inspected.

    >>> round(repair_rate_percent(60, 4), 2)
    6.67
    """
    if not 0 <= rejected <= inspected or inspected == 0:
        raise InputError("welds", found=(inspected, rejected), expected="1 or more inspected")
    return 100 * rejected / inspected


def repair_rate(
    inspected: int, rejected: int, review_above_percent: float = REPAIR_RATE_PERCENT
) -> Reason:
    """A week's repair rate against the rate above which the welding is reviewed: a note.

    Common practice (3 to 8 % are met). Raises InputError: as `repair_rate_percent`.
    """
    rate = repair_rate_percent(inspected, rejected)
    return Range(0, review_above_percent, PRACTICE, "%").judge("repair rate", rate, NOTE)
