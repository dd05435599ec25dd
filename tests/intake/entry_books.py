"""Workbooks for data entry in tests: written from records, changed by hand, read back."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from dossier.errors import ProjectError
from dossier.intake import load_project
from dossier.intake.entry_mark import PATH_ROW
from dossier.intake.entry_workbook import entry_workbook
from dossier.intake.schemas import REGISTERS
from dossier.records.base import Record
from dossier.records.project import Project

HERE = Path(__file__).parent
SAMPLE = HERE.parents[1] / "sample_project"
EVERY = HERE / "accepted" / "every_register"
ACCEPTED = sorted(path for path in (HERE / "accepted").iterdir() if path.is_dir())


def told(record: Any) -> Any:
    """A record as plain data without the places it was read from.

    Names answered "n/a" count where they stand: a certificate kept in a file of its own tells of
    them itself, one inside of its welder is told of by the welder as well.
    """
    if isinstance(record, tuple):
        return [told(part) for part in record]
    if not dataclasses.is_dataclass(record):
        return record
    data = {f.name: told(getattr(record, f.name)) for f in dataclasses.fields(record)}
    if isinstance(record, Record):
        del data["origin"]
        inner = [
            f"{f.name}."
            for f in dataclasses.fields(record)
            if any(isinstance(p, Record) for p in _parts(getattr(record, f.name)))
        ]
        own = {n for n in record.not_applicable if not n.startswith(tuple(inner) or ("\0",))}
        data["not_applicable"] = own
    return data


def _parts(value: Any) -> tuple[Any, ...]:
    return value if isinstance(value, tuple) else ()


def folder_of(project: Project, source: Path, folder: Path, declared: str = "") -> Path:
    """A project whose only register file is the workbook of `project`."""
    folder.mkdir(parents=True, exist_ok=True)
    text = (source / "project.yaml").read_text(encoding="utf-8").split("registers:")[0]
    registers = declared or "  workbook: records.xlsx\n"
    (folder / "project.yaml").write_text(f"{text}registers:\n{registers}", encoding="utf-8")
    (folder / "records.xlsx").write_bytes(entry_workbook(project))
    return folder


def same(one: Project, other: Project) -> None:
    for name in REGISTERS:
        assert told(getattr(one, name)) == told(getattr(other, name)), name


def changed(folder: Path, change: Callable[[Any], None]) -> None:
    """Open the workbook, change it, and save it as somebody at a desk would."""
    book = openpyxl.load_workbook(folder / "records.xlsx")
    change(book)
    book.save(folder / "records.xlsx")


def column_of(page: Any, path: str) -> str:
    return next(cell.column_letter for cell in page[PATH_ROW] if cell.value == path)


def put(book: Any, sheet: str, row: int, **values: object) -> None:
    page = book[sheet]
    for name, value in values.items():
        path = name.replace("__", ":", 1)
        page[f"{column_of(page, path)}{row}"].value = value


def faults_of(folder: Path) -> list[str]:
    with pytest.raises(ProjectError) as caught:
        load_project(folder)
    return [str(fault) for fault in caught.value.faults]
