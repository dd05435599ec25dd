"""One register: its files -> converted records, checked against its schema."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from dossier.errors import Fault, ProjectError
from dossier.intake import read_csv, read_json, read_xlsx, read_yaml, validate
from dossier.intake.convert import Converted, Known, convert
from dossier.intake.entry_reader import is_entry, read_entry
from dossier.intake.raw import Raw, Read, Told, refuse
from dossier.intake.schemas import REGISTERS, URN, VERSION, Schema, resolved, schema
from dossier.intake.shape import Shape, shape, shape_of
from dossier.intake.sources import Source
from dossier.intake.values import Writing

ENDINGS = (".yaml", ".yml", ".json", ".jsonl", ".csv", ".xlsx")


@dataclass(frozen=True, slots=True)
class Child:
    """A list inside of records that may have a file of its own, and the fields that join it.

    `join` maps fields of the child's rows to fields of the parent.
    """

    parent: str
    field: str
    join: Mapping[str, str]


CHILDREN: Mapping[str, Child] = {
    "heats": Child("material_certificates", "heats", {"certificate": "number"}),
    "indications": Child(
        "examinations", "indications", {"report": "report", "joint": "joint", "method": "method"}
    ),
    "welder_certificates": Child("welders", "certificates", {"stamp": "stamp"}),
    "examiner_certificates": Child("examiners", "certificates", {"examiner": "id"}),
}
_OPTIONAL_JOINS = frozenset({"method"})


def register_schema(register: str) -> Schema:
    """The schema of one row of a register, or of the file of a child list.

    >>> register_schema("indications")["required"]
    ['report', 'joint', 'kind']
    """
    child = CHILDREN.get(register)
    if child is None:
        return schema(register)
    parent = schema(child.parent)
    item = resolved(parent["properties"][child.field]["items"], parent)
    joins = {own: parent["properties"][theirs] for own, theirs in child.join.items()}
    needed = [own for own in child.join if own not in _OPTIONAL_JOINS]
    return {
        **item,
        "$id": f"{URN}{register}",
        "properties": {**joins, **item["properties"]},
        "required": [*needed, *item["required"]],
        "$defs": parent.get("$defs", {}),
    }


def register_shape(register: str) -> Shape:
    """The shape of one row of a register, or of the file of a child list."""
    if register not in CHILDREN:
        return shape(register)
    whole = register_schema(register)
    return shape_of(whole, whole)


def read_register(sources: Iterable[Source]) -> tuple[list[Converted], Told]:
    """The records of all files of one register, and what is told of these: faults, doubts."""
    records: list[Converted] = []
    told = Told()
    for source in sources:
        form = register_shape(source.register)
        try:
            told.decimal = ""
            raws, wrong_rows = _read(source, form, told)
            writing = source.writing
            if told.decimal:
                writing = replace(writing, decimal=told.decimal)
            records += accepted(raws, source.register, writing, told)
            if wrong_rows is not told.faults:
                told.faults += wrong_rows
        except ProjectError as error:
            told.faults += error.faults
    return records, told


def accepted(
    raws: Iterable[Raw], register: str, writing: Writing, told: Told
) -> Iterator[Converted]:
    """The records among `raws` that the schema of `register` admits; `told` takes up the rest."""
    form, whole = register_shape(register), register_schema(register)
    known: Known = {}
    for raw in raws:
        record = convert(raw, form, writing, known)
        told.doubts += record.doubts
        wrong = validate.faults(record, whole)
        if wrong:
            told.faults += wrong
        else:
            yield record


def _read(source: Source, form: Shape, told: Told) -> Read:
    path = source.at
    if not path.is_file():
        expected = f"the file of the register {source.register}"
        raise refuse(source.file, "", found="no such file", expected=expected)
    ending = source.ending
    if ending in (".yaml", ".yml"):
        return read_yaml.read_records(path, source.file, VERSION)
    if ending == ".json":
        return read_json.read_records(path, source.file, VERSION)
    if ending == ".jsonl":
        return read_json.read_lines(path, source.file)
    if ending == ".csv":
        return read_csv.read(path, source, form, told)
    if ending == ".xlsx":
        if source.as_it_is and source.register in REGISTERS and is_entry(path, source.file):
            entered = read_entry(path, source.file, told, source.register)
            return entered.get(source.register, []), told.faults
        return read_xlsx.read(path, source, form, told)
    raise refuse(source.file, "", found=f"the ending {ending}", expected=", ".join(ENDINGS))


def joined(
    parents: list[Converted], children: Mapping[int, Any], rows: list[Converted], child: Child
) -> list[Fault]:
    """Put `children` (built, by the place of their row) into the data of their `parents`.

    Returns a fault for every row whose parent is not there, or is there more than once.
    """
    by_key: dict[tuple[object, ...], list[Converted]] = {}
    for width in {tuple(own for own in child.join if own in row.data) for row in rows}:
        for parent in parents:
            key = (*width, *(parent.data.get(child.join[own]) for own in width))
            by_key.setdefault(key, []).append(parent)
    faults = []
    for place, row in enumerate(rows):
        names = tuple(own for own in child.join if own in row.data)
        matches = by_key.get((*names, *(row.data[own] for own in names)), [])
        if len(matches) == 1:
            held = matches[0].data.setdefault(child.field, [])
            if isinstance(held, list):
                held.append(children[place])
            continue
        words = ", ".join(f"{own} {row.data[own]}" for own in names)
        many = f"{len(matches)} records of {child.parent}" if matches else "no record"
        expected = f"one record of {child.parent} to join it to"
        faults.append(
            Fault(row.origin.file, row.origin.place, names[0], f"{many} with {words}", expected)
        )
    return faults
