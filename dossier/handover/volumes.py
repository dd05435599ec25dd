"""Volume presets: which sections in which order, and what each prints or gathers."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import yaml

from dossier.errors import Fault, ProjectError
from dossier.resources import shared

REST = "*"


@dataclass(frozen=True, slots=True)
class Section:
    """A section: what the tool prints in it ("" nothing) and the kinds of papers that follow."""

    title: str
    content: str = ""
    papers: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Volume:
    """A volume with its sections in order."""

    title: str
    sections: tuple[Section, ...]


def load_volumes(name: str, folder: Path, contents: frozenset[str]) -> tuple[Volume, ...]:
    """The preset `name`: the project's own below `folder`, else ours.

    `contents` are the names of what can be printed. Raises ProjectError: no such preset, or one
    that names what the tool does not print.
    """
    own = folder / "templates" / "volumes" / f"{name}.yaml"
    path = own if own.is_file() else shared("templates") / "volumes" / f"{name}.yaml"
    if not name.replace("-", "").replace("_", "").isalnum() or not path.is_file():
        known = sorted(p.stem for p in (shared("templates") / "volumes").glob("*.yaml"))
        raise ProjectError([Fault("project.yaml", "", "volumes", repr(name), ", ".join(known))])
    with path.open(encoding="utf-8") as stream:
        data = yaml.load(stream, Loader=yaml.CSafeLoader)
    faults: list[Fault] = []
    volumes = tuple(_volume(entry, path.name, contents, faults) for entry in _list(data, "volumes"))
    if not volumes:
        faults.append(Fault(path.name, "", "volumes", "none", "at least one volume"))
    if faults:
        raise ProjectError(faults)
    return volumes


def _list(data: Any, key: str) -> list[Any]:
    value = data.get(key) if isinstance(data, Mapping) else None
    return value if isinstance(value, list) else []


def _volume(entry: Any, file: str, contents: frozenset[str], faults: list[Fault]) -> Volume:
    title = str(entry.get("title", "")) if isinstance(entry, Mapping) else ""
    sections = []
    for part in _list(entry, "sections"):
        section = Section(
            str(part.get("title", "")),
            str(part.get("content", "")),
            tuple(str(kind) for kind in _list(part, "papers")),
        )
        sections.append(section)
        if section.content and section.content not in contents:
            expected = ", ".join(sorted(contents))
            faults.append(Fault(file, section.title, "content", section.content, expected))
        if not section.title:
            faults.append(Fault(file, title, "title", "none", "a title for each section"))
    if not title:
        faults.append(Fault(file, "", "title", "none", "a title for each volume"))
    return Volume(title, tuple(sections))
