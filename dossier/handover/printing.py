"""The dossier as files: what stands in front, the register with its pages, all parts merged."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from dossier.documents import front
from dossier.documents.pdf import render
from dossier.errors import DossierError
from dossier.handover.issue_data import FileMade
from dossier.handover.layout import Limits, Placed, divide, entries, place, volume_entries
from dossier.handover.merge import Attachment, Inside, Mark, Pages, Titles, merge
from dossier.handover.plan import Part, PlannedVolume, parts_of
from dossier.handover.sections import Content, Source, content
from dossier.handover.store import Kept, Store

_TRIES = 6
_LINES_A_PAGE = 44  # of the register, for the first guess of its pages


class LimitsError(DossierError):
    """Files that cannot be made as small as was asked for."""


@dataclass(frozen=True, slots=True)
class Bound:
    """Every part with its pages: which file holds them, how many there are, and their bytes."""

    pages: Mapping[int, Pages]  # by id() of the part
    counts: Mapping[int, int]
    sizes: Mapping[int, float]


def bound(parts: Sequence[Part], kept: Sequence[Kept]) -> Bound:
    """The pages of each part, printed ones as slices of the chunks that hold them."""
    pages: dict[int, Pages] = {}
    counts: dict[int, int] = {}
    sizes: dict[int, float] = {}
    printed = iter([part for part in parts if part.content])
    for one in kept:
        size, start = one.path.stat().st_size, 0
        for count in one.pages:
            part = next(printed)
            pages[id(part)] = Pages(one.path, own=True, first=start, count=count)
            counts[id(part)] = count
            sizes[id(part)] = size * count / sum(one.pages)
            start += count
    for part in parts:
        if part.paper:
            path = part.paper.path
            pages[id(part)] = Pages(path, own=False, label=part.number)
            counts[id(part)] = part.paper.pages
            sizes[id(part)] = path.stat().st_size
    return Bound(pages, counts, sizes)


@dataclass(frozen=True, slots=True)
class Printer:
    """What printing needs: the source, the store, the draft mark, what stands in front."""

    of: Source
    store: Store
    draft: str  # "2 open points, 1 gap", "" for none
    front: tuple[Part, ...]  # after the cover of the first file
    used: set[str]  # keys of the store

    def print(self, made: Content) -> Kept:
        """One page or more of front matter, rendered unless the store has it."""
        key = self.store.key((made.made_of,))
        self.used.add(key)
        found = self.store.find(key)
        if found is None:
            result = render([made.html()])
            found = self.store.keep(key, result.data, result.pages)
        return found


@dataclass(frozen=True, slots=True)
class Laid:
    """One file before it is merged: its register, its runs of pages, its first page number."""

    volumes: tuple[PlannedVolume, ...]
    placed: tuple[Placed, ...]
    runs: tuple[Pages, ...]
    first: int
    pages: int


def print_files(
    printer: Printer,
    volumes: Sequence[PlannedVolume],
    held: Bound,
    how: tuple[Limits, Sequence[Attachment]],
    folder: Path,
) -> list[FileMade]:
    """Write the dossier into `folder`, as one file or as many as the limits ask for.

    Raises LimitsError: a file cannot be made as small as they ask.
    """
    limits, attached = how
    tight = limits
    for _ in range(_TRIES):
        laid = _lay_out(printer, divide(volumes, held.counts, held.sizes, tight), held)
        made = _merge_all(printer, laid, attached, folder)
        large = [
            told
            for one, file in zip(laid, made, strict=True)
            if (told := _too_large(one, file, limits, folder))
        ]
        if not large:
            return made
        for file in made:
            (folder / file.name).unlink()
        tight = tight.tighter(0.85)
    raise LimitsError(
        f"The limit of a file cannot be kept: {'; '.join(large)}. A cover, its register, what is "
        "attached and the fonts go into a file too. Ask for larger files. Nothing was written."
    )


def _too_large(laid: Laid, file: FileMade, limits: Limits, folder: Path) -> str:
    """What is too large about a file of more than one document, "" for nothing."""
    size, parts = (folder / file.name).stat().st_size, parts_of(laid.volumes)
    if len(parts) <= 1 or not limits.exceeded(file.pages, size):
        return ""
    return f"{file.name} with {len(parts)} documents has {file.pages} pages, {size / 1e6:.2f} MB"


def _lay_out(printer: Printer, files: Sequence[Sequence[PlannedVolume]], held: Bound) -> list[Laid]:
    """Every file with the right page numbers: reckoned first, then printed with what came out."""
    lines = [sum(1 + len(s.parts) for v in file for s in v.sections) + len(file) for file in files]
    registers = [-(-count // _LINES_A_PAGE) for count in lines]
    titles = [[1] * len(file) for file in files]
    laid: list[Laid] = []
    for _ in range(5):
        laid, found_registers, found_titles = [], [], []
        at = 1
        for index, file in enumerate(files):
            one, register, own_titles = _one_file(
                printer, (index, len(files)), file, held, (at, registers[index], titles[index])
            )
            laid.append(one)
            found_registers.append(register)
            found_titles.append(own_titles)
            at += one.pages
        if (found_registers, found_titles) == (registers, titles):
            break
        registers, titles = found_registers, found_titles
    return laid


def _one_file(
    printer: Printer,
    which: tuple[int, int],
    volumes: Sequence[PlannedVolume],
    held: Bound,
    reckoned: tuple[int, int, list[int]],
) -> tuple[Laid, int, list[int]]:
    """One file, with the pages that its register and its titles turned out to have."""
    (index, files), (at, register_pages, title_pages) = which, reckoned
    of, seen, number = printer.of, printer.of.seen, printer.of.number("DOS")
    told = f"{index + 1} of {files}" if files > 1 else ""
    cover = printer.print(
        content("cover.html", front.cover(seen, number, printer.draft, told), of.overrides)
    )
    before = [
        (part, printer.print(part.content)) for part in printer.front if index == 0 and part.content
    ]
    ahead, line = [], at + sum(cover.pages)
    for part, kept in before:
        sheets = sum(kept.pages)
        ahead.append(Placed(3, part.title, part.number, part.revision, sheets, line, part))
        line += sheets
    placed = place(ahead, volumes, held.counts, line + register_pages, title_pages)
    data = front.contents(seen, number, entries(placed), printer.draft)
    register = printer.print(content("contents.html", data, of.overrides))
    titles = [
        printer.print(content(
            "cover.html",
            front.volume_title(seen, number, v.title, volume_entries(placed, v.title)),
            of.overrides,
        ))
        for v in volumes
    ]  # fmt: skip
    runs = [Pages(one.path, own=True) for one in (cover, *(k for _, k in before), register)]
    for volume, title in zip(volumes, titles, strict=True):
        runs.append(Pages(title.path, own=True))
        runs += [held.pages[id(part)] for section in volume.sections for part in section.parts]
    bound_pages = sum(held.counts[id(part)] for part in parts_of(volumes))
    own = [sum(one.pages) for one in titles]
    pages = line - at + sum(register.pages) + sum(own) + bound_pages
    laid = Laid(tuple(volumes), tuple(placed), tuple(runs), at, pages)
    return laid, sum(register.pages), own


def _merge_all(
    printer: Printer, laid: Sequence[Laid], attached: Sequence[Attachment], folder: Path
) -> list[FileMade]:
    settings = printer.of.seen.project.settings
    archival = all(
        part.paper.archival for one in laid for part in parts_of(one.volumes) if part.paper
    )
    whole = Titles(
        number=printer.of.number("DOS"),
        title=f"Welding quality dossier, {settings.title}",
        revision=settings.revision,
        draft=f"DRAFT: {printer.draft}" if printer.draft else "",
        archival=archival,
        total=sum(one.pages for one in laid),
    )
    made = []
    for index, one in enumerate(laid):
        name = f"dossier_{index + 1}_of_{len(laid)}.pdf" if len(laid) > 1 else "dossier.pdf"
        told = f", file {index + 1} of {len(laid)}" if len(laid) > 1 else ""
        titles = replace(whole, first=one.first, title=whole.title + told)
        parts = [0 if line.page is None else line.page - one.first for line in one.placed]
        inside = Inside(list(_marks(one)), parts, attached if index == 0 else ())
        merge(one.runs, titles, inside, folder / name)
        made.append(FileMade(name, one.pages, one.first, one.placed))
    return made


def _marks(one: Laid) -> Iterator[Mark]:
    deepest = 1  # documents in front of the first volume stand beside the volumes
    for line in one.placed:
        deepest = 3 if line.level == 1 else deepest
        if line.page is None:
            continue
        depth = min(line.level, deepest)
        numbered = f"{line.number} {line.title}".strip() if line.level == 3 else line.title
        yield Mark(depth, numbered, line.page - one.first)
