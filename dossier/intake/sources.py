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
class Set:
    """One set of columns of a wide sheet, with the values that are the same in every row."""

    columns: Mapping[str, str]
    constants: Mapping[str, str]


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
    encoding: str = "utf-8"
    columns: Mapping[str, str] = field(default_factory=dict)
    constants: Mapping[str, str] = field(default_factory=dict)
    repeat: tuple[Set, ...] = ()
    writing: Writing = field(default_factory=Writing)

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
    )
    return Source(
        register,
        file,
        confined(folder, file),
        f"registers.{register}.{place}",
        data.get("sheet", ""),
        data.get("header_row", 1),
        data.get("delimiter", ""),
        data.get("encoding", "utf-8"),
        data.get("columns", {}),
        data.get("constants", {}),
        tuple(Set(s["columns"], s.get("constants", {})) for s in data.get("repeat", ())),
        writing,
    )


def source_faults(source: Source, shape: Shape, origin: Position) -> list[Fault]:
    """What is wrong with the declared fields and units of a source: names no record has."""
    faults = []
    groups: list[tuple[str, Mapping[str, object]]] = [
        ("columns", source.columns),
        ("constants", source.constants),
        ("units", source.writing.units),
        ("values", source.writing.words),
    ]
    for number, part in enumerate(source.repeat, start=1):
        groups += [(f"repeat.{number}.columns", part.columns)]
        groups += [(f"repeat.{number}.constants", part.constants)]
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
