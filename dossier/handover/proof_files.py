"""Proof of the names: a package holds the files of its issue, none besides, and tells of it."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Sequence
from itertools import zip_longest
from pathlib import Path, PurePosixPath

from dossier import __version__
from dossier.coverage.view import View
from dossier.documents.issue import matrix_issue, procedure_issue, register_issue
from dossier.handover.bag import info_text
from dossier.handover.checksums import ALGORITHMS
from dossier.handover.issue_data import NAME as ISSUE
from dossier.handover.origin import evidence_files, own_templates, record_files
from dossier.handover.package import PROJECT, README, bag_info
from dossier.handover.proof import Packed, Step, Trouble, step
from dossier.handover.review_page import NAME as REVIEW
from dossier.handover.signature import SIGNATURES
from dossier.handover.signed import NOTE
from dossier.handover.transmittal import BESIDE
from dossier.records.verdicts import Finding
from dossier.units import counted

_TAGS = {"bagit.txt", "bag-info.txt", "README.txt"} | {
    f"{kind}-{algorithm}.txt" for kind in ("manifest", "tagmanifest") for algorithm in ALGORITHMS
}


def prove_files(
    seen: View, findings: Sequence[Finding], packed: Packed, derived: Iterable[str]
) -> Step:
    """Every file is one that a package of this issue holds; `derived` names what is made again."""
    issue, data = packed.issue, packed.data
    known = {file["name"] for file in issue["files"]} | {"check.json", ISSUE, REVIEW}
    told = f"{counted(len(packed.sums), 'file')}, each belongs to this issue"
    if issue["tool"] == __version__:
        known |= _beside(seen, findings, data / PROJECT)
    else:
        told += f"; those beside not judged, as they are of version {issue['tool']}"
        known |= {name for name in packed.sums if name.startswith(BESIDE)}
    may = known | {*derived} | _of_project(seen, data / PROJECT) | {NOTE}
    troubles = [Trouble(name, "missing") for name in sorted(known - packed.sums.keys())]
    strange = sorted(packed.sums.keys() - may)
    troubles += [Trouble(name, "no file of a package of this issue") for name in strange]
    return step("files", told, [*troubles, *_note(packed)])


def _beside(seen: View, findings: Sequence[Finding], folder: Path) -> set[str]:
    """The files beside the dossier, as a build names them."""
    own = folder / "templates"
    overrides = own if own.is_dir() else None
    issued = {
        "procedures": procedure_issue(seen, overrides),
        "registers": [*matrix_issue(seen, overrides), *register_issue(seen, findings)],
    }
    return {f"{place}/{one.name}" for place, files in issued.items() for one in files}


def _of_project(seen: View, folder: Path) -> set[str]:
    names = record_files(folder) + evidence_files(folder, seen.project) + own_templates(folder)
    return {PurePosixPath(PROJECT, name).as_posix() for name in names}


def _note(packed: Packed) -> Iterator[Trouble]:
    """The note of signatures, where there is one: it tells the files as they are."""
    if NOTE not in packed.sums:
        return
    noted = json.loads((packed.data / NOTE).read_bytes())
    for name, one in noted.items():
        if packed.sums.get(name) != one["signed"] or {*one} != {"built", "signed"}:
            yield Trouble(NOTE, f"tells another {name} than that of the package")
    if {*noted} != {file["name"] for file in packed.issue["files"]}:
        yield Trouble(NOTE, "does not tell of the files of the dossier")


def prove_notes(root: Path) -> Step:
    """What stands beside the payload: bag-info.txt and README.txt are those of this issue."""
    issue = json.loads((root / "data" / ISSUE).read_bytes())
    sizes = [path.stat().st_size for path in (root / "data").rglob("*") if path.is_file()]
    oxum = ("Payload-Oxum", f"{sum(sizes)}.{len(sizes)}")
    troubles = list(_unlike(root / "bag-info.txt", info_text([*bag_info(issue), oxum])))
    told = "bag-info.txt and README.txt are those of this issue"
    if issue["tool"] == __version__:
        troubles += _unlike(root / "README.txt", README.encode())
    else:
        told = f"bag-info.txt is that of this issue; README.txt is of version {issue['tool']}"
    beside = {path.name for path in root.iterdir()} - {"data", SIGNATURES}
    for name in sorted(beside - _TAGS):
        troubles.append(Trouble(name, "nothing that a package has beside data/"))
    return step("notes", told, troubles)


def _unlike(path: Path, wanted: bytes) -> Iterator[Trouble]:
    """Each line that is not as it should be."""
    if not path.is_file():
        yield Trouble(path.name, "missing")
        return
    data = path.read_bytes()
    lines = data.decode("utf-8", "replace").splitlines(), wanted.decode().splitlines()
    for number, (said, given) in enumerate(zip_longest(*lines, fillvalue=""), start=1):
        if said != given:
            told = f"says {said[:80]!r}, the package gives {given[:80]!r}"
            yield Trouble(f"{path.name}, line {number}", told)
    if lines[0] == lines[1] and data != wanted:
        yield Trouble(path.name, "its lines end in another way than those of a package")
