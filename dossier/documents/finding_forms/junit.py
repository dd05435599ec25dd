"""Findings as JUnit XML: a suite for each check, a test case for each subject that it spoke of.

The form has no standard of its own; this keeps to the elements that all readers share. A case
fails from the verdict asked for upwards; a conceded finding is skipped, a milder one passes and
tells itself in its output.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from datetime import date
from xml.etree.ElementTree import Element, SubElement, indent, tostring

from dossier.documents.findings import evidence, subject
from dossier.records.verdicts import Finding, Verdict

_ILLEGAL = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ufffe\uffff\ud800-\udfff]")


def junit_xml(
    title: str, day: date, findings: Sequence[Finding], questions: Mapping[str, str], least: Verdict
) -> str:
    """JUnit XML of the checks in `questions`, as of `day`; failures from `least` upwards."""
    root = Element("testsuites", name=_clean(title))
    for name, question in questions.items():
        own = [finding for finding in findings if finding.check == name]
        _suite(root, name, question, own, (day, least))
    for key in ("tests", "failures", "skipped"):
        root.set(key, str(sum(int(suite.get(key, "0")) for suite in root)))
    root.set("errors", "0")
    indent(root)
    return '<?xml version="1.0" encoding="UTF-8"?>\n' + tostring(root, encoding="unicode") + "\n"


def _suite(
    root: Element, name: str, question: str, own: Sequence[Finding], asked: tuple[date, Verdict]
) -> None:
    day, least = asked
    suite = SubElement(root, "testsuite", name=name, timestamp=f"{day.isoformat()}T00:00:00")
    properties = SubElement(suite, "properties")
    SubElement(properties, "property", name="question", value=_clean(question))
    for finding in own:
        _case(suite, finding, least)
    # A check without a finding must show as one that ran and passed.
    rest = "everything else" if own else "everything"
    SubElement(suite, "testcase", classname=name, name=rest, time="0")
    suite.set("tests", str(len(own) + 1))
    failed = [f for f in own if f.verdict >= least and not f.conceded_by]
    suite.set("failures", str(len(failed)))
    suite.set("errors", "0")
    suite.set("skipped", str(sum(bool(f.conceded_by) for f in own)))


def _case(suite: Element, finding: Finding, least: Verdict) -> None:
    name = _clean(subject(finding) or finding.id)
    case = SubElement(suite, "testcase", classname=finding.check, name=name, time="0")
    if finding.conceded_by:
        told = f"{finding.verdict} conceded by {finding.conceded_by}: {finding.sentence}"
        SubElement(case, "skipped", message=_clean(told))
    elif finding.verdict >= least:
        failure = SubElement(
            case, "failure", type=str(finding.verdict), message=_clean(finding.sentence)
        )
        failure.text = _clean(_told(finding))
    else:
        SubElement(case, "system-out").text = _clean(f"{finding.verdict}: {_told(finding)}")


def _told(finding: Finding) -> str:
    reasons = [
        f"{r.variable}: found {r.found}, permitted {r.permitted} [{r.basis}]"
        for r in finding.reasons
        if r.verdict
    ]
    lines = [finding.sentence, *reasons, f"records: {evidence(finding)}"]
    if finding.cure:
        lines.append(f"cure: {finding.cure}")
    return "\n".join([*lines, f"id: {finding.id}"])


def _clean(text: str) -> str:
    """Text without the characters that XML 1.0 forbids."""
    return _ILLEGAL.sub("?", text)
