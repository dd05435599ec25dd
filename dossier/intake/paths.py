"""Files of a project lie below its folder: no path may lead out of it."""

from __future__ import annotations

from pathlib import Path, PureWindowsPath

from dossier.errors import InputError

LONGEST_NAME = 255  # bytes, of most file systems
LONGEST_PATH = 2_000  # bytes, so that a whole path has room for the project's own folder


def confined(folder: Path, written: str) -> Path:
    """The path below `folder` that `written` names, links followed.

    Raises InputError: an absolute path, one with "..", a backslash or a drive, one longer than
    file systems hold, or a link that leaves the folder.

    >>> confined(Path("."), "registers/joints.yaml").name
    'joints.yaml'
    """
    parts = written.split("/")
    if "\\" in written or PureWindowsPath(written).drive or "\x00" in written:
        raise InputError("file", found=f'"{written}"', expected="a path with / between folders")
    if written.startswith(("/", "~")) or ".." in parts or not written.strip():
        raise InputError("file", found=f'"{written}"', expected="a path below the project folder")
    try:
        root, path = folder.resolve(), (folder / written).resolve()
    except (OSError, RuntimeError, ValueError):
        raise InputError("file", found=f'"{written}"', expected="a path that can be read") from None
    if len(written.encode("utf-8", "surrogatepass")) > LONGEST_PATH or any(
        len(part.encode("utf-8", "surrogatepass")) > LONGEST_NAME for part in parts
    ):
        raise InputError("file", found=f"{len(written)} characters", expected="a shorter path")
    if not path.is_relative_to(root):
        raise InputError(
            "file",
            found=f'"{written}", which leads out of the project folder',
            expected="a file inside of it",
        )
    return path
