"""Building the dossier: render what is new, number, merge, and move the result into place."""

from __future__ import annotations

import json
import re
import shutil
import tempfile
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass
from functools import partial
from pathlib import Path
from typing import Any, cast

from dossier.coverage.view import View
from dossier.documents import front
from dossier.documents.finding_list import findings_as_data
from dossier.documents.findings import open_points
from dossier.documents.issue import (
    Issued,
    Progress,
    matrix_issue,
    procedure_issue,
    quiet,
    register_issue,
)
from dossier.documents.pdf import Rendered
from dossier.errors import DossierError
from dossier.handover.changes import Issue, differences, issue_file, read_issue
from dossier.handover.cluster import on_cluster
from dossier.handover.completeness import Held, completeness, gaps
from dossier.handover.issue_data import NAME as ISSUE
from dossier.handover.issue_data import issue_data
from dossier.handover.layout import NO_LIMITS, Limits
from dossier.handover.merge import Attachment
from dossier.handover.origin import evidence_files, record_files
from dossier.handover.placing import CHECKSUMS, describe, move
from dossier.handover.plan import Part, PlannedVolume, parts_of, plan
from dossier.handover.printing import Printer, bound, print_files
from dossier.handover.rendering import (
    Chunks,
    Renderer,
    Rendering,
    Task,
    on_this_machine,
    task_alone,
    task_of,
    tasks_of,
)
from dossier.handover.review_page import NAME as REVIEW
from dossier.handover.review_page import review_blocks, review_page
from dossier.handover.sections import CONTENTS, HISTORY, Source, source
from dossier.handover.signed import keep_signed, signed_forms
from dossier.handover.stamp import subset
from dossier.handover.store import (
    Kept,
    Store,
    alone_in,
    clear_leftovers,
    digest_of,
    store_beside,
)
from dossier.handover.volumes import Volume, load_volumes
from dossier.records.verdicts import Finding
from dossier.review import Blocks
from dossier.units import counted

_ASIDE = ".building-"
_SET = re.compile(r"frozenset\(\{([^}]*)\}\)")
_MIMES = {
    ".yaml": "application/yaml", ".json": "application/json", ".csv": "text/csv",
    ".xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
}  # fmt: skip


class DraftError(DossierError):
    """The dossier would be a draft, and drafts are not wanted."""


class ChangedError(DossierError):
    """Records that changed while a dossier was built from them."""


class SharesMissingError(DossierError):
    """Documents that other machines were to render are not there."""


@dataclass(frozen=True, slots=True)
class How:
    """How to build: where results are kept, who renders, how large a file may be.

    `workers` 0 is one process for each core; `cluster` the address of a scheduler; `shard` (i, n)
    renders one share into the store and nothing more; `join` are stores of shares, of which the
    dossier is put together without rendering. `drafts` False refuses open points and gaps.
    `since` is an earlier issue, whose differences get a sheet.
    """

    workers: int = 0
    store: Path | None = None
    cluster: str = ""
    shard: tuple[int, int] | None = None
    join: tuple[Path, ...] | None = None
    drafts: bool = True
    limits: Limits = NO_LIMITS
    since: Path | None = None


def build(
    seen: View,
    findings: Sequence[Finding],
    folder: Path,
    out_dir: Path,
    progress: Progress = quiet,
    how: How | None = None,
) -> list[Path]:
    """Build the handover dossier of a project below `out_dir`; returns the files written.

    `folder` is the project's folder, where evidence and its own templates lie. The dossier is a
    draft while findings of hold or worse are open or records are missing. Files are made in a
    folder beside and moved into place at the end; files of an earlier build that are no longer
    part of it are removed if they are unchanged. What was rendered before is taken from the store.
    Raises InputError: a text that cannot be printed; ProjectError: an unusable volume preset;
    BusyError: another build is at work there; SignedError: a signed dossier lies there that this
    one would replace; PlaceError: files of somebody else stand in the way; LimitsError: a file
    cannot be as small as asked; ChangedError: the records changed meanwhile; DraftError. Whatever
    is raised, no file of the dossier has been written.
    """
    how = how or How()
    own = folder / "templates"
    overrides = own if own.is_dir() else None
    store = store_beside(out_dir, overrides, how.store)
    job = _Job(seen, findings, folder, store, how)
    with alone_in(out_dir):
        with store.in_use():
            written, used = _built(job, source(seen, findings, overrides), out_dir, progress)
        if used:
            store.prune(used)
    return written


def _built(job: _Job, of: Source, out_dir: Path, progress: Progress) -> tuple[list[Path], set[str]]:
    """The files written, and the keys of the store that were used; none if nothing is new."""
    clear_leftovers(out_dir, _ASIDE)
    key = job.key()
    if written := _unchanged(job.store, key, out_dir):
        return written, set()
    if not job.how.shard:
        keep_signed(out_dir)
    aside = Path(tempfile.mkdtemp(prefix=_ASIDE, dir=out_dir))
    try:
        used = job.run(of, aside, progress)
        if job.how.shard:
            return [], set()
        if job.key() != key:
            raise ChangedError(
                f"Records or papers in {job.folder} changed while the dossier was built from them: "
                "build it again. Nothing was written."
            )
        made = {p.relative_to(aside).as_posix(): digest_of(p)
                for p in aside.rglob("*") if p.is_file()}  # fmt: skip
        written = move(aside, out_dir)
        job.store.keep(key, json.dumps(made, sort_keys=True).encode())
        return written, {*used, key}
    finally:
        shutil.rmtree(aside, ignore_errors=True)


def _unchanged(store: Store, key: str, out_dir: Path) -> list[Path]:
    """The files of the last build, where neither its records nor a byte of it has changed."""
    kept = store.find(key)
    made = json.loads(kept.path.read_bytes()) if kept else {}
    signed = signed_forms(out_dir, made)
    for name, digest in made.items():
        path = out_dir / name
        changed = not path.is_file() or digest_of(path) != signed.get(name, digest)
        if changed and not (signed and name == CHECKSUMS):
            return []
    return sorted(out_dir / name for name in made)


@dataclass(frozen=True, slots=True)
class _Job:
    """One build: of what, from where, and how."""

    seen: View
    findings: Sequence[Finding]
    folder: Path
    store: Store
    how: How

    def key(self) -> str:
        """What the whole result depends on."""
        records = record_files(self.folder)
        names = [*records, *evidence_files(self.folder, self.seen.project)]
        files = [f"{name} {digest_of(self.folder / name)}" for name in names]
        shown = repr((self.seen.project, self.seen.as_of, list(self.findings)))
        plain = _SET.sub(lambda m: ", ".join(sorted(m[1].split(", "))), shown)
        issue = digest_of(issue_file(self.how.since)) if self.how.since else ""
        choice = repr((self.how.shard, self.how.drafts, self.how.limits, issue))
        return self.store.key(["whole", plain, choice, *files])

    def run(self, of: Source, aside: Path, progress: Progress) -> set[str]:
        """Make every file in `aside`; returns the keys of the store that were used."""
        settings = self.seen.project.settings
        preset = load_volumes(settings.volumes, self.folder, frozenset(CONTENTS))
        with Rendering(self.store, self._renderer()) as rendering:
            volumes = self._planned(preset, of, rendering)
            parts = parts_of(volumes)
            unreadable = [(p.number, p.lacking) for p in parts if p.lacking]
            held = completeness(self.seen.project, preset, unreadable)
            draft = _draft(self.findings, held)
            if draft and not self.how.drafts:
                raise DraftError(_refused(self.findings, held))
            tasks = tasks_of(volumes, self.store)
            issued, singles = self._issued(of, rendering)
            blocks = () if self.how.shard else self._meanwhile(parts)
            kept = self._rendered([*tasks, *singles], rendering, progress)
        if self.how.shard:
            return set()
        used = {task.key for task in (*tasks, *singles)}
        used |= {part.paper.key for part in parts if part.paper and part.paper.key}
        used |= self._write_issued(issued, aside)
        since = read_issue(self.how.since) if self.how.since else None
        printer = Printer(of, self.store, draft, self._front(of, held, (since, parts)), used)
        data = findings_as_data(settings, self.seen.as_of, self.findings)
        records = f"{json.dumps(data, indent=2)}\n".encode()
        (aside / "check.json").write_bytes(records)
        files = print_files(
            printer, volumes, bound(parts, kept[: len(tasks)]),
            (self.how.limits, self._attached(records)), aside,
        )  # fmt: skip
        self._write_beside(issue_data(self.seen, self.findings, files, held), blocks, aside)
        describe(self.seen, aside, files, draft)
        progress("Dossier", files[-1].first + files[-1].pages - 1, sum(f.pages for f in files))
        return used

    def _issued(
        self, of: Source, rendering: Rendering
    ) -> tuple[list[tuple[str, Issued]], list[Task]]:
        """The files beside the dossier, each with its folder; those to render are begun."""
        seen, own = self.seen, of.overrides
        issued: list[tuple[str, Issued]] = []
        singles: list[Task] = []
        for folder, files in (
            ("procedures", partial(procedure_issue, seen, own)),
            ("registers", partial(matrix_issue, seen, own)),
            ("registers", partial(register_issue, seen, self.findings)),
        ):
            made = files()
            issued += [(folder, one) for one in made]
            begun = [task_alone(o.name, o.made_of, o.html, self.store) for o in made if o.html]
            self._begin(begun, rendering)
            singles += begun
        return issued, singles

    def _write_issued(self, issued: Sequence[tuple[str, Issued]], aside: Path) -> set[str]:
        used = set()
        for place, one in issued:
            key = self.store.key(["alone", one.made_of] if one.html else [one.made_of])
            used.add(key)
            kept = self.store.have(key, one.data)
            (aside / place).mkdir(exist_ok=True)
            shutil.copyfile(kept.path, aside / place / one.name)
        return used

    def _meanwhile(self, parts: Sequence[Part]) -> Blocks:
        """Make what waits for no page while the workers render: font of the foot, review page."""
        subset()
        histories = {
            p.number: p.content for p in parts if p.content and p.content.template == HISTORY
        }
        return review_blocks(self.seen, self.findings, histories)

    def _write_beside(self, issue: Mapping[str, Any], blocks: Blocks, aside: Path) -> None:
        """The issue as data, and the records as a page to look through."""
        (aside / ISSUE).write_text(f"{json.dumps(issue, indent=1)}\n", encoding="utf-8")
        page = review_page(self.seen, self.findings, issue, blocks)
        (aside / REVIEW).write_bytes(page)

    def _planned(
        self, preset: Sequence[Volume], of: Source, rendering: Rendering
    ) -> list[PlannedVolume]:
        """All documents; each group of them is begun as soon as it is gathered."""
        volumes: dict[int, PlannedVolume] = {}
        groups = Chunks()

        def begin(group: tuple[Part, ...]) -> None:
            if group:
                self._begin([task_of(group, self.store)], rendering)

        def gathered(part: Part) -> None:
            begin(groups.add(part))

        for place, volume in plan(preset, of, self.folder, self.store, gathered):
            volumes[place] = volume
            begin(groups.rest())
        return [volumes[place] for place in sorted(volumes)]

    def _begin(self, tasks: Sequence[Task], rendering: Rendering) -> None:
        """Begin these; a build that may be refused begins nothing, nor one that has a share."""
        if self.how.drafts and not self.how.shard:
            rendering.begin(tasks)

    def _rendered(
        self, tasks: Sequence[Task], rendering: Rendering, progress: Progress
    ) -> list[Kept]:
        for other in self.how.join or ():
            self.store.take_over(other)
        return rendering.finish(tasks, partial(progress, "Documents"), self.how.shard)

    def _renderer(self) -> Renderer:
        if self.how.join is not None:
            return _missing_shares
        if self.how.cluster:
            return on_cluster(self.how.cluster)
        return on_this_machine(self.how.workers)

    def _front(
        self, of: Source, held: Sequence[Held], change: tuple[Issue | None, Sequence[Part]]
    ) -> tuple[Part, ...]:
        """What stands between the cover and the register: completeness, revisions, changes."""
        seen, (since, parts) = self.seen, change
        sheets = [
            ("completeness.html", front.completeness_sheet(
                seen, of.number("CPL"), [cast("front.Lacking", asdict(one)) for one in held])),
            ("register.html", front.revision_history(seen, of.number("REV"))),
        ]  # fmt: skip
        if since:
            now = Issue.of(seen, self.findings, parts)
            told = differences(since, now)
            data = front.change_sheet(seen, of.number("CHG"), since.name, told)
            sheets.append(("register.html", data))
        made = [of.sheet(template, data) for template, data in sheets]
        return tuple(Part(one.number, one.title, one.revision, one.content) for one in made)

    def _attached(self, records: bytes) -> list[Attachment]:
        """The findings as data and the records that they were found in."""
        found = [Attachment("check.json", records, "application/json",
                            "Findings of the cross-check as data", source=False)]  # fmt: skip
        for name in record_files(self.folder):
            mime = _MIMES.get(Path(name).suffix.lower(), "application/octet-stream")
            data = (self.folder / name).read_bytes()
            found.append(Attachment(name.replace("/", "__"), data, mime, f"Record file {name}"))
        return found


def _missing_shares(tasks: Sequence[Task]) -> Iterator[tuple[Task, Rendered]]:
    count = sum(len(task.titles) for task in tasks)
    raise SharesMissingError(
        f"{counted(count, 'document')} in none of the shares. Were all shares built from these "
        "records, with this version of the tool and these templates?"
    )


def _draft(findings: Sequence[Finding], held: Sequence[Held]) -> str:
    left, lacking = len(open_points(findings)), len(gaps(held))
    parts = [counted(left, "open point")] if left else []
    parts += [counted(lacking, "gap")] if lacking else []
    return ", ".join(parts)


def _refused(findings: Sequence[Finding], held: Sequence[Held]) -> str:
    lines = [f"No draft is wanted, and this would be one: {_draft(findings, held)}."]
    lines += [f"  missing: {one.section}: {one.record} ({one.asked_by})" for one in gaps(held)]
    lines += [f"  open: {f.sentence}" for f in open_points(findings)]
    return "\n".join([*lines, "Nothing was written."])
