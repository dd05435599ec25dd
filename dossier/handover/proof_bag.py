"""Proof of a bag: every file there, none besides, every checksum right, in both algorithms.

Manifests are compared with the only form that they may have, so that no byte of them is free.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping
from pathlib import Path

from dossier.handover.bag import DECLARATION, manifest, read_manifest
from dossier.handover.checksums import ALGORITHMS
from dossier.handover.proof import Step, Trouble, step
from dossier.handover.stored_zip import BLOCK
from dossier.units import counted

Sums = dict[str, dict[str, str]]  # algorithm -> name -> checksum


def prove_bag(root: Path) -> Step:
    """Go through every file of the bag."""
    troubles: list[Trouble] = []
    names = _names(root, troubles)
    tags = [name for name in names if not name.startswith("data/")]
    payload = [name for name in names if name.startswith("data/")]
    if "bagit.txt" not in names or (root / "bagit.txt").read_bytes() != DECLARATION:
        troubles.append(Trouble("bagit.txt", "not the declaration of a bag of version 1.0"))
    sums = {name: _sums(root / name) for name in names}
    for algorithm in ALGORITHMS:
        listed = f"manifest-{algorithm}.txt"
        troubles += _compared(root, listed, payload, sums)
        others = [name for name in tags if not name.startswith("tagmanifest-")]
        troubles += _compared(root, f"tag{listed}", others, sums)
    known = {f"tagmanifest-{algorithm}.txt" for algorithm in ALGORITHMS}
    strange = [name for name in tags if name.startswith("tagmanifest-") and name not in known]
    troubles += [Trouble(name, "a manifest that no package of this form has") for name in strange]
    told = f"{counted(len(names), 'file')}, {', '.join(ALGORITHMS)}"
    return step("checksums", told, list(dict.fromkeys(troubles)))


def _names(root: Path, troubles: list[Trouble]) -> list[str]:
    found = []
    for path in sorted(root.rglob("*")):
        name = path.relative_to(root).as_posix()
        if path.is_symlink() or not (path.is_file() or path.is_dir()):
            troubles.append(Trouble(name, "a link or a device, not a file"))
        elif path.is_file():
            found.append(name)
    return found


def _sums(path: Path) -> Mapping[str, str]:
    made = {name: hashlib.new(name) for name in ALGORITHMS}
    with path.open("rb") as stream:
        while block := stream.read(BLOCK):
            for one in made.values():
                one.update(block)
    return {name: one.hexdigest() for name, one in made.items()}


def _compared(
    root: Path, listed: str, names: list[str], sums: Mapping[str, Mapping[str, str]]
) -> Iterator[Trouble]:
    """One manifest against the files that it must list."""
    algorithm = listed.removesuffix(".txt").rpartition("-")[2]
    if not (root / listed).is_file():
        yield Trouble(listed, "missing")
        return
    data = (root / listed).read_bytes()
    try:
        claimed = read_manifest(data)
    except ValueError as error:
        yield Trouble(listed, f"not a manifest: {str(error)[:60]!r}")
        return
    for name in sorted({*names, *claimed}):
        if name not in names:
            yield Trouble(name, f"listed in {listed}, not there")
        elif name not in claimed:
            yield Trouble(name, f"there, not listed in {listed}")
        elif claimed[name] != sums[name][algorithm]:
            yield Trouble(name, f"{algorithm} is not that of {listed}")
    if claimed == {name: sums[name][algorithm] for name in names} and data != manifest(claimed):
        yield Trouble(listed, "not written in the form of this package")
