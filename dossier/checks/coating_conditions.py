"""Was the joint coated in a climate and with a material that the project permits?

Steel near the dew point, damp air, cold or hot steel and over-age material make a coating that
comes off. The order of work and the holiday test are asked elsewhere.
"""

from __future__ import annotations

from collections.abc import Iterator

from dossier.calc.coating import dew_point_c
from dossier.coverage.as_of import day_of
from dossier.coverage.evidence import at, paper
from dossier.coverage.joint_file import JointFile
from dossier.coverage.view import View, permitted, project_basis
from dossier.errors import InputError
from dossier.records.construction import Coating
from dossier.records.procedures import Span
from dossier.records.verdicts import CLEAR, HOLD, NONCONFORMITY, Basis, Finding, Reason, worst

NAME = "coating-conditions"
# Two readings of one dew point within this difference agree; common practice.
_AGREE_C = 1.5
AGREEMENT = Basis("common practice", "", "dew point read and computed", "practice")


def check(seen: View, file: JointFile) -> Iterator[Finding]:
    """One finding per coating that was applied outside its conditions."""
    for coating in file.coatings:
        reasons = tuple(
            r
            for r in (*_climate(seen, coating), *_dew(coating), *_material(seen, coating))
            if r.verdict != CLEAR
        )
        if reasons:
            yield _finding(seen, file, coating, reasons)


def _finding(seen: View, file: JointFile, coating: Coating, reasons: tuple[Reason, ...]) -> Finding:
    told = "; ".join(f"{r.variable} {r.found}, wanted {r.permitted}" for r in reasons)
    batch = seen.known.batches.get(coating.batch)
    return Finding(
        NAME,
        worst(reasons),
        (("joint", file.number), ("report", coating.report)),
        f"Coating of joint {file.number} ({coating.report}): {told}.",
        reasons,
        (
            *at(coating, "steel_c", "dew_point_c", "humidity_percent", "batch"),
            *paper(coating),
            *(paper(batch) if batch else ()),
        ),
        "Show the missing record; a coating applied outside its conditions is tested for "
        "adhesion, and stripped and applied again if it fails.",
    )


def _climate(seen: View, coating: Coating) -> Iterator[Reason]:
    rules = seen.project.settings.requirements
    basis = project_basis(seen, "climate when coating")
    if rules.dew_point_margin_c is not None and not coating.not_applicable & {
        "dew_point_c",
        "steel_c",
    }:
        least = permitted(Span(low=rules.dew_point_margin_c), basis, "°C")
        yield least.judge("steel above dew point", _margin(coating))
    if rules.humidity_max_percent is not None and "humidity_percent" not in coating.not_applicable:
        most = permitted(Span(high=rules.humidity_max_percent), basis, "%")
        yield most.judge("relative humidity", coating.humidity_percent)
    if rules.coating_steel_c is not None and "steel_c" not in coating.not_applicable:
        yield permitted(rules.coating_steel_c, basis, "°C").judge(
            "steel temperature", coating.steel_c
        )


def _margin(coating: Coating) -> float | None:
    dew = coating.dew_point_c if coating.dew_point_c is not None else _computed(coating)
    if dew is None or coating.steel_c is None:
        return None
    return round(coating.steel_c - dew, 1)


def _computed(coating: Coating) -> float | None:
    """Dew point from air and humidity, °C; None where these are missing or out of its limits."""
    if coating.air_c is None or coating.humidity_percent is None:
        return None
    try:
        return dew_point_c(coating.air_c, coating.humidity_percent)
    except InputError:
        return None


def _dew(coating: Coating) -> Iterator[Reason]:
    """A dew point that air and humidity contradict."""
    computed = _computed(coating)
    if computed is None or coating.dew_point_c is None:
        return
    if abs(coating.dew_point_c - computed) > _AGREE_C:
        found = f"{coating.dew_point_c:g} °C, {computed:.1f} °C by air and humidity"
        wanted = f"agreement within {_AGREE_C:g} °C"
        yield Reason("dew point", found, wanted, AGREEMENT, HOLD)


def _material(seen: View, coating: Coating) -> Iterator[Reason]:
    if not coating.batch:
        return
    basis = project_basis(seen, "register of coating batches")
    batch = seen.known.batches.get(coating.batch)
    if batch is None:
        yield Reason("batch", f"{coating.batch}, not on record", "on record", basis, HOLD)
        return
    if not batch.certificate:
        wanted = "an inspection document"
        yield Reason("certificate", f"none of {batch.number}", wanted, basis, HOLD)
    day = day_of(coating.coated_at)
    if day and batch.expires_on and day > batch.expires_on:
        limit = f"by {batch.expires_on}"
        yield Reason("shelf life", f"used on {day}", limit, basis, NONCONFORMITY)
    if day and batch.received_on and day < batch.received_on:
        limit = f"received on {batch.received_on}"
        yield Reason("receipt", f"used on {day}", limit, basis, HOLD)
