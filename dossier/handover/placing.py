"""Files of a build made beside: described, with their checksums, and moved into place."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path

from dossier.coverage.view import View
from dossier.errors import DossierError
from dossier.handover.issue_data import NAME as ISSUE
from dossier.handover.issue_data import FileMade
from dossier.handover.review_page import NAME as REVIEW
from dossier.handover.store import digest_of

CHECKSUMS = "checksums.sha256"


class PlaceError(DossierError):
    """A folder that holds files of somebody else where a build would put its own."""


def describe(seen: View, aside: Path, made: Sequence[FileMade], draft: str) -> None:
    """Write the checksums of all files in `aside`, and a README that says what each is."""
    settings = seen.project.settings
    state = f"DRAFT, {draft}" if draft else "no open point, no gap"
    files = sorted(p for p in aside.rglob("*") if p.is_file())
    names = [p.relative_to(aside).as_posix() for p in files]
    sums = [f"{digest_of(p)}  {n}\n" for p, n in zip(files, names, strict=True)]
    (aside / CHECKSUMS).write_text("".join(sums), encoding="utf-8")
    told = {
        **{f.name: f"the dossier, {f.pages} pages" for f in made},
        "check.json": "findings of the cross-check as data",
        REVIEW: "the records to search in a browser, offline; its links open the dossier",
        ISSUE: "documents with their pages, joints and completeness as data",
        CHECKSUMS: "checksums of all files; to prove them: sha256sum -c " + CHECKSUMS,
    }
    lines = [
        f"{settings.number} {settings.title}",
        f"Welding quality dossier, revision {settings.revision}, records to {seen.as_of}: {state}.",
        "",
        *(f"{n}: {told[n]}" if n in told else n for n in (*names, CHECKSUMS)),
    ]
    (aside / "README.txt").write_text("\n".join(lines) + "\n", encoding="utf-8")


def move(aside: Path, out_dir: Path) -> list[Path]:
    """Move every file into place and remove unchanged files that an earlier build left.

    The data of the issue go first: by them a folder is known for that of a build. The checksums go
    last: until then those of the earlier build tell that something is amiss.
    Raises PlaceError: files that no build has made stand in the way; nothing is moved then.
    """
    paths = sorted(p for p in aside.rglob("*") if p.is_file())
    ours = _is_built(out_dir)
    if not ours:
        _refuse_strangers([out_dir / path.relative_to(aside) for path in paths], out_dir)
    stale = listed_sums(out_dir) if ours else {}
    written = []
    for path in sorted(paths, key=lambda p: (p.name != ISSUE, p.name == CHECKSUMS)):
        name = path.relative_to(aside)
        target = out_dir / name
        target.parent.mkdir(parents=True, exist_ok=True)
        path.replace(target)
        stale.pop(name.as_posix(), None)
        written.append(target)
    for listed, digest in stale.items():
        left = (out_dir / listed).resolve()
        inside = left.is_relative_to(out_dir.resolve()) and left.is_file()
        if inside and digest_of(left) == digest:
            left.unlink()
    return sorted(written)


def _is_built(folder: Path) -> bool:
    try:
        issue = json.loads((folder / ISSUE).read_bytes())
    except (OSError, ValueError):
        return False
    return isinstance(issue, dict) and "format" in issue and "documents" in issue


def _refuse_strangers(targets: Sequence[Path], folder: Path) -> None:
    there = [path.relative_to(folder).as_posix() for path in targets if path.exists()]
    if there:
        raise PlaceError(
            f"{folder} holds {', '.join(there)}, which no build has made there. Choose another "
            "folder, or move these files away. Nothing was written."
        )


def listed_sums(out_dir: Path) -> dict[str, str]:
    """Files of an earlier build with their checksums, in the order of the list."""
    path = out_dir / CHECKSUMS
    if not path.is_file():
        return {}
    lines = (line.split("  ", 1) for line in path.read_text(encoding="utf-8").splitlines())
    return {pair[1]: pair[0] for pair in lines if len(pair) == 2}
