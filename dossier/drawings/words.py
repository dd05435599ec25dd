"""Ranges of a sheet in words, printed by the one unit printer."""

from __future__ import annotations

from math import inf

from dossier.records.procedures import Span
from dossier.units import System, show


def show_span(span: Span | None, unit: str, system: System = "SI") -> str:
    """A permitted range in words, in the units of `system`; "-" where none is set.

    >>> show_span(Span(low=1.5, high=2.5), "mm"), show_span(Span(high=0.25), "kJ/mm")
    ('1.5 to 2.5 mm', 'up to 0.25 kJ/mm')
    >>> show_span(Span(low=100.0), "°C"), show_span(None, "mm")
    ('from 100 °C', '-')
    """
    if span is None or (span.low is None and span.high is None):
        return "-"
    if span.high is None or span.high == inf:
        return f"from {show(span.low, unit, system)}"
    if not span.low:
        return f"up to {show(span.high, unit, system)}"
    if span.low == span.high:
        return show(span.low, unit, system)
    low, high = show(span.low, unit, system), show(span.high, unit, system)
    if system == "dual":
        return f"{low} to {high}"
    return f"{low.rsplit(' ', 1)[0]} to {high}"


def middle(span: Span | None) -> float | None:
    """The value a range is drawn at: its middle, or the only end it has."""
    if span is None:
        return None
    ends = [end for end in (span.low, span.high) if end is not None and end != inf]
    return sum(ends) / len(ends) if ends else None
