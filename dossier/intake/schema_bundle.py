"""One schema in one piece, for an editor that must not ask for other files.

Readers take a blank and the answer "n/a" out of a record before they ask the schema; an editor
asks at once. So a field that may be left out admits both here.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from dossier.errors import InputError
from dossier.intake.convert import did_you_mean
from dossier.intake.schemas import REGISTERS, URN, Schema, schema

NAMES = ("project", *REGISTERS)
NOT_APPLICABLE = "n/a"
_DATE = "[0-9]{4}-[0-9]{2}-[0-9]{2}"
_YES_NO = (True, False, "yes", "no")
# A figure without quotes is text where the record asks for text (process: 111), and a number may
# stand with its unit or as a kilometre point (12.7 mm, 12+450).
_WRITTEN: Mapping[str, tuple[list[str], list[str]]] = {
    "string": (["string", "number"], []),
    "number": (["number", "string"], ["[+-]?[.0-9].*"]),
}


def bundled(name: str, *, file: bool = True) -> Schema:
    """The schema `name` with everything that it refers to inside of it.

    With `file` the schema of a whole YAML or JSON file: for a register a list of records, or
    `schema` and `records`. Without, that of one record. Raises InputError: there is no such schema.

    >>> bundled("lowerings")["$defs"]["paper"]["required"]
    ['document']
    """
    if name not in NAMES:
        hint = did_you_mean(name, NAMES)
        expected = f"one of {', '.join(NAMES)}{f'. {hint}' if hint else ''}"
        raise InputError("schema", found=name, expected=expected)
    whole = schema(name)
    parts: dict[str, Any] = dict(whole.get("$defs", {}))
    record = {k: v for k, v in whole.items() if k not in ("$defs", "$schema", "$id")}
    record = _inside(record, parts)
    done: set[str] = set()
    while todo := [key for key in parts if key not in done]:
        for key in todo:
            parts[key] = _inside(parts[key], parts)
            done.add(key)
    record = _answerable(record)
    parts = {key: _answerable(part) for key, part in sorted(parts.items())}
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


def _answerable(part: Any) -> Any:
    """`part` with every field as it may be written, blank or answered where it may be left out."""
    if isinstance(part, list):
        return [_answerable(inner) for inner in part]
    if not isinstance(part, Mapping):
        return part
    made = {key: _answerable(inner) for key, inner in part.items()}
    needed = made.get("required", ())
    for name, field in made.get("properties", {}).items():
        made["properties"][name] = _as_written(field, optional=name not in needed)
    if isinstance(made.get("items"), dict):
        made["items"] = _as_written(made["items"], optional=False)
    return made


def _as_written(field: dict[str, Any], *, optional: bool) -> dict[str, Any]:
    """The schema of a field for what may stand in a file, before a reader has looked at it."""
    answers = [NOT_APPLICABLE, None] if optional else []
    if "$ref" in field:
        told = {key: value for key, value in field.items() if key != "$ref"}
        return (
            {**told, "anyOf": [{"$ref": field["$ref"]}, {"enum": answers}]} if optional else field
        )
    kind = field.get("type")
    if not isinstance(kind, str):
        return field
    if words := _YES_NO if kind == "boolean" else field.get("enum"):
        figures = [int(w) for w in words if isinstance(w, str) and w.isdecimal() and w[0] != "0"]
        closed = {key: value for key, value in field.items() if key != "type"}
        return {**closed, "enum": [*words, *figures, *answers]}
    kinds, patterns = _WRITTEN.get(kind, ([kind], []))
    made = {**field, "type": list(kinds)}
    if field.get("format") == "date":
        del made["format"]
        made["type"], patterns = ["string"], [_DATE]
    if optional:
        made["type"] += ["null"] if "string" in made["type"] else ["string", "null"]
        patterns = [*patterns, NOT_APPLICABLE] if patterns or kind != "string" else []
    if optional and "pattern" in field:
        patterns = []
        made["pattern"] = f"(?:{field['pattern']})|^{NOT_APPLICABLE}$"
    if patterns:  # a pattern limits what is text and nothing else
        made["pattern"] = f"^({'|'.join(patterns)})$"
    return made
