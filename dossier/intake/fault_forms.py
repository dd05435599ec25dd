"""The faults of a project in the forms that people and programs read: text, JSON, SARIF 2.1.0."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from itertools import groupby
from typing import Any
from urllib.parse import quote

from dossier import __version__
from dossier.errors import Fault, ProjectError
from dossier.units import counted

SHOWN = 50
_RULE = "record-fault"
_LINE = re.compile(r"line ([0-9]+)")


def faults_as_text(error: ProjectError, shown: int = SHOWN) -> str:
    """The faults under the name of their file, the first `shown` of all, and how many there are.

    >>> print(faults_as_text(ProjectError([Fault("a.yaml", "line 2", "kind", '"rot"', "root")])))
    a.yaml (1 fault)
      line 2: kind: found "rot", expected root.
    1 fault in 1 file; nothing was written.
    """
    held: dict[str, int] = {}
    for fault in error.faults:
        held[fault.file] = held.get(fault.file, 0) + 1
    lines = []
    for file, faults in groupby(error.faults[:shown], key=lambda fault: fault.file):
        lines.append(f"{file} ({counted(held[file], 'fault')})")
        lines += [f"  {_without_file(fault)}" for fault in faults]
    left = len(error.faults) - shown
    total = f"{counted(len(error.faults), 'fault')} in {counted(len(held), 'file')}"
    if left > 0:
        lines.append(f"The first {shown} are shown; {left} more are not.")
    return "\n".join([*lines, f"{total}; nothing was written."])


def _without_file(fault: Fault) -> str:
    return str(fault).removeprefix(fault.file).removeprefix(", ").removeprefix(": ")


def faults_as_data(error: ProjectError) -> dict[str, Any]:
    """All faults as plain data for JSON, in reading order, with the number in each file."""
    files: dict[str, int] = {}
    for fault in error.faults:
        files[fault.file] = files.get(fault.file, 0) + 1
    return {
        "total": len(error.faults),
        "files": files,
        "faults": [
            {
                "file": fault.file,
                "place": fault.place,
                "field": fault.field,
                "found": fault.found,
                "expected": fault.expected,
                "hint": fault.hint,
                "message": str(fault),
            }
            for fault in error.faults
        ],
    }


def faults_as_sarif(error: ProjectError) -> dict[str, Any]:
    """All faults as a log of the Static Analysis Results Interchange Format.

    Source: OASIS SARIF version 2.1.0, 3.13 (log), 3.14 (run), 3.27 (result), 3.28 (location). A
    line goes into the region of its file; a cell of a workbook is a logical location.
    """
    rule = {
        "id": _RULE,
        "shortDescription": {"text": "A record that cannot be read as its schema describes it."},
        "defaultConfiguration": {"level": "error"},
    }
    driver = {"name": "dossier", "version": __version__, "rules": [rule]}
    return {
        "$schema": "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json",
        "version": "2.1.0",
        "runs": [
            {
                "tool": {"driver": driver},
                "columnKind": "unicodeCodePoints",
                "results": _results(error.faults),
            }
        ],
    }


def _results(faults: Sequence[Fault]) -> list[Mapping[str, Any]]:
    return [
        {
            "ruleId": _RULE,
            "ruleIndex": 0,
            "level": "error",
            "message": {"text": _without_file(fault)},
            "locations": [_location(fault)],
        }
        for fault in faults
    ]


def _location(fault: Fault) -> dict[str, Any]:
    artifact = {"uri": quote(fault.file.replace("\\", "/"), safe="/:")}
    physical: dict[str, Any] = {"artifactLocation": artifact}
    location: dict[str, Any] = {"physicalLocation": physical}
    line = _LINE.fullmatch(fault.place)
    if line:
        physical["region"] = {"startLine": int(line[1])}
    named = [part for part in (fault.place if not line else "", fault.field) if part]
    if named:
        location["logicalLocations"] = [{"fullyQualifiedName": " ".join(named)}]
    return location
