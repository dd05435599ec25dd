"""Radiographic indications held against a level of ISO 10675-1:2016."""

from __future__ import annotations

from collections.abc import Sequence

from dossier.codes.face import Rule
from dossier.codes.iso_10675_1_2016.limits import (
    BASIS,
    PER_LENGTH_MM,
    lack_of_fusion_limit_mm,
    single_pore_limit_mm,
    slag_limit,
)
from dossier.records.examinations import Indication
from dossier.records.verdicts import CLEAR, HOLD, NONCONFORMITY, Reason

_HERE = "dossier.codes.iso_10675_1_2016.limits"
RULES = (
    Rule("Single pore", "Table 1", "memory", f"{_HERE}.single_pore_limit_mm"),
    Rule("Slag", "Table 1", "memory", f"{_HERE}.slag_limit"),
    Rule("Lack of fusion or penetration", "Table 1", "memory", f"{_HERE}.lack_of_fusion_limit_mm"),
)
NOT_COVERED = (
    "Clustered and linear porosity, worm holes, copper inclusions.",
    "Excess penetration, concavity and undercut: a matter of visual testing (ISO 5817).",
)
_SLAG = ("ESI", "ISI")
_OPEN = ("IP", "IPD", "IF", "IFD")


def accept(
    level: int, method: str, indications: Sequence[Indication], *, od_mm: float, wall_mm: float
) -> tuple[Reason, ...]:
    """Reasons for the indications of one weld; one clear if there are none.

    Lengths are summed within any 100 mm of weld; an indication without a place on the weld counts
    into every sum (the stricter reading). The weld thickness is taken as the wall.
    Source: ISO 10675-1:2016, Table 1 (memory). Raises InputError: wall of 0 or less.

    >>> pore = Indication(kind="P", length_mm=3.0)
    >>> [str(one.verdict) for one in accept(2, "RT", [pore], od_mm=323.9, wall_mm=12.0)]
    ['clear']
    """
    if not indications:
        return (Reason("indications", "none", f"level {level}", BASIS),)
    if method != "RT":
        return (Reason("indications", method, "radiography only", BASIS, HOLD),)
    del od_mm
    reasons = [_single(level, one, wall_mm) for one in indications]
    slag = [one for one in indications if one.kind in _SLAG]
    reasons += _summed("slag, summed length", slag, slag_limit(level, wall_mm).sum_length_mm)
    lacking = [one for one in indications if one.kind in _OPEN]
    if allowed := lack_of_fusion_limit_mm(level):
        reasons += _summed("lack of fusion or penetration, summed length", lacking, allowed)
    return tuple(reasons)


def _single(level: int, one: Indication, wall_mm: float) -> Reason:
    if one.kind == "C":
        return Reason("C", "present", "none", BASIS, NONCONFORMITY)
    if one.kind in _OPEN:
        if lack_of_fusion_limit_mm(level):
            return Reason(one.kind, "present", "by summed length", BASIS)
        return Reason(one.kind, "present", "none", BASIS, NONCONFORMITY)
    if one.kind == "P":
        sizes = [size for size in (one.length_mm, one.width_mm) if size is not None]
        return _sized(one.kind, max(sizes, default=None), single_pore_limit_mm(level, wall_mm))
    if one.kind in _SLAG:
        return _sized(one.kind, one.width_mm, slag_limit(level, wall_mm).height_mm)
    return Reason(one.kind, "recorded", "not judged by this table", BASIS, HOLD)


def _sized(kind: str, size_mm: float | None, limit_mm: float) -> Reason:
    if size_mm is None:
        return Reason(kind, "size not recorded", f"up to {limit_mm:g} mm", BASIS, HOLD)
    verdict = CLEAR if size_mm <= limit_mm + 1e-9 else NONCONFORMITY
    return Reason(kind, f"{size_mm:g} mm", f"up to {limit_mm:g} mm", BASIS, verdict)


def _summed(name: str, indications: Sequence[Indication], limit_mm: float) -> list[Reason]:
    if not indications:
        return []
    permitted = f"up to {limit_mm:g} mm in any {PER_LENGTH_MM:g} mm"
    lengths = [one.length_mm for one in indications]
    if None in lengths:
        return [Reason(name, "a length is not recorded", permitted, BASIS, HOLD)]
    worst_mm = max(_in_window(indications, start) for start in _starts(indications))
    verdict = CLEAR if worst_mm <= limit_mm + 1e-9 else NONCONFORMITY
    return [Reason(name, f"{worst_mm:g} mm", permitted, BASIS, verdict)]


def _starts(indications: Sequence[Indication]) -> list[float]:
    """Windows worth looking at: one that begins at a start, or ends at an end, of an indication."""
    placed = [(one.start_mm, one.length_mm or 0.0) for one in indications]
    found = [start for start, _ in placed if start is not None]
    found += [start + length - PER_LENGTH_MM for start, length in placed if start is not None]
    return found or [0.0]


def _in_window(indications: Sequence[Indication], window_mm: float) -> float:
    """Length of the indications inside a window of the weld; unplaced ones count in full."""
    end_mm = window_mm + PER_LENGTH_MM
    total = 0.0
    for one in indications:
        length, start = one.length_mm or 0.0, one.start_mm
        if start is None:
            total += length
        else:
            total += max(0.0, min(start + length, end_mm) - max(start, window_mm))
    return total
