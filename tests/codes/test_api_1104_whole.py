"""Whole certificates, procedures and films against API 1104, each verdict worked out by hand."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

import pytest
import yaml

from dossier.codes import api_1104_20, api_1104_21
from dossier.records.examinations import Indication
from dossier.records.procedures import (
    Groove,
    HeatTreatment,
    Pqr,
    PqrPass,
    Procedure,
    ProcedurePass,
    Span,
)
from dossier.records.verdicts import CLEAR, Reason, worst
from dossier.records.weld import Weld
from dossier.records.welders import Certificate, Deposit

WHOLE = Path(__file__).parent / "api_1104_21" / "whole"


def read(name: str) -> dict[str, Any]:
    with (WHOLE / name).open(encoding="utf-8") as stream:
        data: dict[str, Any] = yaml.safe_load(stream)
    return data


def not_clear(reasons: tuple[Reason, ...]) -> dict[str, str]:
    return {r.variable: str(r.verdict) for r in reasons if r.verdict != CLEAR}


def certificate(fields: dict[str, Any]) -> Certificate:
    known = {key: value for key, value in fields.items() if key not in ("id", "note")}
    known["deposits"] = tuple(Deposit(**part) for part in known["deposits"])
    known["positions"] = tuple(known["positions"])
    return Certificate(
        number=fields["id"], code="API 1104:21st", welded_on=date(2025, 2, 3), **known
    )


def welder_lines() -> Iterator[Any]:
    data = read("welders.yml")
    papers = {fields["id"]: certificate(fields) for fields in data["certificates"]}
    for joint in data["joints"]:
        for number, expected in joint["expected"].items():
            yield pytest.param(
                papers[number],
                Weld(**joint["weld"]),
                {} if expected == "clear" else expected,
                id=f"{joint['id']}-{number}",
            )


@pytest.mark.parametrize(("paper", "weld", "expected"), list(welder_lines()))
def test_certificate_against_weld(paper: Certificate, weld: Weld, expected: Any) -> None:
    reasons = api_1104_21.covers(paper, weld, {})
    assert not_clear(reasons) == expected
    assert {r.basis.edition for r in api_1104_20.covers(paper, weld, {})} == {"20th"}


def test_there_are_as_many_whole_welder_cases_as_promised() -> None:
    data = read("welders.yml")
    assert len(data["certificates"]) >= 12
    assert len(data["joints"]) >= 40


FILMS = read("films.yml")


@pytest.mark.parametrize("film", FILMS["films"], ids=lambda film: film["id"])
def test_film(film: dict[str, Any]) -> None:
    indications = [
        Indication(
            density_exceeds_base=film.get("dark"),
            **dict(zip(FILMS["fields"], row, strict=False)),
        )
        for row in film["e"]
    ]
    reasons = api_1104_21.accept(
        film.get("method", "RT"),
        indications,
        od_mm=film["od_mm"],
        wall_mm=film["wall_mm"],
        choices=film.get("choices", {}),
    )
    assert not_clear(reasons) == film["expected"]
    assert reasons  # a clean film says so


PASS = ("kind", "process", "filler", "current", "direction", "gas")
SETS = read("procedures.yml")


def pqr_of(number: str, fields: dict[str, Any]) -> Pqr:
    passes = tuple(
        PqrPass(number=i, since_last_min=row[-1], **dict(zip(PASS, row[:-1], strict=True)))
        for i, row in enumerate(fields["passes"], start=1)
    )
    known = {k: v for k, v in fields.items() if k not in ("passes", "groove")}
    return Pqr(
        number=number,
        code="API 1104:21st",
        welded_on=date(2025, 2, 3),
        groove=Groove(kind=fields["groove"]),
        passes=passes,
        **known,
    )


def span(ends: list[float] | None) -> Span | None:
    return Span(low=ends[0], high=ends[1]) if ends else None


@pytest.mark.parametrize("line", SETS["lines"], ids=lambda line: line["id"])
def test_wps_line_against_its_tests(line: dict[str, Any]) -> None:
    passes = tuple(
        ProcedurePass(within_min=row[-1], **dict(zip(PASS, row[:-1], strict=True)))
        for row in line["passes"]
    )
    sheet = Procedure(
        number="WPS-1",
        revision="0",
        title="girth welds",
        code="API 1104:21st",
        smys_mpa=span(line["smys_mpa"]),
        wall_mm=span(line["wall_mm"]),
        positions=tuple(line["positions"]),
        groove=Groove(kind=line["groove"]),
        preheat_min_c=line["preheat_c"],
        pwht=HeatTreatment() if line.get("heat") else None,
        passes=passes,
    )
    tests = [pqr_of(number, SETS["tests"][number]) for number in line["tests"]]
    assert not_clear(api_1104_21.supports(tests, sheet, {})) == line["expected"]
    earlier = api_1104_20.supports(tests, sheet, {})
    assert not_clear(earlier) == line["expected"]
    assert {reason.basis.edition for reason in earlier} == {"20th"}


def test_there_are_as_many_films_and_tests_as_promised() -> None:
    assert len(FILMS["films"]) >= 25
    assert len(SETS["tests"]) >= 8


def test_clean_film_is_worst_clear() -> None:
    assert worst(api_1104_21.accept("RT", [], od_mm=323.85, wall_mm=9.5, choices={})) == CLEAR
