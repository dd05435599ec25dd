"""Procedure tests of Section IX: what they qualify, what a blank in them leaves unqualified."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from importlib import import_module

import pytest

from dossier.codes import asme_b31_3, asme_b31_4, asme_b31_8
from dossier.codes.asme_ix import (
    edition_2017,
    edition_2019,
    pqr_limits,
    procedures,
    welder_limits,
)
from dossier.codes.asme_ix.common import Edition
from dossier.records.procedures import HeatTreatment, Pqr, PqrPass, Procedure, ProcedurePass, Span
from dossier.records.verdicts import HOLD

US = "US customary"


def pqr(**more: object) -> Pqr:
    plain: dict[str, object] = {
        "number": "Q",
        "code": "",
        "welded_on": date(2024, 1, 8),
        "weld_type": "butt",
        "material_groups": ("P1.1",),
        "wall_mm": 12.7,
        "preheat_c": 20.0,
        "passes": (PqrPass(number=1, kind="fill", process="111", filler="E7018"),),
    }
    return Pqr(**{**plain, **more})  # type: ignore[arg-type]


def test_what_a_procedure_test_qualifies() -> None:
    limits = edition_2019.procedure_range(pqr(), {})
    assert {name: str(limit) for name, limit in limits.items()} == {
        "process": "SMAW",
        "weld type": "branch, butt, fillet",
        "base metal": "P1 to P1",
        "base metal thickness": "5 to 25.4 mm",
        "preheat": "from -35 °C",
        "post-weld heat treatment": "none",
        "deposited thickness, SMAW F4": "up to 25.4 mm",
        "F-Number, SMAW": "F4",
        "A-Number, SMAW": "A1, A2",
    }


def test_what_an_impact_tested_procedure_qualifies() -> None:
    test = pqr(
        impact_tested=True,
        interpass_max_c=200.0,
        position="3G",
        pwht=HeatTreatment(temperature_c=Span(low=600, high=620), holding_min=480),
        passes=(
            PqrPass(
                number=1, kind="fill", process="111", filler="E7018", filler_mm=6.4,
                current="DC+", direction="up", voltage_v=24.0, current_a=120.0, travel_mm_min=100.0,
            ),
        ),
    )  # fmt: skip
    limits = edition_2017.procedure_range(test, {})
    shown = {name: str(limit) for name, limit in limits.items()}
    assert shown["group numbers"] == "P1.1"
    assert shown["base metal thickness"] == "12.7 to 25.4 mm"
    assert shown["interpass"] == "up to 255 °C"
    assert shown["heat treatment time"] == "up to 10 h"
    assert shown["post-weld heat treatment"] == "below lower"
    assert shown["classification, SMAW"] == "E7018"
    assert shown["electrode diameter, SMAW"] == "any"
    assert shown["progression, SMAW"] == "not uphill, uphill"
    assert shown["current, SMAW"] == "DC+"
    assert shown["heat input, SMAW"] == "up to 1.73 kJ/mm"
    assert {limit.basis.edition for limit in limits.values()} == {"2017"}
    assert "progression, SMAW" not in edition_2019.procedure_range(test, {})


@pytest.mark.parametrize(
    ("change", "name"),
    [
        ({"wall_mm": None}, "base metal thickness"),
        ({"material_groups": ()}, "base metal"),
        ({"material_groups": ("1.2",)}, "base metal"),
        ({"material_groups": ()}, "post-weld heat treatment"),
        ({"preheat_c": None}, "preheat"),
        ({"passes": ()}, "process"),
    ],
)
def test_a_blank_in_the_test_qualifies_nothing(change: dict[str, object], name: str) -> None:
    limit = edition_2019.procedure_range(pqr(**change), {})[name]
    assert limit.nothing == "not recorded in the test"


@pytest.mark.parametrize(
    ("high", "p_number", "condition"),
    [
        (725.0, "1", "below lower"),
        (725.1, "1", ""),
        (800.0, "5A", "below lower"),
        (806.0, "5A", ""),
        (730.0, "3", "below lower"),
        (730.1, "3", ""),
        (745.0, "4", "below lower"),
        (745.1, "4", ""),
        (810.0, "5B", "below lower"),
        (810.1, "5B", ""),
        (725.0, "9A", "below lower"),
        (725.1, "9B", ""),
        (800.0, "15E", "below lower"),
        (800.1, "15E", ""),
        (1050.0, "8", "heat treated"),
        (None, "1", ""),
    ],
)
def test_heat_treatment_condition(high: float | None, p_number: str, condition: str) -> None:
    treatment = HeatTreatment(temperature_c=Span(high=high))
    assert pqr_limits.heat_condition(treatment, p_number) == condition


def test_sheet_without_passes_is_a_hold() -> None:
    wps = Procedure(number="P", revision="0", title="", code="", passes=())
    reasons = procedures.supports(Edition("2019", False), [pqr()], wps, {})
    assert [r.verdict for r in reasons if r.variable == "process"] == [HOLD]


def test_arc_energy_takes_the_hottest_corner_of_the_ranges() -> None:
    one = ProcedurePass(
        kind="fill",
        process="111",
        filler="E7018",
        voltage_v=Span(low=20, high=24),
        current_a=Span(low=90, high=120),
        travel_mm_min=Span(low=100, high=200),
    )
    assert pqr_limits.arc_energy_of(one) == pytest.approx(1.728)
    assert pqr_limits.arc_energy_of(replace(one, travel_mm_min=Span(high=200))) is None
    assert pqr_limits.arc_energy_of(replace(one, voltage_v=None)) is None


@pytest.mark.parametrize(
    ("od", "choices", "good"),
    [
        (73.0, {}, True),
        (72.9, {}, False),
        (73.0, {"ix units": US}, False),
        (73.025, {"ix units": US}, True),
    ],
)
def test_fillets_on_pipe_after_a_plate_groove_test(
    od: float, choices: dict[str, str], *, good: bool
) -> None:
    limits = welder_limits.fillets_after_groove("plate", choices)
    assert (od in limits.od_mm) is good
    assert str(limits.base_mm) == str(limits.leg_mm) == "any"


@pytest.mark.parametrize(
    ("diameter", "choices", "shown"),
    [
        (6.0, {}, "up to 6 mm"),
        (6.1, {}, "any"),
        (None, {}, "up to 6 mm"),
        (6.35, {"ix units": US}, "up to 6.35 mm"),
        (6.4, {"ix units": US}, "any"),
    ],
)
def test_electrode_diameter(diameter: float | None, choices: dict[str, str], shown: str) -> None:
    one = PqrPass(number=1, kind="fill", process="111", filler="E7018", filler_mm=diameter)
    limits = edition_2019.procedure_range(pqr(impact_tested=True, passes=(one,)), choices)
    assert str(limits["electrode diameter, SMAW"]) == shown


def test_rules_lead_to_functions() -> None:
    rules = [*edition_2019.RULES, *asme_b31_3.RULES, *asme_b31_4.RULES, *asme_b31_8.RULES]
    for rule in rules:
        module, _, name = rule.function.rpartition(".")
        assert callable(getattr(import_module(module), name)), rule.function
        assert rule.known in ("read", "secondary", "memory")
        assert rule.clause
    titles = [rule.title for rule in edition_2019.RULES]
    assert len(titles) == len(set(titles))
    assert (asme_b31_4.EDITION, asme_b31_8.EDITION) == ("ASME B31.4:2016", "ASME B31.8:2018")


def test_impact_tests_are_named_where_they_lack() -> None:
    wps = Procedure(number="P", revision="0", title="", code="", passes=())
    reasons = edition_2019.supports([pqr()], wps, {"ix toughness": "required"})
    (impact,) = (r for r in reasons if r.variable == "impact tests of Q")
    assert (impact.found, impact.permitted) == ("not impact tested", "impact tested")


@pytest.mark.parametrize(
    ("filler", "shown"), [("ER70S-6", "with filler"), ("none", "without filler")]
)
def test_filler_of_a_tungsten_test(filler: str, shown: str) -> None:
    one = PqrPass(number=1, kind="root", process="141", filler=filler, covering="solid", gas="I1")
    limits = edition_2019.procedure_range(pqr(passes=(one,)), {})
    assert str(limits["filler metal, GTAW"]) == shown


@pytest.mark.parametrize(
    ("position", "direction", "shown"),
    [
        ("PB", "", "not uphill"),
        ("PF", "", "not uphill, uphill"),
        ("3F", "down", "not uphill"),
        ("3F", "", "nothing: not recorded in the test"),
        ("", "up", "nothing: not recorded in the test"),
    ],
)
def test_progression_of_a_fillet_test_in_2017(position: str, direction: str, shown: str) -> None:
    one = PqrPass(number=1, kind="fill", process="111", filler="E7018", direction=direction)
    test = pqr(weld_type="fillet", position=position, impact_tested=True, passes=(one,))
    assert str(edition_2017.procedure_range(test, {})["progression, SMAW"]) == shown


def test_what_is_blank_on_both_sides_says_so() -> None:
    line = ProcedurePass(kind="root", process="141", filler="ER70S-6", covering="solid")
    wps = Procedure(number="P", revision="0", title="", code="", passes=(line,))
    one = PqrPass(number=1, kind="root", process="141", filler="ER70S-6", covering="solid")
    reasons = edition_2019.supports([pqr(passes=(one,))], wps, {})
    (gas,) = (r for r in reasons if r.variable == "shielding gas, GTAW")
    assert (gas.found, gas.verdict) == ("not recorded", HOLD)
