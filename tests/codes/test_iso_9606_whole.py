"""Whole certificates against whole welds of ISO 9606-1:2012, and histories against days."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import pytest
import yaml

from dossier.codes import iso_9606_1_2012 as code
from dossier.codes.iso_9606_1_2012 import validity
from dossier.codes.iso_9606_1_2012.designation import certificate_of, read_designation
from dossier.errors import InputError
from dossier.records.verdicts import CLEAR, Reason, worst
from dossier.records.weld import Weld
from dossier.records.welders import Certificate, Confirmation, Deposit

LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)  # the fast one where it is built
HERE = Path(__file__).parent / "iso_9606_1_2012"


def load(name: str) -> dict[str, Any]:
    with (HERE / name).open(encoding="utf-8") as stream:
        data: dict[str, Any] = yaml.load(stream, Loader=LOADER)  # noqa: S506 - a safe loader
    return data


WHOLE = load("whole_welders.yaml")
HISTORIES = load("whole_histories.yaml")


def certificate(name: str) -> Certificate:
    given = WHOLE["certificates"][name]
    found = certificate_of(
        read_designation(given["text"]),
        name,
        date(2025, 3, 3),
        given.get("transfers", ()),
        given.get("layers", ()),
    )
    return replace(found, supplementary_fillet=given.get("supplementary_fillet", False))


def weld(joint: Mapping[str, Any], more: Mapping[str, Any] | None = None) -> Weld:
    return Weld(**(WHOLE["bases"][joint["base"]] | joint.get("change", {}) | dict(more or {})))


def open_points(reasons: tuple[Reason, ...]) -> dict[str, str]:
    return {one.variable: str(one.verdict) for one in reasons if one.verdict != CLEAR}


def lines() -> Iterator[Any]:
    for joint in WHOLE["joints"]:
        for name in WHOLE["certificates"]:
            yield pytest.param(joint, name, id=f"{joint['id']}-{name}")


@pytest.mark.parametrize(("joint", "name"), list(lines()))
def test_weld_against_certificate(joint: dict[str, Any], name: str) -> None:
    found = open_points(code.covers(certificate(name), weld(joint), {}))
    assert (not found) == (name in joint["clear"]), found
    if name in joint.get("open", {}):
        assert found == joint["open"][name], joint["why"]


def test_there_are_as_many_whole_cases_as_promised() -> None:
    assert len(WHOLE["certificates"]) >= 12
    assert len(WHOLE["joints"]) >= 40
    assert all(joint["why"] for joint in WHOLE["joints"])


@pytest.mark.parametrize("case", WHOLE["readings"], ids=lambda case: case["id"])
def test_named_reading(case: dict[str, Any]) -> None:
    joint = next(one for one in WHOLE["joints"] if one["id"] == case["joint"])
    asked = weld(joint, case.get("change"))
    if case["expected"] == "error":
        # The reading is looked up only where it matters: here, for a test in plate.
        with pytest.raises(InputError):
            code.covers(certificate("C05"), replace(asked, weld_type="fillet"), case["choices"])
        return
    reasons = code.covers(certificate(case["certificate"]), asked, case["choices"])
    assert str(worst(reasons)) == case["expected"], open_points(reasons)


@pytest.mark.parametrize("name", list(WHOLE["certificates"]))
def test_every_basis_names_this_edition(name: str) -> None:
    given = certificate(name)
    for part in given.deposits:
        for found in code.qualified_range(given, part, {}).values():
            assert found.basis.title == code.EDITION


def history_lines() -> Iterator[Any]:
    for history in HISTORIES["histories"]:
        for day, expected in history["days"].items():
            yield pytest.param(history, day, expected, id=f"{history['id']}-{day}")


def of_history(history: Mapping[str, Any]) -> tuple[Certificate, list[Confirmation]]:
    processes = history.get("processes", ["111"])
    given = Certificate(
        number=history["id"],
        code=code.EDITION,
        welded_on=history["welded_on"],
        method=history.get("method", ""),
        result=history.get("result", "passed"),
        ended_on=history.get("ended_on"),
        deposits=tuple(Deposit(process=one) for one in processes),
    )
    signed = [
        Confirmation(by="coordinator", **(one if isinstance(one, dict) else {"signed_on": one}))
        for one in history.get("confirmations", [])
    ]
    return given, signed


@pytest.mark.parametrize(("history", "day", "expected"), list(history_lines()))
def test_certificate_in_force(history: dict[str, Any], day: date, expected: Any) -> None:
    given, signed = of_history(history)
    reasons = code.valid_on(given, day, signed, history.get("choices", {}))
    assert open_points(reasons) == ({} if expected == "clear" else expected), history["why"]


@pytest.mark.parametrize(
    "history",
    [one for one in HISTORIES["histories"] if "until" in one],
    ids=lambda one: one["id"],
)
def test_last_day_in_force(history: dict[str, Any]) -> None:
    given, signed = of_history(history)
    assert code.valid_until(given, signed, history.get("choices", {})) == history["until"]


def test_a_method_that_does_not_exist_is_refused() -> None:
    given, signed = of_history(HISTORIES["histories"][0])
    with pytest.raises(InputError):
        validity.revalidated_until(replace(given, method="9.3 d"), signed)
