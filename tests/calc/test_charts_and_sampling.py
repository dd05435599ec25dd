"""Control charts, sampling plans and set cover."""

from collections.abc import Callable
from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from dossier.calc import control_charts as charts
from dossier.calc import sampling, set_cover
from dossier.errors import InputError


@given(st.floats(0.0, 1.0), st.integers(1, 5000))
def test_p_chart_stays_inside_0_and_1(share: float, size: int) -> None:
    centre, low, high, _ = charts.p_chart_limits(share, size)
    assert 0 <= low <= centre <= high <= 1
    assert centre == share


def test_p_chart_is_three_sigma() -> None:
    assert charts.p_chart_limits(0.1, 900) == pytest.approx((0.1, 0.07, 0.13, 0.01))
    assert charts.p_chart_limits(0.9, 9).high == 1.0


def test_np_chart_is_n_times_the_p_chart() -> None:
    whole = charts.np_chart_limits([80, 90, 100], 900)
    share = charts.p_chart_limits(0.1, 900)
    assert whole == pytest.approx(tuple(900 * value for value in share))
    assert charts.np_chart_limits([0, 900], 900).centre == 450


def test_u_and_c_charts() -> None:
    assert charts.u_chart_limits(4.0, 4.0) == pytest.approx((4.0, 1.0, 7.0, 1.0))
    assert charts.c_chart_limits(4.0) == pytest.approx((4.0, 0.0, 10.0, 2.0))
    assert charts.u_chart_limits(0.0, 1.0).high == 0.0


def test_points_outside_are_counted_from_1() -> None:
    assert charts.p_points_out([30, 1, 2, 1], [100] * 4) == [1]
    assert charts.p_points_out([1, 1, 1, 1], [100] * 4) == []
    assert charts.u_points_out([5, 5, 5, 40, 5, 5, 5, 5], [5] * 8) == [4]
    # Each sample is held against the limits of its own size, on both sides.
    assert charts.u_points_out([500, 100, 0], [500, 100, 50]) == [3]
    assert charts.p_points_out([50, 50, 5], [100, 100, 10]) == []
    # A point that lies on a limit is inside it.
    assert charts.u_points_out([0, 8], [4, 4]) == []
    assert charts.u_points_out([28, 4], [4, 4]) == []


@pytest.mark.parametrize(
    "call",
    [
        lambda: charts.p_chart_limits(1.1, 1),
        lambda: charts.p_chart_limits(0.5, 0),
        lambda: charts.np_chart_limits([], 1),
        lambda: charts.np_chart_limits([2], 1),
        lambda: charts.np_chart_limits([-1], 1),
        lambda: charts.np_chart_limits([0], 0),
        lambda: charts.u_chart_limits(-1.0, 1),
        lambda: charts.u_chart_limits(1.0, 0),
        lambda: charts.c_chart_limits(-1.0),
        lambda: charts.p_points_out([], []),
        lambda: charts.p_points_out([1], [1, 2]),
        lambda: charts.p_points_out([2], [1]),
        lambda: charts.p_points_out([0], [0]),
        lambda: charts.u_points_out([], []),
        lambda: charts.u_points_out([1], [1, 2]),
        lambda: charts.u_points_out([1], [0]),
        lambda: sampling.code_letter(1),
        lambda: sampling.code_letter(10, "IV"),
        lambda: sampling.sample_size("I"),
        lambda: sampling.sample_size("AB"),
        lambda: sampling.sample_size(""),
        lambda: sampling.single_normal_plan(100, 1.1),
        lambda: sampling.probability_of_acceptance(5, 6, 0.1),
        lambda: set_cover.fewest_sets([1], {"a": [2]}),
        lambda: set_cover.greedy_cover([1], {}),
        lambda: set_cover.fewest_sets([1], {"a": [1]}, budget=0),
    ],
)
def test_refused(call: Callable[[], object]) -> None:
    with pytest.raises(InputError):
        call()


@pytest.mark.parametrize(
    ("lot", "letters"),
    [
        (2, "AAAAAAB"), (8, "AAAAAAB"), (9, "AAAAABC"), (15, "AAAAABC"), (16, "AABBBCD"),
        (25, "AABBBCD"), (26, "ABBCCDE"), (50, "ABBCCDE"), (51, "BBCCCEF"), (90, "BBCCCEF"),
        (91, "BBCDDFG"), (150, "BBCDDFG"), (151, "BCDEEGH"), (280, "BCDEEGH"),
        (281, "BCDEFHJ"), (500, "BCDEFHJ"), (501, "CCEFGJK"), (1200, "CCEFGJK"),
        (1201, "CDEGHKL"), (3200, "CDEGHKL"), (3201, "CDFGJLM"), (10000, "CDFGJLM"),
        (10001, "CDFHKMN"), (35000, "CDFHKMN"), (35001, "DEGJLNP"), (150000, "DEGJLNP"),
        (150001, "DEGJMPQ"), (500000, "DEGJMPQ"), (500001, "DEHKNQR"),
    ],
)  # fmt: skip
def test_code_letters_at_every_step(lot: int, letters: str) -> None:
    levels = ("S-1", "S-2", "S-3", "S-4", "I", "II", "III")
    assert "".join(sampling.code_letter(lot, level) for level in levels) == letters
    assert sampling.code_letter(lot) == letters[5]


def test_sample_sizes() -> None:
    sizes = [2, 3, 5, 8, 13, 20, 32, 50, 80, 125, 200, 315, 500, 800, 1250, 2000]
    assert [sampling.sample_size(letter) for letter in "ABCDEFGHJKLMNPQR"] == sizes


@pytest.mark.parametrize(
    ("lot", "aql", "plan"),
    [
        # Row J (lots of 501 to 1,200), column by column.
        (1000, 0.065, (200, 0)), (1000, 0.10, (125, 0)), (1000, 0.15, (80, 0)),
        (1000, 0.25, (50, 0)), (1000, 0.40, (125, 1)), (1000, 0.65, (80, 1)),
        (1000, 1.0, (80, 2)), (1000, 1.5, (80, 3)), (1000, 2.5, (80, 5)), (1000, 4.0, (80, 7)),
        (1000, 6.5, (80, 10)), (1000, 10.0, (80, 14)), (1000, 15.0, (80, 21)),
        (1000, 25.0, (50, 21)), (1000, 40.0, (32, 21)), (1000, 100.0, (13, 21)),
        (1000, 150.0, (13, 30)), (1000, 250.0, (13, 44)), (1000, 400.0, (8, 44)),
        (1000, 650.0, (5, 44)), (1000, 1000.0, (3, 44)), (1000, 0.010, (1250, 0)),
        # Rows of small lots, where the table reaches 30 and 44 and its corner points down.
        (5, 6.5, (2, 0)), (5, 10.0, (5, 1)), (5, 15.0, (3, 1)), (5, 25.0, (2, 1)),
        (40, 150.0, (8, 21)), (5, 1000.0, (2, 30)), (12, 1000.0, (3, 44)),
        (80, 150.0, (13, 30)), (80, 250.0, (13, 44)),
        (100, 100.0, (13, 21)), (100, 65.0, (20, 21)), (100, 150.0, (13, 30)),
    ],
)  # fmt: skip
def test_single_plans(lot: int, aql: float, plan: tuple[int, int]) -> None:
    found = sampling.single_normal_plan(lot, aql)
    assert (found.sample_size, found.accept) == plan
    assert found.reject == found.accept + 1


def test_every_preferred_limit_has_a_plan() -> None:
    limits = (
        "0.010 0.015 0.025 0.040 0.065 0.10 0.15 0.25 0.40 0.65 1.0 1.5 2.5 4.0 6.5 10 15 25 40 65 "
        "100 150 250 400 650 1000"
    )
    plans = [sampling.single_normal_plan(1000, float(limit)) for limit in limits.split()]
    # A wider limit never lowers the share of the sample that may be defective.
    shares = [plan.accept / plan.sample_size for plan in plans]
    assert shares == sorted(shares)


def test_plan_of_the_largest_letter() -> None:
    at = {aql: sampling.single_normal_plan(10**6, aql, "III") for aql in (0.010, 0.015, 0.025)}
    assert [(plan.code_letter, plan.sample_size, plan.accept) for plan in at.values()] == [
        ("R", 1250, 0),
        ("R", 800, 0),
        ("R", 2000, 1),
    ]


@given(st.floats(0.0, 1.0), st.integers(1, 200))
def test_acceptance_falls_with_the_share_defective(share: float, size: int) -> None:
    chance = sampling.probability_of_acceptance(size, 0, share)
    assert chance == pytest.approx((1 - share) ** size, abs=1e-12)
    assert chance == pytest.approx(stats.binom.cdf(0, size, share), abs=1e-12)


families = st.lists(st.sets(st.integers(0, 7), min_size=1), min_size=1, max_size=7)


@given(families)
def test_no_smaller_choice_covers(family: list[set[int]]) -> None:
    universe = set().union(*family)
    sets = {f"s{n}": members for n, members in enumerate(family)}
    best = set_cover.fewest_sets(universe, sets)
    greedy = set_cover.greedy_cover(universe, sets)
    assert best.proven
    assert not greedy.proven
    assert set().union(*(sets[name] for name in best.names)) >= universe
    assert set().union(*(sets[name] for name in greedy.names)) >= universe
    assert len(best.names) <= len(greedy.names)
    smaller = combinations(family, len(best.names) - 1)
    assert not any(set().union(*choice) >= universe for choice in smaller)


def test_cover_details() -> None:
    assert set_cover.fewest_sets([], {"a": [1]}) == ((), True)
    assert set_cover.greedy_cover("ab", {"x": "a", "y": "ab"}).names == ("y",)
    # Of two that add as much, the first named is taken.
    assert set_cover.greedy_cover("ab", {"x": "ab", "y": "ab"}).names == ("x",)
    assert set_cover.fewest_sets("ab", {"x": "ab", "y": "ab"}).names == ("x",)
    # Members outside the universe, and doubles in it, change nothing.
    assert set_cover.fewest_sets("aab", {"x": "abz", "y": "q"}).names == ("x",)


def test_a_spent_budget_is_admitted() -> None:
    trap = {"a": [1, 2, 3, 4], "b": [1, 2, 5], "c": [3, 4, 6]}
    universe = [1, 2, 3, 4, 5, 6]
    cut_short = set_cover.fewest_sets(universe, trap, budget=1)
    assert (len(cut_short.names), cut_short.proven) == (3, False)
    whole = set_cover.fewest_sets(universe, trap)
    assert (whole.names, whole.proven) == (("b", "c"), True)


def test_thirty_sets_are_proven_with_little_work() -> None:
    # Rows and columns of a grid: five rows hold everything, and no four sets do.
    cells = [(row, column) for row in range(5) for column in range(25)]
    rows = {f"row{n}": [cell for cell in cells if cell[0] == n] for n in range(5)}
    columns = {f"column{n}": [cell for cell in cells if cell[1] == n] for n in range(25)}
    cover = set_cover.fewest_sets(cells, columns | rows, budget=50)
    assert (cover.names, cover.proven) == (tuple(rows), True)


def test_uncovered_items_are_named() -> None:
    with pytest.raises(InputError, match="no set with 7, 9"):
        set_cover.fewest_sets([1, 7, 9], {"a": [1]})
