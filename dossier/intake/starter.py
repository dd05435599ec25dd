"""A new project folder: `project.yaml` and every register, empty, with its headings in place."""

from __future__ import annotations

import csv
import io
from pathlib import Path
from typing import cast

from dossier.errors import Fault, ProjectError
from dossier.intake.editor_help import first_line, write_editor_help
from dossier.intake.read_yaml import read_object
from dossier.intake.registers import register_shape
from dossier.intake.schemas import VERSION, schema
from dossier.intake.shape import Shape
from dossier.resources import shared


def start_project(folder: Path) -> list[Path]:
    """Write the starter files into `folder`, which must be new or empty; returns their paths.

    Raises ProjectError when the folder holds anything: nothing of the user's is overwritten.
    """
    if folder.exists() and any(folder.iterdir()):
        held = sorted(path.name for path in folder.iterdir())[0]
        raise ProjectError([Fault(str(folder), "", "", f"a folder with {held} in it", "a new one")])
    template = shared("templates") / "starter" / "project.yaml"
    text = template.read_text(encoding="utf-8")
    files = {"project.yaml": f"{first_line('project')}\n{text}"}
    registers = read_object(template, template.name).data["registers"]
    for register, name in cast(dict[str, str], registers).items():
        files[name] = _empty_table(register) if name.endswith(".csv") else _empty_list(register)
    folder.mkdir(parents=True, exist_ok=True)
    paths = [folder / name for name in files]
    for path, text in zip(paths, files.values(), strict=True):
        path.write_text(text, encoding="utf-8", newline="\n")
    return [*paths, *write_editor_help(folder)]


def _empty_table(register: str) -> str:
    text = io.StringIO()
    csv.writer(text, lineterminator="\n").writerow(_headings(register_shape(register)))
    return text.getvalue()


def _headings(form: Shape) -> list[str]:
    """The fields that fit in one cell; a reference to a document takes two columns."""
    names: list[str] = []
    for name, part in form.fields.items():
        if part.kind == "object":
            names += [f"{name}.{inner}" for inner in part.fields]
        elif part.kind != "list" or (part.item and part.item.kind == "text"):
            names.append(name)
    return names


def _empty_list(register: str) -> str:
    about = schema(register)["description"]
    return f'{first_line(register)}\n# {about}\nschema: "{VERSION}"\nrecords: []\n'
