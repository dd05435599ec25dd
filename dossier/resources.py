"""Where schemas and templates lie, in a checkout and in an installed wheel alike."""

from __future__ import annotations

from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent


def shared(kind: str) -> Path:
    """Folder of the shared files of one `kind`: "schemas", "templates" or "completions".

    The wheel carries them inside the package; a checkout keeps them beside it.

    >>> shared("schemas").name
    'schemas'
    """
    inside = _PACKAGE / "_shared" / kind
    return inside if inside.is_dir() else _PACKAGE.parent / kind
