"""The files that a project was read from, so that they can travel with what was made of them."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path, PurePosixPath

from dossier.errors import DossierError
from dossier.intake.load import PROJECT_FILE
from dossier.intake.paths import confined
from dossier.intake.read_yaml import read_object
from dossier.intake.sources import spelled_out
from dossier.records.project import Project


def record_files(folder: Path) -> list[str]:
    """`project.yaml` and every file of a register; () where there is no project."""
    if not (folder / PROJECT_FILE).is_file():
        return []
    registers = spelled_out(read_object(folder / PROJECT_FILE, PROJECT_FILE).data.get("registers"))
    names = [PROJECT_FILE]
    for parts in registers.values() if isinstance(registers, Mapping) else ():
        names += [str(part["file"]) for part in parts if "file" in part]
    return _there(folder, names)


def evidence_files(folder: Path, project: Project) -> list[str]:
    """The files of the register of documents that are there."""
    return _there(folder, [one.file for one in project.documents if one.file])


def own_templates(folder: Path) -> list[str]:
    """The project's own templates."""
    own = folder / "templates"
    paths = sorted(path for path in own.rglob("*") if path.is_file()) if own.is_dir() else []
    return _there(folder, [path.relative_to(folder).as_posix() for path in paths])


def _there(folder: Path, names: list[str]) -> list[str]:
    """Those that are there, each once, spelled in one way: "./a//b" is "a/b"."""
    found: dict[str, None] = {}
    for name in dict.fromkeys(names):
        try:
            path = confined(folder, name)
        except DossierError:
            continue
        if path.is_file():
            found[PurePosixPath(name).as_posix()] = None
    return list(found)
