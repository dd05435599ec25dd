"""The fewest options: alone, together, ties and bounds; with scipy and without."""

from __future__ import annotations

import random
from itertools import combinations

import pytest

from dossier.coverage.plan import solve
from dossier.coverage.plan.solve import Choice, Ways, fewest

SOLVERS = ("every choice tried", "HiGHS", "")


@pytest.fixture(params=SOLVERS, ids=["tried", "HiGHS", "search"])
def solver(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> str:
    """Part of the name of the only way left to find a choice; any of a search without scipy."""
    if request.param != "every choice tried":
        monkeypatch.setattr(solve, "_FEW", 0)
    if not request.param:
        monkeypatch.setattr(solve, "find_spec", lambda _: None)
    return str(request.param)


def _case(number: int) -> dict[str, list[frozenset[str]]]:
    draw = random.Random(f"solve/{number}")  # noqa: S311 - no secret
    options = [f"o{n}" for n in range(draw.randint(2, 7))]
    return {
        f"q{q}": [
            frozenset(draw.sample(options, draw.choice((1, 1, 2))))
            for _ in range(draw.randint(1, 3))
        ]
        for q in range(draw.randint(1, 6))
    }


def _by_trying(ways: Ways) -> int:
    options = sorted({name for found in ways.values() for way in found for name in way})
    return next(
        count
        for count in range(len(options) + 1)
        for chosen in combinations(options, count)
        if all(any(way <= set(chosen) for way in found) for found in ways.values())
    )


@pytest.mark.parametrize("number", range(130))
def test_as_few_as_trying_every_choice(number: int, solver: str) -> None:
    ways = _case(number)
    choice = fewest(ways)
    held = set(choice.names)
    assert all(any(way <= held for way in found) for found in ways.values())
    assert (len(held), choice.proven) == (_by_trying(ways), True)
    assert solver in choice.solver


@pytest.mark.parametrize("few", [0, 2_000], ids=["HiGHS", "tried"])
def test_among_equals_the_least_extra_is_taken(few: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(solve, "_FEW", few)
    ways = {"q": [frozenset({"a"}), frozenset({"b"})]}
    assert fewest(ways, {"a": 1.0}).names == ("b",)
    assert fewest(ways, {"b": 1.0}).names == ("a",)


def test_many_extras_never_outweigh_one_option() -> None:
    ways = {f"q{n}": [frozenset({"dear"}), frozenset({f"cheap{n}"})] for n in range(2)}
    assert fewest(ways, {"dear": 100.0}).names == ("dear",)


def test_nothing_asked_takes_nothing() -> None:
    assert fewest({}) == Choice((), 0, "nothing to solve")


def test_an_unfinished_search_says_how_far_it_is() -> None:
    assert not Choice(("a", "b", "c"), 2, "x").proven
    assert Choice(("a", "b", "c"), 2, "x").proof.endswith("at least 2 are needed (x, gap 1)")


def test_a_search_that_runs_out_still_answers_everything(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(solve, "find_spec", lambda _: None)
    monkeypatch.setattr(solve, "_FEW", 0)
    monkeypatch.setattr(solve, "_MANY", 3)
    ways = {f"q{n}": [frozenset({f"a{n}", f"b{n}"})] for n in range(4)}
    choice = fewest(ways)
    assert set(choice.names) == {f"{letter}{n}" for letter in "ab" for n in range(4)}
    assert not choice.proven
    assert choice.least == 1  # with eight options, the first size already takes more than three


def test_what_the_tried_sizes_rule_out_counts(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(solve, "find_spec", lambda _: None)
    ways = {f"q{n}": [frozenset({f"a{n}", f"b{n}"})] for n in range(20)}
    choice = fewest(ways)  # 40 options: sizes up to 3 are 10,700 choices, size 4 has 91,390
    assert len(choice.names) == 40
    assert choice.least == 5


def test_few_choices_need_no_scipy(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(solve, "_by_programming", None)
    ways = {"q": [frozenset({f"o{n}"}) for n in range(60)], "r": [frozenset({"p"})]}
    assert fewest(ways) == Choice(("o0", "p"), 2, solve.TRIED)
