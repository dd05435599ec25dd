"""A pressure test against its own procedure and against a named rule.

Pressurized lines can kill: test to the operator's procedure and local law, under people qualified
for it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from dossier.calc.pipe import hoop_stress_mpa
from dossier.codes import cfr_192_test, cfr_195_test
from dossier.codes.cfr_192_records import (
    TEST_RECORD_FIELDS,
    TEST_RECORDS,
    missing_of_test_record,
)
from dossier.coverage.view import View, permitted
from dossier.records.construction import PressureTest
from dossier.records.joints import Joint, Line
from dossier.records.procedures import Span
from dossier.records.verdicts import HOLD, Basis, Range, Reason
from dossier.units import convert

_KPA_PER_BAR, _MPA_PER_BAR = 100.0, 0.1
_GAS_192 = {"natural gas": "natural_gas", "air": "air_or_inert", "nitrogen": "air_or_inert"}
_MEDIA_195 = {"nitrogen": "inert gas"}


def own_reasons(test: PressureTest) -> Iterator[Reason]:
    """Pressure held and time against what the test's own procedure asks for."""
    basis = Basis(f"procedure of pressure test {test.number}", "", "", "project")
    for variable, name, least, unit in (
        ("test pressure", "pressure_bar", test.required_bar, "bar"),
        ("test time", "duration_h", test.required_h, "h"),
    ):
        held = getattr(test, name)
        if least is not None:
            yield permitted(Span(low=least), basis, unit).judge(variable, held)
        elif held is None and name not in test.not_applicable:
            yield Reason(variable, "not recorded", "recorded", basis, HOLD)


def rule_reasons(seen: View, test: PressureTest, joints: Iterable[Joint]) -> Iterator[Reason]:
    """The test against the rule that the project names; nothing where it names none.

    Source: 49 CFR 192.503, 192.505, 192.507, 192.517; 49 CFR 195.304, 195.306.
    """
    rule = seen.project.settings.requirements.pressure_test_rule
    held = list(joints)
    line = seen.known.lines.get(test.line or (held[0].line if held else ""))
    if rule == "49 CFR 192":
        yield from _gas(seen, test, line, held)
    elif rule == "49 CFR 195":
        yield from _liquid(test, line)


def _gas(
    seen: View, test: PressureTest, line: Line | None, joints: list[Joint]
) -> Iterator[Reason]:
    missing = missing_of_test_record(stated_of_record(test))
    if missing:
        wanted = f"all {len(TEST_RECORD_FIELDS)} items"
        yield Reason("record", f"missing: {'; '.join(missing)}", wanted, TEST_RECORDS, HOLD)
    share = _greatest_share(seen, test, joints)
    if share is None:
        wanted = "pressure, and diameter, wall and SMYS of the pipe"
        yield Reason("hoop stress", "cannot be told", wanted, cfr_192_test.STRENGTH, HOLD)
        return
    psig = convert((test.pressure_bar or 0.0), "bar", "psi")
    if share >= 30 or psig >= 100:
        basis = cfr_192_test.STRENGTH if share >= 30 else cfr_192_test.LEAK
        hours = float(cfr_192_test.least_hours(share, psig))
        yield Range(hours, float("inf"), basis, "h").judge("test time", test.duration_h)
    gas = _GAS_192.get(test.medium)
    if gas is not None and line is not None and line.location_class is not None:
        most = cfr_192_test.greatest_hoop_stress_percent(gas, line.location_class)
        limit = Range(0, float(most), cfr_192_test.MEDIUM, "% of SMYS")
        yield limit.judge(f"hoop stress with {test.medium}", round(share, 2))


def stated_of_record(test: PressureTest) -> list[str]:
    """The items of 192.517(a) that the record holds, in the order of TEST_RECORD_FIELDS."""
    have = (
        bool(test.company and test.responsible),
        bool(test.medium),
        test.pressure_bar is not None,
        test.duration_h is not None,
        test.document is not None,
        bool(test.elevations) or "elevations" in test.not_applicable,
        test.leaks is not None and (test.leaks == 0 or bool(test.disposition)),
    )
    return [name for name, there in zip(TEST_RECORD_FIELDS, have, strict=True) if there]


def _greatest_share(seen: View, test: PressureTest, joints: list[Joint]) -> float | None:
    """Greatest hoop stress at test pressure of any pipe of the section, % of its SMYS."""
    if test.pressure_bar is None:
        return None
    shares = []
    for joint in joints:
        for number in (joint.upstream_item, joint.downstream_item):
            item = seen.known.items.get(number)
            if item and item.od_mm and item.wall_mm and item.smys_mpa:
                stress = hoop_stress_mpa(test.pressure_bar * _MPA_PER_BAR, item.od_mm, item.wall_mm)
                shares.append(100 * stress / item.smys_mpa)
    return max(shares, default=None)


def _liquid(test: PressureTest, line: Line | None) -> Iterator[Reason]:
    """Pressure and time of the strength test; the leak test is a matter of the visual check."""
    medium = _MEDIA_195.get(test.medium, test.medium)
    yield cfr_195_test.medium_allowed(medium or "not recorded", low_stress=False)
    basis = cfr_195_test.PRESSURE
    if line is None or line.design_pressure_bar is None:
        wanted = "the line's operating pressure"
        yield Reason("operating pressure", "not recorded", wanted, basis, HOLD)
        return
    asked = cfr_195_test.liquid_test(
        line.design_pressure_bar * _KPA_PER_BAR, visually_inspected=True
    )
    least = Range(asked.strength_kpa / _KPA_PER_BAR, float("inf"), basis, "bar")
    yield least.judge("test pressure", test.pressure_bar)
    hours = Range(float(asked.strength_hours), float("inf"), basis, "h")
    yield hours.judge("test time", test.duration_h)
