"""Signed files of a built folder: known again by the next build, and never written over."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from mmap import ACCESS_READ, mmap
from pathlib import Path

from dossier.errors import DossierError
from dossier.handover.placing import listed_sums
from dossier.handover.store import digest_of

NOTE = "signed.json"  # checksums of signed files, and what they were before


class SignedError(DossierError):
    """A build that would take signatures away."""


def signed_forms(out_dir: Path, made: Mapping[str, str]) -> dict[str, str]:
    """Checksums of the signed forms of files just as they were built; {} from a damaged note."""
    noted = noted_in(out_dir)
    return {name: one["signed"] for name, one in noted.items() if one["built"] == made.get(name)}


def noted_in(out_dir: Path) -> dict[str, dict[str, str]]:
    """By name of each signed file its checksums, "built" and "signed"; {} from a damaged note."""
    try:
        noted = json.loads((out_dir / NOTE).read_bytes())
        return {str(name): {form: str(one[form]) for form in ("built", "signed")}
                for name, one in noted.items()}  # fmt: skip
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        return {}


def unlike_listed(out_dir: Path, listed: Mapping[str, str]) -> list[str]:
    """Files of the list that are gone, or are neither as listed nor as noted when signed."""
    noted = noted_in(out_dir)
    unlike = [NOTE] if NOTE in listed and not noted else []
    for name, digest in listed.items():
        path = out_dir / name
        good = {digest, noted[name]["signed"]} if name in noted else {digest}
        if name != NOTE and not (path.is_file() and digest_of(path) in good):
            unlike.append(name)
    return sorted(unlike)


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
    listed = listed_sums(out_dir)
    names = set(_signed_elsewhere(out_dir, listed))
    if (out_dir / NOTE).is_file():
        try:
            names |= json.loads((out_dir / NOTE).read_bytes()).keys()
        except (ValueError, AttributeError):
            names |= {path.name for path in out_dir.glob("*.pdf")}
    elif NOTE in listed:  # it was there
        names |= {name for name in listed if _bears_signature(out_dir / name)}
    return sorted(name for name in names if (out_dir / name).is_file())


def _signed_elsewhere(out_dir: Path, listed: Mapping[str, str]) -> Iterator[str]:
    """PDFs that another program has signed since they were built: it leaves no note."""
    for name, digest in listed.items():
        path = out_dir / name
        if _bears_signature(path) and digest_of(path) != digest:
            yield name


def _bears_signature(path: Path) -> bool:
    """Whether a PDF holds a signature dictionary, which is never packed."""
    if path.suffix.lower() != ".pdf" or not path.is_file() or not path.stat().st_size:
        return False
    with path.open("rb") as stream, mmap(stream.fileno(), 0, access=ACCESS_READ) as data:
        return data.find(b"/ByteRange") >= 0
