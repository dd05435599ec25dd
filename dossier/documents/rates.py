"""Repair rates with their intervals: by line, by welder, by week.

The basis is printed beside each figure, since a rate by joint, by film and by length are three
different numbers. Patterns are shown as patterns; with few joints the interval says so.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from typing import TypedDict

from dossier.calc.proportions import exact_interval, repair_rate_by_joint_pct
from dossier.coverage.view import View
from dossier.documents.sheet import Figure, Head, Table, columns, head, row, table
from dossier.drawings.charts import Bar, bar_chart
from dossier.records.joints import Joint

METHODS = ("RT", "UT")


class RepairRates(TypedDict):
    """All data of the repair-rate sheet."""

    head: Head
    basis: str
    groups: list[tuple[Table, Figure]]


def context(seen: View, number: str) -> RepairRates:
    """Plain data of the repair-rate sheet as of the day of the view."""
    outcomes = first_outcomes(seen)
    joints = [j for j in seen.project.joints if j.number in outcomes]
    weekly: dict[str, set[str]] = defaultdict(set)
    lines: dict[str, set[str]] = defaultdict(set)
    welders: dict[str, set[str]] = defaultdict(set)
    for joint in joints:
        lines[joint.line].add(joint.number)
        if joint.welded_on:
            year, week, _ = joint.welded_on.isocalendar()
            weekly[f"{year} week {week:02d}"].add(joint.number)
        for stamp in _stamps(seen, joint):
            welders[stamp].add(joint.number)
    return RepairRates(
        head=head(seen, number=number, title="Repair rates"),
        basis="Joints rejected at their first radiographic or ultrasonic examination, in per cent "
        "of joints so examined. Interval: exact, 95 %. A joint counts for each of its welders; a "
        "rate of few joints proves little about anybody.",
        groups=[
            _part("By line", lines, outcomes),
            _part("By week of welding", weekly, outcomes),
            _part("By welder", welders, outcomes),
        ],
    )


def _stamps(seen: View, joint: Joint) -> set[str]:
    return {made.welder for made in seen.known.passes.get(joint.number, [])}


def first_outcomes(seen: View) -> dict[str, bool]:
    """Joints with a result of their first volumetric examination: True where it was rejected."""
    outcomes: dict[str, bool] = {}
    reports = [e for e in seen.project.examinations if e.method in METHODS and e.result]
    for report in sorted(reports, key=lambda e: (str(e.examined_at), e.report)):
        outcomes.setdefault(report.joint, report.result == "rejected")
    return outcomes


def _part(
    title: str, groups: Mapping[str, Iterable[str]], outcomes: Mapping[str, bool]
) -> tuple[Table, Figure]:
    heads = columns(("", 28), ("Joints examined", 18, "right"), ("Rejected at first", 18, "right"),
                    ("Rate", 16, "right"), ("Interval", 20, "right"))  # fmt: skip
    rows, bars = [], []
    for name in sorted(groups):
        numbers = list(groups[name])
        rejected = sum(outcomes[n] for n in numbers)
        rate = repair_rate_by_joint_pct(rejected, len(numbers))
        low, high = exact_interval(rejected, len(numbers))
        words = f"{100 * low:.1f} % to {100 * high:.1f} %"
        rows.append(row([name, str(len(numbers)), str(rejected), f"{rate:.1f} %", words]))
        told = f"{rejected} of {len(numbers)}"
        bars.append(Bar(name, rate, 100 * low, 100 * high, told))
    svg = bar_chart(title, bars) if bars else ""
    return table(title, heads, rows), Figure(svg=svg, note="")
