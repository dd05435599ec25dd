"""Proof of the papers: those of the package are the files that were bound into the dossier."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from dossier.coverage.view import View
from dossier.errors import InputError
from dossier.handover.issue_data import NAME
from dossier.handover.package import PROJECT
from dossier.handover.proof import Packed, Step, Trouble, step
from dossier.handover.volumes import REST, Volume
from dossier.intake.paths import confined
from dossier.records.papers import Document
from dossier.units import counted

Data = Mapping[str, Any]
_CONTINUED = ", continued"
_AGAIN = "build the dossier again, then pack it"


def prove_papers(seen: View, volumes: Sequence[Volume], packed: Packed) -> Step:
    """Each paper of the dossier stands where its kind belongs, and its file is in the package."""
    documents = {one.number: one for one in seen.project.documents}
    papers = [one for one in packed.issue["documents"] if one["kind"] == "paper" or one["lacking"]]
    troubles = [*_misplaced(seen, volumes, papers)]
    for one in papers:
        if document := documents.get(one["number"]):
            troubles += _paper(one, document, _digest(packed, document.file))
    return step("papers", counted(len(papers), "paper"), list(dict.fromkeys(troubles)))


def _misplaced(seen: View, volumes: Sequence[Volume], papers: Sequence[Data]) -> Iterator[Trouble]:
    """Papers on the register against those that issue.json names in each section."""
    wanted = Counter(_wanted(seen, volumes))
    there = Counter((one["volume"], one["section"], one["number"]) for one in papers)
    for volume, section, number in wanted - there:
        yield Trouble(f"{NAME}, {number}", f"no paper of {volume}, {section}, where it belongs")
    for volume, section, number in there - wanted:
        yield Trouble(f"{NAME}, {number}", f"a paper of {volume}, {section}, not by the records")


def _wanted(seen: View, volumes: Sequence[Volume]) -> Iterator[tuple[str, str, str]]:
    named = {kind for v in volumes for s in v.sections for kind in s.papers} - {REST}
    for volume in volumes:
        for section in volume.sections:
            titles = (volume.title.removesuffix(_CONTINUED), section.title.removesuffix(_CONTINUED))
            for one in seen.project.documents:
                rest = REST in section.papers and one.kind not in named
                if rest or one.kind in section.papers:
                    yield *titles, one.number


def _paper(one: Data, document: Document, digest: str) -> Iterator[Trouble]:
    """One paper of the dossier; `digest` is that of its file in the package, "" for none."""
    where, file, lacking = document.number, document.file, one["lacking"]
    title = f"{document.title} (missing)" if lacking else document.title
    if one["title"] != title:
        yield Trouble(where, f"called {one['title']!r} in {NAME}, {title!r} by the records")
    if lacking and one["kind"] == "paper":
        yield Trouble(where, f"lacking and bound at once in {NAME}")
    elif lacking:
        missing = lacking == f"the file {file} is missing"
        if missing and digest:
            yield Trouble(where, f"{file} is in the package, and missing by {NAME}: {_AGAIN}")
        elif not (missing or digest) and lacking.startswith(f"the file {file} "):
            yield Trouble(where, f"{file} is not in the package, and was there by {NAME}")
    elif not digest:
        yield Trouble(where, f"its file {file} is not in the package")
    elif digest != one["digest"]:
        yield Trouble(where, f"{file} is not the file that the dossier was built from: {_AGAIN}")


def _digest(packed: Packed, written: str) -> str:
    """The checksum of the file that a record names; "" for none, or one that lies outside."""
    folder = packed.data / PROJECT
    try:
        name = confined(folder, written).relative_to(folder.resolve()).as_posix()
    except InputError:
        return ""
    return packed.sums.get(f"{PROJECT}/{name}", "")
