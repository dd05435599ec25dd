"""Shares with what they are shares of: count, total, rate and its exact interval."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from dossier.calc.proportions import Interval, exact_interval
from dossier.documents.sheet import Figure, Row, Table, columns, row, table
from dossier.drawings.charts import Bar, bar_chart

Part = tuple[Table, Figure]


@dataclass(frozen=True, slots=True)
class Share:
    """So many of so many, under a name."""

    name: str
    count: int
    total: int

    @property
    def percent(self) -> float | None:
        """The rate in per cent; None where there is nothing to be a share of."""
        return 100.0 * self.count / self.total if self.total else None

    @property
    def interval(self) -> Interval | None:
        """The exact 95 % interval in per cent."""
        if not self.total:
            return None
        low, high = exact_interval(self.count, self.total)
        return Interval(100.0 * low, 100.0 * high)

    def cells(self) -> list[str]:
        """Count, total, rate, and both ends of the interval."""
        ends = self.interval
        told = [percent(value) for value in (self.percent, *(ends or (None, None)))]
        return [str(self.count), str(self.total), *told]


def percent(value: float | None) -> str:
    """A rate as printed; "" for none.

    >>> percent(4.0), percent(None)
    ('4.0 %', '')
    """
    return "" if value is None else f"{value:.1f} %"


def share_part(title: str, heads: Sequence[str], shares: Iterable[Share], note: str = "") -> Part:
    """A table of shares with its bars. `heads` name the group, the count and the total."""
    kept = list(shares)
    group, count, total = heads
    labels = columns((group, 30), (count, 16, "right"), (total, 16, "right"), ("Rate", 12, "right"),
                     ("From", 13, "right"), ("To", 13, "right"))  # fmt: skip
    rows: list[Row] = [row([one.name, *one.cells()]) for one in kept]
    bars = [_bar(one) for one in kept if one.total]
    svg = bar_chart(title, bars) if bars else ""
    return table(title, labels, rows, note), Figure(svg=svg, note="")


def _bar(one: Share) -> Bar:
    low, high = one.interval or (None, None)
    name = one.name if len(one.name) <= 20 else f"{one.name[:19]}…"
    return Bar(name, one.percent or 0.0, low, high, f"{one.count} of {one.total}")


def shares_of(groups: Mapping[str, Iterable[bool]]) -> list[Share]:
    """A share for each group of outcomes, True counted.

    >>> shares_of({"W01": [True, False]})
    [Share(name='W01', count=1, total=2)]
    """
    listed = {name: list(outcomes) for name, outcomes in groups.items()}
    return [Share(name, sum(own), len(own)) for name, own in sorted(listed.items())]
