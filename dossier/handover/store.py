"""What was rendered before, kept by what it was made of.

An entry is a file of bytes and, written after it, a card with its checksum. Both are moved into
place whole, so a run that is killed at any moment leaves nothing that could be mistaken for a
result; an entry that does not fit its card is made again.
"""

from __future__ import annotations

import hashlib
import json
import os
import re
import shutil
from collections.abc import Callable, Iterable, Iterator
from collections.abc import Set as AbstractSet
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from functools import lru_cache
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

from dossier import __version__
from dossier.documents.files import write_whole
from dossier.errors import DossierError
from dossier.resources import shared

_ENGINES = ("weasyprint", "pydyf", "fonttools", "docxtpl", "python-docx", "openpyxl", "pillow")
_PANGO = ("libpango-1.0.so.0", "libpango-1.0.0.dylib", "libpango-1.0-0.dll")
_KEPT = "kept.json"  # keys of the last builds, newest first
_BUILDS_KEPT = 2
# An entry below the first two letters of its key, or one that was never finished.
_OURS = re.compile(r"([0-9a-f]{2})/(\1[0-9a-f]{62}|\.[a-z0-9_]{8})")


class BusyError(DossierError):
    """Another build writes into the same folder."""


@dataclass(frozen=True, slots=True)
class Kept:
    """An entry of the store: where its bytes are, how many pages each of its documents has."""

    path: Path
    pages: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Store:
    """A folder of results by key. `base` says what all of them depend on besides their content."""

    folder: Path
    base: str

    def key(self, parts: Iterable[str]) -> str:
        """The key of what is made of these texts."""
        digest = hashlib.sha256(self.base.encode())
        for part in parts:
            data = part.encode()
            digest.update(f"\0{len(data)}\0".encode() + data)
        return digest.hexdigest()

    def place(self, key: str) -> Path:
        """Where the bytes of an entry lie."""
        return self.folder / key[:2] / key

    def find(self, key: str) -> Kept | None:
        """The entry, if it is there and whole."""
        path = self.place(key)
        try:
            card = json.loads(_card(path).read_text(encoding="utf-8"))
            if digest_of(path) != card["sha256"]:
                return None
            return Kept(path, tuple(int(n) for n in card["pages"]))
        except (OSError, ValueError, KeyError, TypeError):
            return None

    def keep(self, key: str, data: bytes, pages: tuple[int, ...] = ()) -> Kept:
        """Put an entry in; the card comes last and makes it valid."""
        path = self.place(key)
        _card(path).unlink(missing_ok=True)
        write_whole(path, data)
        card = {"sha256": hashlib.sha256(data).hexdigest(), "pages": list(pages)}
        write_whole(_card(path), json.dumps(card).encode())
        return Kept(path, pages)

    def have(self, key: str, make: Callable[[], bytes]) -> Kept:
        """The entry, made where it is not there yet."""
        return self.find(key) or self.keep(key, make())

    @contextmanager
    def in_use(self) -> Iterator[None]:
        """Keep other builds of this store from removing what this one has found in it."""
        with self._locked(alone=False):
            yield

    @contextmanager
    def _locked(self, *, alone: bool) -> Iterator[bool]:
        """Hold the store, with others or alone; False where it is not to be had alone."""
        import fcntl

        self.folder.mkdir(parents=True, exist_ok=True)
        handle = os.open(self.folder, os.O_RDONLY)
        try:
            with suppress(BlockingIOError):
                fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB if alone else fcntl.LOCK_SH)
                yield True
                return
            yield False
        finally:
            os.close(handle)

    def prune(self, used: Iterable[str]) -> int:
        """Remove what the last builds did not use; returns how many entries went.

        Builds are counted, not days: a clock that goes back removes nothing. Nor does anything go
        while another build uses the store.
        """
        keys = set(used)
        earlier = [build for build in self._builds() if set(build) != keys]
        builds = [sorted(keys), *earlier][:_BUILDS_KEPT]
        self.folder.mkdir(parents=True, exist_ok=True)
        write_whole(self.folder / _KEPT, json.dumps(builds).encode())
        wanted = {key for build in builds for key in build}
        with self._locked(alone=True) as alone:
            return self._remove_all_but(wanted) if alone else 0

    def _remove_all_but(self, wanted: AbstractSet[str]) -> int:
        gone = 0
        for path in sorted(self.folder.glob("??/*")):
            key = path.name.removesuffix(".json")
            if key not in wanted and _OURS.fullmatch(f"{path.parent.name}/{key}"):
                path.unlink(missing_ok=True)
                gone += path.suffix != ".json"
        return gone

    def _builds(self) -> list[list[str]]:
        try:
            builds = json.loads((self.folder / _KEPT).read_text(encoding="utf-8"))
        except (OSError, ValueError):
            return []
        return [[str(key) for key in build] for build in builds if isinstance(build, list)]

    def take_over(self, other: Path) -> int:
        """Copy the whole entries of another store that this one lacks; returns how many."""
        taken = 0
        source = Store(other, self.base)
        for path in sorted(other.glob("??/*")):
            if path.suffix or self.find(path.name):
                continue
            entry = source.find(path.name)
            if entry is not None:
                self.keep(path.name, entry.path.read_bytes(), entry.pages)
                taken += 1
        return taken


def _card(path: Path) -> Path:
    return path.with_name(f"{path.name}.json")


def digest_of(path: Path, name: str = "sha256") -> str:
    """The checksum of a file, read in pieces."""
    with path.open("rb") as stream:
        return hashlib.file_digest(stream, name).hexdigest()


def store_beside(out_dir: Path, overrides: Path | None = None, folder: Path | None = None) -> Store:
    """The store of builds into `out_dir`: the folder given, else a hidden one beside it."""
    whole = out_dir.resolve()
    return Store(folder or whole.with_name(f".{whole.name}.store"), base_of(overrides))


def base_of(overrides: Path | None) -> str:
    """What every result depends on: tool, renderers, fonts, templates, the project's own too."""
    own = _folder_digest(overrides) if overrides else ""
    return f"{__version__} {_engines()} {_folder_digest(shared('templates'))} {own}"


@lru_cache(maxsize=1)
def _engines() -> str:
    found = [str(_pango_version())]
    for name in _ENGINES:
        try:
            found.append(version(name))
        except PackageNotFoundError:
            found.append("none")
    return " ".join(found)


def _pango_version() -> int:
    """Version of the library that lays out text, 0 where it is not found under its usual name."""
    import ctypes

    for name in _PANGO:
        try:
            return int(ctypes.CDLL(name).pango_version())
        except (OSError, AttributeError):
            continue
    return 0


def _folder_digest(folder: Path) -> str:
    digest = hashlib.sha256()
    for path in sorted(p for p in folder.rglob("*") if p.is_file()):
        if path.suffix not in (".py", ".pyc"):
            digest.update(f"{path.relative_to(folder).as_posix()}\0{digest_of(path)}\0".encode())
    return digest.hexdigest()


@contextmanager
def alone_in(folder: Path) -> Iterator[None]:
    """Keep other builds out of a folder while one writes into it.

    The system lets go of the lock when the process ends, however it ends.
    Raises BusyError: another build is at work there.
    """
    folder.mkdir(parents=True, exist_ok=True)
    handle = os.open(folder, os.O_RDONLY)
    try:
        _lock(handle, folder)
        yield
    finally:
        os.close(handle)


def _lock(handle: int, folder: Path) -> None:
    import fcntl

    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        raise BusyError(
            f"{folder}: another build is writing here. Wait until it has ended, or choose "
            "another folder."
        ) from None


def clear_leftovers(folder: Path, prefix: str) -> None:
    """Remove working folders that a killed build left behind."""
    for path in folder.glob(f"{prefix}*"):
        shutil.rmtree(path, ignore_errors=True)
