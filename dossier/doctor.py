"""What this machine has of what the tool needs, and the command that mends what it lacks."""

from __future__ import annotations

import ctypes
import shutil
import sys
import tempfile
from collections.abc import Iterator
from ctypes.util import find_library
from dataclasses import dataclass
from importlib import metadata
from importlib.util import find_spec

from dossier.resources import shared

_LIBRARIES = (
    "defusedxml", "docxtpl", "openpyxl", "jsonschema", "weasyprint", "pikepdf", "pypdfium2", "yaml",
    "segno",
)  # fmt: skip
_NAMES = {"yaml": "PyYAML"}
_EXTRAS = (
    ("fast", "jsonschema_rs"), ("sign", "pyhanko"), ("cluster", "distributed"),
    ("dicom", "pydicom"), ("plan", "scipy"),
)  # fmt: skip
# What the renderer loads: title, name to look for, names of the file, command that installs it.
_SYSTEM = (
    ("Pango", "pango-1.0", ("libpango-1.0.so.0", "libpango-1.0.dylib", "libpango-1.0-0.dll"),
     "apt-get install libpango-1.0-0"),
    ("Pango with FreeType", "pangoft2-1.0",
     ("libpangoft2-1.0.so.0", "libpangoft2-1.0.dylib", "libpangoft2-1.0-0.dll"),
     "apt-get install libpangoft2-1.0-0"),
    ("Fontconfig", "fontconfig", ("libfontconfig.so.1", "libfontconfig.1.dylib"),
     "apt-get install libfontconfig1"),
    ("HarfBuzz subset", "harfbuzz-subset",
     ("libharfbuzz-subset.so.0", "libharfbuzz-subset.0.dylib", "libharfbuzz-subset-0.dll"),
     "apt-get install libharfbuzz-subset0"),
)  # fmt: skip


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
    for one in _SYSTEM:
        yield _system(*one)
    yield from _surroundings()
    for kind in ("schemas", "templates", "templates/fonts"):
        folder = shared(kind.split("/")[0]) / "/".join(kind.split("/")[1:])
        filled = folder.is_dir() and any(folder.iterdir())
        yield Item(kind, filled, True, "in place" if filled else "install the package again")
    for extra, library in _EXTRAS:
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


def _system(title: str, library: str, files: tuple[str, ...], remedy: str) -> Item:
    """A library of the system: by the tools that list them, else by loading it."""
    present = find_library(library) is not None or any(map(_loads, files))
    return Item(title, present, True, "installed" if present else remedy)


def _loads(file: str) -> bool:
    try:
        ctypes.CDLL(file)
    except OSError:
        return False
    return True


def _surroundings() -> Iterator[Item]:
    """What the system around us must allow."""
    try:
        told, writable = tempfile.gettempdir(), True
    except FileNotFoundError:
        told, writable = "none that may be written: export TMPDIR=FOLDER", False
    yield Item("folder for working files", writable, True, told)
    encoding = sys.getfilesystemencoding()
    names = encoding.lower() == "utf-8"
    told = encoding if names else f"{encoding} holds few letters: export PYTHONUTF8=1"
    yield Item("file names", names, True, told)
