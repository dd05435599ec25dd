"""Shewhart charts of defectives and defects: limits, and the points outside them."""

from __future__ import annotations

from collections.abc import Sequence
from math import sqrt
from typing import NamedTuple

from dossier.calc.guards import not_negative, positive, within
from dossier.errors import InputError


class Limits(NamedTuple):
    """Centre line, lower and upper control limit, and the standard deviation they rest on."""

    centre: float
    low: float
    high: float
    std_dev: float


def _three_sigma(centre: float, std_dev: float) -> Limits:
    # A share or a count is never negative, so the lower limit is cut at 0.
    return Limits(centre, max(0.0, centre - 3.0 * std_dev), centre + 3.0 * std_dev, std_dev)


def p_chart_limits(mean_share: float, sample_size: float) -> Limits:
    """Control limits of the share defective in samples of one size.

    Formula: p +- 3 sqrt(p (1 - p) / n), lower limit cut at 0
    Source: ISO 7870-2:2023 and NIST/SEMATECH e-Handbook, 6.3.3.2 (p chart).
    Raises InputError for a share outside 0 to 1 or a size of 0 or less.

    >>> limits = p_chart_limits(0.0645, 1500)
    >>> round(limits.low, 4), round(limits.high, 4)
    (0.0455, 0.0835)
    """
    p = within("mean_share", mean_share, 0.0, 1.0)
    limits = _three_sigma(p, sqrt(p * (1.0 - p) / positive("sample_size", sample_size)))
    return limits._replace(high=min(1.0, limits.high))


def np_chart_limits(counts: Sequence[int], sample_size: int) -> Limits:
    """Control limits of the number defective, from samples of one size.

    Formula: n p +- 3 sqrt(n p (1 - p)), lower limit cut at 0
    Source: ISO 7870-2:2023 and NIST/SEMATECH e-Handbook, 6.3.3.2 (np chart).
    Raises InputError for no samples, or a count outside 0 to the sample size.

    >>> round(np_chart_limits([8, 7, 11, 3, 6], 200).centre, 1)
    7.0
    """
    centre = _mean(counts)
    if max(counts) > positive("sample_size", sample_size):
        raise InputError("counts", found=max(counts), expected=f"at most {sample_size}")
    return _three_sigma(centre, sqrt(centre * (1.0 - centre / sample_size)))


def u_chart_limits(mean_rate: float, sample_size: float) -> Limits:
    """Control limits of the defects for each unit, in samples of one size.

    Formula: u +- 3 sqrt(u / n), lower limit cut at 0
    Source: ISO 7870-2:2023 (u chart).
    Raises InputError for a negative rate or a size of 0 or less.

    >>> limits = u_chart_limits(1.93, 5)
    >>> round(limits.low, 2), round(limits.high, 2)
    (0.07, 3.79)
    """
    u = not_negative("mean_rate", mean_rate)
    return _three_sigma(u, sqrt(u / positive("sample_size", sample_size)))


def c_chart_limits(mean_count: float) -> Limits:
    """Control limits of the defects counted in samples of equal size.

    Formula: c +- 3 sqrt(c), lower limit cut at 0
    Source: ISO 7870-2:2023 and NIST/SEMATECH e-Handbook, 6.3.3.1 (c chart).
    Raises InputError for a negative count.

    >>> c_chart_limits(16)
    Limits(centre=16, low=4.0, high=28.0, std_dev=4.0)
    """
    return _three_sigma(mean_count, sqrt(not_negative("mean_count", mean_count)))


def p_points_out(defectives: Sequence[int], sizes: Sequence[int]) -> list[int]:
    """Which samples (counted from 1) lie outside the p chart limits of their own size.

    Formula: share outside p +- 3 sqrt(p (1 - p) / n), p over all samples
    Source: ISO 7870-2:2023 (p chart).
    Raises InputError for no samples, lists of unequal length, or a count above its size.

    >>> p_points_out([2, 1, 3, 30], [100, 100, 100, 100])
    [4]
    """
    _mean(defectives)
    _same_length(defectives, sizes)
    for count, size in zip(defectives, sizes, strict=True):
        within("defectives", count, 0, positive("sizes", size))
    share = sum(defectives) / sum(sizes)
    return _outside(defectives, sizes, [p_chart_limits(share, size) for size in sizes])


def u_points_out(counts: Sequence[int], sizes: Sequence[float]) -> list[int]:
    """Which samples (counted from 1) lie outside the u chart limits of their own size.

    Formula: count / size outside u +- 3 sqrt(u / n), u over all samples
    Source: ISO 7870-2:2023 (u chart).
    Raises InputError for no samples or lists of unequal length.

    >>> u_points_out([7, 6, 8, 10, 24, 6, 5, 4], [5] * 8)
    [5]
    """
    _mean(counts)
    _same_length(counts, sizes)
    rate = sum(counts) / sum(positive("sizes", size) for size in sizes)
    return _outside(counts, sizes, [u_chart_limits(rate, size) for size in sizes])


def _mean(counts: Sequence[int]) -> float:
    if not counts:
        raise InputError("counts", found="none", expected="one sample or more")
    return sum(not_negative("counts", count) for count in counts) / len(counts)


def _same_length(counts: Sequence[float], sizes: Sequence[float]) -> None:
    if len(counts) != len(sizes):
        raise InputError("sizes", found=len(sizes), expected=f"{len(counts)}, one for each sample")


def _outside(
    counts: Sequence[float], sizes: Sequence[float], limits: Sequence[Limits]
) -> list[int]:
    return [
        number
        for number, (count, size, limit) in enumerate(zip(counts, sizes, limits, strict=True), 1)
        if not limit.low <= count / size <= limit.high
    ]
