"""Signed files of a built folder: known again by the next build, and never written over."""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path

from dossier.errors import DossierError

NOTE = "signed.json"  # checksums of signed files, and what they were before


class SignedError(DossierError):
    """A build that would take signatures away."""


def signed_forms(out_dir: Path, made: Mapping[str, str]) -> dict[str, str]:
    """Checksums of the signed forms of files just as they were built; {} from a damaged note."""
    try:
        noted = json.loads((out_dir / NOTE).read_bytes())
        return {name: one["signed"] for name, one in noted.items()
                if one["built"] == made.get(name)}  # fmt: skip
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        return {}


def keep_signed(out_dir: Path) -> None:
    """Raise SignedError where a build into `out_dir` would write over signed files."""
    if names := _signed_there(out_dir):
        raise SignedError(
            f"{out_dir}: {', '.join(names)} is signed, and a new build would take the signatures "
            "away: the records, this tool or a file of the folder have changed since, or the "
            f"store no longer knows the build. Build into another folder (--since {out_dir} adds "
            "a sheet of the changes), or move the signed files away first. Nothing was written."
        )


def _signed_there(out_dir: Path) -> list[str]:
    """Signed files that are there still; by a damaged note, every PDF, as it may be one."""
    if not (out_dir / NOTE).is_file():
        return []
    try:
        names = sorted(json.loads((out_dir / NOTE).read_bytes()).keys())
    except (ValueError, AttributeError):
        names = sorted(path.name for path in out_dir.glob("*.pdf"))
    return [name for name in names if (out_dir / name).is_file()]
