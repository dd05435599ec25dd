"""Was every instrument in calibration on the day it was used, and found good afterwards?

Current, voltage and temperatures, densities of films, holiday tests, recorders of heat treatments
and hardness testers: a figure is worth what its instrument was worth that day.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from datetime import date

from dossier.coverage.as_of import day_of
from dossier.coverage.calibration import use_reasons
from dossier.coverage.evidence import at, paper
from dossier.coverage.joint_file import JointFile
from dossier.coverage.view import View, project_basis
from dossier.records.verdicts import HOLD, Evidence, Finding, Reason, worst

NAME = "instrument-calibration"


def check(seen: View, file: JointFile) -> Iterator[Finding]:
    """One finding per joint and instrument that was not proved good on a day of use."""
    used: dict[str, list[tuple[date | None, Evidence]]] = defaultdict(list)
    for number, day, proof in _uses(file):
        if number:
            used[number].append((day, proof))
    for number, uses in used.items():
        reasons = tuple(_reasons(seen, number, {day for day, _ in uses}))
        if reasons:
            yield _finding(seen, file, number, reasons, tuple(proof for _, proof in uses))


def _uses(file: JointFile) -> Iterator[tuple[str, date | None, Evidence]]:
    """Each instrument named on the joint, with the day of use and where it is written."""
    for made in file.passes:
        day = day_of(made.started_at or made.finished_at) or file.joint.welded_on
        yield made.instrument, day, at(made, "instrument")[0]
    for report in file.examinations:
        yield (
            report.instrument,
            day_of(report.examined_at) or report.reported_on,
            at(report, "instrument")[0],
        )
    for coating in file.coatings:
        day = day_of(coating.holiday_tested_at or coating.coated_at)
        yield coating.instrument, day, at(coating, "instrument")[0]
    for chart in file.heat_treatments:
        day = day_of(chart.started_at or chart.finished_at)
        yield chart.instrument, day, at(chart, "instrument")[0]
    for test in file.hardness_tests:
        yield test.instrument, day_of(test.tested_at), at(test, "instrument")[0]


def _reasons(seen: View, number: str, days: set[date | None]) -> Iterator[Reason]:
    basis = project_basis(seen, "calibration of instruments")
    calibrations = seen.known.instruments.get(number, [])
    told: dict[Reason, None] = {}
    for day in sorted(days, key=str):
        if day is None:
            told[Reason("day of use", "not recorded", "recorded", basis, HOLD)] = None
        else:
            told.update(dict.fromkeys(use_reasons(calibrations, number, day, basis)))
    yield from told


def _finding(
    seen: View,
    file: JointFile,
    number: str,
    reasons: tuple[Reason, ...],
    proofs: tuple[Evidence, ...],
) -> Finding:
    told = "; ".join(f"{r.variable} {r.found}, wanted {r.permitted}" for r in reasons)
    return Finding(
        NAME,
        worst(reasons),
        (("joint", file.number), ("instrument", number)),
        f"Instrument {number} used on joint {file.number}: {told}.",
        reasons,
        (
            *dict.fromkeys(proofs),
            *(p for c in seen.known.instruments.get(number, []) for p in paper(c)),
        ),
        "Show the calibration of that time; where it was found out of tolerance, assess every "
        "figure measured since the last good one.",
    )
