"""Acceptance of the indications of one weld against Table 341.3.2."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import pi

from dossier.codes.asme_b31_3.common import CHOICES, clause
from dossier.codes.asme_b31_3.criteria import TABLE, Limits, criterion, limits
from dossier.codes.face import Choices
from dossier.codes.readings import reading
from dossier.records.examinations import Indication
from dossier.records.verdicts import CLEAR, HOLD, NONCONFORMITY, Range, Reason, Verdict

# Abbreviations of the reader -> row of the table. Burn-through has no row.
_ROWS = {
    "C": "crack",
    "IF": "lack of fusion", "IFD": "lack of fusion",
    "IP": "incomplete penetration", "IPD": "incomplete penetration",
    "ICP": "incomplete penetration",
    "P": "rounded indications", "CP": "rounded indications",
    "ESI": "elongated indication", "ISI": "elongated indication", "HB": "elongated indication",
    "EU": "undercut", "IU": "undercut",
    "IC": "concave root",
}  # fmt: skip


def accept(
    method: str,
    indications: Sequence[Indication],
    *,
    od_mm: float,
    wall_mm: float,
    choices: Choices,
) -> tuple[Reason, ...]:
    """Reasons for the indications of one weld; service and kind of weld are choices.

    Nonconformity is rejected, to be repaired; hold cannot be judged from what is recorded (a
    size is missing, or porosity that a chart must judge).

    Source: ASME B31.3, 341.3.2 and Table 341.3.2 (see `criteria`). Raises InputError:
    wall_mm <= 0, an unknown choice.
    """
    service = reading(choices, CHOICES, "b31.3 service")
    weld = reading(choices, CHOICES, "b31.3 weld")
    reasons: list[Reason] = []
    by_row: dict[str, list[Indication]] = {}
    for one in indications:
        row = _ROWS.get(one.kind, one.kind)
        by_row.setdefault(row, []).append(one)
    for row, found in by_row.items():
        if row not in _ROWS.values():
            reasons.append(Reason(row, "recorded", "no row of the table", clause(TABLE), HOLD))
            continue
        letter = criterion(row, service, weld)
        if not letter:
            reasons.append(Reason(row, "recorded", "no criterion", clause(TABLE), CLEAR))
            continue
        reasons += _judged(row, found, limits(letter, wall_mm), pi * od_mm)
    if not indications:
        reasons.append(Reason(method, "no indication", "none to judge", clause(TABLE), CLEAR))
    return tuple(reasons)


def _judged(
    row: str, found: Sequence[Indication], allowed: Limits, around_mm: float
) -> Iterator[Reason]:
    if allowed.letter == "A":
        basis = clause(f"{TABLE}, criterion A", "read")
        yield Reason(row, f"{len(found)} recorded", "none", basis, NONCONFORMITY)
        return
    if allowed.letter == "K":
        yield from (_concave(row, one) for one in found)
        return
    for one in found:
        if allowed.depth:
            yield allowed.depth.judge(f"{row}, depth", one.depth_mm)
        if allowed.length:
            yield allowed.length.judge(f"{row}, length", one.length_mm)
        if allowed.width:
            yield allowed.width.judge(f"{row}, width", one.width_mm)
    if allowed.letter in ("D", "E") and sum(one.count or 1 for one in found) > 1:
        basis = clause(f"{TABLE}, criterion {allowed.letter}", "memory")
        yield Reason(f"{row}, distribution", "several", "the charts of the code", basis, HOLD)
    if allowed.total:
        name = f"{row}, sum in {allowed.window_mm:g} mm"
        yield _summed(name, found, allowed.total, (allowed.window_mm, around_mm))


def _concave(row: str, one: Indication) -> Reason:
    words = {True: "darker than the base metal", False: "no darker than the base metal"}
    found = words[one.density_exceeds_base] if one.density_exceeds_base is not None else ""
    verdict: Verdict = NONCONFORMITY if one.density_exceeds_base else CLEAR
    basis = clause(f"{TABLE}, criterion K")
    permitted = "joint no thinner than the wall"
    return Reason(row, found or "not recorded", permitted, basis, verdict if found else HOLD)


def _summed(
    name: str, found: Sequence[Indication], limit: Range, window_and_girth_mm: tuple[float, float]
) -> Reason:
    known = [one.length_mm for one in found if one.length_mm is not None]
    if len(known) < len(found):
        return limit.judge(name, None)
    if sum(known) in limit:
        return limit.judge(name, sum(known))
    placed = [
        (one.start_mm, one.length_mm)
        for one in found
        if one.start_mm is not None and one.length_mm is not None
    ]
    if len(placed) < len(found):  # too much in all, but perhaps far apart
        return limit.judge(name, sum(known), HOLD)
    return limit.judge(name, most_in_window(placed, *window_and_girth_mm))


def most_in_window(
    places: Sequence[tuple[float, float]], window_mm: float, around_mm: float
) -> float:
    """Most length of indications (start, length) in any window around a closed girth, in mm.

    A window longer than the girth counts the girth once.

    >>> most_in_window([(0.0, 20.0), (120.0, 20.0), (990.0, 10.0)], 150.0, 1000.0)
    50.0
    """
    if window_mm >= around_mm:
        return sum(length for _, length in places)
    turns = [(start + k * around_mm, length) for start, length in places for k in (-1, 0, 1)]
    firsts = {start for start, _ in turns} | {start + n - window_mm for start, n in turns}
    return max(
        (sum(max(0.0, min(a + n, w + window_mm) - max(a, w)) for a, n in turns) for w in firsts),
        default=0.0,
    )
