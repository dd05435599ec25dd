"""What happened to a joint after welding: heat treatment, hardness, coating, lowering, test."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from dossier.coverage.joint_file import JointFile
from dossier.coverage.view import View
from dossier.documents.amounts import amount
from dossier.documents.joint_proof import placed
from dossier.documents.sheet import Row, Table, columns, day, row, table, words
from dossier.records.base import Record
from dossier.records.construction import Coating
from dossier.units import System


def after(seen: View, file: JointFile, system: System) -> Table:
    """One chain of events, each with where it was read."""
    heads = columns(("Step", 13), ("When", 17), ("Report", 14), ("Figures", 30), ("Result", 11),
                    ("Read from", 15))  # fmt: skip
    return table("Coating and lowering", heads, _steps(seen, file, system))


def _step(record: Record, cells: Sequence[str]) -> Row:
    return row([*cells, placed(record)])


def _steps(seen: View, file: JointFile, system: System) -> Iterator[Row]:
    yield from _treated(file, system)
    for coating in file.coatings:
        yield from _coated(coating, system)
    for lowering in file.lowerings:
        cover = f"cover {amount(lowering.cover_m, 'm', system)}"
        yield _step(lowering, ["lowered", day(lowering.lowered_at), "", cover, ""])
        if lowering.backfilled_at is not None:
            yield _step(lowering, ["backfilled", day(lowering.backfilled_at), "", "", ""])
    for test in seen.known.tests_of(file.joint):
        held = words([test.medium, amount(test.pressure_bar, "bar", system)])
        yield _step(test, ["pressure test", day(test.started_at), test.number, held, test.result])


def _treated(file: JointFile, system: System) -> Iterator[Row]:
    for chart in file.heat_treatments:
        low, high = (amount(v, "°C", system) for v in (chart.soak_low_c, chart.soak_high_c))
        held = "" if chart.holding_min is None else f"{chart.holding_min:g} min"
        told = words([f"soak {low} to {high}", held])
        yield _step(chart, ["heat treatment", day(chart.started_at), chart.chart, told,
                            chart.result])  # fmt: skip
    for report in file.hardness_tests:
        most = f"up to {max(report.values):g} {report.method}" if report.values else ""
        yield _step(report, ["hardness", day(report.tested_at), report.report,
                             words([report.zone, most]), report.result])  # fmt: skip


def _coated(coating: Coating, system: System) -> Iterator[Row]:
    thick = coating.thickness_mm
    figures = words([coating.system, "" if thick is None else amount(thick, "mm", system)])
    yield _step(coating, ["coated", day(coating.coated_at), coating.report, figures,
                          coating.result])  # fmt: skip
    if coating.holiday_tested_at is not None:
        told = [amount(coating.holiday_kv, "kV", system)]
        if coating.holidays_found is not None:
            told.append(f"{coating.holidays_found} found")
        if coating.holidays_found:
            told.append(f"{coating.holidays_repaired or 0} repaired")
        yield _step(coating, ["holiday test", day(coating.holiday_tested_at), coating.report,
                              words(told), ""])  # fmt: skip
