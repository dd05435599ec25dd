"""Sheets and columns of the workbook for data entry, made from the schemas.

A register is a sheet. A list of objects inside of its records is a sheet of its own, whose first
columns say which record a row belongs to. Everything else of a record is a column.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cache
from typing import Any

from dossier.intake.schemas import REGISTERS, Schema, resolved, root_of, schema
from dossier.intake.shape import Shape, shape, shape_of

# Sheet of every register, and of every list inside of one, by its path.
NAMES: Mapping[str, str] = {
    "lines": "Lines",
    "joints": "Joints",
    "passes": "Passes",
    "procedures": "Procedures",
    "procedures.passes": "Procedure passes",
    "procedures.approvals": "Procedure approvals",
    "pqrs": "Procedure tests",
    "pqrs.passes": "Procedure test passes",
    "pqrs.tests": "Procedure test results",
    "welders": "Welders",
    "welders.certificates": "Welder certificates",
    "welders.certificates.deposits": "Certificate deposits",
    "welders.certificates.confirmations": "Certificate confirmations",
    "items": "Items",
    "material_certificates": "Material certificates",
    "material_certificates.heats": "Heats",
    "batches": "Batches",
    "batches.bakings": "Batch bakings",
    "examinations": "Examinations",
    "examinations.indications": "Indications",
    "examiners": "Examiners",
    "examiners.certificates": "Examiner certificates",
    "repairs": "Repairs",
    "heat_treatments": "Heat treatments",
    "hardness_tests": "Hardness tests",
    "coatings": "Coatings",
    "lowerings": "Lowerings",
    "pressure_tests": "Pressure tests",
    "instruments": "Instruments",
    "concessions": "Concessions",
    "nonconformities": "Nonconformities",
    "documents": "Documents",
}
# What tells apart the records that other sheets refer to, where the schema names no key.
_KEYS: Mapping[str, tuple[str, ...]] = {
    "examinations": ("report", "joint", "method"),
    "welders.certificates": ("number",),
}
# Fields that name a record of another register: suggestions of their drop-down lists.
_REFERENCES: Mapping[str, tuple[str, str]] = {
    "line": ("lines", "id"),
    "joint": ("joints", "number"),
    "replaces": ("joints", "number"),
    "wps": ("procedures", "number"),
    "welder": ("welders", "stamp"),
    "batch": ("batches", "number"),
    "upstream_item": ("items", "number"),
    "downstream_item": ("items", "number"),
    "parent": ("items", "number"),
    "examination": ("examinations", "report"),
    "examined_by": ("examinations", "report"),
    "instrument": ("instruments", "number"),
    "document.document": ("documents", "number"),
    "items.certificate": ("material_certificates", "number"),
    "examinations.examiner": ("examiners", "id"),
    "pqrs.wps": ("", ""),  # a preliminary procedure, which is no issued one
    "pqrs.welder": ("", ""),  # a stamp or a name
    "welders.certificates.wps": ("", ""),
}
OWNER = "of:"  # starts the path of a column that says which record a row belongs to
WHICH = f"{OWNER}which"


@dataclass(frozen=True, slots=True)
class Column:
    """One column: the dotted path of its field, and what its schema says of it.

    `kind` is that of a shape, "texts" for a list of texts in one cell. `options` are the words of
    its list; where it is `open` others may be written. `low` and `high` bound a number, which
    must be more than `low` where that is `above`.
    """

    path: str
    kind: str
    title: str
    unit: str = ""
    about: str = ""
    required: bool = False
    options: tuple[str, ...] = ()
    open: bool = False
    low: float | None = None
    high: float | None = None
    above: bool = False
    reference: tuple[str, str] = ("", "")

    @property
    def heading(self) -> str:
        """The heading as printed: title, unit, and a star where a value is required."""
        unit = f" [{self.unit}]" if self.unit else ""
        return f"{self.title}{unit}{' *' if self.required else ''}"

    @property
    def owner(self) -> bool:
        """Whether the column says which record of another sheet the row belongs to."""
        return self.path.startswith(OWNER)


@dataclass(frozen=True, slots=True)
class EntrySheet:
    """One sheet. `path` is that of NAMES, `field` the list that its rows fill in `parent`."""

    name: str
    path: str
    about: str
    columns: tuple[Column, ...]
    keys: tuple[str, ...]  # paths of the columns, owners first, that tell its records apart
    parent: str = ""
    field: str = ""
    counted: bool = False  # several records may share the keys: rows below may say which

    @property
    def register(self) -> str:
        """The register that the sheet belongs to."""
        return self.path.partition(".")[0]


@cache
def layout() -> tuple[EntrySheet, ...]:
    """All sheets in their order, each list after the register that it belongs to.

    >>> [s.name for s in layout() if s.register == "examiners"]
    ['Examiners', 'Examiner certificates']
    """
    sheets: list[EntrySheet] = []
    for register in REGISTERS:
        whole = schema(register)
        sheets += _sheets(register, whole, whole, None)
    return tuple(sheets)


def _sheets(path: str, part: Schema, root: Schema, parent: EntrySheet | None) -> list[EntrySheet]:
    own = tuple(_told_apart(list(_columns(part, root, path))))
    keys = tuple(part.get("x-key", _KEYS.get(path, ())))
    owners = tuple(_owners(parent)) if parent else ()
    made = EntrySheet(
        NAMES.get(path) or path.replace(".", " ").replace("_", " ").capitalize(),
        path,
        part["description"],
        owners + own,
        (*(c.path for c in owners if c.path != WHICH), *keys),
        parent.path if parent else "",
        path.rpartition(".")[2] if parent else "",
        counted="x-key" not in part,
    )
    sheets = [made]
    for name, inner in part["properties"].items():
        if inner.get("type") != "array":
            continue
        item = resolved(inner["items"], root)
        if item["type"] == "object":
            below = root_of(inner["items"], root)
            sheets += _sheets(f"{path}.{name}", item, below, made)
    return sheets


def _owners(parent: EntrySheet) -> Iterator[Column]:
    """The columns by which a row below `parent` names its record."""
    needed = True
    for key in parent.keys:
        column = next(c for c in parent.columns if c.path == key)
        path = key if column.owner else f"{OWNER}{parent.path}.{key}"
        about = "Belongs to: " + _small(column.about.removeprefix("Belongs to: "))
        reference = (parent.path, key) if needed and not column.owner else column.reference
        yield replace(column, path=path, about=about, reference=reference, options=())
        needed = False
    if parent.counted:
        about = "Only where several records have these keys: the how-many-th of them, from 1."
        yield Column(WHICH, "whole number", "Which of several", about=about, low=1)


def _small(text: str) -> str:
    return text[:1].lower() + text[1:]


def _columns(part: Schema, root: Schema, sheet: str) -> Iterator[Column]:
    needed = part.get("required", ())
    for name, inner in part["properties"].items():
        below = root_of(inner, root)
        full = resolved(inner, root)
        if full["type"] == "object":
            yield from _inner(name, full, below, sheet)
        elif full["type"] != "array":
            yield _column(name, full, sheet, required=name in needed)
        elif resolved(full["items"], below)["type"] != "object":
            item = resolved(full["items"], below)
            about = f"{full['description']} Several in one cell: put ; between them."
            yield replace(
                _column(name, full, sheet, required=name in needed),
                kind="texts",
                about=about,
                options=tuple(item.get("enum") or item.get("x-words") or ()),
                open=True,  # several of them make a text that is in no list
            )


def _inner(name: str, full: Schema, root: Schema, sheet: str) -> Iterator[Column]:
    """The columns of an object inside of a record."""
    span = set(full["properties"]) == {"low", "high"}
    for column in _columns(full, root, sheet):
        about, title = column.about, column.title
        if span:
            about, title = f"{full['description']} {about}", f"{full['title']} {_small(title)}"
        elif title != full["title"]:
            title = f"{full['title']}: {_small(title)}"
        path = f"{name}.{column.path}"
        yield replace(
            column,
            path=path,
            title=title,
            about=about,
            unit=column.unit or full.get("x-unit", ""),
            required=False,
            reference=_reference(sheet, path),
        )


def _column(name: str, full: Mapping[str, Any], sheet: str, *, required: bool) -> Column:
    exclusive = full.get("exclusiveMinimum")
    words = full.get("enum") or full.get("x-words") or ()
    return Column(
        path=name,
        kind=shape_of(full, dict(full)).kind,
        title=full["title"],
        unit=full.get("x-unit", ""),
        about=full["description"],
        required=required,
        options=tuple(str(word) for word in words),
        open="enum" not in full,
        low=full.get("minimum", exclusive),
        high=full.get("maximum"),
        above=exclusive is not None,
        reference=_reference(sheet, name),
    )


def _reference(sheet: str, path: str) -> tuple[str, str]:
    own = _REFERENCES.get(f"{sheet}.{path}")
    if own is not None:
        return own
    return _REFERENCES.get(path, ("", "")) if "." not in path or "document" in path else ("", "")


def _told_apart(columns: list[Column]) -> Iterator[Column]:
    """The columns, an inner field by its own title where no other column has it."""
    titles = Counter(column.title.rpartition(": ")[2].casefold() for column in columns)
    for column in columns:
        short = column.title.rpartition(": ")[2]
        alone = titles[short.casefold()] == 1 and short.casefold() != "kind"
        yield replace(column, title=short[:1].upper() + short[1:]) if alone else column


def shape_at(path: str) -> Shape:
    """The shape of one record of the sheet `path`.

    >>> shape_at("welders.certificates.deposits").fields["layers"].kind
    'whole number'
    """
    register, *steps = path.split(".")
    here = shape(register)
    for step in steps:
        here = here.fields[step].item or here
    return here
