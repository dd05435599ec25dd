"""What goes into a dossier and on which page each part begins."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from dossier.coverage.view import View
from dossier.documents.front import Entry
from dossier.documents.pages import page
from dossier.documents.sheet import fact, head
from dossier.handover.papers import Paper, open_paper
from dossier.handover.sections import CONTENTS, Sheet, Source
from dossier.handover.volumes import REST, Section, Volume
from dossier.records.papers import Document


@dataclass(frozen=True, slots=True)
class Part:
    """One document of the dossier: printed by the tool (`html`) or a paper of the project."""

    number: str
    title: str
    revision: str
    html: str = ""
    paper: Paper | None = None


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


def plan(volumes: Sequence[Volume], of: Source, folder: Path) -> list[PlannedVolume]:
    """All documents of the dossier in their order; HTML made, papers opened."""
    named = {kind for v in volumes for s in v.sections for kind in s.papers} - {REST}
    return [
        PlannedVolume(
            volume.title,
            tuple(
                PlannedSection(section.title, tuple(_parts(section, of, folder, named)))
                for section in volume.sections
            ),
        )
        for volume in volumes
    ]


def _parts(section: Section, of: Source, folder: Path, named: set[str]) -> Iterator[Part]:
    if section.content:
        for sheet in CONTENTS[section.content](of):
            yield _printed(sheet)
    for document in of.seen.project.documents:
        rest = REST in section.papers and document.kind not in named
        if rest or document.kind in section.papers:
            yield _paper(of, document, folder)


def _printed(sheet: Sheet) -> Part:
    return Part(sheet.number, sheet.title, sheet.revision, html=sheet.html)


def _paper(of: Source, document: Document, folder: Path) -> Part:
    """A paper with its pages, or a sheet in its place that says what is lacking."""
    paper = open_paper(document, folder)
    if not paper.lacking:
        return Part(document.number, document.title, "-", paper=paper)
    html = page("missing_paper.html", _missing(of.seen, document, paper.lacking), of.overrides)
    return Part(document.number, f"{document.title} (missing)", "-", html=html)


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


@dataclass(frozen=True, slots=True)
class Placed:
    """A line of the register with the place where it begins; page None where it has none."""

    level: int
    title: str
    number: str = ""
    revision: str = ""
    sheets: int | None = None
    page: int | None = None

    def entry(self) -> Entry:
        """The line as plain data for the register."""
        return Entry(
            level=self.level,
            number=self.number,
            title=self.title,
            revision=self.revision,
            sheets="" if self.sheets is None else str(self.sheets),
            page="-" if self.page is None else str(self.page),
        )


def place(
    volumes: Sequence[PlannedVolume], counts: dict[int, int], before: int, titles: Sequence[int]
) -> list[Placed]:
    """Every volume, section and document with its first page.

    `counts` gives the pages of a part by its id(), `before` the pages of cover and register,
    `titles` the pages of each volume's title.
    """
    placed: list[Placed] = []
    at = before + 1
    for volume, title_pages in zip(volumes, titles, strict=True):
        placed.append(Placed(1, volume.title, page=at))
        at += title_pages
        for section in volume.sections:
            if not section.parts:
                placed.append(Placed(2, f"{section.title}: none on record"))
                continue
            placed.append(Placed(2, section.title, page=at))
            for part in section.parts:
                sheets = counts[id(part)]
                placed.append(Placed(3, part.title, part.number, part.revision, sheets, at))
                at += sheets
    return placed


def volume_entries(placed: Sequence[Placed], title: str) -> list[Entry]:
    """The sections of one volume, for its title page."""
    entries: list[Entry] = []
    inside = False
    for line in placed:
        if line.level == 1:
            inside = line.title == title
        elif inside and line.level == 2:
            entries.append(line.entry())
    return entries
