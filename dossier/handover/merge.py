"""One file of all parts: pages in order, bookmarks, the line at the foot, the records inside."""

from __future__ import annotations

import io
from collections.abc import Sequence
from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path

import pikepdf
from pikepdf import AttachedFileSpec, Dictionary, Name, OutlineItem

from dossier.handover.plan import Placed
from dossier.handover.stamp import Line, StampFont, stamp


@dataclass(frozen=True, slots=True)
class Pages:
    """A run of pages of a PDF (`count` 0: to its end), and whose they are."""

    data: bytes
    own: bool
    label: str = ""  # number of the paper, for pages that do not carry it themselves
    first: int = 0
    count: int = 0


@dataclass(frozen=True, slots=True)
class Titles:
    """What the whole file says of itself."""

    number: str
    title: str
    revision: str
    draft: str
    archival: bool  # every paper in it claims PDF/A


def merge(
    runs: Sequence[Pages], placed: Sequence[Placed], titles: Titles, records: bytes, path: Path
) -> int:
    """Write the dossier to `path`; returns its number of pages.

    The first run is our own: its output intent and metadata become those of the whole. A claim of
    PDF/A is kept only where every paper makes it too. `records` are the findings as JSON.
    """
    with ExitStack() as held, pikepdf.open(io.BytesIO(runs[0].data)) as whole:
        marks: list[tuple[bool, str]] = [(True, "")] * len(whole.pages)
        opened: dict[int, pikepdf.Pdf] = {}
        for run in runs[1:]:
            if id(run.data) not in opened:
                opened[id(run.data)] = held.enter_context(pikepdf.open(io.BytesIO(run.data)))
            pages = opened[id(run.data)].pages[run.first : run.first + run.count or None]
            whole.pages.extend(pages)
            marks += [
                (run.own, f"{run.label}, page {i} of {len(pages)}" if run.label else "")
                for i in range(1, len(pages) + 1)
            ]
        _stamp_all(whole, marks, titles)
        _bookmarks(whole, placed)
        _attach(whole, records)
        _describe(whole, titles)
        whole.save(
            path, deterministic_id=True, object_stream_mode=pikepdf.ObjectStreamMode.generate
        )
        return len(marks)


def _stamp_all(whole: pikepdf.Pdf, marks: Sequence[tuple[bool, str]], titles: Titles) -> None:
    total = len(marks)
    name = f"{titles.number} rev. {titles.revision}"
    lines = [
        Line(f"{name} · {label}" if label else name, titles.draft, f"page {i} of {total}")
        for i, (_, label) in enumerate(marks, start=1)
    ]
    font = StampFont(whole, {part for one in lines for part in (one.left, one.middle, one.right)})
    for page, line, (own, _) in zip(whole.pages, lines, marks, strict=True):
        stamp(page, line, font, own=own)


def _bookmarks(whole: pikepdf.Pdf, placed: Sequence[Placed]) -> None:
    with whole.open_outline() as outline:
        outline.root.clear()
        levels: list[list[OutlineItem]] = [outline.root]
        for line in placed:
            if line.page is None:
                continue
            title = f"{line.number} {line.title}".strip() if line.level == 3 else line.title
            item = OutlineItem(title, line.page - 1, "Fit")
            del levels[line.level :]
            levels[line.level - 1].append(item)
            levels.append(item.children)
            item.is_closed = line.level > 1


def _attach(whole: pikepdf.Pdf, records: bytes) -> None:
    spec = AttachedFileSpec(
        whole, records, filename="check.json", mime_type="application/json",
        description="Findings of the cross-check as data", relationship=Name("/Data"),
        creation_date="D:20000101000000Z", mod_date="D:20000101000000Z",
    )  # fmt: skip
    whole.attachments["check.json"] = spec
    whole.Root.AF = pikepdf.Array([spec.obj])


def _describe(whole: pikepdf.Pdf, titles: Titles) -> None:
    whole.Root.PageMode = Name.UseOutlines
    whole.Root.ViewerPreferences = Dictionary(DisplayDocTitle=True)
    with whole.open_metadata(set_pikepdf_as_editor=False) as metadata:
        metadata["dc:title"] = f"{titles.number} {titles.title}"
        if not titles.archival:
            for name in ("pdfaid:part", "pdfaid:conformance"):
                if name in metadata:
                    del metadata[name]
