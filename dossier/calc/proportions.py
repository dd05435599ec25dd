"""Repair rates and the intervals that honest reports print beside them.

A repair rate means nothing without its basis: by joint, by length and per 100 m differ by tens of
times on the same work. No welding code sets a limit to it; limits are a project's own.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from math import exp, fsum, isclose, lgamma, log, log1p, pi, sqrt
from statistics import NormalDist
from typing import NamedTuple

from dossier.calc.guards import not_negative, positive
from dossier.errors import InputError


class Interval(NamedTuple):
    """Both ends of a confidence interval."""

    low: float
    high: float


def _counted(name: str, count: int, total: int) -> None:
    if total < 1:
        raise InputError(f"{name}: total", found=total, expected="1 or more")
    if not 0 <= count <= total:
        raise InputError(name, found=count, expected=f"from 0 to {total}")


def _tail(confidence: float) -> float:
    if not 0 < confidence < 1:
        raise InputError("confidence", found=confidence, expected="more than 0, less than 1")
    return (1.0 - confidence) / 2.0


def repair_rate_by_joint_pct(repaired: int, inspected: int) -> float:
    """Joints that needed repair, as percent of joints inspected.

    Formula: 100 x repaired / inspected
    Source: common practice; print the basis beside the figure.
    Raises InputError unless 0 <= repaired <= inspected and inspected >= 1.

    >>> repair_rate_by_joint_pct(3, 100)
    3.0
    """
    _counted("repaired", repaired, inspected)
    return 100.0 * repaired / inspected


def first_time_acceptance_pct(accepted_first: int, inspected: int) -> float:
    """Joints accepted at their first examination, as percent of joints inspected.

    Formula: 100 x accepted / inspected
    Source: common practice; print the basis beside the figure.
    Raises InputError unless 0 <= accepted_first <= inspected and inspected >= 1.

    >>> first_time_acceptance_pct(191, 200)
    95.5
    """
    _counted("accepted_first", accepted_first, inspected)
    return 100.0 * accepted_first / inspected


def film_repair_rate_pct(rejected_films: int, films: int) -> float:
    """Films rejected, as percent of films read.

    Formula: 100 x rejected / films
    Source: common practice; print the basis beside the figure.
    Raises InputError unless 0 <= rejected_films <= films and films >= 1.

    >>> film_repair_rate_pct(11, 1200) < 1
    True
    """
    _counted("rejected_films", rejected_films, films)
    return 100.0 * rejected_films / films


def repair_rate_by_length_pct(repair_length_mm: float, inspected_length_mm: float) -> float:
    """Repaired weld length, as percent of the weld length inspected.

    Formula: 100 x repaired length / inspected length
    Source: common practice; print the basis beside the figure.
    Raises InputError when the repaired length is negative or more than the inspected one.

    >>> repair_rate_by_length_pct(1270.0, 25400.0)
    5.0
    """
    inspected = positive("inspected_length_mm", inspected_length_mm)
    if not_negative("repair_length_mm", repair_length_mm) > inspected:
        raise InputError(
            "repair_length_mm", found=repair_length_mm, expected=f"at most {inspected:g} mm"
        )
    return 100.0 * repair_length_mm / inspected


def girth_weld_length_mm(joints: int, outside_diameter_mm: float) -> float:
    """Weld length of so many girth welds of one diameter, in mm.

    Formula: n pi D
    Source: geometry.
    Raises InputError for less than one joint or a diameter of 0 or less.

    >>> round(girth_weld_length_mm(200, 508.0))
    319186
    """
    return positive("joints", joints) * pi * positive("outside_diameter_mm", outside_diameter_mm)


def repairs_per_100_m(repair_areas: int, weld_length_mm: float) -> float:
    """Repair areas for each 100 m of weld.

    Formula: areas / length x 100 m
    Source: common practice; print the basis beside the figure.
    Raises InputError for a negative count or a length of 0 or less.

    >>> repairs_per_100_m(11, 319_000.0) > 3
    True
    """
    length_m = positive("weld_length_mm", weld_length_mm) / 1000.0
    return not_negative("repair_areas", repair_areas) / length_m * 100.0


def binomial_at_most(count: int, total: int, p: float) -> float:
    """Probability of at most `count` defectives among `total` when each is one with chance `p`.

    Formula: sum over k <= count of C(n, k) p^k (1 - p)^(n - k)
    Source: binomial distribution.
    Raises InputError unless 0 <= count <= total, total >= 1 and 0 <= p <= 1.

    >>> round(binomial_at_most(2, 80, 0.01), 6)
    0.953447
    """
    _counted("count", count, total)
    if not 0 <= p <= 1:
        raise InputError("p", found=p, expected="from 0 to 1")
    if p in (0.0, 1.0) or count == total:
        return 1.0 if p == 0 or count == total else 0.0
    if count > total / 2:  # the shorter tail is the smaller sum
        return 1.0 - binomial_at_most(total - count - 1, total, 1.0 - p)
    odds, whole = log(p), log1p(-p)
    start = lgamma(total + 1)
    return min(
        1.0,
        fsum(
            exp(start - lgamma(k + 1) - lgamma(total - k + 1) + k * odds + (total - k) * whole)
            for k in range(count + 1)
        ),
    )


def poisson_at_most(count: int, mean: float) -> float:
    """Probability of at most `count` events when `mean` are expected.

    Formula: sum over k <= count of m^k e^(-m) / k!
    Source: Poisson distribution.
    Raises InputError for a negative count or mean.

    >>> round(poisson_at_most(2, 2.0), 6)
    0.676676
    """
    not_negative("count", count)
    if not_negative("mean", mean) == 0:
        return 1.0
    return min(1.0, fsum(exp(k * log(mean) - mean - lgamma(k + 1)) for k in range(count + 1)))


def _root(falling: Callable[[float], float], target: float, low: float, high: float) -> float:
    """Where a falling function of one number reaches `target`, by halving."""
    while not isclose(low, high, rel_tol=1e-13, abs_tol=1e-15):
        middle = (low + high) / 2.0
        if middle in (low, high):
            break
        if falling(middle) > target:
            low = middle
        else:
            high = middle
    return (low + high) / 2.0


def exact_interval(count: int, total: int, confidence: float = 0.95) -> Interval:
    """Exact two-sided confidence interval of a proportion, as fractions of 1.

    With no defective the low end is 0 and the high end still the two-sided one.

    Formula: P(X >= count) = a/2 at the low end, P(X <= count) = a/2 at the high end
    Source: Clopper and Pearson, Biometrika 26, 1934.
    Raises InputError unless 0 <= count <= total, total >= 1 and confidence is inside 0 to 1.

    >>> [round(end, 4) for end in exact_interval(4, 20)]
    [0.0573, 0.4366]
    """
    _counted("count", count, total)
    tail = _tail(confidence)
    low, high = 0.0, 1.0
    if count > 0:
        low = _root(partial(binomial_at_most, count - 1, total), 1.0 - tail, 0.0, 1.0)
    if count < total:
        high = _root(partial(binomial_at_most, count, total), tail, 0.0, 1.0)
    return Interval(low, high)


def wilson_interval(count: int, total: int, confidence: float = 0.95) -> Interval:
    """Wilson score interval of a proportion, as fractions of 1.

    Formula: [p + z^2/2n +- z sqrt(p (1 - p)/n + z^2/4n^2)] / (1 + z^2/n)
    Source: Wilson, Journal of the American Statistical Association 22, 1927.
    Raises InputError unless 0 <= count <= total, total >= 1 and confidence is inside 0 to 1.

    >>> [round(end, 4) for end in wilson_interval(4, 20)]
    [0.0807, 0.416]
    """
    _counted("count", count, total)
    z = NormalDist().inv_cdf(1.0 - _tail(confidence))
    p, z2n = count / total, z * z / total
    half = z * sqrt(p * (1.0 - p) / total + z2n / (4.0 * total))
    low = (p + z2n / 2.0 - half) / (1.0 + z2n)
    high = (p + z2n / 2.0 + half) / (1.0 + z2n)
    # At the ends the bound is exact; the subtraction above leaves a last digit over.
    return Interval(0.0 if count == 0 else low, 1.0 if count == total else high)


def count_interval(count: int, confidence: float = 0.95) -> Interval:
    """Exact confidence interval of the mean behind a count (repairs in a length of weld).

    Formula: P(X >= count) = a/2 at the low end, P(X <= count) = a/2 at the high end (Poisson)
    Source: Garwood, Biometrika 28, 1936.
    Raises InputError for a negative count or a confidence outside 0 to 1.

    >>> [round(end, 2) for end in count_interval(11)]
    [5.49, 19.68]
    """
    not_negative("count", count)
    tail = _tail(confidence)
    low = 0.0
    if count > 0:
        low = _root(partial(poisson_at_most, count - 1), 1.0 - tail, 0.0, float(count))
    ceiling = 2.0 * (count + 1)
    while poisson_at_most(count, ceiling) > tail:
        ceiling *= 2.0
    return Interval(low, _root(partial(poisson_at_most, count), tail, float(count), ceiling))
