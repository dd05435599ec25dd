"""The fewest options that answer every question, with how far that is proven.

A question may be answered by one option alone or by several together (two tests that join). Where
few choices are to be told apart, each is tried. The smallest of many is found by integer
programming (HiGHS through scipy, the extra `plan`); without scipy by an exact search of the
calculation library, bounded in effort.

Source: minimum set cover (combinatorics).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from importlib.util import find_spec
from itertools import combinations
from math import ceil, comb

from dossier.calc.set_cover import fewest_sets

SECONDS = 50.0
_FEW = 2_000  # choices that are tried in less time than it takes to load scipy
_MANY = 200_000  # choices that are tried where there is no scipy
TRIED = "every choice tried"
# Question -> ways to answer it, each the options that it takes together.
Ways = Mapping[str, Sequence[frozenset[str]]]


@dataclass(frozen=True, slots=True)
class Choice:
    """The options chosen, the least number that any choice could have, and who found it."""

    names: tuple[str, ...]
    least: int
    solver: str

    @property
    def proven(self) -> bool:
        """No smaller choice exists."""
        return len(self.names) <= self.least

    @property
    def proof(self) -> str:
        """The claim in one line.

        >>> Choice(("T1", "T2"), 2, "HiGHS").proof
        '2, proven the fewest: no choice of 1 answers all (HiGHS, gap 0)'
        >>> Choice(("T1", "T2", "T3"), 2, "HiGHS").proof
        '3, not proven the fewest: at least 2 are needed (HiGHS, gap 1)'
        """
        count = len(self.names)
        if not count:
            return "0: nothing is lacking"
        if self.proven:
            below = f"no choice of {count - 1} answers all" if count > 1 else "none would not do"
            return f"{count}, proven the fewest: {below} ({self.solver}, gap 0)"
        gap = count - self.least
        told = f"at least {self.least} {'are' if self.least > 1 else 'is'} needed"
        return f"{count}, not proven the fewest: {told} ({self.solver}, gap {gap})"


def fewest(ways: Ways, extra: Mapping[str, float] | None = None) -> Choice:
    """The fewest options that answer every question; among equals those of the least `extra`.

    A question without a way is the caller's to explain and must be left out.

    >>> fewest({"a": [frozenset("x"), frozenset("z")], "b": [frozenset("y"), frozenset("z")]}).names
    ('z',)
    """
    questions = {frozenset(found): found for found in ways.values()}
    if not questions:
        return Choice((), 0, "nothing to solve")
    distinct = list(questions.values())
    names, least = _by_trying(distinct, extra or {}, _FEW)
    if names:
        return Choice(names, least, TRIED)
    if find_spec("scipy") is not None:
        return _by_programming(distinct, extra or {})
    return _by_search(distinct, extra or {})


def _by_trying(
    questions: Sequence[Sequence[frozenset[str]]], extra: Mapping[str, float], most: int
) -> tuple[tuple[str, ...], int]:
    """The smallest choice of the least `extra`, and its size; () after `most` have been tried,
    and the least size that is left."""
    options = sorted({name for found in questions for way in found for name in way})
    for count in range(1, len(options) + 1):
        most -= comb(len(options), count)
        if most < 0:
            return (), count
        fit = [
            chosen
            for chosen in combinations(options, count)
            if all(any(way.issubset(chosen) for way in found) for found in questions)
        ]
        if fit:
            return min(fit, key=lambda chosen: sum(extra.get(name, 0.0) for name in chosen)), count
    return tuple(options), len(options)


def _by_programming(
    questions: Sequence[Sequence[frozenset[str]]], extra: Mapping[str, float]
) -> Choice:
    import numpy as np
    from scipy.optimize import Bounds, LinearConstraint, milp
    from scipy.sparse import csr_array

    together = {way for found in questions for way in found if len(way) > 1}
    options = sorted({name for found in questions for way in found for name in way})
    columns: dict[str | frozenset[str], int] = {name: n for n, name in enumerate(options)}
    for way in sorted(together, key=sorted):
        columns[way] = len(columns)
    rows, cells = [], []
    for found in questions:
        rows.append([(columns[next(iter(w)) if len(w) == 1 else w], 1.0) for w in found])
    for way in sorted(together, key=sorted):
        rows.extend([(columns[name], 1.0), (columns[way], -1.0)] for name in sorted(way))
    floor = [1.0] * len(questions) + [0.0] * (len(rows) - len(questions))
    for n, row in enumerate(rows):
        cells += [(n, column, value) for column, value in row]
    at = np.array([cell[:2] for cell in cells]).T
    matrix = csr_array(([cell[2] for cell in cells], at), shape=(len(rows), len(columns)))
    # The extras of all options together stay below one option, so that they only break ties.
    small = 0.5 / (1.0 + sum(extra.get(name, 0.0) for name in options))
    cost = [1.0 + small * extra.get(name, 0.0) for name in options]
    cost += [0.0] * (len(columns) - len(options))
    found_ = milp(cost, integrality=np.ones(len(columns)), bounds=Bounds(0, 1),
                  constraints=LinearConstraint(matrix, np.array(floor), np.inf),
                  options={"time_limit": SECONDS, "mip_rel_gap": 0.0})  # fmt: skip
    solver = "HiGHS through scipy"
    if found_.x is None:
        held = _by_search(questions, extra)
        return Choice(held.names, min(held.least, 1), f"search, after {solver} ran out of time")
    names = tuple(name for name in options if found_.x[columns[name]] > 0.5)
    bound = found_.mip_dual_bound if found_.mip_dual_bound is not None else 1.0
    least = len(names) if found_.status == 0 else max(1, ceil(bound - 0.5 - 1e-6))
    return Choice(names, least, solver)


def _by_search(questions: Sequence[Sequence[frozenset[str]]], extra: Mapping[str, float]) -> Choice:
    if all(len(way) == 1 for found in questions for way in found):
        sets: dict[str, set[int]] = {}
        for n, found in enumerate(questions):
            for way in found:
                sets.setdefault(next(iter(way)), set()).add(n)
        cover = fewest_sets(range(len(questions)), dict(sorted(sets.items())))
        least = len(cover.names) if cover.proven else _least(sets, len(questions))
        return Choice(cover.names, least, "exact search without scipy")
    names, least = _by_trying(questions, extra, _MANY)
    if names:
        return Choice(names, least, TRIED)
    every = frozenset().union(*(min(found, key=len) for found in questions))
    return Choice(tuple(sorted(every)), least, "bounded search without scipy")


def _least(sets: Mapping[str, set[int]], questions: int) -> int:
    return ceil(questions / max(len(members) for members in sets.values()))
