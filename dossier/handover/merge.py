"""One file of all parts: pages in order, bookmarks, links, the line at the foot, records inside."""

from __future__ import annotations

import warnings
from collections.abc import Iterator, Sequence
from contextlib import ExitStack
from dataclasses import dataclass, replace
from pathlib import Path

import pikepdf
from pikepdf import Array, AttachedFileSpec, Dictionary, Name, String

from dossier.handover.stamp import Line, StampFont, stamp

LINK = "part:"  # address of a link in our own pages: the index of the part it leads to
OPEN_FILES = 4000  # sources open at a time, where the system allows so many
_OWN_FILES = 100  # left for everything else that this process opens


@dataclass(frozen=True, slots=True)
class Pages:
    """A run of pages of a PDF (`count` 0: to its end), and whose they are."""

    path: Path
    own: bool
    label: str = ""  # number of the paper, for pages that do not carry it themselves
    first: int = 0
    count: int = 0


@dataclass(frozen=True, slots=True)
class Mark:
    """A bookmark: its depth from 1, its text, and the page of this file, from 0."""

    level: int
    title: str
    page: int


@dataclass(frozen=True, slots=True)
class Attachment:
    """A file that travels inside; `source` holds what the pages were made from."""

    name: str
    data: bytes
    mime: str
    told: str
    source: bool = True


@dataclass(frozen=True, slots=True)
class Titles:
    """What the file says of itself; its pages are numbered from `first` to `total`."""

    number: str
    title: str
    revision: str
    draft: str
    archival: bool  # every paper in it claims PDF/A
    first: int = 1
    total: int = 0  # 0: this file is the whole


@dataclass(frozen=True, slots=True)
class Inside:
    """What a file holds besides pages: bookmarks, the page of each part, attachments."""

    marks: Sequence[Mark] = ()
    parts: Sequence[int] = ()
    attached: Sequence[Attachment] = ()


def merge(runs: Sequence[Pages], titles: Titles, inside: Inside, path: Path) -> int:
    """Write the runs as one file to `path`; returns its number of pages.

    The first run is our own: its output intent and metadata become those of the whole. A claim of
    PDF/A is kept only where every paper makes it too. Not more than OPEN_FILES files are open at a
    time: longer lists are merged in two steps, beside `path`.
    """
    with ExitStack() as held, warnings.catch_warnings():
        # Forms of foreign files lose their fields, and keep their look, on purpose.
        warnings.simplefilter("ignore", pikepdf.PageCopyWarning)
        whole = held.enter_context(pikepdf.open(runs[0].path))
        labels = [(True, "")] * len(whole.pages)
        found: list[pikepdf.Page] = []
        for run, pages in _sources(runs[1:], path, held):
            found += pages
            labels += [
                (run.own, f"{run.label}, page {i} of {len(pages)}" if run.label else "")
                for i in range(1, len(pages) + 1)
            ]
        whole.pages.extend(found)  # all at once: each call goes through the whole page tree
        pages = list(whole.pages)
        _stamp_all(whole, pages, labels, titles)
        _bookmarks(whole, pages, inside.marks)
        _links(pages, labels, inside.parts)
        _attach(whole, inside.attached)
        _describe(whole, titles)
        whole.save(
            path, deterministic_id=True, object_stream_mode=pikepdf.ObjectStreamMode.generate
        )
        return len(pages)


def _sources(
    runs: Sequence[Pages], path: Path, held: ExitStack
) -> Iterator[tuple[Pages, list[pikepdf.Page]]]:
    """Each run with its pages, opened as they are needed."""
    most = _allowed()
    if len({run.path for run in runs}) > most:
        runs = [
            one
            for step, part in enumerate(_batches(runs, most))
            for one in _joined(part, path.with_name(f"{path.name}.{step}.part"), held)
        ]
    opened: dict[Path, list[pikepdf.Page]] = {}
    for run in runs:
        yield run, _slice(run, opened, held)


def _slice(
    run: Pages, opened: dict[Path, list[pikepdf.Page]], held: ExitStack
) -> list[pikepdf.Page]:
    """The pages of a run; its file is gone through once."""
    if run.path not in opened:
        opened[run.path] = list(held.enter_context(pikepdf.open(run.path)).pages)
    return opened[run.path][run.first : run.first + run.count if run.count else None]


def _allowed() -> int:
    """How many sources may be open: the limit of this process is raised as far as it may be."""
    try:
        import resource
    except ImportError:  # a system without such limits
        return OPEN_FILES
    soft, hard = resource.getrlimit(resource.RLIMIT_NOFILE)
    wanted = OPEN_FILES + _OWN_FILES
    unlimited = resource.RLIM_INFINITY
    if soft not in (unlimited, -1) and soft < wanted:
        soft = wanted if hard == unlimited else min(hard, wanted)
        resource.setrlimit(resource.RLIMIT_NOFILE, (soft, hard))
    return OPEN_FILES if soft == unlimited else max(1, min(OPEN_FILES, soft - _OWN_FILES))


def _batches(runs: Sequence[Pages], most: int) -> Iterator[list[Pages]]:
    batch: list[Pages] = []
    sources: set[Path] = set()
    for run in runs:
        if len(sources) == most and run.path not in sources:
            yield batch
            batch, sources = [], set()
        batch.append(run)
        sources.add(run.path)
    yield batch


def _joined(runs: Sequence[Pages], place: Path, held: ExitStack) -> list[Pages]:
    """The runs as slices of one file made of them, which goes when the merge has ended."""
    held.callback(place.unlink, missing_ok=True)
    slices: list[Pages] = []
    with ExitStack() as own:
        joined = own.enter_context(pikepdf.new())
        opened: dict[Path, list[pikepdf.Page]] = {}
        found: list[pikepdf.Page] = []
        for run in runs:
            pages = _slice(run, opened, own)
            slices.append(replace(run, path=place, first=len(found), count=len(pages)))
            found += pages
        joined.pages.extend(found)
        joined.save(place, deterministic_id=True)
    return slices


def _stamp_all(
    whole: pikepdf.Pdf,
    pages: Sequence[pikepdf.Page],
    labels: Sequence[tuple[bool, str]],
    titles: Titles,
) -> None:
    total = titles.total or len(pages)
    name = f"{titles.number} rev. {titles.revision}"
    lines = [
        Line(f"{name} · {label}" if label else name, titles.draft, f"page {i} of {total}")
        for i, (_, label) in enumerate(labels, start=titles.first)
    ]
    font = StampFont(whole, {part for one in lines for part in (one.left, one.middle, one.right)})
    for page, line, (own, _) in zip(pages, lines, labels, strict=True):
        stamp(page, line, font, own=own)


def _bookmarks(whole: pikepdf.Pdf, pages: Sequence[pikepdf.Page], marks: Sequence[Mark]) -> None:
    """The outline made object by object: the library's own way costs as much as the merge."""
    root = whole.make_indirect(Dictionary(Type=Name.Outlines))
    above: list[tuple[int, pikepdf.Object]] = [(0, root)]  # the way from the root to the last one
    for mark in marks:
        item = whole.make_indirect(
            Dictionary(Title=String(mark.title), Dest=Array([pages[mark.page].obj, Name.Fit]))
        )
        while above[-1][0] >= mark.level:
            above.pop()
        _hang(item, above[-1][1])
        above.append((mark.level, item))
    if marks:
        root.Count = sum(1 for mark in marks if mark.level == 1)
        whole.Root.Outlines = root


def _hang(item: pikepdf.Object, parent: pikepdf.Object) -> None:
    item.Parent = parent
    if "/Last" in parent:
        item.Prev = parent.Last
        parent.Last.Next = item
    else:
        parent.First = item
    parent.Last = item
    if "/Title" in parent:  # closed: the count of its own children, negative
        parent.Count = int(parent.get("/Count", 0)) - 1


def _links(
    pages: Sequence[pikepdf.Page], labels: Sequence[tuple[bool, str]], parts: Sequence[int]
) -> None:
    """Links of the register lead to the page on which the part begins."""
    for page, (own, _) in zip(pages, labels, strict=True):
        for note in page.obj.get("/Annots", ()) if own else ():
            action = note.get("/A", None)
            address = str(action.get("/URI", "")) if action is not None else ""
            if not address.startswith(LINK):
                continue
            del note["/A"]
            note.Dest = Array([pages[parts[int(address.removeprefix(LINK))]].obj, Name.Fit])


def _attach(whole: pikepdf.Pdf, attached: Sequence[Attachment]) -> None:
    specs = []
    for one in attached:
        spec = AttachedFileSpec(
            whole, one.data, filename=one.name, mime_type=one.mime, description=one.told,
            relationship=Name("/Source" if one.source else "/Data"),
            creation_date="D:20000101000000Z", mod_date="D:20000101000000Z",
        )  # fmt: skip
        whole.attachments[one.name] = spec
        specs.append(spec.obj)
    if specs:
        whole.Root.AF = Array(specs)


def _describe(whole: pikepdf.Pdf, titles: Titles) -> None:
    whole.Root.PageMode = Name.UseOutlines
    whole.Root.ViewerPreferences = Dictionary(DisplayDocTitle=True)
    with whole.open_metadata(set_pikepdf_as_editor=False) as metadata:
        metadata["dc:title"] = f"{titles.number} {titles.title}"
        if not titles.archival:
            for name in ("pdfaid:part", "pdfaid:conformance"):
                if name in metadata:
                    del metadata[name]
