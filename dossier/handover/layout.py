"""On which page of which file each document begins; where one file ends and the next begins."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from dossier.documents.front import Entry
from dossier.handover.merge import LINK
from dossier.handover.plan import Part, PlannedSection, PlannedVolume


@dataclass(frozen=True, slots=True)
class Limits:
    """How large one file may be; 0 sets no limit. A document is never cut."""

    pages: int = 0
    megabytes: float = 0.0

    def exceeded(self, pages: int, size: float) -> bool:
        """Whether so many pages or bytes are too many for one file."""
        too_long = bool(self.pages) and pages > self.pages
        return too_long or (self.megabytes > 0 and size > self.megabytes * 1e6)

    def tighter(self, share: float) -> Limits:
        """Lower limits, for another try."""
        pages = max(1, int(self.pages * share)) if self.pages else 0
        return Limits(pages, self.megabytes * share)


NO_LIMITS = Limits()


@dataclass(frozen=True, slots=True)
class Placed:
    """A line of the register with the place where it begins; page None where it has none."""

    level: int
    title: str
    number: str = ""
    revision: str = ""
    sheets: int | None = None
    page: int | None = None
    part: Part | None = None

    def entry(self, link: int | None = None) -> Entry:
        """The line as plain data for the register, leading to the part of index `link`."""
        return Entry(
            level=self.level,
            number=self.number,
            title=self.title,
            revision=self.revision,
            sheets="" if self.sheets is None else str(self.sheets),
            page="-" if self.page is None else str(self.page),
            link="" if link is None or self.page is None else f"{LINK}{link}",
        )


def divide(
    volumes: Sequence[PlannedVolume],
    counts: Mapping[int, int],
    sizes: Mapping[int, float],
    limits: Limits,
) -> list[list[PlannedVolume]]:
    """The volumes of each file. `counts` and `sizes` give pages and bytes of a part by its id().

    A volume or section that runs on in the next file says so in its title. The pages in front of
    the documents are reckoned with: about three, and one for every 35 lines of the register.
    """
    if not (limits.pages or limits.megabytes):
        return [list(volumes)]
    files: list[list[PlannedVolume]] = [[]]
    pages, size, lines = 3, 0.0, 0
    for volume, section, part in _each(volumes):
        own, weight = (counts[id(part)], sizes[id(part)]) if part else (0, 0.0)
        full = limits.exceeded(pages + own + (lines + 3) // 35, size + weight)
        if full and part and any(s.parts for v in files[-1] for s in v.sections):
            files.append([])
            pages, size, lines = 3, 0.0, 0
        _append(files, volume, section, part)
        pages, size, lines = pages + own, size + weight, lines + 1
    return files


def _each(
    volumes: Sequence[PlannedVolume],
) -> Iterator[tuple[PlannedVolume, PlannedSection, Part | None]]:
    for volume in volumes:
        for section in volume.sections:
            for part in section.parts or (None,):
                yield volume, section, part


def _append(
    files: list[list[PlannedVolume]],
    volume: PlannedVolume,
    section: PlannedSection,
    part: Part | None,
) -> None:
    before = [v for file in files[:-1] for v in file]
    here = files[-1]
    title = _running_on(volume.title, (v.title for v in before))
    if not here or here[-1].title != title:
        here.append(PlannedVolume(title, ()))
    sections = list(here[-1].sections)
    name = _running_on(section.title, (s.title for v in before for s in v.sections
                                       if v.title.startswith(volume.title)))  # fmt: skip
    if not sections or sections[-1].title != name:
        sections.append(PlannedSection(name, ()))
    if part:
        sections[-1] = replace(sections[-1], parts=(*sections[-1].parts, part))
    here[-1] = replace(here[-1], sections=tuple(sections))


def _running_on(title: str, before: Iterator[str]) -> str:
    return f"{title}, continued" if title in before else title


def place(
    front: Sequence[Placed],
    volumes: Sequence[PlannedVolume],
    counts: Mapping[int, int],
    at: int,
    titles: Sequence[int],
) -> list[Placed]:
    """Every volume, section and document of a file with its page, those in front first.

    `counts` gives the pages of a part by its id(), `at` the page of the first volume's title,
    `titles` the pages of each volume's title.
    """
    placed = list(front)
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
                placed.append(Placed(3, part.title, part.number, part.revision, sheets, at, part))
                at += sheets
    return placed


def entries(placed: Sequence[Placed]) -> list[Entry]:
    """The lines of the register."""
    return [line.entry(index) for index, line in enumerate(placed)]


def volume_entries(placed: Sequence[Placed], title: str) -> list[Entry]:
    """The sections of one volume, for its title page."""
    found: list[Entry] = []
    inside = False
    for index, line in enumerate(placed):
        if line.level == 1:
            inside = line.title == title
        elif inside and line.level == 2:
            found.append(line.entry(index))
    return found
