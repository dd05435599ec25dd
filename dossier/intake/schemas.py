"""The schemas: the single definition of every record. Nothing here ever asks a network."""

from __future__ import annotations

import json
from collections.abc import Mapping
from functools import cache
from typing import Any

from dossier.errors import InputError
from dossier.resources import shared

VERSION = "1.0"
URN = f"urn:dossier:schema:{VERSION}:"

# Registers in the order of `records.project.Project`.
REGISTERS = (
    "lines", "joints", "passes", "procedures", "pqrs", "welders", "items", "material_certificates",
    "batches", "examinations", "examiners", "repairs", "heat_treatments", "hardness_tests",
    "coatings", "lowerings", "pressure_tests", "instruments", "concessions", "nonconformities",
    "documents",
)  # fmt: skip

Schema = dict[str, Any]


@cache
def schema(name: str) -> Schema:
    """The schema of one record of the register `name`, of "project" or of "common".

    Raises InputError: there is no such schema.

    >>> schema("joints")["properties"]["hi_lo_mm"]["x-unit"]
    'mm'
    """
    if name not in (*REGISTERS, "project", "common"):
        raise InputError("schema", found=name, expected=f"one of {', '.join(REGISTERS)}")
    path = shared("schemas") / f"{name}.schema.json"
    loaded: Schema = json.loads(path.read_text(encoding="utf-8"))
    return loaded


def version_hint(stated: str) -> str:
    """What to do about a file of another schema version than this one.

    >>> version_hint("2.0")
    'A newer dossier wrote it; this one knows versions up to 1.0.'
    """
    try:
        newer = [int(part) for part in stated.split(".")] > [int(p) for p in VERSION.split(".")]
    except ValueError:
        return ""
    if newer:
        return f"A newer dossier wrote it; this one knows versions up to {VERSION}."
    return "An older dossier wrote it: run dossier migrate on the project."


def resolved(part: Mapping[str, Any], root: Mapping[str, Any]) -> Schema:
    """`part` with its `$ref` replaced by what it refers to; keywords beside the `$ref` win.

    `root` is the schema that `part` stands in.

    >>> resolved({"$ref": URN + "common#/$defs/paper"}, {})["required"]
    ['document']
    """
    reference = part.get("$ref")
    if reference is None:
        return dict(part)
    address, _, pointer = reference.partition("#")
    target: Any = schema(address.removeprefix(URN)) if address else root
    for step in pointer.strip("/").split("/"):
        target = target[step]
    return {**target, **{key: value for key, value in part.items() if key != "$ref"}}


def root_of(part: Mapping[str, Any], root: Schema) -> Schema:
    """The schema in which the `$ref`s inside of `part`'s target are to be looked up."""
    address = str(part.get("$ref", "")).partition("#")[0]
    return schema(address.removeprefix(URN)) if address else root
