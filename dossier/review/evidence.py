"""Where the evidence documents of a project lie, and how a page links to them."""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path, PurePath

from dossier.coverage.view import View
from dossier.review.assembly import Link, link


def evidence_paths(seen: View, folder: Path) -> dict[str, Path]:
    """The file of each document that is there, by its register number.

    A file outside the project's folder is left out, whatever the register says of it.
    """
    root = folder.resolve()
    found = {}
    for document in seen.project.documents:
        path = (root / document.file).resolve() if document.file else root
        if path != root and path.is_relative_to(root) and path.is_file():
            found[document.number] = path
    return found


def links_from(place: Path, paths: Mapping[str, Path]) -> dict[str, Link]:
    """Links to evidence files as they are seen from a page in the folder `place`."""
    start = place.resolve()
    return {number: link(PurePath(os.path.relpath(path, start)).as_posix())
            for number, path in paths.items()}  # fmt: skip
