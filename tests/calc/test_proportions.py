"""Rates and intervals against scipy, and as properties."""

from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from dossier.calc import proportions as pr
from dossier.errors import InputError

samples = st.integers(1, 400).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n)))
confidences = st.sampled_from([0.80, 0.90, 0.95, 0.99])


@given(samples, confidences)
def test_exact_and_wilson_agree_with_scipy(sample: tuple[int, int], confidence: float) -> None:
    count, total = sample
    witness = stats.binomtest(count, total)
    for method, own in (("exact", pr.exact_interval), ("wilson", pr.wilson_interval)):
        wanted = witness.proportion_ci(confidence, method)
        got = own(count, total, confidence)
        assert got.low == pytest.approx(wanted.low, abs=1e-9)
        assert got.high == pytest.approx(wanted.high, abs=1e-9)


@given(st.integers(0, 300), confidences)
def test_count_interval_agrees_with_chi_square(count: int, confidence: float) -> None:
    tail = (1 - confidence) / 2
    low = stats.chi2.ppf(tail, 2 * count) / 2 if count else 0.0
    high = stats.chi2.ppf(1 - tail, 2 * count + 2) / 2
    got = pr.count_interval(count, confidence)
    assert got.low == pytest.approx(low, rel=1e-8)
    assert got.high == pytest.approx(high, rel=1e-8)


@given(samples, st.floats(0.0, 1.0))
def test_binomial_tail_agrees_with_scipy(sample: tuple[int, int], p: float) -> None:
    count, total = sample
    wanted = stats.binom.cdf(count, total, p)
    assert pr.binomial_at_most(count, total, p) == pytest.approx(wanted, abs=1e-10)


@given(st.integers(0, 200), st.floats(0.0, 400.0))
def test_poisson_tail_agrees_with_scipy(count: int, mean: float) -> None:
    wanted = stats.poisson.cdf(count, mean)
    assert pr.poisson_at_most(count, mean) == pytest.approx(wanted, abs=1e-10)


@given(samples)
def test_the_interval_holds_the_rate_and_narrows_with_less_confidence(
    sample: tuple[int, int],
) -> None:
    count, total = sample
    for interval in (pr.exact_interval, pr.wilson_interval):
        wide, narrow = interval(count, total, 0.95), interval(count, total, 0.80)
        assert 0 <= wide.low <= narrow.low <= count / total <= narrow.high <= wide.high <= 1


def test_ends_are_exact() -> None:
    for interval in (pr.exact_interval, pr.wilson_interval):
        assert interval(0, 30).low == 0.0
        assert interval(30, 30).high == 1.0
    assert pr.count_interval(0).low == 0.0
    assert pr.exact_interval(3, 50) == pr.exact_interval(3, 50, 0.95)
    assert pr.wilson_interval(3, 50) == pr.wilson_interval(3, 50, 0.95)
    assert pr.count_interval(3) == pr.count_interval(3, 0.95)


@pytest.mark.parametrize("sample", [(0, 1), (1, 1), (1, 30), (2, 30), (29, 30), (15, 30)])
def test_exact_interval_of_small_samples(sample: tuple[int, int]) -> None:
    wanted = stats.binomtest(*sample).proportion_ci(0.95, "exact")
    assert pr.exact_interval(*sample) == pytest.approx((wanted.low, wanted.high), abs=1e-11)


def test_count_interval_of_small_counts() -> None:
    for count in (0, 1, 2):
        low = stats.chi2.ppf(0.025, 2 * count) / 2 if count else 0.0
        high = stats.chi2.ppf(0.975, 2 * count + 2) / 2
        assert pr.count_interval(count) == pytest.approx((low, high), rel=1e-10)


def test_a_large_project_is_answered() -> None:
    wanted = stats.binomtest(210, 8000).proportion_ci(0.95, "exact")
    assert pr.exact_interval(210, 8000).high == pytest.approx(wanted.high, abs=1e-8)


def test_tails_at_the_edges() -> None:
    assert pr.binomial_at_most(3, 10, 0.0) == 1.0
    assert pr.binomial_at_most(3, 10, 1.0) == 0.0
    assert pr.binomial_at_most(10, 10, 1.0) == 1.0
    assert pr.binomial_at_most(10, 10, 0.3) == 1.0
    assert pr.binomial_at_most(1, 2, 0.5) == pytest.approx(0.75)
    assert pr.poisson_at_most(0, 0.0) == 1.0


def test_rates() -> None:
    assert pr.repair_rate_by_joint_pct(9, 200) == 4.5
    assert pr.first_time_acceptance_pct(191, 200) == 95.5
    assert pr.film_repair_rate_pct(12, 1200) == 1.0
    assert pr.repair_rate_by_length_pct(50.0, 1000.0) == 5.0
    assert pr.repair_rate_by_length_pct(1000.0, 1000.0) == 100.0
    assert pr.repairs_per_100_m(5, 250_000.0) == pytest.approx(2.0)
    assert pr.girth_weld_length_mm(2, 100.0) == pytest.approx(628.3185307)


@pytest.mark.parametrize(
    "call",
    [
        lambda: pr.repair_rate_by_joint_pct(1, 0),
        lambda: pr.repair_rate_by_joint_pct(2, 1),
        lambda: pr.repair_rate_by_joint_pct(-1, 1),
        lambda: pr.first_time_acceptance_pct(2, 1),
        lambda: pr.film_repair_rate_pct(2, 1),
        lambda: pr.repair_rate_by_length_pct(1001.0, 1000.0),
        lambda: pr.repair_rate_by_length_pct(-1.0, 1000.0),
        lambda: pr.repair_rate_by_length_pct(0.0, 0.0),
        lambda: pr.repairs_per_100_m(-1, 1.0),
        lambda: pr.repairs_per_100_m(1, 0.0),
        lambda: pr.girth_weld_length_mm(0, 1.0),
        lambda: pr.girth_weld_length_mm(1, 0.0),
        lambda: pr.binomial_at_most(1, 2, 1.1),
        lambda: pr.binomial_at_most(1, 2, -0.1),
        lambda: pr.binomial_at_most(3, 2, 0.5),
        lambda: pr.poisson_at_most(-1, 1.0),
        lambda: pr.poisson_at_most(1, -1.0),
        lambda: pr.exact_interval(1, 2, 1.0),
        lambda: pr.exact_interval(1, 2, 0.0),
        lambda: pr.exact_interval(3, 2),
        lambda: pr.wilson_interval(3, 2),
        lambda: pr.wilson_interval(1, 2, 1.0),
        lambda: pr.count_interval(-1),
        lambda: pr.count_interval(1, 0.0),
    ],
)
def test_refused(call: Callable[[], object]) -> None:
    with pytest.raises(InputError):
        call()
