"""Building the dossier: render, count, number, merge, and move the result into place."""

from __future__ import annotations

import hashlib
import json
import shutil
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from dossier.coverage.view import View
from dossier.documents import front
from dossier.documents.finding_list import findings_as_data
from dossier.documents.findings import open_points
from dossier.documents.issue import (
    Progress,
    procedure_sheets,
    quiet,
    register_files,
    welder_matrix_files,
)
from dossier.documents.pages import page
from dossier.documents.pdf import Rendered, render
from dossier.handover.merge import Pages, Titles, merge
from dossier.handover.plan import (
    Part,
    Placed,
    PlannedVolume,
    place,
    plan,
    volume_entries,
)
from dossier.handover.rendering import render_all
from dossier.handover.sections import CONTENTS, Source, source
from dossier.handover.volumes import load_volumes
from dossier.records.verdicts import Finding

CHECKSUMS = "checksums.sha256"


@dataclass(frozen=True, slots=True)
class _Front:
    """Cover, register and the title pages of the volumes, as pages of HTML."""

    cover: str
    contents: str
    titles: list[str]


def build(
    seen: View,
    findings: Sequence[Finding],
    folder: Path,
    out_dir: Path,
    progress: Progress = quiet,
    *,
    workers: int = 0,
) -> list[Path]:
    """Build the handover dossier of a project below `out_dir`; returns the files written.

    `folder` is the project's folder, where evidence and its own templates lie. `workers` 0 is one
    process for each core. The dossier is a draft while findings of hold or worse are open. Files
    are made in a folder beside and moved into place at the end; files of an earlier build that are
    no longer part of it are removed if they are unchanged.
    Raises InputError: a text that cannot be printed; ProjectError: an unusable volume preset.
    """
    out_dir.mkdir(parents=True, exist_ok=True)
    aside = Path(tempfile.mkdtemp(prefix=".building-", dir=out_dir))
    try:
        own = folder / "templates"
        of = source(seen, findings, own if own.is_dir() else None)
        data = findings_as_data(seen.project.settings, seen.as_of, findings)
        records = f"{json.dumps(data, indent=2)}\n"
        (aside / "check.json").write_text(records, encoding="utf-8")
        procedure_sheets(seen, findings, aside / "procedures", progress, of.overrides)
        welder_matrix_files(seen, findings, aside / "registers", of.overrides)
        register_files(seen, findings, aside / "registers")
        total = _dossier(of, folder, aside, records.encode(), (progress, workers))
        _describe(seen, findings, aside, total)
        return _move(aside, out_dir)
    finally:
        shutil.rmtree(aside, ignore_errors=True)


def _dossier(
    of: Source, folder: Path, aside: Path, records: bytes, how: tuple[Progress, int]
) -> int:
    progress, workers = how
    volumes = plan(load_volumes(of.seen.project.settings.volumes, folder, frozenset(CONTENTS)),
                   of, folder)  # fmt: skip
    parts = [part for v in volumes for s in v.sections for part in s.parts]
    printed = [part for part in parts if part.html]
    chunks = render_all(
        [part.html for part in printed],
        workers,
        lambda done, total: progress("Documents", done, total),
    )
    counts = _counts(parts, printed, chunks)
    placed, rendered = _front_pages(of, volumes, counts)
    runs = _runs(volumes, printed, chunks, rendered)
    settings = of.seen.project.settings
    left = len(open_points(of.findings))
    titles = Titles(
        number=of.number("DOS"),
        title=f"Welding quality dossier, {settings.title}",
        revision=settings.revision,
        draft=f"DRAFT: {left} open points" if left else "",
        archival=all(part.paper.archival for part in parts if part.paper),
    )
    total = merge(runs, placed, titles, records, aside / "dossier.pdf")
    progress("Dossier", total, total)
    return total


def _counts(
    parts: Sequence[Part], printed: Sequence[Part], chunks: Sequence[Rendered]
) -> dict[int, int]:
    """Pages of every part, by its identity."""
    rendered = [count for chunk in chunks for count in chunk.pages]
    counts = {id(part): count for part, count in zip(printed, rendered, strict=True)}
    return counts | {id(part): part.paper.pages for part in parts if part.paper}


def _front_pages(
    of: Source, volumes: Sequence[PlannedVolume], counts: dict[int, int]
) -> tuple[list[Placed], list[Rendered]]:
    """Front matter with the right page numbers: counted once, then printed again with them."""
    sizes = [1, 1, *(1 for _ in volumes)]
    for _ in range(4):
        placed = place(volumes, counts, sizes[0] + sizes[1], sizes[2:])
        pages = _front(of, volumes, placed)
        rendered = [render([html]) for html in (pages.cover, pages.contents, *pages.titles)]
        found = [sum(one.pages) for one in rendered]
        if found == sizes:
            break
        sizes = found
    return placed, rendered


def _front(of: Source, volumes: Sequence[PlannedVolume], placed: Sequence[Placed]) -> _Front:
    seen, number = of.seen, of.number("DOS")
    left = len(open_points(of.findings))
    draft = f"{left} open points" if left else ""
    return _Front(
        cover=page("cover.html", front.cover(seen, number, draft), of.overrides),
        contents=page(
            "contents.html",
            front.contents(seen, number, [line.entry() for line in placed], draft),
            of.overrides,
        ),
        titles=[
            page(
                "cover.html",
                front.volume_title(seen, number, v.title, volume_entries(placed, v.title)),
                of.overrides,
            )
            for v in volumes
        ],
    )


def _runs(
    volumes: Sequence[PlannedVolume],
    printed: Sequence[Part],
    chunks: Sequence[Rendered],
    rendered: Sequence[Rendered],
) -> list[Pages]:
    """All pages in order: front matter, then volume by volume.

    Chunks of printed documents run on across sections, so each is cut where a paper or a title
    page comes between.
    """
    own = _cut(printed, chunks)
    runs = [Pages(rendered[0].data, own=True), Pages(rendered[1].data, own=True)]
    for volume, title in zip(volumes, rendered[2:], strict=True):
        runs.append(Pages(title.data, own=True))
        for section in volume.sections:
            for part in section.parts:
                if part.paper:
                    runs.append(Pages(part.paper.data, own=False, label=part.number))
                else:
                    runs.append(own[id(part)])
    return runs


def _cut(printed: Sequence[Part], chunks: Sequence[Rendered]) -> dict[int, Pages]:
    """The pages of each printed document, as a slice of the chunk that holds them."""
    found: dict[int, Pages] = {}
    parts = iter(printed)
    for chunk in chunks:
        start = 0
        for count in chunk.pages:
            part = next(parts)
            found[id(part)] = Pages(chunk.data, own=True, first=start, count=count)
            start += count
    return found


def _describe(seen: View, findings: Sequence[Finding], aside: Path, pages: int) -> None:
    settings = seen.project.settings
    left = len(open_points(findings))
    state = f"DRAFT, {left} open points" if left else "no open point"
    files = sorted(p for p in aside.rglob("*") if p.is_file())
    names = [p.relative_to(aside).as_posix() for p in files]
    sums = [f"{hashlib.sha256(p.read_bytes()).hexdigest()}  {n}\n"
            for p, n in zip(files, names, strict=True)]  # fmt: skip
    (aside / CHECKSUMS).write_text("".join(sums), encoding="utf-8")
    told = {
        "dossier.pdf": f"the dossier, {pages} pages",
        "check.json": "findings of the cross-check as data",
        CHECKSUMS: "checksums of all files; to prove them: sha256sum -c " + CHECKSUMS,
    }
    lines = [
        f"{settings.number} {settings.title}",
        f"Welding quality dossier, revision {settings.revision}, records to {seen.as_of}: {state}.",
        "",
        *(f"{n}: {told[n]}" if n in told else n for n in (*names, CHECKSUMS)),
    ]
    (aside / "README.txt").write_text("\n".join(lines) + "\n", encoding="utf-8")


def _move(aside: Path, out_dir: Path) -> list[Path]:
    """Move every file into place and remove unchanged files that an earlier build left."""
    stale = _listed(out_dir)
    written = []
    for path in sorted(p for p in aside.rglob("*") if p.is_file()):
        name = path.relative_to(aside)
        target = out_dir / name
        target.parent.mkdir(parents=True, exist_ok=True)
        path.replace(target)
        stale.pop(name.as_posix(), None)
        written.append(target)
    for listed, digest in stale.items():
        left = (out_dir / listed).resolve()
        inside = left.is_relative_to(out_dir.resolve()) and left.is_file()
        if inside and hashlib.sha256(left.read_bytes()).hexdigest() == digest:
            left.unlink()
    return written


def _listed(out_dir: Path) -> dict[str, str]:
    """Files of an earlier build with their checksums."""
    path = out_dir / CHECKSUMS
    if not path.is_file():
        return {}
    lines = (line.split("  ", 1) for line in path.read_text(encoding="utf-8").splitlines())
    return {pair[1]: pair[0] for pair in lines if len(pair) == 2}
