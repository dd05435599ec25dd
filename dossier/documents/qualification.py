"""The procedure qualification record (PQR): what was welded, what the tests gave, what it covers.

Content after the lists of ISO 15614-1:2017, clause 9 and annexes and API 1104, 21st edition, 5.2
to 5.8 (known by memory); the arrangement is our own.
"""

from __future__ import annotations

import re
from typing import TypedDict

from dossier.calc.cautions import caution_texts
from dossier.coverage.view import View
from dossier.documents.amounts import amount, pass_heat_input, qualified_table
from dossier.documents.answers import Answers
from dossier.documents.procedure import heat_treatment
from dossier.documents.sheet import (
    Fact,
    Figure,
    Head,
    Table,
    coded,
    columns,
    day,
    fact,
    head,
    row,
    system_of,
    table,
    words,
)
from dossier.drawings.groove import groove_sketch
from dossier.errors import InputError
from dossier.records.procedures import Composition, Pqr
from dossier.units import System


class QualificationSheet(TypedDict):
    """All data of one PQR sheet."""

    head: Head
    identity: list[Fact]
    material: list[Fact]
    groove: Figure
    analysis: Table
    fillers: Table
    passes: Table
    tests: Table
    hardness: Table
    qualified: Table
    used_by: str


def context(seen: View, pqr: Pqr, answers: Answers, number: str) -> QualificationSheet:
    """Plain data of the sheet of one procedure qualification record."""
    project = seen.project
    system = system_of(project.settings)
    supported = [f"{w.number} rev. {w.revision}" for w in project.procedures
                 if pqr.number in w.pqrs]  # fmt: skip
    return QualificationSheet(
        head=head(
            seen,
            number=number,
            title=f"Procedure qualification record {pqr.number}",
            revision="0",
            caution=caution_texts("welding_procedure_sheet").values(),
        ),
        identity=_identity(pqr, system),
        material=_material(pqr, system),
        groove=_groove(pqr, system),
        analysis=_analysis(pqr.composition),
        fillers=_fillers(pqr, system),
        passes=_passes(pqr, system),
        tests=_tests(pqr),
        hardness=hardness_table(seen, pqr, system),
        qualified=qualified_table(
            f"Range of qualification by {coded(pqr.code)}", answers.procedure_range(pqr), system
        ),
        used_by=words(supported),
    )


def _identity(pqr: Pqr, system: System) -> list[Fact]:
    return [
        fact("Code", coded(pqr.code, pqr.level)),
        fact("Test piece welded on", day(pqr.welded_on)),
        fact("Welded to (WPS)", pqr.wps),
        fact("Welder", pqr.welder),
        fact("Laboratory", pqr.laboratory),
        fact("Examiner", pqr.examiner),
        fact("Position", pqr.position),
        fact("Preheat", amount(pqr.preheat_c, "°C", system)),
        fact("Interpass, highest", amount(pqr.interpass_max_c, "°C", system)),
        fact("Diffusible hydrogen", amount(pqr.hydrogen_ml_100g, "ml/100 g", system)),
        fact("Post-weld heat treatment", heat_treatment(pqr.pwht, system)),
        fact("Line-up", pqr.line_up),
    ]


def _material(pqr: Pqr, system: System) -> list[Fact]:
    asked = [name for name, asked in (("impact", pqr.impact_tested), ("hardness",
             pqr.hardness_tested)) if asked]  # fmt: skip
    return [
        fact("Product and weld", words([pqr.product, pqr.weld_type])),
        fact("Material groups", words(pqr.material_groups)),
        fact("Grade", pqr.grade),
        fact("Minimum yield strength", amount(pqr.smys_mpa, "MPa", system)),
        fact("Wall thickness", amount(pqr.wall_mm, "mm", system)),
        fact("Outside diameter", amount(pqr.od_mm, "mm", system)),
        fact("Throat", amount(pqr.throat_mm, "mm", system)),
        fact("Branch angle", amount(pqr.branch_angle_deg, "deg", system)),
        fact("Also tested for", words(asked)),
    ]


def _groove(pqr: Pqr, system: System) -> Figure:
    if pqr.groove is None or pqr.wall_mm is None:
        return Figure(svg="", note="No sketch: the preparation or the wall is not recorded.")
    try:
        svg = groove_sketch(pqr.groove, pqr.wall_mm, system)
    except InputError as error:
        return Figure(svg="", note=f"No sketch: {error}.")
    return Figure(svg=svg, note="Joint preparation of the test piece")


def _analysis(composition: Composition | None) -> Table:
    names = Composition.__dataclass_fields__
    values = {n: getattr(composition, n) for n in names} if composition else {}
    known = {n: v for n, v in values.items() if v is not None}
    if not known:
        return table("Parent metal analysis", columns(("Analysis", 100)), [row(["not recorded"])])
    heads = columns(*((n.capitalize(), 100 / len(known), "right") for n in known))
    return table(
        "Parent metal analysis, % by mass", heads, [row([f"{v:g}" for v in known.values()])]
    )


def _fillers(pqr: Pqr, system: System) -> Table:
    heads = columns(
        ("Pass", 6), ("Kind", 9), ("Process", 9), ("Filler", 21), ("Group", 8),
        ("Size", 9), ("Covering", 11), ("Current", 8), ("Direction", 10), ("Gas", 9),
    )  # fmt: skip
    rows = [
        row([str(p.number), p.kind, p.process, p.filler, p.filler_group,
             amount(p.filler_mm, "mm", system), p.covering, p.current, p.direction, p.gas])
        for p in pqr.passes
    ]  # fmt: skip
    return table("Passes and consumables", heads, rows)


def _passes(pqr: Pqr, system: System) -> Table:
    heads = columns(
        ("Pass", 7), ("Current", 11, "right"), ("Voltage", 11, "right"),
        ("Travel speed", 14, "right"), ("Heat input", 13, "right"), ("Preheat", 11, "right"),
        ("Interpass", 11, "right"), ("Deposit", 11, "right"), ("Since last", 11, "right"),
    )  # fmt: skip
    rows = [
        row([
            str(p.number),
            amount(p.current_a, "A", system),
            amount(p.voltage_v, "V", system),
            amount(p.travel_mm_min, "mm/min", system),
            amount(pass_heat_input(p), "kJ/mm", system),
            amount(p.preheat_c, "°C", system),
            amount(p.interpass_c, "°C", system),
            amount(p.deposit_mm, "mm", system),
            amount(p.since_last_min, "min", system),
        ])
        for p in pqr.passes
    ]  # fmt: skip
    note = "Heat input to EN 1011-1 from the measured figures, thermal efficiency included."
    return table("Passes as measured", heads, rows, note)


def _tests(pqr: Pqr) -> Table:
    heads = columns(("Test", 18), ("Specimens", 11), ("Found", 23), ("Permitted", 22),
                    ("Report", 14), ("Result", 12))  # fmt: skip
    rows = []
    for test in pqr.tests:
        mark = {"accepted": "good", "rejected": "nonconformity"}.get(test.result, "hold")
        cells = [test.kind, str(test.specimens), test.value, test.permitted,
                 test.report, test.result]  # fmt: skip
        rows.append(row(cells, ["", "", "", "", "", mark]))
    return table("Tests of the test piece", heads, rows)


_HARDNESS = re.compile(r"(\d+(?:\.\d+)?) ?HV")


def highest_hv(text: str) -> float | None:
    """The highest Vickers hardness that a reported value names; None where it names none.

    >>> highest_hv("parent 198 HV10; highest 236 HV10"), highest_hv("sound")
    (236.0, None)
    """
    return max((float(figure) for figure in _HARDNESS.findall(text)), default=None)


def hardness_table(seen: View, pqr: Pqr, system: System) -> Table:
    """Reported hardness against the limit of the report and of every WPS that leans on the test."""
    heads = columns(("Report", 30), ("Found", 20), ("Limit", 20), ("Set by", 18), ("Judged", 12))
    rows = []
    for test in pqr.tests:
        if "hardness" not in test.kind:
            continue
        found = highest_hv(test.value)
        limits = [("report", highest_hv(test.permitted))]
        limits += [(f"{w.number} rev. {w.revision}", w.hardness_max_hv)
                   for w in seen.project.procedures if pqr.number in w.pqrs]  # fmt: skip
        for setter, limit in limits:
            if limit is None:
                continue
            judged = "not told" if found is None else "inside" if found <= limit else "above"
            mark = {"inside": "good", "above": "nonconformity"}.get(judged, "hold")
            cells = [test.report, test.value, amount(limit, "HV", system), setter, judged]
            rows.append(row(cells, ["", "", "", "", mark]))
    asked = "The test was to be hardness tested." if pqr.hardness_tested else ""
    return table("Hardness against its limits", heads, rows, asked if not rows else "")
