"""How much of a weld the indications take: longest, in the worst 12 in, in all.

Each figure is known at least and at most, because a length or a place may not be recorded. A
limit is broken when the least is over it, met when the most is not, and otherwise open (hold).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import inf

from dossier.codes.api_1104_21.settings import STEP_MM, mm
from dossier.records.examinations import Indication
from dossier.records.verdicts import CLEAR, HOLD, NONCONFORMITY, Basis, Reason, Verdict


@dataclass(frozen=True, slots=True)
class Measure:
    """A length in mm that is at least `least` and at most `most`."""

    least: float
    most: float

    @classmethod
    def exact(cls, value: float) -> Measure:
        """A length that is known."""
        return cls(value, value)

    @classmethod
    def of(cls, value: float | None) -> Measure:
        """A recorded length, or one that was not recorded."""
        return cls(0.0, inf) if value is None else cls(value, value)

    def __str__(self) -> str:
        if self.least == self.most:
            return mm(self.least)
        most = "not all recorded" if self.most == inf else f"at most {mm(self.most)}"
        return f"at least {mm(self.least)}, {most}"


@dataclass(frozen=True, slots=True)
class Mark:
    """A stretch of the circumference: where it starts (None: not recorded) and how long it is."""

    start_mm: float | None
    length: Measure

    @classmethod
    def of(cls, indication: Indication) -> Mark:
        """The stretch that an indication takes."""
        return cls(indication.start_mm, Measure.of(indication.length_mm))


@dataclass(frozen=True, slots=True)
class Extent:
    """What a set of marks amounts to on one weld."""

    longest: Measure
    in_window: Measure
    total: Measure


def worst_window(marks: Iterable[tuple[float, float]], weld_mm: float, window_mm: float) -> float:
    """Greatest length of (start, length) marks inside any stretch of `window_mm`, in mm.

    The weld is a circle: a stretch may run across 12 o'clock. On a weld shorter than the window
    the stretch is the whole weld. The sum is greatest where the stretch begins at a mark's start
    or ends at a mark's end, so only these are tried.

    >>> worst_window([(990, 20), (30, 5)], weld_mm=1000, window_mm=50)
    25.0
    """
    placed = [(start % weld_mm, min(length, weld_mm)) for start, length in marks]
    if window_mm >= weld_mm:
        return float(sum(length for _, length in placed))
    begins = [s for s, _ in placed] + [(s + n - window_mm) % weld_mm for s, n in placed]
    return max(
        (sum(_inside(s, n, b, window_mm, weld_mm) for s, n in placed) for b in begins),
        default=0.0,
    )


def _inside(start: float, length: float, begin: float, window: float, weld: float) -> float:
    """Length of one mark inside the stretch from `begin`, images across the datum included."""
    overlap = 0.0
    for turn in (-weld, 0.0, weld):
        low, high = max(start + turn, begin), min(start + turn + length, begin + window)
        overlap += max(0.0, high - low)
    return overlap


def extent(marks: Sequence[Mark], weld_mm: float, window_mm: float) -> Extent:
    """The extent of `marks` on a weld of `weld_mm`; a mark without a place may lie anywhere."""
    least = [(m.start_mm, m.length.least) for m in marks]
    most = [(m.start_mm, min(m.length.most, weld_mm)) for m in marks]
    stretch = min(window_mm, weld_mm)

    def window(ends: Sequence[tuple[float | None, float]]) -> tuple[float, list[float]]:
        placed = [(start, length) for start, length in ends if start is not None]
        loose = [min(length, stretch) for start, length in ends if start is None]
        return worst_window(placed, weld_mm, window_mm), loose

    surely, loose_least = window(least)
    possibly, loose_most = window(most)
    if window_mm >= weld_mm:
        surely, loose_least = surely + sum(loose_least), []
    return Extent(
        Measure(
            max((m.length.least for m in marks), default=0.0),
            max((m.length.most for m in marks), default=0.0),
        ),
        Measure(max([surely, *loose_least]), possibly + sum(loose_most)),
        Measure(sum(m.length.least for m in marks), sum(m.length.most for m in marks)),
    )


def at_most(
    variable: str,
    found: Measure,
    limit_mm: float,
    rests_on: Basis,
    *,
    worse: Verdict = NONCONFORMITY,
    words: str = "",
) -> Reason:
    """The reason for a length against its upper limit, in mm; the limit itself is permitted."""
    if found.least > limit_mm + STEP_MM:
        verdict = worse
    else:
        verdict = HOLD if found.most > limit_mm + STEP_MM else CLEAR
    permitted = f"up to {mm(limit_mm)}" + (f", {words}" if words else "")
    return Reason(variable, str(found), permitted, rests_on, verdict)
