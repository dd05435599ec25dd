"""The handover package: the dossier, the records that it was made from, and what proves it."""

from __future__ import annotations

import json
import shutil
import tempfile
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

import pikepdf

from dossier.coverage.view import View
from dossier.documents.finding_list import findings_as_data
from dossier.documents.sheet import head
from dossier.errors import DossierError
from dossier.handover.bag import FolderSink, Item, write_bag, zip_sink
from dossier.handover.geography import maps
from dossier.handover.issue_data import NAME as ISSUE
from dossier.handover.origin import evidence_files, own_templates, record_files
from dossier.handover.placing import CHECKSUMS, listed_sums
from dossier.handover.store import digest_of
from dossier.handover.tables import tables
from dossier.handover.transmittal import transmittal
from dossier.records.project import Project
from dossier.records.verdicts import Finding

PROJECT = "project"  # below data/: the project as it was read
README = """This is a handover package (BagIt 1.0, RFC 8493).

data/dossier.pdf         the dossier (or its files, numbered)
data/check.json          findings of the cross-check
data/review.html         the records to search in a browser, offline
data/issue.json          documents with their pages, joints, completeness
data/transmittal.*       register of all documents handed over
data/procedures, data/registers   single sheets and workbooks
data/tables              registers as a data package (Frictionless)
data/map                 joints on the map, where the route is on record
data/project             the records and papers as they were read

To prove it with nothing but common tools:   sha256sum -c manifest-sha256.txt
To prove it whole, findings included:        dossier verify PACKAGE
"""


class PackageError(DossierError):
    """A package that cannot be written."""


def write_package(
    seen: View, findings: Sequence[Finding], source: tuple[Path, Path], target: Path
) -> Path:
    """Pack a dossier with the records that it was built from; returns `target`.

    `source` is the project's folder and the folder of the built dossier.
    A `target` that ends in .zip becomes a zip of stored files, any other a folder. It is made
    beside and moved into place whole. Raises PackageError: the target is there already, a file of
    the dossier has changed since it was built, or it was built from other records or papers.
    """
    if target.exists():
        raise PackageError(f"{target} is there already; a package is never changed.")
    folder, built = source
    if not all((built / name).is_file() for name in (CHECKSUMS, ISSUE)):
        raise PackageError(f"{built} holds no built dossier.")
    sums = listed_sums(built)
    changed = [name for name, digest in sums.items() if _digest(built / name) != digest]
    if changed:
        raise PackageError(
            f"{built}: {', '.join(changed)} changed or went since the dossier was built. Build it "
            "again, or put the files back as they were."
        )
    issue = json.loads((built / ISSUE).read_bytes())
    found = findings_as_data(seen.project.settings, seen.as_of, findings)
    other = json.loads((built / "check.json").read_bytes()) != json.loads(json.dumps(found))
    differing = [*(["the findings"] if other else []), *_otherwise(seen, issue, folder, built)]
    if differing:
        raise PackageError(
            f"The dossier in {built} was built from other records than these: "
            f"{', '.join(differing)} differ. Build it again."
        )
    items = contents(seen, issue, folder, (built, sums))
    target.parent.mkdir(parents=True, exist_ok=True)
    aside = Path(tempfile.mkdtemp(prefix=".packing-", dir=target.parent))
    try:
        place = aside / target.name
        notes = {"README.txt": README.encode()}
        if target.suffix == ".zip":
            with zip_sink(place, target.stem) as sink:
                write_bag(sink, items, bag_info(issue), notes)
        else:
            place.mkdir()
            write_bag(FolderSink(place), items, bag_info(issue), notes)
        place.rename(target)
    finally:
        shutil.rmtree(aside, ignore_errors=True)
    return target


def _digest(path: Path) -> str:
    return digest_of(path) if path.is_file() else ""


def _otherwise(seen: View, issue: Mapping[str, Any], folder: Path, built: Path) -> Iterator[str]:
    """Records and papers of the folder that are not those that the dossier holds."""
    wanted = {name: folder / name for name in record_files(folder)}
    for name, _ in attached_otherwise(built / issue["files"][0]["name"], wanted):
        yield name
    bound = {one["number"]: one["digest"] for one in issue["documents"] if one["kind"] == "paper"}
    for document in seen.project.documents:
        digest = bound.get(document.number)
        if digest and _digest(folder / document.file) != digest:
            yield document.file


def attached_otherwise(first: Path, wanted: Mapping[str, Path]) -> Iterator[tuple[str, str]]:
    """Files that the first file of a dossier does not hold just as they are, and how so."""
    with pikepdf.open(first) as pdf:
        for name, path in wanted.items():
            held = pdf.attachments.get(name.replace("/", "__"))
            if held is None:
                yield name, f"not attached to {first.name}"
            elif held.get_file().read_bytes() != path.read_bytes():
                yield name, f"attached to {first.name} with other bytes"


def contents(
    seen: View, issue: Mapping[str, Any], folder: Path, dossier: tuple[Path, Mapping[str, str]]
) -> list[Item]:
    """The payload: the records, what is derived, and the `dossier`, its folder and checksums."""
    built, sums = dossier
    items = [Item(name, built / name) for name in sums]
    names = record_files(folder)
    names += evidence_files(folder, seen.project) + own_templates(folder)
    items += [Item(f"{PROJECT}/{name}", folder / name) for name in dict.fromkeys(names)]
    return [*items, *derived(seen, issue, sums)]


def derived(seen: View, issue: Mapping[str, Any], sums: Mapping[str, str]) -> list[Item]:
    """What follows from records and dossier: tables, map, transmittal register."""
    project: Project = seen.project
    number = f"{project.settings.number} transmittal"
    top = head(seen, number=number, title="Transmittal register")
    return [
        *tables(project),
        *maps(project, issue["joints"]),
        *transmittal(issue, sums, top, project.settings.language),
    ]


def bag_info(issue: Mapping[str, Any]) -> list[tuple[str, str]]:
    """Lines of bag-info.txt that tell of an issue."""
    pages = sum(file["pages"] for file in issue["files"])
    told = f"{issue['title']}: welding quality dossier, {pages} pages, "
    told += f"records to {issue['as_of']}, {issue['state']}"
    return [
        ("Source-Organization", issue["contractor"]),
        ("External-Identifier", f"{issue['project']} rev. {issue['revision']}"),
        ("External-Description", told),
        ("Bag-Software-Agent", f"dossier {issue['tool']}"),
    ]  # fmt: skip
