"""What goes into a dossier and on which page each part begins."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from dossier.coverage.view import View
from dossier.documents.sheet import fact, head
from dossier.handover.papers import Paper, open_paper
from dossier.handover.sections import CONTENTS, Content, Sheet, Source, content
from dossier.handover.store import Store
from dossier.handover.volumes import REST, Section, Volume
from dossier.records.papers import Document


@dataclass(frozen=True, slots=True)
class Part:
    """One document of the dossier: printed by the tool (`content`) or a paper of the project."""

    number: str
    title: str
    revision: str
    content: Content | None = None
    paper: Paper | None = None
    lacking: str = ""  # why the sheet stands in place of a paper

    def digest(self) -> str:
        """What tells one content from another; day and revision of the issue are no change."""
        if self.paper:
            return self.paper.digest
        return self.content.but_day if self.content else ""


@dataclass(frozen=True, slots=True)
class PlannedSection:
    """A section with its documents."""

    title: str
    parts: tuple[Part, ...]


@dataclass(frozen=True, slots=True)
class PlannedVolume:
    """A volume with its sections."""

    title: str
    sections: tuple[PlannedSection, ...]


def parts_of(volumes: Sequence[PlannedVolume]) -> list[Part]:
    """All documents in order."""
    return [part for volume in volumes for section in volume.sections for part in section.parts]


def plan(
    volumes: Sequence[Volume],
    of: Source,
    folder: Path,
    store: Store,
    gathered: Callable[[Part], None] = lambda _: None,
) -> Iterator[tuple[int, PlannedVolume]]:
    """The documents of each volume with its place in the dossier; data gathered, papers opened.

    The volume of the joint histories comes first: its pages take the longest to render.
    `gathered` hears of each part at once.
    """
    papers = {d.number: open_paper(d, folder, store) for d in of.seen.project.documents}
    named = {kind for v in volumes for s in v.sections for kind in s.papers} - {REST}
    for place, volume in sorted(enumerate(volumes), key=lambda pair: not _long(pair[1])):
        sections = (
            PlannedSection(
                section.title, tuple(_told(_parts(section, of, papers, named), gathered))
            )
            for section in volume.sections
        )
        yield place, PlannedVolume(volume.title, tuple(sections))


def _told(parts: Iterator[Part], gathered: Callable[[Part], None]) -> Iterator[Part]:
    for part in parts:
        gathered(part)
        yield part


def _long(volume: Volume) -> bool:
    return any(section.content == "joint-histories" for section in volume.sections)


def _parts(
    section: Section, of: Source, papers: Mapping[str, Paper], named: set[str]
) -> Iterator[Part]:
    if section.content:
        for sheet in CONTENTS[section.content](of):
            yield _printed(sheet)
    for document in of.seen.project.documents:
        rest = REST in section.papers and document.kind not in named
        if rest or document.kind in section.papers:
            yield _paper(of, papers[document.number])


def _printed(sheet: Sheet) -> Part:
    return Part(sheet.number, sheet.title, sheet.revision, sheet.content)


def _paper(of: Source, paper: Paper) -> Part:
    """A paper with its pages, or a sheet in its place that says what is lacking."""
    document = paper.document
    if not paper.lacking:
        return Part(document.number, document.title, "-", paper=paper)
    data = _missing(of.seen, document, paper.lacking)
    made = content("missing_paper.html", data, of.overrides)
    return Part(document.number, f"{document.title} (missing)", "-", made, lacking=paper.lacking)


def _missing(seen: View, document: Document, why: str) -> dict[str, object]:
    return {
        "head": head(seen, number=document.number, title=document.title, status="missing"),
        "why": why,
        "facts": [
            fact("Number", document.number),
            fact("Kind", document.kind),
            fact("File", document.file),
            fact("Pages by the register", str(document.pages or "")),
        ],
    }
