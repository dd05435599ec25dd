"""Whole procedure tests against lines of procedures of ISO 15614-1, editions 2017 and 2004."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import fields
from datetime import date
from pathlib import Path
from typing import Any

import pytest
import yaml

from dossier.codes import iso_15614_1_2004, iso_15614_1_2017
from dossier.records.procedures import (
    Groove,
    HeatTreatment,
    Pqr,
    PqrPass,
    Procedure,
    ProcedurePass,
    Span,
    TestResult,
)
from dossier.records.verdicts import CLEAR, Reason

LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)  # the fast one where it is built
HERE = Path(__file__).parent / "iso_15614_1_2017"
with (HERE / "whole_procedures.yaml").open(encoding="utf-8") as stream:
    WHOLE: dict[str, Any] = yaml.load(stream, Loader=LOADER)  # noqa: S506 - a safe loader

SPANS = {
    one.name
    for kind in (Procedure, ProcedurePass, Groove, HeatTreatment)
    for one in fields(kind)
    if "Span" in str(one.type)
}


def built(kind: type[Any], given: Mapping[str, Any]) -> Any:
    """A record from plain data: spans, grooves and heat treatments as mappings."""
    values: dict[str, Any] = {}
    for name, value in given.items():
        if name in SPANS and isinstance(value, dict):
            values[name] = Span(**value)
        elif name == "groove" and value is not None:
            values[name] = built(Groove, value)
        elif name == "pwht" and value is not None:
            values[name] = built(HeatTreatment, value)
        else:
            values[name] = tuple(value) if isinstance(value, list) else value
    return kind(**values)


def qualification(name: str, code: str) -> Pqr:
    given = dict(WHOLE["tests"][name])
    if "like" in given:
        given = WHOLE["tests"][given.pop("like")] | given
    passes = [PqrPass(**one) for one in given["passes"]]
    results = [TestResult(**one) for one in given["tests"]]
    more = {"number": name, "code": code, "welded_on": date(2025, 2, 3)}
    found: Pqr = built(Pqr, given | more | {"passes": passes, "tests": results})
    return found


def procedure(given: Mapping[str, Any], change: Mapping[str, Any]) -> Procedure:
    """The procedure of a set; a change named after a kind of pass changes these passes."""
    kinds = {"root", "fill", "cap", "back"}
    passes = [built(ProcedurePass, one | change.get(one["kind"], {})) for one in given["passes"]]
    own = {name: value for name, value in change.items() if name not in kinds}
    more = {"number": "W1", "revision": "0", "title": "line", "code": "ISO 15614-1:2017"}
    found: Procedure = built(Procedure, given | own | more | {"passes": passes})
    return found


def open_points(reasons: tuple[Reason, ...]) -> dict[str, str]:
    return {one.variable: str(one.verdict) for one in reasons if one.verdict != CLEAR}


def lines() -> Iterator[Any]:
    for group in WHOLE["sets"]:
        for line in group["lines"]:
            yield pytest.param(group, line, id=f"{group['id']}-{line['id']}")


@pytest.mark.parametrize(("group", "line"), list(lines()))
def test_procedure_against_its_tests(group: dict[str, Any], line: dict[str, Any]) -> None:
    code = iso_15614_1_2017
    pqrs = [qualification(name, code.EDITION) for name in group["tests"]]
    wps = procedure(group["procedure"], line.get("change", {}))
    reasons = code.supports(pqrs, wps, line.get("choices", {}))
    assert open_points(reasons) == line.get("open", {}), line["why"]
    assert {one.basis.title for one in reasons} == {code.EDITION}


def test_there_are_as_many_sets_as_promised() -> None:
    assert len(WHOLE["sets"]) >= 8


@pytest.mark.parametrize("name", list(WHOLE["tests"]))
def test_every_basis_names_its_edition(name: str) -> None:
    for code in (iso_15614_1_2004, iso_15614_1_2017):
        found = code.procedure_range(qualification(name, code.EDITION), {})
        assert {one.basis.title for one in found.values()} == {code.EDITION}


def test_2004_holds_each_deposit_to_the_thickness_table() -> None:
    """8.3.2.1 of 2004: the root of 3 mm in one run covers 2.1 to 3.9 mm; 2017 says up to 6 mm."""
    group = next(one for one in WHOLE["sets"] if one["id"] == "S3")
    wps = procedure(group["procedure"], {"material_groups": ["2.2"]})
    pqr = qualification("P03", iso_15614_1_2004.EDITION)
    found = open_points(iso_15614_1_2004.supports([pqr], wps, {}))
    assert found == {"deposited thickness, 141": "nonconformity"}
    assert open_points(iso_15614_1_2017.supports([pqr], wps, {})) == {}


@pytest.mark.parametrize("code", [iso_15614_1_2004, iso_15614_1_2017])
@pytest.mark.parametrize("weld_type", ["", "butt", "fillet", "branch"])
def test_gaps_of_a_test_record_hold_and_never_break(code: Any, weld_type: str) -> None:
    """A record with nothing but its process clears nothing that it does not state."""
    bare = Pqr(
        number="P0",
        code=code.EDITION,
        welded_on=date(2025, 2, 3),
        weld_type=weld_type,
        material_groups=("P1.1",),
        position="as shown",
        impact_tested=True,
        passes=(PqrPass(number=1, kind="root", process="135"),),
    )
    given = WHOLE["sets"][0]["procedure"]
    change = {"weld_type": weld_type, "root": {"process": "135", "gas": "M21"}}
    wps = procedure({**given, "passes": given["passes"][:1]}, change)
    found = open_points(code.supports([bare], wps, {}))
    silent = {
        "material groups",
        "material thickness",
        "outside diameter",
        "position",
        "current",
        "transfer",
        "filler",
        "shielding gas",
        "heat input, root",
        "preheat",
        "interpass",
    }
    assert silent <= set(found), silent - set(found)
    assert {found[name] for name in silent} <= {"hold"}


CLAUSES = {
    "process": "8.4.1",
    "level": "1",
    "weld type": "8.4.3",
    "sides and backing": "8.4.3",
    "material groups": "8.3.1, Table 5",
    "yield strength": "8.3.1, Table 5",
    "material thickness": "8.3.2, Table 7",
    "deposited thickness": "8.3.2, Table 7",
    "outside diameter": "8.3.3",
    "position": "8.4.2",
    "runs": "8.4.1",
    "current": "8.4.6",
    "transfer": "8.5.2",
    "filler": "8.4.4",
    "shielding gas": "8.5.2",
    "heat input": "8.4.7",
    "heat input, root": "8.4.7",
    "heat input, fill": "8.4.7",
    "heat input, cap": "8.4.7",
    "preheat": "8.4.8",
    "interpass": "8.4.9",
    "heat treatment": "8.4.11",
}


@pytest.mark.parametrize("name", ["P01", "P03"])
def test_rules_of_2004_stand_under_their_clauses_of_2017(name: str) -> None:
    found = iso_15614_1_2017.procedure_range(qualification(name, "ISO 15614-1:2017"), {})
    for variable, permitted in found.items():
        own = variable.removesuffix(", 141").removesuffix(", 135")
        assert permitted.basis.clause == CLAUSES[own], variable


def test_fillet_rules_stand_under_the_fillet_table() -> None:
    found = iso_15614_1_2017.procedure_range(qualification("P05", "ISO 15614-1:2017"), {})
    assert found["material thickness"].basis.clause == "8.3.2, Table 8"
    assert found["throat"].basis.clause == "8.3.2, Table 8"


def test_reasons_are_worded_for_people() -> None:
    """Found and permitted, as a sheet prints them."""
    group = WHOLE["sets"][0]
    wps = procedure(group["procedure"], {"od_mm": {"low": 114.3}, "wall_mm": {"low": 8, "high": 8}})
    pqr = qualification("P01", iso_15614_1_2017.EDITION)
    said = {
        one.variable: (one.found, one.permitted)
        for one in iso_15614_1_2017.supports([pqr], wps, {})
    }
    assert said["yield strength"] == ("up to 355 MPa", "up to 360 MPa")
    assert said["material thickness"] == ("8 mm", "3 to 24 mm")
    assert said["outside diameter"] == ("from 114.3 mm", "from 109.55 mm")
    assert said["heat input, root"] == ("0.72 to 1.2 kJ/mm", "0.72 to 1.2 kJ/mm")
    assert said["preheat"] == ("100 °C", "from 100 °C")
    assert said["interpass"] == ("230 °C", "up to 230 °C")
    assert said["heat treatment"] == ("none", "none")
    assert said["test results"] == ("P01: 4 accepted", "all accepted")
    assert said["material groups"] == ("1.2-1.2", "1-1 of 1.2-1.2")


def test_joined_tests_are_named() -> None:
    group = next(one for one in WHOLE["sets"] if one["id"] == "S2")
    pqrs = [qualification(name, iso_15614_1_2017.EDITION) for name in group["tests"]]
    reasons = iso_15614_1_2017.supports(pqrs, procedure(group["procedure"], {}), {})
    assert "P01, P02 together" in {one.permitted for one in reasons}
