"""The shape of a record: its schema boiled down to what reading a value needs."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from typing import Any

from dossier.intake.schemas import Schema, resolved, root_of, schema

_KINDS = {
    "string": "text",
    "number": "number",
    "integer": "whole number",
    "boolean": "yes or no",
    "array": "list",
    "object": "object",
}
_FORMATS = {"date": "date", "local-time": "time"}


@dataclass(frozen=True, slots=True)
class Shape:
    """What a value is: its kind, and the shapes of its parts.

    `kind` is "text", "number", "whole number", "yes or no", "date", "time", "list", "object"
    (with named `fields`) or "mapping" (any names, each an `item`).
    """

    kind: str
    title: str = ""
    unit: str = ""
    fields: Mapping[str, Shape] = field(default_factory=dict)
    item: Shape | None = None
    required: frozenset[str] = frozenset()

    def at(self, path: str) -> Shape | None:
        """The shape of a nested field by its dotted path; None where there is none."""
        here: Shape | None = self
        for step in path.split("."):
            if here is None:
                return None
            if here.kind == "list":
                here = here.item if step.isdigit() and int(step) > 0 else None
            elif here.kind == "mapping":
                here = here.item
            else:
                here = here.fields.get(step)
        return here


def shape_of(part: Mapping[str, Any], root: Schema, unit: str = "") -> Shape:
    """The shape of the schema `part`, which stands in the schema `root`."""
    inner_root = root_of(part, root)
    full = resolved(part, root)
    if "anyOf" in full:
        # Shorter ways to write the same; the reader of the project file spells them out.
        return shape_of(full["anyOf"][-1], inner_root)
    unit = full.get("x-unit", unit)  # that of a range holds for both its ends
    kind = _FORMATS.get(full.get("format", "")) or _KINDS[full["type"]]
    title = full.get("title", "")
    if kind == "list":
        return Shape(kind, title, unit, item=shape_of(full["items"], inner_root, unit))
    if kind != "object":
        return Shape(kind, title, unit)
    if "properties" not in full:
        item = shape_of(full["additionalProperties"], inner_root)
        return Shape("mapping", title, item=item)
    fields = {name: shape_of(inner, inner_root, unit) for name, inner in full["properties"].items()}
    return Shape(kind, title, unit, fields, required=frozenset(full.get("required", ())))


@cache
def shape(name: str) -> Shape:
    """The shape of one record of the register `name`, or of "project".

    >>> shape("procedures").at("wall_mm.low").unit, shape("passes").at("started_at").kind
    ('mm', 'time')
    """
    whole = schema(name)
    return shape_of(whole, whole)
