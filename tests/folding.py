"""A project folder with all that hangs on its joints folded into one file of joint files."""

from __future__ import annotations

import json
from collections import defaultdict
from dataclasses import MISSING, fields, is_dataclass
from datetime import date
from pathlib import Path
from typing import Any

import yaml

from dossier.intake import load_project
from dossier.intake.joint_files import NESTED
from dossier.intake.schemas import REGISTERS
from dossier.records.project import Project
from tests.trial import read

OWN = ("origin", "not_applicable", "name")  # of a record; a joint's name is read from its number


def plain(value: Any) -> Any:
    """A record as its file would give it: no blanks, "n/a" where that was answered."""
    if is_dataclass(value) and not isinstance(value, type):
        return plain_record(value)
    if isinstance(value, tuple):
        return [plain(part) for part in value]
    return value.isoformat() if isinstance(value, date) else value


def plain_record(record: Any) -> dict[str, Any]:
    data = {}
    for part in fields(record):
        value = getattr(record, part.name)
        default = part.default if part.default is not MISSING else None
        is_name = part.name == "name" and is_dataclass(value)
        if part.name in OWN[:2] or is_name or value == default or value in (None, ""):
            continue
        data[part.name] = plain(value)
    for name in getattr(record, "not_applicable", ()):
        if "." not in name:
            data[name] = "n/a"
    return data


def folded(folder: Path) -> Path:
    """Fold the project in `folder`: its other registers and rules stay as they are."""
    project = load_project(folder)
    lines, left = taken_apart(project)
    text = "".join(f"{json.dumps(line, ensure_ascii=False)}\n" for line in lines)
    (folder / "folded.jsonl").write_text(text, encoding="utf-8")
    registers = {}
    for name, records in left.items():
        if records:
            registers[name] = f"folded-{name}.json"
            rows = json.dumps({"schema": "1.0", "records": records}, ensure_ascii=False)
            (folder / registers[name]).write_text(rows, encoding="utf-8")
    head = read(folder / "project.yaml")
    head["registers"] = {**registers, "joint_files": "folded.jsonl"}
    text = yaml.safe_dump(head, sort_keys=False, allow_unicode=True)
    (folder / "project.yaml").write_text(text, encoding="utf-8")
    return folder


def taken_apart(  # noqa: C901  one register after the other
    project: Project,
) -> tuple[list[dict[str, Any]], dict[str, list[Any]]]:
    """The lines, and the records that no joint takes in."""
    hanging: dict[str, dict[str, list[Any]]] = {name: defaultdict(list) for name in NESTED}
    for name in NESTED:
        for record in getattr(project, name):
            row = plain_record(record)
            key = row.pop("joint") if name != "items" else row["number"]
            hanging[name][key].append(row)
    lines = []
    members = set()
    known = set()
    for joint in project.joints:
        line = plain_record(joint)
        for name in NESTED:
            if name == "items":
                numbers = dict.fromkeys((joint.upstream_item, joint.downstream_item))
                rows = [row for number in numbers for row in hanging[name].get(number, ())]
                members |= set(numbers)
            else:
                rows = [] if joint.number in known else hanging[name].pop(joint.number, [])
            if rows:
                line[name] = rows
        known.add(joint.number)
        lines.append(line)
    left: dict[str, list[Any]] = {}
    for name in REGISTERS:
        if name == "items":
            loose = (rows for key, rows in hanging[name].items() if key not in members)
            left[name] = [row for rows in loose for row in rows]
        elif name in NESTED:
            owned = hanging[name].items()
            left[name] = [{"joint": key, **row} for key, rows in owned for row in rows]
        elif name != "joints":
            left[name] = [plain_record(record) for record in getattr(project, name)]
    return lines, left
