"""Writing results: beside the target first, then moved into place, so that none is half-written."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path


def write_whole(path: Path, data: bytes) -> Path:
    """Write `data` to `path` in one step; an interrupted run leaves the old file or none.

    Folders are made as needed. Raises OSError when the place cannot be written.
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=".", suffix=path.suffix)
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(data)
        Path(name).chmod(0o644)
        Path(name).replace(path)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise
    return path


def file_name(text: str) -> str:
    """A document number as a file name: letters, digits, point, dash and underscore only.

    >>> file_name("WPS-01/A rev. 2")
    'WPS-01_A_rev._2'
    """
    kept = "".join(c if c.isalnum() or c in ".-_" else "_" for c in text).strip(".")
    return kept or "document"
