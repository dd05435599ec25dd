"""The repair rate week by week and since the start, with control limits for each week's size."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from itertools import accumulate

from dossier.calc.control_charts import p_chart_limits
from dossier.documents.figures.first_reports import First
from dossier.documents.figures.shares import Part, Share, percent
from dossier.documents.sheet import Figure, columns, row, table
from dossier.drawings.control_chart import Sample, control_chart

_NOTE = (
    "Weeks of the first radiographic or ultrasonic examination, ISO 8601. Limits: three standard "
    "deviations around the rate of all weeks, for the joints of that week (p chart, ISO "
    "7870-2:2023). Sum: since the start. A week outside the limits is a pattern, not a proof."
)


def weekly(firsts: Sequence[First]) -> Part:
    """One row a week: its own rate with interval and limits, and the rate since the start."""
    heads = columns(
        ("Week", 11), ("Rejected", 9, "right"), ("Examined", 9, "right"), ("Rate", 8, "right"),
        ("From", 8, "right"), ("To", 8, "right"), ("Lower limit", 9, "right"),
        ("Upper limit", 9, "right"), ("Outside", 8), ("Sum rejected", 9, "right"),
        ("Sum examined", 9.5, "right"), ("Sum rate", 8, "right"),
    )  # fmt: skip
    shares = _weeks(firsts)
    samples = _samples(shares)
    running = list(accumulate(shares, lambda a, b: Share("", a.count + b.count, a.total + b.total)))
    rows = []
    for share, sample, total in zip(shares, samples, running, strict=True):
        outside = sample.outside
        cells = [share.name, *share.cells(), percent(sample.low), percent(sample.high),
                 "yes" if outside else "no", *total.cells()[:3]]  # fmt: skip
        rows.append(row(cells, [*[""] * 8, "hold" if outside else "", "", "", ""]))
    title = "Repair rate by week"
    svg = control_chart(title, samples) if samples else ""
    undated = sum(not one.week for one in firsts)
    left_out = f" {undated} joints without a day of examination are left out." if undated else ""
    return table(title, heads, rows, _NOTE + left_out), Figure(svg=svg, note="")


def _weeks(firsts: Sequence[First]) -> list[Share]:
    groups: dict[str, list[bool]] = defaultdict(list)
    for one in firsts:
        if one.week:
            groups[one.week].append(one.rejected)
    return [Share(week, sum(own), len(own)) for week, own in sorted(groups.items())]


def _samples(shares: Sequence[Share]) -> list[Sample]:
    counted, total = sum(s.count for s in shares), sum(s.total for s in shares)
    running = accumulate(shares, lambda a, b: Share("", a.count + b.count, a.total + b.total))
    found = []
    for share, so_far in zip(shares, running, strict=True):
        limits = p_chart_limits(counted / total, share.total)
        found.append(
            Sample(
                share.name, share.percent or 0.0, 100 * limits.centre, 100 * limits.low,
                100 * limits.high, so_far.percent or 0.0, f"{share.count} of {share.total}",
            )
        )  # fmt: skip
    return found
