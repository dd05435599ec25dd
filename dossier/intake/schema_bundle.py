"""One schema in one piece, for an editor that must not ask for other files."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from dossier.intake.schemas import REGISTERS, URN, Schema, schema

NAMES = ("project", *REGISTERS)


def bundled(name: str, *, file: bool = True) -> Schema:
    """The schema `name` with everything that it refers to inside of it.

    With `file` the schema of a whole YAML or JSON file: for a register a list of records, or
    `schema` and `records`. Without, that of one record. Raises InputError: there is no such schema.

    >>> bundled("lowerings")["$defs"]["paper"]["required"]
    ['document']
    """
    whole = schema(name)
    parts: dict[str, Any] = dict(whole.get("$defs", {}))
    record = {k: v for k, v in whole.items() if k not in ("$defs", "$schema", "$id")}
    record = _inside(record, parts)
    done: set[str] = set()
    while todo := [key for key in parts if key not in done]:
        for key in todo:
            parts[key] = _inside(parts[key], parts)
            done.add(key)
    head = {"$schema": whole["$schema"], "$id": f"{whole['$id']}:whole"}
    if name == "project" or not file:
        return {**head, **record, "$defs": parts}
    return {**head, **_of_file(name, whole), "$defs": {"record": record, **parts}}


def _of_file(name: str, whole: Mapping[str, Any]) -> Schema:
    """A register as a file: a list of records, or the list beside the version of its schema."""
    records = {"type": "array", "items": {"$ref": "#/$defs/record"}}
    return {
        "title": f"Register {name}",
        "description": whole["description"],
        "anyOf": [
            {"type": "null"},
            records,
            {
                "type": "object",
                "properties": {
                    "schema": schema("project")["properties"]["schema"],
                    "records": {"anyOf": [{"type": "null"}, records]},
                },
                "required": ["records"],
                "additionalProperties": False,
            },
        ],
    }


def _inside(part: Any, parts: dict[str, Any]) -> Any:
    """`part` with references to the shared definitions turned into ones of its own."""
    if isinstance(part, list):
        return [_inside(inner, parts) for inner in part]
    if not isinstance(part, Mapping):
        return part
    made = {key: _inside(inner, parts) for key, inner in part.items()}
    reference = made.get("$ref")
    if isinstance(reference, str) and reference.startswith(URN):
        address, _, pointer = reference.removeprefix(URN).partition("#/$defs/")
        parts.setdefault(pointer, schema(address)["$defs"][pointer])
        made["$ref"] = f"#/$defs/{pointer}"
    return made
