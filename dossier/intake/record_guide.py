"""The guide to the records, made from the schemas: every register and every field, as Markdown."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from dossier.intake.schema_bundle import NAMES
from dossier.intake.schemas import VERSION, Schema, resolved, root_of, schema

_KINDS = {
    "string": "text", "number": "number", "integer": "whole number", "boolean": "yes or no",
    "array": "list", "object": "fields",
}  # fmt: skip
_FORMATS = {"date": "date", "local-time": "local time"}
_HEAD = f"""\
# Records

Made from the schemas (version {VERSION}) by `dossier.intake.record_guide`; a test keeps it up to
date. Units stand in the names and in the column "Unit"; what is marked with a star is required.
A field that does not apply is answered `n/a`, one that is not known is left out; zero is a value.

A register is a YAML, JSON, JSON lines, CSV or XLSX file that `project.yaml` names. YAML and JSON
files hold a list of records, or `schema: "{VERSION}"` and `records`. In tables a field inside of
another goes by its dotted name (`document.page`), a list of texts by `;` in one cell.
"""


def record_guide() -> str:
    """The whole guide as Markdown.

    >>> "## welders" in record_guide()
    True
    """
    lines = [_HEAD]
    for name in NAMES:
        whole = schema(name)
        title = "project.yaml" if name == "project" else name
        lines += [f"## {title}", "", whole["description"], ""]
        if key := whole.get("x-key"):
            lines += [f"One record for each {' and '.join(f'`{part}`' for part in key)}.", ""]
        lines += [*_table(whole, whole, ""), ""]
        if name == "project":
            source = resolved({"$ref": "#/$defs/source"}, whole)
            lines += ["### A source of a register", "", source["description"], ""]
            lines += [*_table(source, whole, ""), ""]
    return "\n".join(lines).rstrip() + "\n"


def _table(part: Schema, root: Schema, start: str) -> Iterator[str]:
    yield "| Field | Meaning | Kind | Unit | Values |"
    yield "|---|---|---|---|---|"
    yield from _rows(part, root, start)


def _rows(part: Mapping[str, Any], root: Schema, start: str) -> Iterator[str]:
    """A row for each field, those inside of it below."""
    needed = part.get("required", ())
    for name, inner in part["properties"].items():
        below = root_of(inner, root)
        full = resolved(inner, root)
        if "anyOf" in full:  # the shorter ways to write a source of a register
            full = {**full, "type": "object"}
        star = " *" if name in needed else ""
        cells = (full["description"], _kind(full, below), full.get("x-unit", ""), _values(full))
        yield f"| `{start}{name}`{star} | {' | '.join(_cell(cell) for cell in cells)} |"
        item = resolved(full["items"], below) if full.get("type") == "array" else full
        inside = root_of(full["items"], below) if full.get("type") == "array" else below
        if "properties" in item:
            mark = "[]" if full.get("type") == "array" else ""
            yield from _rows(item, inside, f"{start}{name}{mark}.")


def _cell(text: str) -> str:
    return text.replace("|", "\\|").replace("\n", " ")


def _kind(full: Mapping[str, Any], root: Schema) -> str:
    if "anyOf" in full:
        return "file name, source, or list of sources"
    kind = _FORMATS.get(full.get("format", "")) or _KINDS[full["type"]]
    if kind == "list":
        item = resolved(full["items"], root)
        return f"list of {_KINDS[item['type']]}{'s' if item['type'] != 'object' else ''}"
    if kind == "fields" and "properties" not in full:
        return "names with values"
    return kind


def _values(full: Mapping[str, Any]) -> str:
    """What the field admits, or is used to say, and an example."""
    item = full.get("items", {})
    said = []
    if words := full.get("enum") or item.get("enum"):
        said.append(", ".join(f"`{word}`" for word in words))
    elif words := full.get("x-words") or item.get("x-words"):
        said.append(f"{', '.join(f'`{word}`' for word in words)}, or others")
    limits = [
        f"{word} {full[key]:g}"
        for key, word in (
            ("exclusiveMinimum", "more than"), ("minimum", "from"), ("maximum", "to"),
        )
        if key in full
    ]  # fmt: skip
    if limits:
        said.append(" ".join(limits))
    if "default" in full and full["default"] not in ("", None):
        said.append(f"left out: `{_shown(full['default'])}`")
        return "; ".join(said)
    example = next(iter(full.get("examples", ())), None)
    if not words and not limits and isinstance(example, str | int | float):
        said.append(f"such as `{_shown(example)}`")
    return "; ".join(said)


def _shown(value: object) -> str:
    if isinstance(value, list):
        return ", ".join(str(part) for part in value)
    if isinstance(value, bool):
        return "yes" if value else "no"
    return str(value)
