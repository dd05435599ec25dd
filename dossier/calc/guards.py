"""Validity limits of a number: the few comparisons that every formula makes first."""

from __future__ import annotations

from math import isfinite

from dossier.errors import InputError


def positive(name: str, value: float) -> float:
    """`value` itself. Raises InputError unless it is finite and more than 0.

    >>> positive("wall_mm", 9.5)
    9.5
    """
    if not (isfinite(value) and value > 0):
        raise InputError(name, found=value, expected="more than 0")
    return value


def not_negative(name: str, value: float) -> float:
    """`value` itself. Raises InputError unless it is finite and 0 or more.

    >>> not_negative("overlap_mm", 0.0)
    0.0
    """
    if not (isfinite(value) and value >= 0):
        raise InputError(name, found=value, expected="0 or more")
    return value


def within(name: str, value: float, low: float, high: float) -> float:
    """`value` itself. Raises InputError unless it lies from `low` to `high`, both included.

    >>> within("humidity_pct", 85.0, 0.0, 100.0)
    85.0
    """
    if not low <= value <= high:
        raise InputError(name, found=value, expected=f"from {low:g} to {high:g}")
    return value
