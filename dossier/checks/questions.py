"""What each check asks, in its own words: the first line of its file."""

from __future__ import annotations

import sys
from collections.abc import Iterable

from dossier.checks import ALL, OF_FINDINGS, OF_JOINTS, OF_PROJECT


def told(name: str) -> str:
    """All that the file of a check says about it."""
    check = {**OF_JOINTS, **OF_PROJECT, **OF_FINDINGS}[name]
    return (sys.modules[check.__module__].__doc__ or "").strip()


def questions(names: Iterable[str] = ()) -> dict[str, str]:
    """The question of each check named (of all by default), in the order in which they run.

    >>> questions(["welder-deposit"])["welder-deposit"].endswith("?")
    True
    """
    chosen = set(names) or set(ALL)
    return {name: told(name).partition("\n\n")[0] for name in ALL if name in chosen}
