"""What this machine has of what the tool needs, and the command that mends what it lacks."""

from __future__ import annotations

import shutil
import sys
from collections.abc import Iterator
from ctypes.util import find_library
from dataclasses import dataclass
from importlib import metadata
from importlib.util import find_spec

from dossier.resources import shared

_LIBRARIES = ("docxtpl", "openpyxl", "jsonschema", "weasyprint", "pikepdf", "yaml", "segno")
_NAMES = {"yaml": "PyYAML"}


@dataclass(frozen=True, slots=True)
class Item:
    """One thing looked for: whether it is there, whether it must be, and a word about it."""

    name: str
    present: bool
    needed: bool
    told: str


def examine() -> Iterator[Item]:
    """Everything that the commands use, the needed things first."""
    version = ".".join(map(str, sys.version_info[:3]))
    yield Item("Python", sys.version_info >= (3, 11), True, f"{version}, 3.11 or later is needed")
    for library in _LIBRARIES:
        yield _library(library)
    yield _system("Pango", "pango-1.0", "apt-get install libpango-1.0-0 libpangoft2-1.0-0")
    yield _system("HarfBuzz subset", "harfbuzz-subset", "apt-get install libharfbuzz-subset0")
    for kind in ("schemas", "templates", "templates/fonts"):
        folder = shared(kind.split("/")[0]) / "/".join(kind.split("/")[1:])
        filled = folder.is_dir() and any(folder.iterdir())
        yield Item(kind, filled, True, "in place" if filled else "install the package again")
    for extra, library in (
        ("fast", "jsonschema_rs"),
        ("sign", "pyhanko"),
        ("cluster", "distributed"),
    ):
        present = find_spec(library) is not None
        told = "installed" if present else f'optional: pip install "dossier[{extra}]"'
        yield Item(f"extra {extra}", present, False, told)
    office = shutil.which("soffice") is not None
    told = "installed" if office else "optional, to look at the docx: apt-get install libreoffice"
    yield Item("LibreOffice", office, False, told)


def _library(name: str) -> Item:
    title = _NAMES.get(name, name)
    if find_spec(name) is None:
        return Item(title, False, True, f"pip install {title}")
    return Item(title, True, True, metadata.version(title))


def _system(title: str, library: str, remedy: str) -> Item:
    present = find_library(library) is not None
    return Item(title, present, True, "installed" if present else remedy)
