"""Findings for other programs: JSON lines, SARIF against its schema, JUnit XML."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any
from xml.etree import ElementTree as ET

import jsonschema
import pytest

from dossier.documents.finding_forms.json_lines import json_lines
from dossier.documents.finding_forms.junit import junit_xml
from dossier.documents.finding_forms.sarif import sarif
from dossier.documents.report_text import report_text
from dossier.records.position import Position
from dossier.records.verdicts import (
    CUT_OUT,
    HOLD,
    NONCONFORMITY,
    NOTE,
    Basis,
    Evidence,
    Finding,
    Reason,
)
from tests.documents import example

DAY = date(2026, 6, 30)
# The schema of the OASIS standard as it travels in the npm package @microsoft/jest-sarif 1.0.0.
SCHEMA = Path(__file__).parent / "schemas" / "sarif-2.1.0-rtm.5.json"
CODE = Basis("ISO 9606-1", "2012", "5.7")
OWN = Basis("Project specification", "", "1", "project")
QUESTIONS = {"welder-range": "Inside the range?", "heat-input": "Inside the window?", "idle": "?"}
CELL = Evidence(Position("registers/weld log ü.xlsx", 7, "Log", "F"))
PAGE = Evidence(Position("ndt.csv", 3), "D-1", 4)


def made(check: str, verdict: Any, joint: str, *proof: Evidence, conceded: str = "") -> Finding:
    reasons = (Reason("wall", "9 mm", "up to 8 mm", CODE, verdict), Reason("x", "1", "2", OWN))
    return Finding(
        check, verdict, (("joint", joint),), f"Told <of> {joint} & more.", reasons, proof,
        "Cure it.", conceded,
    )  # fmt: skip


FINDINGS = [
    made("welder-range", CUT_OUT, "J-1", CELL, PAGE),
    made("welder-range", NONCONFORMITY, "J-2", CELL, conceded="CON-1"),
    made("heat-input", HOLD, "J-1", PAGE, PAGE),
    made("heat-input", NOTE, "J-3"),
]


@pytest.fixture(scope="module")
def log() -> dict[str, Any]:
    return sarif(FINDINGS, QUESTIONS, {"D-1": "evidence/d 1.pdf"})


def results(log: dict[str, Any]) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = log["runs"][0]["results"]
    return found


def test_sarif_is_valid_by_its_schema(log: dict[str, Any]) -> None:
    schema = json.loads(SCHEMA.read_text(encoding="utf-8"))
    jsonschema.Draft4Validator(schema).validate(json.loads(json.dumps(log)))


def test_the_schema_of_sarif_refuses_what_it_should(log: dict[str, Any]) -> None:
    schema = json.loads(SCHEMA.read_text(encoding="utf-8"))
    broken = json.loads(json.dumps(log))
    broken["runs"][0]["results"][0]["level"] = "cut-out"
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.Draft4Validator(schema).validate(broken)


def test_every_result_names_its_rule_and_stands_on_a_line(log: dict[str, Any]) -> None:
    rules = log["runs"][0]["tool"]["driver"]["rules"]
    assert [rule["id"] for rule in rules] == list(QUESTIONS)
    for finding, result in zip(FINDINGS, results(log), strict=True):
        assert rules[result["ruleIndex"]]["id"] == result["ruleId"] == finding.check
        (place,) = result["locations"]
        assert place["physicalLocation"]["region"]["startLine"] >= 1
        assert result["partialFingerprints"] == {"findingId/v1": finding.id}
    nowhere = results(log)[3]["locations"][0]["physicalLocation"]
    assert nowhere["artifactLocation"]["uri"] == "project.yaml"


def test_a_level_stands_only_on_what_failed(log: dict[str, Any]) -> None:
    told = [(one["kind"], one["level"]) for one in results(log)]
    assert told == [("fail", "error"), ("fail", "error"), ("open", "none"), ("fail", "note")]


def test_a_rule_names_standard_and_edition(log: dict[str, Any]) -> None:
    rule, _, idle = log["runs"][0]["tool"]["driver"]["rules"]
    assert rule["properties"]["standards"] == [{"standard": "ISO 9606-1", "edition": "2012"}]
    assert rule["properties"]["projectRequirements"] == ["Project specification"]
    assert idle["properties"]["standards"] == []


def test_a_concession_suppresses_and_only_that(log: dict[str, Any]) -> None:
    suppressed = [one.get("suppressions") for one in results(log)]
    assert suppressed[0] is suppressed[2] is suppressed[3] is None
    assert suppressed[1] == [
        {"kind": "external", "status": "accepted", "justification": "Conceded by CON-1"}
    ]


def test_addresses_are_encoded_and_pages_lead_to_their_file(log: dict[str, Any]) -> None:
    first = results(log)[0]
    place = first["locations"][0]
    uri = place["physicalLocation"]["artifactLocation"]["uri"]
    assert uri == "registers/weld%20log%20%C3%BC.xlsx"
    assert place["properties"]["cell"] == "Log!F7"
    page = first["relatedLocations"][-1]
    assert page["message"]["text"] == "D-1, page 4"
    assert page["physicalLocation"]["artifactLocation"]["uri"] == "evidence/d%201.pdf"
    assert [one["id"] for one in first["relatedLocations"]] == [1, 2]


def suites(least: Any = HOLD) -> dict[str, ET.Element]:
    text = junit_xml("BG & co", DAY, FINDINGS, QUESTIONS, least)
    root = ET.fromstring(text)  # noqa: S314 - our own text
    assert root.tag == "testsuites"
    return {str(suite.get("name")): suite for suite in root}


def test_junit_has_a_suite_a_check_and_a_case_a_subject() -> None:
    assert list(suites()) == list(QUESTIONS)
    for suite in suites().values():
        cases = suite.findall("testcase")
        assert len(cases) == int(suite.get("tests", "0"))
        assert len(suite.findall("testcase/failure")) == int(suite.get("failures", "0"))
        assert len(suite.findall("testcase/skipped")) == int(suite.get("skipped", "0"))
    ran = suites()["idle"]
    assert (ran.get("tests"), ran.get("failures")) == ("1", "0")


def test_junit_failures_carry_record_positions_and_concessions_are_skipped() -> None:
    cases = suites()["welder-range"].findall("testcase")
    failure = cases[0].find("failure")
    assert failure is not None
    assert failure.get("type") == "cut-out"
    for part in ("Log!F7", "D-1, page 4", FINDINGS[0].id, "[ISO 9606-1:2012, 5.7]", "Cure it."):
        assert part in (failure.text or "")
    skipped = cases[1].find("skipped")
    assert skipped is not None
    assert "CON-1" in skipped.get("message", "")


def test_junit_fails_from_the_verdict_asked_for() -> None:
    mild = suites()["heat-input"]
    assert (mild.get("failures"), len(mild.findall("testcase/system-out"))) == ("1", 1)
    strict = suites(NOTE)["heat-input"]
    assert (strict.get("failures"), len(strict.findall("testcase/system-out"))) == ("2", 0)
    assert suites(CUT_OUT)["heat-input"].get("failures") == "0"


def test_junit_survives_characters_that_xml_forbids() -> None:
    bad = replace(FINDINGS[0], sentence="a\x00b\x1b")
    text = junit_xml("t\x02", DAY, [bad], QUESTIONS, HOLD)
    assert "a?b?" in text
    ET.fromstring(text)  # noqa: S314 - our own text


def test_json_lines_hold_one_finding_each_in_order() -> None:
    lines = list(json_lines(FINDINGS))
    assert all("\n" not in line for line in lines)
    assert [json.loads(line)["id"] for line in lines] == [f.id for f in FINDINGS]
    assert json.loads(lines[1])["conceded_by"] == "CON-1"


def test_the_text_report_sets_conceded_findings_apart_and_fits_100_columns() -> None:
    text = report_text(example.SETTINGS, DAY, FINDINGS)
    assert max(map(len, text.splitlines())) <= 100
    order = ["CUT-OUT (1)", " welder-range (1)", "HOLD (1)", "NOTE (1)", "CONCEDED (1)"]
    places = [text.index(part) for part in order]
    assert places == sorted(places)
    assert "NONCONFORMITY (" not in text
    assert "1 conceded. 2 open." in text
    assert "\x1b" not in text
    assert "\x1b[1;35mCUT-OUT (1)\x1b[0m" in report_text(
        example.SETTINGS, DAY, FINDINGS, colour=True
    )
