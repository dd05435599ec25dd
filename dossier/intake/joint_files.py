"""Joint files: all that is on record of a joint in one line, for registers of any length.

One JSON object a line: the fields of a joint and, nested, lists of what hangs on it (passes,
examinations with their indications, repairs, ...) and of its members (items). What is nested has
the fields of its own register, without `joint`, which is the joint it stands in. An item that
joins two joints is given with both, the same each time.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from copy import deepcopy
from dataclasses import replace
from functools import cache
from pathlib import Path

from dossier.intake import validate
from dossier.intake.convert import Converted, Known, convert
from dossier.intake.raw import Raw, Told
from dossier.intake.read_json import read_lines
from dossier.intake.schemas import URN, Schema, schema
from dossier.intake.shape import shape
from dossier.intake.values import Writing

JOINT_FILES = "joint_files"
# Registers whose records may stand inside of their joint.
NESTED = (
    "passes", "examinations", "repairs", "heat_treatments", "hardness_tests", "coatings",
    "lowerings", "items",
)  # fmt: skip
Registers = dict[str, list[Converted]]


@cache
def joint_file_schema() -> Schema:
    """The schema of one line, composed from those of the registers.

    >>> sorted(set(joint_file_schema()["properties"]) - set(schema("joints")["properties"]))[:3]
    ['coatings', 'examinations', 'hardness_tests']
    """
    whole = deepcopy(schema("joints"))
    whole["$id"], whole["title"] = f"{URN}{JOINT_FILES}", "Joint file"
    whole["description"] = "A joint with all that is on record of it and of its members."
    whole["$defs"] = dict(whole.get("$defs", {}))
    for name in NESTED:
        row = deepcopy(schema(name))
        whole["$defs"].update(row.get("$defs", {}))
        item = {key: row[key] for key in ("title", "description", "type", "additionalProperties")}
        item["properties"] = {k: v for k, v in row["properties"].items() if k != "joint"}
        item["required"] = [k for k in row["required"] if k != "joint"]
        whole["properties"][name] = {"title": name, "type": "array", "items": item}
    return whole


def unfolded(raw: Raw) -> Iterator[tuple[str, str, Raw]]:
    """The records of one line: register, path inside of the line, the record as it stands."""
    own = {name: value for name, value in raw.data.items() if name not in NESTED}
    yield "joints", "", Raw(own, raw.origin)
    number = own.get("number")
    for register in NESTED:
        rows = raw.data.get(register)
        for place, row in enumerate(rows if isinstance(rows, list) else (), start=1):
            inside = dict(row) if isinstance(row, Mapping) else {}
            if register != "items" and number is not None:
                inside["joint"] = number
            yield register, f"{register}.{place}.", Raw(inside, raw.origin)


class Unfolding:
    """Takes lines apart into converted records, with the faults and doubts of each line."""

    def __init__(self) -> None:
        self._known: dict[str, Known] = {}

    def records(self, raw: Raw, told: Told) -> Registers:
        """The records of a line by their registers; faulty ones go to `told`."""
        found: Registers = {}
        for register, path, part in unfolded(raw):
            known = self._known.setdefault(register, {})
            record = convert(part, shape(register), Writing(), known)
            told.doubts += [replace(doubt, field=f"{path}{doubt.field}") for doubt in record.doubts]
            wrong = validate.faults(record, schema(register))
            if wrong:
                told.faults += [replace(fault, field=f"{path}{fault.field}") for fault in wrong]
            else:
                found.setdefault(register, []).append(record)
        return found


def read_joint_files(path: Path, file: str) -> tuple[Registers, Told]:
    """All records of a file by their registers, an item that is given twice alike once.

    Raises ProjectError: a file that cannot be read.
    """
    told, unfolding = Told(), Unfolding()
    raws, told.faults = read_lines(path, file)
    registers: Registers = {}
    for raw in raws:
        for register, records in unfolding.records(raw, told).items():
            registers.setdefault(register, []).extend(records)
    if "items" in registers:
        registers["items"] = _once(registers["items"])
    return registers, told


def _once(items: list[Converted]) -> list[Converted]:
    first: dict[object, Converted] = {}
    kept = []
    for item in items:
        known = first.setdefault(item.data["number"], item)
        if known is item or known.data != item.data:
            kept.append(item)
    return kept
