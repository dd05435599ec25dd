"""Schemas and records are one definition: names, kinds, optionality, defaults, units."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from datetime import date, datetime
from types import UnionType
from typing import Any, get_args, get_origin, get_type_hints

import pytest
from jsonschema import Draft202012Validator

from dossier.intake import validate
from dossier.intake.convert import convert
from dossier.intake.raw import Plain, Raw
from dossier.intake.schemas import REGISTERS, Schema, resolved, root_of, schema
from dossier.intake.shape import shape
from dossier.intake.values import Writing
from dossier.records.joints import Joint
from dossier.records.position import Position
from dossier.records.project import Project, Settings
from dossier.resources import shared
from dossier.units import UNITS

NAMES = (*REGISTERS, "project")
NOT_IN_FILES = {"origin", "not_applicable"}
KINDS = {str: "string", int: "integer", float: "number", bool: "boolean"}
# The end of a field's name tells its unit; longest first.
ENDINGS = {
    "_kj_mm": "kJ/mm", "_mm_min": "mm/min", "_m_min": "m/min", "_l_min": "l/min", "_c_h": "°C/h",
    "_ml_100g": "ml/100 g", "_percent": "%", "_mpa": "MPa", "_bar": "bar", "_deg": "deg",
    "_kv": "kV", "_hv": "HV", "_mm": "mm", "_m": "m", "_c": "°C",
    "_a": "A", "_v": "V", "_h": "h", "_j": "J",
}  # fmt: skip


def record_of(name: str) -> type[Any]:
    if name == "project":
        return Settings
    kind: type[Any] = get_args(get_type_hints(Project)[name])[0]
    return kind


def test_registers_are_those_of_a_project() -> None:
    held = [field.name for field in dataclasses.fields(Project)]
    assert held == ["settings", *REGISTERS, "doubts", "readings", "radiographs", "scans", "logo"]
    files = {path.name for path in shared("schemas").glob("*.json")}
    assert files == {f"{name}.schema.json" for name in (*NAMES, "common")}


@pytest.mark.parametrize("name", [*NAMES, "common"])
def test_schema_is_sound_by_the_meta_schema(name: str) -> None:
    whole = schema(name)
    Draft202012Validator.check_schema(whole)
    assert whole["$id"] == f"urn:dossier:schema:1.0:{name}"


def compare(record: type[Any], part: Schema, root: Schema, where: str) -> Iterator[str]:
    """Every difference between a record type and its schema."""
    full, inner = resolved(part, root), root_of(part, root)
    properties = dict(full["properties"])
    if record is Settings:
        assert properties.pop("schema")
        assert properties.pop("registers")
    skipped = NOT_IN_FILES | ({"name"} if record is Joint else set())
    fields = [field for field in dataclasses.fields(record) if field.name not in skipped]
    if [field.name for field in fields] != list(properties):
        yield f"{where}: {sorted({f.name for f in fields} ^ set(properties))} or their order"
        return
    if full["additionalProperties"] is not False:
        yield f"{where}: takes unknown fields"
    hints = get_type_hints(record)
    for field in fields:
        path, own = f"{where}.{field.name}", properties[field.name]
        needed = field.default is field.default_factory is dataclasses.MISSING
        if needed != (field.name in full.get("required", ())):
            yield f"{path}: required in one of the two only"
        plain = isinstance(field.default, str | int | float) and field.default != ""
        if plain and own.get("default", False) != field.default:
            yield f"{path}: default {own.get('default')} and {field.default}"
        yield from compare_kind(hints[field.name], own, inner, path)


def compare_kind(hint: Any, part: Schema, root: Schema, path: str) -> Iterator[str]:
    if isinstance(hint, UnionType):
        hint = next(kind for kind in get_args(hint) if kind is not type(None))
    full, inner = resolved(part, root), root_of(part, root)
    if dataclasses.is_dataclass(hint) and isinstance(hint, type):
        yield from compare(hint, part, root, path)
    elif get_origin(hint) is tuple:
        if full["type"] != "array":
            yield f"{path}: a list in the record only"
        yield from compare_kind(get_args(hint)[0], full["items"], inner, f"{path}[]")
    elif hint in (date, datetime):
        wanted = "date" if hint is date else "local-time"
        if (full["type"], full.get("format")) != ("string", wanted):
            yield f"{path}: no {wanted}"
    elif hint in KINDS:
        if full["type"] != KINDS[hint] or "format" in full:
            yield f"{path}: {full['type']} and {hint.__name__}"
    elif full["type"] != "object":
        yield f"{path}: no mapping"


@pytest.mark.parametrize("name", NAMES)
def test_schema_and_record_agree(name: str) -> None:
    assert list(compare(record_of(name), schema(name), schema(name), name)) == []


def fields_of(part: Schema, root: Schema, where: str) -> Iterator[tuple[str, Schema, Schema]]:
    """Every field below `part`, with its schema and the schema around it."""
    full, inner = resolved(part, root), root_of(part, root)
    for branch in full.get("anyOf", ()):
        yield from fields_of(branch, inner, where)
    if "items" in full:
        yield from fields_of(full["items"], inner, f"{where}[]")
    for name, own in full.get("properties", {}).items():
        yield f"{where}.{name}", own, inner
        yield from fields_of(own, inner, f"{where}.{name}")


@pytest.mark.parametrize("name", NAMES)
def test_every_field_explains_itself(name: str) -> None:
    mute = []
    for path, own, root in fields_of(schema(name), schema(name), name):
        # Examples are filled into the data-entry workbook and must be accepted there.
        asked = {"type": "object", "properties": {"it": own}, "$defs": root.get("$defs", {})}
        validator = Draft202012Validator(asked, registry=validate._registry())
        sound = all(validator.is_valid({"it": example}) for example in own["examples"])
        if not (own["title"] and own["description"].endswith(".") and own["examples"] and sound):
            mute.append(path)
    assert mute == []


def wanted_unit(path: str, kind: str) -> tuple[str | None, ...]:
    """The units that a field of this name may have; None is no unit."""
    name = path.rpartition(".")[2]
    if name == "dew_point_margin_c":
        return ("°C difference",)
    for ending, unit in ENDINGS.items():
        if name.endswith(ending):
            return (unit,)
    if name.endswith("_min"):
        return ("min",) if kind in ("number", "object") else (None,)
    return ("%",) if ".composition." in path or name == "percent" else (None,)


@pytest.mark.parametrize("name", NAMES)
def test_unit_is_told_by_the_name(name: str) -> None:
    wrong = []
    for path, own, root in fields_of(schema(name), schema(name), name):
        unit = own.get("x-unit")
        kind = resolved(own, root).get("type", "")
        if unit not in wanted_unit(path, kind) or (unit and unit not in UNITS):
            wrong.append((path, unit))
    assert wrong == []


def test_every_keyword_that_can_fail_has_its_own_sentence() -> None:
    silent = {"title", "description", "properties", "examples", "default", "items", "format"}
    silent |= {"x-unit", "x-words", "x-key", "$ref", "$schema", "$id", "$defs", "anyOf"}
    used: set[str] = set()
    for name in (*NAMES, "common"):
        used |= set(schema(name))
        for part in schema(name).get("$defs", {}).values():
            used |= set(part)
        for _, own, _ in fields_of(schema(name), schema(name), name):
            used |= set(own) | set(own.get("items", {}))
    assert used - silent <= set(validate.SENTENCES)


def as_plain(value: object) -> object:
    """An example as it would stand in a file without quotes."""
    if isinstance(value, dict):
        return {name: as_plain(part) for name, part in value.items()}
    if isinstance(value, list):
        return [as_plain(part) for part in value]
    return value if isinstance(value, bool) else Plain(value)


def samples(name: str) -> Iterator[dict[str, Any]]:
    """Records of a register: one filled with the examples, and one for each way to spoil it."""
    whole = schema(name)
    full = {field: own["examples"][0] for field, own in whole["properties"].items()}
    yield full
    yield {"unknown": "x", **full}
    for field, own in whole["properties"].items():
        yield {key: value for key, value in full.items() if key != field}
        for wrong in (None, "", "x", -1, 0, 1e9, True, [], [1], {}, {"x": 1}):
            yield {**full, field: wrong}
        if own.get("type") == "array":
            yield {**full, field: [full[field], "x"]}


@pytest.mark.parametrize("name", NAMES)
def test_the_fast_gate_judges_as_the_slow_one(name: str) -> None:
    pytest.importorskip("jsonschema_rs")
    gate = validate.fast_gate(schema(name))
    assert gate is not None
    slow = Draft202012Validator(schema(name), registry=validate._registry())
    verdicts = [(gate(sample), slow.is_valid(sample)) for sample in samples(name)]
    assert verdicts[0] == (True, True)
    assert (False, False) in verdicts
    assert [pair for pair in verdicts if pair[0] != pair[1]] == []


@pytest.mark.parametrize("name", REGISTERS)
def test_a_record_of_examples_is_read(name: str) -> None:
    example = as_plain(next(samples(name)))
    assert isinstance(example, dict)
    record = convert(Raw(example, Position("example", 1)), shape(name), Writing())
    assert validate.faults(record, schema(name)) == []
    assert record.data.keys() == example.keys()
