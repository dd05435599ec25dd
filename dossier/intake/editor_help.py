"""Schemas and settings by which an editor checks and completes the records while they are typed."""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from dossier.errors import Fault, ProjectError
from dossier.intake.read_yaml import read_object
from dossier.intake.schema_bundle import bundled
from dossier.intake.schemas import REGISTERS
from dossier.intake.sources import spelled_out

FOLDER = ".schemas"
SETTINGS = ".vscode/settings.json"


def write_editor_help(folder: Path) -> list[Path]:
    """Write a schema in one piece for each YAML and JSON file of the project, and the settings.

    The schemas go to `.schemas`, the settings of VS Code and of editors like it to
    `.vscode/settings.json`, where settings that are there already stay. Other editors follow the
    first line of a file: see `first_line`. Returns the paths written. Raises ProjectError: no
    project file, or settings that are no plain JSON.
    """
    files = _files(folder)
    settings = _settings(folder)
    by_yaml, by_json = settings.get("yaml.schemas", {}), settings.get("json.schemas", [])
    texts: dict[str, str] = {}
    for name, named in files.items():
        place = f"{FOLDER}/{name}.schema.json"
        texts[place] = _json(bundled(name))
        if yaml_files := [file for file in named if not file.endswith(".json")]:
            by_yaml[place] = yaml_files
        if json_files := [f"/{file}" for file in named if file.endswith(".json")]:
            ours = {"fileMatch": json_files, "url": f"./{place}"}
            by_json = [*(part for part in by_json if part.get("url") != ours["url"]), ours]
    settings["yaml.schemas"] = by_yaml
    if by_json:
        settings["json.schemas"] = by_json
    texts[SETTINGS] = _json(settings)
    for name, text in texts.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8", newline="\n")
    return [folder / name for name in texts]


def first_line(name: str, file: str = "") -> str:
    """The comment that names the schema of a YAML file; `file` is its path below the project.

    >>> first_line("welders", "registers/welders.yaml")
    '# yaml-language-server: $schema=../.schemas/welders.schema.json'
    """
    return f"# yaml-language-server: $schema={'../' * file.count('/')}{FOLDER}/{name}.schema.json"


def _files(folder: Path) -> dict[str, list[str]]:
    """The YAML and JSON files of the project by the name of their schema."""
    raw = read_object(folder / "project.yaml", "project.yaml")
    registers = spelled_out(raw.data.get("registers"))
    found: dict[str, list[str]] = {"project": ["project.yaml"]}
    for name, parts in registers.items() if isinstance(registers, Mapping) else ():
        for part in parts if name in REGISTERS and isinstance(parts, list) else ():
            file = str(part.get("file", "")) if isinstance(part, Mapping) else ""
            if file.lower().endswith((".yaml", ".yml", ".json")):
                found.setdefault(name, []).append(file)
    return found


def _settings(folder: Path) -> dict[str, Any]:
    path = folder / SETTINGS
    if not path.exists():
        return {}
    try:
        settings = json.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        settings = None
    if not isinstance(settings, dict):
        expected = "plain JSON, without comments, that ours can be added to"
        raise ProjectError([Fault(SETTINGS, "", "", "settings that cannot be read", expected)])
    return settings


def _json(value: object) -> str:
    return json.dumps(value, ensure_ascii=False, indent=2) + "\n"
