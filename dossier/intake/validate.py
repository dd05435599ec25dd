"""Validation against the schemas, with messages in our own sentences.

A fast validator, where it is installed, lets sound records through; `jsonschema` judges and
explains the rest. Both ask the same schemas.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from importlib import import_module
from importlib.util import find_spec
from typing import TYPE_CHECKING, Any

from dossier.errors import Fault
from dossier.intake.convert import Converted, describe, did_you_mean, nearest
from dossier.intake.raw import clip
from dossier.intake.schemas import REGISTERS, VERSION, Schema, schema, version_hint

if TYPE_CHECKING:
    from jsonschema import Draft202012Validator
    from jsonschema.exceptions import ValidationError
    from referencing import Registry
    from referencing.jsonschema import Schema as AnySchema


def faults(record: Converted, whole: Schema) -> list[Fault]:
    """What is wrong with a converted record by the schema `whole`; empty when it is sound.

    A field that could not be converted has its fault already and is not missed again.
    """
    gate = _gate(whole)
    if gate is not None and not record.faults and gate(record.data):
        return []
    known = {fault.field for fault in record.faults}
    return [
        *record.faults,
        *(
            fault
            for error in _errors(record.data, whole)
            for fault in _explained(error, record, whole)
            if fault.field not in known
        ),
    ]


def _errors(data: object, whole: Schema) -> Iterator[ValidationError]:
    """What `jsonschema` finds, asked only about the fields that the fast gate does not let pass.

    The other fields are sound by both, and asking about them again is most of the work.
    """
    if _gate(whole) is None or not isinstance(data, Mapping):
        return _validator(whole).iter_errors(data)
    properties = whole["properties"]
    bad = frozenset(
        name for name in properties if name in data and not _field_gate(whole, name)(data[name])
    )
    return _narrowed(whole, bad).iter_errors(data)


# Validators are made once for each schema; a schema is told by its identity.
_VALIDATORS: dict[str, Draft202012Validator] = {}
_GATES: dict[str, Callable[[object], bool] | None] = {}
_FIELD_GATES: dict[tuple[str, str], Callable[[object], bool]] = {}
_NARROWED: dict[tuple[str, frozenset[str]], Draft202012Validator] = {}
_NARROWED_MAX = 1_000


def _validator(whole: Schema) -> Draft202012Validator:
    key = whole["$id"]
    if key not in _VALIDATORS:
        _VALIDATORS[key] = _slow(whole)
    return _VALIDATORS[key]


def _slow(whole: Schema) -> Draft202012Validator:
    # With the formats it takes a second to import, which sound records need not wait for.
    from jsonschema import Draft202012Validator

    return Draft202012Validator(whole, registry=_registry())


@cache
def _registry() -> Registry[AnySchema]:
    from referencing import Registry, Resource

    names = (*REGISTERS, "project", "common")
    resources: list[tuple[str, Resource[AnySchema]]] = [
        (schema(name)["$id"], Resource.from_contents(schema(name))) for name in names
    ]
    empty: Registry[AnySchema] = Registry()
    return empty.with_resources(resources)


def _gate(whole: Schema) -> Callable[[object], bool] | None:
    key = whole["$id"]
    if key not in _GATES:
        _GATES[key] = fast_gate(whole)
    return _GATES[key]


def _field_gate(whole: Schema, name: str) -> Callable[[object], bool]:
    key = whole["$id"], name
    if key not in _FIELD_GATES:
        part = {"$id": f"{whole['$id']}:{name}", "$defs": whole.get("$defs", {})}
        part["allOf"] = [whole["properties"][name]]
        gate = fast_gate(part)
        _FIELD_GATES[key] = gate or (lambda _value: False)
    return _FIELD_GATES[key]


def _narrowed(whole: Schema, names: frozenset[str]) -> Draft202012Validator:
    """A validator that asks about the record as a whole, and of its fields only about these."""
    key = whole["$id"], names
    if key not in _NARROWED:
        if len(_NARROWED) >= _NARROWED_MAX:
            _NARROWED.clear()
        properties = {n: part if n in names else True for n, part in whole["properties"].items()}
        _NARROWED[key] = _slow({**whole, "properties": properties})
    return _NARROWED[key]


def fast_gate(whole: Schema) -> Callable[[object], bool] | None:
    """A check by `jsonschema-rs`, about a hundred times faster; None where it is missing."""
    if find_spec("jsonschema_rs") is None:
        return None
    fast = import_module("jsonschema_rs")
    names = (*REGISTERS, "project", "common")
    registry = fast.Registry([(schema(name)["$id"], schema(name)) for name in names])
    gate: Callable[[object], bool] = fast.Draft202012Validator(whole, registry=registry).is_valid
    return gate


@dataclass(frozen=True, slots=True)
class _Broken:
    """One keyword of a schema that a value does not meet."""

    keyword: str
    asks: Any  # what stands behind the keyword
    part: Mapping[str, Any]  # the schema that the keyword stands in
    value: Any
    message: str


def _explained(error: ValidationError, record: Converted, whole: Schema) -> Iterator[Fault]:
    part = error.schema if isinstance(error.schema, Mapping) else {}
    if part.get("$id") == whole["$id"]:
        part = whole  # with all its fields, where only some were asked about
    broken = _Broken(
        str(error.validator), error.validator_value, part, error.instance, error.message
    )
    if broken.keyword == "anyOf":  # the last branch is the written-out form
        last = len(broken.asks) - 1
        for inner in error.context or ():
            if inner.schema_path[0] == last:
                yield from _explained(inner, record, whole)
        return
    path = ".".join(
        str(step + 1) if isinstance(step, int) else str(step) for step in error.absolute_path
    )
    for name, found, expected, hint in SENTENCES.get(broken.keyword, _other)(broken):
        where = f"{path}.{name}" if path and name else path or name
        answered = broken.keyword == "required" and where in record.not_applicable
        origin = record.origin
        yield Fault(
            origin.file,
            origin.of(nearest(origin, where)).place,
            where,
            "n/a" if answered else found,
            f"{expected}, which always applies" if answered else expected,
            hint,
        )


Sentence = tuple[str, str, str, str]  # name of the field inside, found, expected, hint


def _required(broken: _Broken) -> Iterator[Sentence]:
    for name in broken.asks:
        # jsonschema raises one error for each missing name, and says which only in its message.
        if name not in broken.value and broken.message.startswith(repr(name)):
            inner = broken.part["properties"][name]
            example = next(iter(inner.get("examples", ())), None)
            shown = f" such as {example}" if isinstance(example, str | int | float) else ""
            yield name, "nothing", f"{inner.get('title', name).lower()}{shown}", ""


def _unknown(broken: _Broken) -> Iterator[Sentence]:
    known = broken.part.get("properties", {})
    for name in broken.value:
        if name not in known:
            expected = f"a field of {broken.part.get('title', 'this record').lower()}"
            yield name, f"the unknown field {clip(name)}", expected, did_you_mean(name, known)


def _one_of(broken: _Broken) -> Iterator[Sentence]:
    words = [str(word) for word in broken.asks]
    shown = words if all(word[:1].isalnum() for word in words) else [repr(w) for w in words]
    if len(words) == 1:
        hint = version_hint(str(broken.value)) if words[0] == VERSION else ""
        yield "", clip(broken.value), f'"{words[0]}"', hint
    else:
        hint = did_you_mean(str(broken.value), words)
        yield "", clip(broken.value), f"one of {', '.join(shown)}", hint


def _limit(words: str) -> Callable[[_Broken], Iterator[Sentence]]:
    def sentence(broken: _Broken) -> Iterator[Sentence]:
        unit = f" {broken.part['x-unit']}" if "x-unit" in broken.part else ""
        yield "", f"{broken.value:g}{unit}", words.format(f"{broken.asks:g}{unit}"), ""

    return sentence


def _pattern(broken: _Broken) -> Iterator[Sentence]:
    example = next(iter(broken.part.get("examples", ())), broken.asks)
    title = broken.part.get("title", "text").lower()
    yield "", clip(broken.value), f"{title} as in {example}", ""


def _kind(broken: _Broken) -> Iterator[Sentence]:
    kinds = {"string": "text", "number": "a number", "integer": "a whole number"}
    kinds |= {"boolean": "yes or no", "array": "a list", "object": "fields of its own"}
    yield "", describe(broken.value), kinds[broken.asks], ""


def _empty(broken: _Broken) -> Iterator[Sentence]:
    yield "", "nothing", f"{broken.part.get('title', 'text').lower()}", ""


def _other(broken: _Broken) -> Iterator[Sentence]:
    yield "", describe(broken.value), f"a value that meets {broken.keyword} of the schema", ""


SENTENCES: Mapping[str, Callable[[_Broken], Iterator[Sentence]]] = {
    "required": _required,
    "additionalProperties": _unknown,
    "enum": _one_of,
    "minimum": _limit("{} or more"),
    "maximum": _limit("{} or less"),
    "exclusiveMinimum": _limit("more than {}"),
    "pattern": _pattern,
    "type": _kind,
    "minLength": _empty,
}
