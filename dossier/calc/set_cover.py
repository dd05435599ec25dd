"""Fewest sets that together hold everything asked for, by branch and bound.

Used wherever the fewest tests, procedures or welders are to cover a list of needs.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping
from dataclasses import dataclass, field
from typing import NamedTuple, TypeVar

from dossier.errors import InputError

Item = TypeVar("Item", bound=Hashable)


class Cover(NamedTuple):
    """Names of the chosen sets in the order given, and whether no smaller choice exists."""

    names: tuple[str, ...]
    proven: bool


def _masks(universe: Iterable[Item], sets: Mapping[str, Iterable[Item]]) -> tuple[int, list[int]]:
    """The universe and each set as bits. Raises InputError for what no set holds."""
    bit = {item: 1 << place for place, item in enumerate(dict.fromkeys(universe))}
    masks = []
    for members in sets.values():
        mask = 0
        for member in members:
            mask |= bit.get(member, 0)
        masks.append(mask)
    everything = (1 << len(bit)) - 1
    union = 0
    for mask in masks:
        union |= mask
    missing = [str(item) for item, place in bit.items() if not union & place]
    if missing:
        raise InputError("sets", found=f"no set with {', '.join(missing)}", expected="all covered")
    return everything, masks


def _greedy(everything: int, masks: list[int]) -> list[int]:
    chosen: list[int] = []
    left = everything
    while left:
        best = max(range(len(masks)), key=lambda i: ((masks[i] & left).bit_count(), -i))
        chosen.append(best)
        left &= ~masks[best]
    return chosen


def greedy_cover(universe: Iterable[Item], sets: Mapping[str, Iterable[Item]]) -> Cover:
    """A cover found by taking the set that adds most, again and again: fast, maybe not smallest.

    Formula: largest gain first
    Source: minimum set cover (combinatorics); greedy heuristic.
    Raises InputError when some item is in no set.

    >>> greedy_cover("abcdef", {"x": "abcd", "y": "abe", "z": "cdf"}).names
    ('x', 'y', 'z')
    """
    everything, masks = _masks(universe, sets)
    names = list(sets)
    return Cover(tuple(names[i] for i in sorted(_greedy(everything, masks))), proven=False)


@dataclass
class _Search:
    """State of one branch and bound: the best choice so far and how much work is left."""

    masks: list[int]
    best: list[int]
    budget: int
    holders: list[list[int]] = field(default_factory=list)

    def explore(self, left: int, chosen: list[int]) -> None:
        """Try every set that holds the item fewest sets hold, unless a bound rules it out."""
        self.budget -= 1
        if not left:
            self.best = chosen
            return
        gains = [(mask & left).bit_count() for mask in self.masks]
        fewest_more = -(-left.bit_count() // max(gains))
        if self.budget <= 0 or len(chosen) + fewest_more >= len(self.best):
            return
        open_items = [i for i in range(len(self.holders)) if left >> i & 1]
        scarce = min(open_items, key=lambda i: len(self.holders[i]))
        for index in sorted(self.holders[scarce], key=lambda i: (-gains[i], i)):
            self.explore(left & ~self.masks[index], [*chosen, index])


def fewest_sets(
    universe: Iterable[Item], sets: Mapping[str, Iterable[Item]], *, budget: int = 200_000
) -> Cover:
    """The smallest choice of sets whose union holds the whole universe.

    `budget` bounds the search (branches tried). When it runs out the best choice found so far
    is returned with `proven` False; otherwise no smaller choice exists.

    Formula: branch on the scarcest item, bound by items left over the largest gain
    Source: minimum set cover (combinatorics).
    Raises InputError when some item is in no set, or the budget is less than 1.

    >>> fewest_sets([1, 2, 3, 4, 5], {"s1": [1, 2], "s2": [2, 3, 4], "s3": [3, 5], "s4": [1, 4, 5]})
    Cover(names=('s2', 's4'), proven=True)
    """
    if budget < 1:
        raise InputError("budget", found=budget, expected="1 or more")
    everything, masks = _masks(universe, sets)
    holders = [
        [i for i, mask in enumerate(masks) if mask >> place & 1]
        for place in range(everything.bit_length())
    ]
    search = _Search(masks, _greedy(everything, masks), budget, holders)
    if everything:
        search.explore(everything, [])
    names = list(sets)
    return Cover(tuple(names[i] for i in sorted(search.best)), proven=search.budget > 0)
