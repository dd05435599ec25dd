"""Whole certificates, procedures and histories against Section IX, verdicts worked out by hand."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

import pytest
import yaml

from dossier.codes.asme_ix import edition_2017, edition_2019, edition_2021, edition_2023
from dossier.records.procedures import (
    HeatTreatment,
    Pqr,
    PqrPass,
    Procedure,
    ProcedurePass,
    Span,
    TestResult,
)
from dossier.records.verdicts import CLEAR, Reason, worst
from dossier.records.weld import Weld
from dossier.records.welders import Certificate, Confirmation, Deposit

WHOLE = Path(__file__).parent / "asme_ix_2019" / "whole"
EDITIONS = {"2017": edition_2017, "2019": edition_2019, "2021": edition_2021, "2023": edition_2023}


def read(name: str) -> dict[str, Any]:
    with (WHOLE / name).open(encoding="utf-8") as stream:
        data: dict[str, Any] = yaml.safe_load(stream)
    return data


def not_clear(reasons: tuple[Reason, ...]) -> dict[str, str]:
    return {r.variable: str(r.verdict) for r in reasons if r.verdict != CLEAR}


def certificate(fields: dict[str, Any]) -> Certificate:
    known = {key: value for key, value in fields.items() if key not in ("id", "note")}
    known["deposits"] = tuple(Deposit(**part) for part in known["deposits"])
    known["positions"] = tuple(known.get("positions", ()))
    known.setdefault("welded_on", date(2024, 2, 1))
    return Certificate(number=fields["id"], code="ASME IX:2019", **known)


WELDERS = read("welders.yml")
PAPERS = {fields["id"]: certificate(fields) for fields in WELDERS["certificates"]}


def covering(weld: Weld, choices: dict[str, str], edition: Any = edition_2019) -> list[str]:
    return [
        number
        for number, paper in PAPERS.items()
        if worst(edition.covers(paper, weld, choices)) is CLEAR
    ]


@pytest.mark.parametrize("joint", WELDERS["joints"], ids=lambda joint: joint["id"])
def test_certificates_against_joint(joint: dict[str, Any]) -> None:
    weld = Weld(**joint["weld"])
    assert joint["why"]
    assert covering(weld, {}) == joint["covered_by"]
    for number, expected in joint.get("refused", {}).items():
        assert not_clear(edition_2019.covers(PAPERS[number], weld, {})) == expected, number


@pytest.mark.parametrize("joint", WELDERS["joints"], ids=lambda joint: joint["id"])
def test_every_edition_answers_alike_under_its_own_year(joint: dict[str, Any]) -> None:
    weld = Weld(**joint["weld"])
    for year, edition in EDITIONS.items():
        assert covering(weld, {}, edition) == joint["covered_by"]
        reasons = edition.covers(PAPERS["W03"], weld, {})
        assert {reason.basis.edition for reason in reasons} == {year}


def test_choices_open_what_they_name() -> None:
    by_id = {joint["id"]: joint for joint in WELDERS["joints"]}
    inch = Weld(**by_id["J19"]["weld"])
    assert covering(inch, {"ix units": "US customary"}) == by_id["J19"]["us_customary"]
    fillet = Weld(**by_id["J40"]["weld"])
    free = covering(fillet, {"ix fillets after a plate groove test": "any diameter"})
    assert sorted(free) == sorted(by_id["J40"]["covered_by"] + by_id["J40"]["any_diameter"])
    flux_cored = Weld(**by_id["J36"]["weld"])
    assert covering(flux_cored, {"ix flux-cored arc": "apart"}) == []


def test_there_are_as_many_whole_cases_as_promised() -> None:
    assert len(PAPERS) >= 12
    assert len(WELDERS["joints"]) >= 40
    assert len(read("procedures.yml")["sets"]) >= 8


def test_two_pipe_tests_join_thickness_and_diameter() -> None:
    small, thick = PAPERS["W06"], PAPERS["W02"]
    weld = Weld(
        process="141",
        product="pipe",
        weld_type="butt",
        position="6G",
        direction="up",
        material_group="P8.1",
        filler="ER308L",
        covering="solid",
        backing="gas",
        root=True,
        sides="single",
        od_mm=60.3,
        deposit_mm=14.0,
        current="DC-",
    )
    assert not_clear(edition_2019.covers(small, weld, {})) == {
        "deposited thickness": "nonconformity"
    }
    assert not_clear(edition_2019.covers(thick, weld, {})) == {"outside diameter": "nonconformity"}
    joined = edition_2019.covers_together([small, thick], weld, {})
    assert not_clear(joined) == {}
    (deposit,) = (r for r in joined if r.variable == "deposited thickness")
    assert deposit.basis.clause == "Table QW-452.1(b), note 2"
    assert worst(edition_2019.covers_together([small], weld, {})) is not CLEAR


def confirmations(entries: list[dict[str, Any]]) -> list[Confirmation]:
    return [
        Confirmation(
            signed_on=entry["signed"],
            by="welding supervisor",
            process=entry.get("process", ""),
            renewal=entry.get("renewal", False),
        )
        for entry in entries
    ]


@pytest.mark.parametrize("case", read("histories.yml")["cases"], ids=lambda case: case["id"])
def test_history(case: dict[str, Any]) -> None:
    paper = Certificate(
        number="W",
        code="ASME IX:2019",
        welded_on=case["welded_on"],
        ended_on=case.get("ended_on"),
        result=case.get("result", "passed"),
        deposits=tuple(Deposit(process=name) for name in case["processes"]),
    )
    if "ask" in case:
        paper = edition_2019.for_process(paper, case["ask"])
    history = confirmations(case.get("history", []))
    choices = case.get("choices", {})
    assert edition_2019.valid_until(paper, history, choices) == case["until"]
    for day in case.get("in_force", []):
        reasons = edition_2019.valid_on(paper, day, history, choices)
        assert not_clear(reasons) == {}, day
    for day, expected in case.get("not_in_force", {}).items():
        reasons = edition_2019.valid_on(paper, day, history, choices)
        assert not_clear(reasons) == dict.fromkeys(expected, "nonconformity"), day
        assert {reason.basis.edition for reason in reasons} == {"2019"}


def _span(value: list[float | None] | None) -> Span | None:
    return None if value is None else Span(low=value[0], high=value[1])


def pqr(fields: dict[str, Any]) -> Pqr:
    known = dict(fields)
    known["passes"] = tuple(
        PqrPass(number=n, **one) for n, one in enumerate(known.pop("passes"), 1)
    )
    known["tests"] = tuple(TestResult(**one) for one in known.pop("tests"))
    known["material_groups"] = tuple(known["material_groups"])
    heat = known.pop("pwht", None)
    if heat:
        known["pwht"] = HeatTreatment(
            temperature_c=_span(heat["temperature_c"]), holding_min=heat["holding_min"]
        )
    return Pqr(code="ASME IX:2019", welded_on=date(2024, 3, 1), **known)


SPANS = ("current_a", "voltage_v", "travel_mm_min")


def wps(fields: dict[str, Any]) -> Procedure:
    known = dict(fields)
    passes = []
    for one in known.pop("passes"):
        ranges = {name: _span(one[name]) for name in SPANS if name in one}
        passes.append(ProcedurePass(**{**one, **ranges}))
    heat = known.pop("pwht", None)
    if heat:
        known["pwht"] = HeatTreatment(
            temperature_c=_span(heat["temperature_c"]), holding_min=heat["holding_min"]
        )
    known["wall_mm"] = _span(known.pop("wall_mm", None))
    for name in ("material_groups", "positions"):
        known[name] = tuple(known.get(name, ()))
    number = known.pop("id")
    return Procedure(
        number=number,
        revision="0",
        title=number,
        code="ASME IX:2019",
        passes=tuple(passes),
        **known,
    )


PROCEDURES = read("procedures.yml")
LINES = [
    pytest.param(one["pqrs"], line, id=f"{one['id']}-{line['wps']['id']}")
    for one in PROCEDURES["sets"]
    for line in one["lines"]
]


@pytest.mark.parametrize(("numbers", "line"), LINES)
def test_procedure_line(numbers: list[str], line: dict[str, Any]) -> None:
    tests = [pqr(PROCEDURES["pqrs"][number] | {"number": number}) for number in numbers]
    edition = EDITIONS[line.get("edition", "2019")]
    reasons = edition.supports(tests, wps(line["wps"]), line.get("choices", {}))
    assert line["why"]
    assert not_clear(reasons) == line["expected"]
    assert {reason.basis.edition for reason in reasons} == {line.get("edition", "2019")}
