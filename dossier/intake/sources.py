"""Where each register is and how its file is written, as `project.yaml` declares it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, cast

from dossier.errors import Fault, InputError
from dossier.intake.convert import did_you_mean, fault_at
from dossier.intake.paths import confined
from dossier.intake.shape import Shape
from dossier.intake.values import Writing
from dossier.records.position import Position
from dossier.units import UNITS, unit_name

TABLES = (".csv", ".xlsx")


@dataclass(frozen=True, slots=True)
class Unfold:
    """A cell that holds several values: `field` is cut at `mark`, a record for each part.

    The first part goes with the first of `values` in the field `into` ("side": left, right), the
    second with the second. A cell of one part gives one record, without a value.
    """

    field: str
    into: str
    values: tuple[str, ...]
    mark: str = "/"


@dataclass(frozen=True, slots=True)
class Set:
    """One set of columns of a wide sheet, with the values that are the same in every row."""

    columns: Mapping[str, str]
    constants: Mapping[str, str]
    together: Mapping[str, list[str]] = field(default_factory=dict)
    unfold: Unfold | None = None


@dataclass(frozen=True, slots=True)
class Layout:
    """How the rows of a sheet lie, as declared."""

    header_rows: int = 1
    skip: tuple[str, ...] = ()  # patterns of the first filled cell of rows that are no records
    fill_merged: bool = False  # a merged cell counts for all the cells that it covers
    skip_hidden: bool = False
    as_above: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Source:
    """One file of a register. `at` is where it lies, `path` where `project.yaml` declares it."""

    register: str
    file: str
    at: Path
    path: str
    sheet: str = ""
    header_row: int = 1
    delimiter: str = ""
    encoding: str = ""  # "" is not declared
    columns: Mapping[str, str] = field(default_factory=dict)
    constants: Mapping[str, str] = field(default_factory=dict)
    together: Mapping[str, list[str]] = field(default_factory=dict)
    unfold: Unfold | None = None
    repeat: tuple[Set, ...] = ()
    layout: Layout = field(default_factory=Layout)
    writing: Writing = field(default_factory=Writing)

    @property
    def as_it_is(self) -> bool:
        """Whether nothing is declared of the file but where it is."""
        return not (self.sheet or self.columns or self.repeat or self.constants)

    @property
    def ending(self) -> str:
        """The ending of the file's name, in small letters: it tells the format."""
        return "." + self.file.rpartition(".")[2].lower()


def spelled_out(registers: object) -> object:
    """`registers` of a project file with every shorter way to write a source spelled out."""
    if not isinstance(registers, Mapping):
        return registers
    return {name: _as_list(value) for name, value in registers.items()}


def _as_list(value: object) -> object:
    if isinstance(value, list):
        return [{"file": part} if isinstance(part, str) else part for part in value]
    if isinstance(value, str):
        return [{"file": value}]
    return [value] if isinstance(value, Mapping) else value


def source_of(folder: Path, register: str, place: int, data: Mapping[str, Any]) -> Source:
    """The source that `data` declares, the `place`-th of its register, counted from 1.

    Raises InputError: its file lies outside of `folder`.
    """
    file = str(data["file"])
    tabular = file.lower().endswith(TABLES)
    writing = Writing(
        data.get("decimal", ""),
        data.get("date_order", ""),
        data.get("separator", ";") if tabular else "",
        data.get("units", {}),
        data.get("values", {}),
        data.get("letters", "latin"),
    )
    layout = Layout(
        data.get("header_rows", 1),
        tuple(data.get("skip", ())),
        data.get("merged", "refuse") == "fill",
        data.get("hidden", "read") == "skip",
        tuple(data.get("as_above", ())),
    )
    return Source(
        register,
        file,
        confined(folder, file),
        f"registers.{register}.{place}",
        data.get("sheet", ""),
        data.get("header_row", 1),
        data.get("delimiter", ""),
        data.get("encoding", ""),
        data.get("columns", {}),
        data.get("constants", {}),
        data.get("together", {}),
        _unfold(data),
        tuple(
            Set(s["columns"], s.get("constants", {}), s.get("together", {}), _unfold(s))
            for s in data.get("repeat", ())
        ),
        layout,
        writing,
    )


def _unfold(data: Mapping[str, Any]) -> Unfold | None:
    own = data.get("unfold")
    if own is None:
        return None
    return Unfold(own["field"], own["into"], tuple(own["values"]), own.get("mark", "/"))


def source_faults(source: Source, shape: Shape, origin: Position) -> list[Fault]:
    """What is wrong with the declared fields and units of a source: names no record has."""
    faults = []
    groups: list[tuple[str, Mapping[str, object]]] = [
        ("columns", source.columns),
        ("constants", source.constants),
        ("units", source.writing.units),
        ("values", source.writing.words),
        ("together", source.together),
        ("unfold", _named_by(source.unfold)),
    ]
    for number, part in enumerate(source.repeat, start=1):
        groups += [(f"repeat.{number}.columns", part.columns)]
        groups += [(f"repeat.{number}.constants", part.constants)]
        groups += [(f"repeat.{number}.together", part.together)]
        groups += [(f"repeat.{number}.unfold", _named_by(part.unfold))]
    for group, declared in groups:
        for name in declared:
            path = f"{source.path}.{group}.{name}"
            if shape.at(name) is None:
                error = InputError(
                    path, found=f'"{name}"', expected=f"a field of {source.register}"
                )
                hint = did_you_mean(name, shape.fields)
                faults.append(fault_at(origin, path, error, hint))
            elif group == "units" and (wrong := _wrong_unit(source, shape, name)):
                faults.append(fault_at(origin, path, wrong))
    return faults


def _named_by(unfold: Unfold | None) -> Mapping[str, object]:
    return {unfold.field: "field", unfold.into: "into"} if unfold else {}


def _wrong_unit(source: Source, shape: Shape, name: str) -> InputError | None:
    wanted = cast(Shape, shape.at(name)).unit
    written = source.writing.units[name]
    if not wanted:
        return InputError("unit", found=f'"{written}"', expected="no unit: this field has none")
    try:
        if UNITS[unit_name(written)].kind == UNITS[wanted].kind:
            return None
    except InputError as error:
        return error
    return InputError("unit", found=f'"{written}"', expected=f"a unit that goes over into {wanted}")
