"""Statement of the qualified range beside what a WPS claims, with the diagram of both.

Every variable that the code limits: what the tests had, what they qualify, what the sheet claims,
and the verdict with its clause. The diagrams add what production did.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import inf
from typing import TypedDict

from dossier.calc.cautions import caution_texts
from dossier.coverage.joint_file import joint_file
from dossier.coverage.view import View
from dossier.documents.amounts import pass_heat_input, permitted
from dossier.documents.answers import Answers
from dossier.documents.procedure import preliminary
from dossier.documents.sheet import (
    Fact,
    Figure,
    Head,
    Row,
    Table,
    coded,
    columns,
    fact,
    head,
    row,
    system_of,
    table,
    words,
)
from dossier.documents.tested import had
from dossier.drawings.range_diagram import Ends, Track, range_diagram
from dossier.records.joints import Joint, Pass
from dossier.records.procedures import Pqr, Procedure, Span
from dossier.records.verdicts import CLEAR, Qualified, Range, worst
from dossier.units import System

_WALL = ("wall", "material thickness", "base metal thickness")
_DIAMETER = ("outside diameter",)
_PREHEAT = ("preheat",)


class Claims(TypedDict):
    """All data of the statement."""

    head: Head
    wps: str
    summary: list[Fact]
    diagrams: list[Figure]
    rows: Table


def context(seen: View, wps: Procedure, answers: Answers, number: str) -> Claims:
    """Plain data of the statement of one WPS revision. Reads no clock and no file."""
    system = system_of(seen.project.settings)
    tests = [pqr for pqr in seen.project.pqrs if pqr.number in wps.pqrs]
    missing = [name for name in wps.pqrs if name not in {pqr.number for pqr in tests}]
    reasons = answers.supports(wps, tests) if tests else ()
    verdict = "no test on record" if not tests else str(worst(reasons))
    return Claims(
        head=head(seen, number=number, title=f"Qualified range and claims of {wps.number}",
                  revision=wps.revision, caution=caution_texts("welding_procedure_sheet").values()),
        wps=wps.number,
        summary=[
            fact("Procedure", f"{wps.number} rev. {wps.revision}, {wps.title}"),
            fact("Code", coded(wps.code, wps.level)),
            fact("Tests", words(pqr.number for pqr in tests)),
            fact("Named, not on record", words(missing)),
            fact("Claims against tests", "all covered" if verdict == str(CLEAR) else verdict),
            fact("Status", "preliminary" if preliminary(wps) else wps.status),
        ],
        diagrams=list(_diagrams(seen, wps, tests, answers, system)),
        rows=_rows(wps, tests, answers, system),
    )  # fmt: skip


def _rows(wps: Procedure, tests: Sequence[Pqr], answers: Answers, system: System) -> Table:
    heads = columns(("Variable", 17), ("Test", 18), ("Qualified", 22), ("Sheet claims", 17),
                    ("Verdict", 9), ("Clause", 17))  # fmt: skip
    rows: list[Row] = []
    told = set()
    for reason in answers.supports(wps, tests) if tests else ():
        told.add(reason.variable)
        cells = [reason.variable, _points(tests, reason.variable, system), reason.permitted,
                 reason.found, str(reason.verdict), str(reason.basis)]  # fmt: skip
        rows.append(row(cells, ["", "", "", "", str(reason.verdict), ""]))
    for pqr in tests:
        for variable, allowed in answers.procedure_range(pqr).items():
            if variable in told:
                continue
            told.add(variable)
            rows.append(row([variable, _points(tests, variable, system), permitted(allowed, system),
                             "no claim", "-", str(allowed.basis)]))  # fmt: skip
    note = "No claim: the code limits the variable, the sheet states nothing that goes beyond it."
    return table("Variable by variable", heads, rows, note if rows else "No test is on record.")


def _points(tests: Sequence[Pqr], variable: str, system: System) -> str:
    points = {pqr.number: had(pqr, variable, system) for pqr in tests}
    if len(set(points.values())) == 1:
        return next(iter(points.values()))
    return "; ".join(f"{number}: {point}" for number, point in points.items())


def _diagrams(
    seen: View, wps: Procedure, tests: Sequence[Pqr], answers: Answers, system: System
) -> Iterator[Figure]:
    named = (wps.number, wps.revision)
    welded = [j for j in seen.project.joints if j.status in ("welded", "cut out")]
    joints = [j for j in welded if (j.wps, j.wps_revision) == named]
    repairs = [r for r in seen.project.repairs if (r.wps, r.wps_revision) == named]
    repaired = {repair.joint for repair in repairs}
    passes = [p for j in joints for p in seen.known.passes.get(j.number, [])]
    ranges = {pqr.number: answers.procedure_range(pqr) for pqr in tests}
    walls, diameters = _members(seen, [*joints, *(j for j in welded if j.number in repaired)])
    warm = tuple(p.preheat_c for p in passes if p.preheat_c is not None)
    warm += tuple(r.preheat_c for r in repairs if r.preheat_c is not None)
    asked = Span(low=wps.preheat_min_c) if wps.preheat_min_c is not None else None
    simple = (
        ("Wall thickness", "mm", _WALL, wps.wall_mm, "wall_mm", walls),
        ("Outside diameter", "mm", _DIAMETER, wps.od_mm, "od_mm", diameters),
        ("Preheat", "°C", _PREHEAT, asked, "preheat_c", warm),
    )
    for title, unit, names, span, field, work in simple:
        tracks = [
            Track(pqr.number, limits(ranges[pqr.number], names), _ends(span),
                  _known(getattr(pqr, field)), work)
            for pqr in tests
        ]  # fmt: skip
        yield _figure(title, unit, tracks, system)
    heats = list(_heat_tracks(wps, tests, ranges, passes))
    yield _figure("Heat input by pass", "kJ/mm", heats, system)


def _figure(title: str, unit: str, tracks: Sequence[Track], system: System) -> Figure:
    if not any(t.qualified or t.window or t.tests or t.work for t in tracks):
        return Figure(svg="", note=f"{title}: nothing is recorded to draw.")
    note = "" if any(t.qualified for t in tracks) else "The code sets no range of this variable."
    return Figure(svg=range_diagram(title, unit, tracks, system), note=note)


def _members(seen: View, joints: Sequence[Joint]) -> tuple[tuple[float, ...], tuple[float, ...]]:
    items = [item for joint in joints for item in joint_file(seen, joint).items]
    walls = tuple(i.wall_mm for i in items if i.wall_mm is not None)
    return walls, tuple(i.od_mm for i in items if i.od_mm is not None)


def _known(value: float | None) -> tuple[float, ...]:
    return () if value is None else (value,)


def _ends(span: Span | None) -> Ends | None:
    return None if span is None else (span.low, span.high)


def limits(qualified: Qualified, names: Sequence[str]) -> Ends | None:
    """What a test qualifies in a variable, whatever pass or process the code adds to its name.

    Where it limits several of them, what all permit. None where the code limits none.
    """
    found = [
        allowed for name, allowed in qualified.items()
        if isinstance(allowed, Range) and not allowed.nothing and name.split(", ")[0] in names
    ]  # fmt: skip
    if not found:
        return None
    low, high = max(one.low for one in found), min(one.high for one in found)
    return None if low in (0, -inf) else low, None if high == inf else high


def _heat_tracks(
    wps: Procedure, tests: Sequence[Pqr], ranges: dict[str, Qualified], passes: Sequence[Pass]
) -> Iterator[Track]:
    """One row a pass group; a code may limit heat input by pass, by process or for all alike."""
    for planned in wps.passes:
        wanted = (f"heat input, {planned.kind}, {planned.process}",
                  f"heat input, {planned.process}", "heat input")  # fmt: skip
        qualified = [
            limits({name: found[name]}, ("heat input",))
            for found in ranges.values()
            for name in [next((w for w in wanted if w in found), "")] if name
        ]  # fmt: skip
        alike = [p for pqr in tests for p in pqr.passes
                 if (p.kind, p.process) == (planned.kind, planned.process)]  # fmt: skip
        made = [p for p in passes if (p.kind, p.process) == (planned.kind, planned.process)]
        yield Track(
            f"{planned.kind}, {planned.process}",
            next((ends for ends in qualified if ends is not None), None),
            _ends(planned.heat_input_kj_mm),
            tuple(q for p in alike if (q := pass_heat_input(p)) is not None),
            tuple(q for p in made if (q := pass_heat_input(p)) is not None),
        )
