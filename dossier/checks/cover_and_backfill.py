"""Does the pipe lie deep enough, and was it backfilled after all that must come before?

The project's own cover goes before the named rule. A joint that was coated or lowered on record
and not yet accepted is found by the order of work; here the trench welds that were only covered.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from dossier.codes import cfr_192_cover, cfr_195_cover
from dossier.coverage.acceptance import cleared_at
from dossier.coverage.evidence import at, paper
from dossier.coverage.joint_file import JointFile
from dossier.coverage.view import View, permitted, project_basis
from dossier.records.construction import Lowering
from dossier.records.procedures import Span
from dossier.records.verdicts import (
    CLEAR,
    HOLD,
    NONCONFORMITY,
    Basis,
    Finding,
    Range,
    Reason,
    worst,
)

NAME = "cover-and-backfill"
_M_PER_IN = 0.0254
_CROSSINGS = ("crossing", "road crossing", "rail crossing")
# Word in the register -> name in the table of the rule.
_PLACES_192 = {
    "class 1": "class_1",
    "class 2, 3, 4": "class_2_3_4",
    "drainage ditch, road or rail": "drainage_ditch_road_rail",
    "navigable water": "navigable_water",
}
_PLACES_195 = {
    "industrial, commercial or residential": "industrial_commercial_residential",
    "inland water": "inland_water_100_ft_or_more",
    "drainage ditch, road or rail": "drainage_ditch_road_rail",
    "deepwater port": "deepwater_port_safety_zone",
    "gulf of mexico and its inlets": "gulf_of_mexico_inlets",
    "other offshore": "other_offshore_under_12_ft",
    "any other": "any_other",
}


def check(seen: View, file: JointFile) -> Iterator[Finding]:
    """One finding for a joint with too little cover, or covered too early."""
    reasons = tuple(
        r for row in file.lowerings for r in _reasons(seen, file, row) if r.verdict != CLEAR
    )
    if reasons:
        told = "; ".join(f"{r.variable} {r.found}, wanted {r.permitted}" for r in reasons)
        yield Finding(
            NAME,
            worst(reasons),
            (("joint", file.number),),
            f"Joint {file.number}, cover and backfill: {told}.",
            reasons,
            tuple(
                proof
                for row in file.lowerings
                for proof in (*at(row, "cover_m", "backfilled_at"), *paper(row))
            ),
            "Measure the cover again, or lower the pipe or protect it; expose what was covered "
            "too early.",
        )


def _reasons(seen: View, file: JointFile, row: Lowering) -> Iterator[Reason]:
    done = row.backfilled_at
    if (done or row.cover_m is not None) and "cover_m" not in row.not_applicable:
        yield from _depth(seen, file, row)
    if done is None:
        return
    basis = project_basis(seen, "order of work")
    if row.lowered_at is not None:
        yield from _before(basis, done, "lowered", row.lowered_at)
        return
    if not file.coatings:
        cleared = cleared_at(seen, file)
        if cleared is None:
            found = f"{done:%Y-%m-%d %H:%M}"
            yield Reason("backfilled", found, "after acceptance: not yet", basis, NONCONFORMITY)
        else:
            yield from _before(basis, done, "accepted", cleared)
    for coating in file.coatings:
        yield from _before(basis, done, "coated", coating.coated_at)
        yield from _before(basis, done, "holiday tested", coating.holiday_tested_at)


def _before(basis: Basis, done: datetime, what: str, moment: datetime | None) -> Iterator[Reason]:
    if moment is not None and done < moment:
        wanted = f"after {what}: {moment:%Y-%m-%d %H:%M}"
        yield Reason("backfilled", f"{done:%Y-%m-%d %H:%M}", wanted, basis, NONCONFORMITY)


def _depth(seen: View, file: JointFile, row: Lowering) -> Iterator[Reason]:
    rules = seen.project.settings.requirements
    if rules.cover_min_m is not None:
        if row.cover_m is not None and row.cover_m >= rules.cover_min_m:
            return
        least = permitted(Span(low=rules.cover_min_m), project_basis(seen, "cover"), "m")
        yield least.judge("cover", row.cover_m)
        return
    if not rules.cover_rule:
        return
    table, basis = _table(rules.cover_rule)
    place = _place(rules.cover_rule, file, row)
    if place not in table:
        found = row.location or "location not recorded"
        yield Reason("location", found, " or ".join(table), basis, HOLD)
        return
    ground = row.ground or "normal"  # the deeper of the two
    inches = (
        cfr_192_cover.min_cover_in(table[place], ground)
        if rules.cover_rule == "49 CFR 192"
        else cfr_195_cover.min_cover_in(table[place], ground)
    )
    least = Range(round(inches * _M_PER_IN, 4), float("inf"), basis, "m", step=5e-4)
    yield least.judge("cover", row.cover_m)


def _table(rule: str) -> tuple[dict[str, str], Basis]:
    if rule == "49 CFR 192":
        return _PLACES_192, cfr_192_cover.COVER
    return _PLACES_195, cfr_195_cover.COVER


def _place(rule: str, file: JointFile, row: Lowering) -> str:
    """The location as recorded, else what joint and line tell of it."""
    if row.location:
        return row.location.strip().lower()
    if file.joint.kind in _CROSSINGS:
        return "drainage ditch, road or rail"
    if rule == "49 CFR 192" and file.line and file.line.location_class:
        return "class 1" if file.line.location_class == 1 else "class 2, 3, 4"
    return ""
