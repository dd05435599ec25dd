"""Volume presets: which sections in which order, what each prints, gathers and must hold."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields
from importlib import import_module
from pathlib import Path
from typing import Any

from dossier.errors import Fault, ProjectError
from dossier.handover.conditions import CONDITIONS
from dossier.intake.raw import Unreadable, clip
from dossier.intake.read_yaml import read_object
from dossier.records.project import Project
from dossier.records.verdicts import Basis
from dossier.resources import shared

REST = "*"
_LONGEST_NAME = 100
_REGISTERS = frozenset(f.name for f in fields(Project)) - {"settings"}


@dataclass(frozen=True, slots=True)
class Needed:
    """A record that a section must hold, and who asks for it.

    It is there with a record in one of `registers` and, where kinds of `papers` are named, a
    paper of one of these kinds. `when` names the condition under which it is asked for; a project
    that does not need it says why in `not_applicable`.
    """

    record: str
    registers: tuple[str, ...] = ()
    papers: tuple[str, ...] = ()
    asked_by: tuple[Basis, ...] = ()
    when: str = "always"
    not_applicable: str = ""


@dataclass(frozen=True, slots=True)
class Section:
    """A section: what the tool prints ("" nothing), the kinds of papers that follow, needs."""

    title: str
    content: str = ""
    papers: tuple[str, ...] = ()
    needed: tuple[Needed, ...] = ()


@dataclass(frozen=True, slots=True)
class Volume:
    """A volume with its sections in order."""

    title: str
    sections: tuple[Section, ...]


def presets() -> list[str]:
    """Names of the presets that come with the tool.

    >>> presets()
    ['pipeline', 'plant-piping', 'pressure-equipment']
    """
    return sorted(p.stem for p in (shared("templates") / "volumes").glob("*.yaml"))


def load_volumes(name: str, folder: Path, contents: frozenset[str]) -> tuple[Volume, ...]:
    """The preset `name`: the project's own below `folder`, else ours.

    `contents` are the names of what can be printed. Raises ProjectError: no such preset, or one
    that names what the tool does not print or know.
    """
    path = _file_of(name, folder)
    if path is None:
        known = ", ".join(presets())
        raise ProjectError([Fault("project.yaml", "", "volumes", clip(name), known)])
    data = read_object(path, path.name).data
    reading = _Reading(path.name, contents, [])
    for place in _unreadable(data):
        reading.fault(place, "", "a tag or an alias of YAML", "the value itself")
    volumes = tuple(_volume(entry, reading) for entry in _list(data, "volumes"))
    if not volumes:
        reading.fault("", "volumes", "none", "at least one volume")
    if reading.faults:
        raise ProjectError(reading.faults)
    return volumes


def _file_of(name: str, folder: Path) -> Path | None:
    """The file of the preset; no link of the project's own may lead out of its folder."""
    if len(name) > _LONGEST_NAME or not name.replace("-", "").replace("_", "").isalnum():
        return None
    own = folder / "templates" / "volumes" / f"{name}.yaml"
    if own.is_file() and own.resolve().is_relative_to(folder.resolve()):
        return own
    ours = shared("templates") / "volumes" / f"{name}.yaml"
    return ours if ours.is_file() else None


def _unreadable(value: object, place: str = "") -> Iterator[str]:
    """Where there is something that the reader did not take."""
    if isinstance(value, Unreadable):
        yield place
    elif isinstance(value, Mapping):
        for key, inner in value.items():
            yield from _unreadable(inner, f"{place}.{key}" if place else str(key))
    elif isinstance(value, list):
        for number, inner in enumerate(value, start=1):
            yield from _unreadable(inner, f"{place}.{number}")


@dataclass(frozen=True, slots=True)
class _Reading:
    """The file being read, what may be printed, and what was wrong so far."""

    file: str
    contents: frozenset[str]
    faults: list[Fault]

    def fault(self, place: str, field: str, found: str, expected: str) -> None:
        self.faults.append(Fault(self.file, place, field, found, expected))

    def known(self, place: str, field: str, found: tuple[str, ...], may: frozenset[str]) -> None:
        for name in found:
            if name not in may:
                self.fault(place, field, name, ", ".join(sorted(may)))


def _list(data: Any, key: str) -> list[Any]:
    value = data.get(key) if isinstance(data, Mapping) else None
    return value if isinstance(value, list) else []


def _words(data: Any, key: str) -> tuple[str, ...]:
    return tuple(str(word) for word in _list(data, key))


def _text(data: Any, key: str, default: str = "") -> str:
    value = data.get(key) if isinstance(data, Mapping) else None
    return default if value is None else str(value)


def _volume(entry: Any, reading: _Reading) -> Volume:
    title = _text(entry, "title")
    if not title:
        reading.fault("", "title", "none", "a title for each volume")
    return Volume(title, tuple(_section(part, title, reading) for part in _list(entry, "sections")))


def _section(part: Any, volume: str, reading: _Reading) -> Section:
    title, content = _text(part, "title"), _text(part, "content")
    if not title:
        reading.fault(volume, "title", "none", "a title for each section")
    if content:
        reading.known(title, "content", (content,), reading.contents)
    needed = tuple(_needed(entry, title, reading) for entry in _list(part, "needed"))
    return Section(title, content, _words(part, "papers"), needed)


def _needed(entry: Any, section: str, reading: _Reading) -> Needed:
    when = _text(entry, "when", "always")
    registers, papers = _words(entry, "registers"), _words(entry, "papers")
    reading.known(section, "needed.when", (when,), frozenset(CONDITIONS))
    reading.known(section, "needed.registers", registers, _REGISTERS)
    if not (_text(entry, "record") and (registers or papers)):
        reading.fault(section, "needed", "too little", "record, and registers or papers")
    bases = []
    for rule in _words(entry, "asked_by"):
        basis = basis_of(rule)
        if basis is None:
            reading.fault(section, "needed.asked_by", rule, "a rule of the codes, or own words")
        else:
            bases.append(basis)
    return Needed(
        _text(entry, "record"), registers, papers, tuple(bases), when,
        _text(entry, "not_applicable"),
    )  # fmt: skip


def basis_of(rule: str) -> Basis | None:
    """The basis that `rule` names: "module:NAME" of the codes, "module:TABLE.key", or own words.

    None for a name that the codes do not have.

    >>> str(basis_of("cfr_192_records:TEST_RECORDS"))
    '49 CFR 192, 2024, 192.517(a)'
    >>> str(basis_of("Contract C-1, annex 3"))
    'Contract C-1, annex 3'
    """
    module, colon, name = rule.partition(":")
    if not colon or " " in rule:
        return Basis(rule, "", "", "project")
    try:
        found: Any = import_module(f"dossier.codes.{module}")
        table, _, key = name.partition(".")
        found = getattr(found, table)
        found = found[key] if key else found
    except (ImportError, AttributeError, KeyError, TypeError):
        return None
    basis = getattr(found, "basis", found)
    return basis if isinstance(basis, Basis) else None
