"""The registers as a Frictionless Data Package: one CSV a register, and a descriptor of them all.

Types, titles, units and keys come from the schemas and records of the project. A key is declared
only where the rows keep it: what is wrong with the records is for the cross-check to say.
Source: Frictionless Data Package and Table Schema, version 1 (memory).
"""

from __future__ import annotations

import csv
import dataclasses
import io
import json
from collections.abc import Iterable, Mapping, Sequence
from datetime import date, datetime
from types import UnionType
from typing import Any, get_args, get_origin, get_type_hints

from dossier.documents.answer_rows import guarded
from dossier.handover.bag import Item
from dossier.intake.load import record_type
from dossier.intake.schemas import REGISTERS, schema
from dossier.records.joints import JointName
from dossier.records.project import Project

FOLDER = "tables"
NOT_APPLICABLE = "n/a"
_SKIPPED = ("origin", "not_applicable", "name")
_TYPES = {
    str: "string", int: "integer", float: "number", bool: "boolean", date: "date",
    datetime: "datetime",
}  # fmt: skip
# register, field -> register, field that it points to
_LINKS = (
    ("joints", "line", "lines", "id"),
    ("passes", "joint", "joints", "number"),
    ("passes", "welder", "welders", "stamp"),
    ("examinations", "joint", "joints", "number"),
    ("repairs", "joint", "joints", "number"),
    ("coatings", "joint", "joints", "number"),
    ("lowerings", "joint", "joints", "number"),
)


def tables(project: Project) -> list[Item]:
    """Every register that has rows as CSV, and datapackage.json."""
    filled = {name: getattr(project, name) for name in REGISTERS if getattr(project, name)}
    items = [Item(f"{FOLDER}/{name}.csv", _csv(name, rows)) for name, rows in filled.items()]
    package = {
        "profile": "tabular-data-package",
        "name": "".join(c if c.isalnum() else "-" for c in project.settings.number.lower()),
        "title": project.settings.title,
        "description": "A text that a spreadsheet could take for a formula has an apostrophe in "
        "front.",
        "resources": [_resource(name, filled) for name in filled],
    }
    text = f"{json.dumps(package, indent=1, ensure_ascii=False)}\n"
    return [*items, Item(f"{FOLDER}/datapackage.json", text.encode())]


def columns(register: str) -> list[dataclasses.Field[Any]]:
    """The fields of a register that make its columns."""
    kind = record_type(register)
    fields = dataclasses.fields(kind)
    named = get_type_hints(kind)
    return [f for f in fields if f.name not in _SKIPPED[:2] and named[f.name] is not JointName]


def _csv(register: str, rows: Iterable[Any]) -> bytes:
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\r\n")
    names = [field.name for field in columns(register)]
    writer.writerow(names)
    for row in rows:
        writer.writerow([_cell(row, name) for name in names])
    return out.getvalue().encode()


def _cell(row: Any, name: str) -> str:
    value = getattr(row, name)
    if value is None or value == "":
        return NOT_APPLICABLE if name in row.not_applicable else ""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        return guarded(value)
    if isinstance(value, int | float):
        return str(value)
    if isinstance(value, date):
        return value.isoformat()
    return json.dumps(_plain(value), ensure_ascii=False) if value else ""


def _plain(value: Any) -> Any:
    if dataclasses.is_dataclass(value):
        named = {f.name: getattr(value, f.name) for f in dataclasses.fields(value)}
        return {
            key: _plain(inner)
            for key, inner in named.items()
            if key not in _SKIPPED[:2] and inner not in (None, "", ())
        }
    if isinstance(value, Mapping):
        return {str(key): _plain(inner) for key, inner in value.items()}
    if isinstance(value, Sequence) and not isinstance(value, str):
        return [_plain(inner) for inner in value]
    if isinstance(value, date):
        return value.isoformat()
    return value


def _resource(name: str, filled: Mapping[str, Sequence[Any]]) -> dict[str, Any]:
    whole = schema(name)
    kind = record_type(name)
    hints = get_type_hints(kind)
    described = whole["properties"]
    fields = [
        _field(field, hints[field.name], described.get(field.name, {})) for field in columns(name)
    ]
    table: dict[str, Any] = {"fields": fields, "missingValues": ["", NOT_APPLICABLE]}
    key = [part for part in whole.get("x-key", ()) if part in {f["name"] for f in fields}]
    values = [tuple(getattr(row, part) for part in key) for row in filled[name]]
    if key and len(set(values)) == len(values) and all(all(value) for value in values):
        table["primaryKey"] = key
    if links := [_link(link) for link in _LINKS if link[0] == name and _kept(link, filled)]:
        table["foreignKeys"] = links
    return {
        "name": name, "path": f"{name}.csv", "profile": "tabular-data-resource",
        "title": whole["title"], "description": whole["description"], "encoding": "utf-8",
        "format": "csv", "mediatype": "text/csv", "schema": table,
    }  # fmt: skip


def _field(field: dataclasses.Field[Any], hint: Any, told: Mapping[str, Any]) -> dict[str, Any]:
    needed = field.default is field.default_factory is dataclasses.MISSING
    made: dict[str, Any] = {"name": field.name, "type": _type(hint)}
    made |= {key: told[key] for key in ("title", "description") if key in told}
    if "x-unit" in told:
        made["unit"] = told["x-unit"]
    if needed and made["type"] not in ("array", "object"):
        made["constraints"] = {"required": True}
    return made


def _type(hint: Any) -> str:
    kinds = [one for one in get_args(hint) if one is not type(None)]
    if isinstance(hint, UnionType) and kinds:
        return _type(kinds[0]) if len(kinds) == 1 else "string"
    if get_origin(hint) is tuple:
        return "array"
    return _TYPES.get(hint, "object")


def _kept(link: tuple[str, str, str, str], filled: Mapping[str, Sequence[Any]]) -> bool:
    register, field, target, key = link
    known = {getattr(row, key) for row in filled.get(target, ())}
    return all(getattr(row, field) in known for row in filled[register])


def _link(link: tuple[str, str, str, str]) -> dict[str, Any]:
    return {"fields": [link[1]], "reference": {"resource": link[2], "fields": [link[3]]}}
