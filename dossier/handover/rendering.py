"""Rendering many documents: in chunks, over worker processes, each chunk only once.

A chunk bounds the memory (about 70 MB and 5 MB a page); workers end after a number of chunks, since
the renderer does not give memory back. They are forked from a process that has loaded it already.
Where a chunk ends is read from its documents, so that a document that is new or gone changes its
own chunk and no other.
"""

from __future__ import annotations

import hashlib
import multiprocessing
import os
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Future, ProcessPoolExecutor, as_completed
from concurrent.futures.process import BrokenProcessPool
from contextlib import suppress
from dataclasses import dataclass
from multiprocessing import forkserver
from typing import Self

from dossier.documents.pdf import Rendered, render, render_document
from dossier.errors import DossierError
from dossier.handover.plan import Part, PlannedVolume, parts_of
from dossier.handover.store import Kept, Store

CHUNK = 4  # documents in a chunk, on average
LONG = 60_000  # characters of data, about five pages: a chunk ends once it has as many
CHUNKS_PER_WORKER = 40
_LOSSES = 2  # broken pools in a row before each chunk is tried alone


class LostWorkerError(DossierError):
    """A worker process dies whenever it renders these documents."""


@dataclass(frozen=True, slots=True)
class Task:
    """Documents to render into one PDF, and the key under which it is kept.

    Their pages are made by `make` when the turn of the task comes. One that stands `alone` becomes
    a file of its own and is tagged.
    """

    key: str
    titles: tuple[str, ...]
    make: Callable[[], tuple[str, ...]]
    alone: bool = False


def rendered(pages: Sequence[str], alone: bool) -> Rendered:
    """The PDF of a task's pages."""
    return Rendered(render_document(pages[0]), ()) if alone else render(pages)


# Renders tasks in any order and yields each with its result.
Renderer = Callable[[Sequence[Task]], Iterator[tuple[Task, Rendered]]]


class Chunks:
    """Printed parts put into groups as they come; the same parts always fall into the same."""

    def __init__(self) -> None:
        self._group: list[Part] = []
        self._length = 0

    def add(self, part: Part) -> tuple[Part, ...]:
        """The group that this part closes, () while it stays open."""
        if part.content is None:
            return ()
        self._group.append(part)
        self._length += part.content.length
        full = self._length >= LONG or len(self._group) == 2 * CHUNK
        return self.rest() if full or _ends_chunk(part) else ()

    def rest(self) -> tuple[Part, ...]:
        """Close the group that is open, () if none is."""
        group = tuple(self._group)
        self._group, self._length = [], 0
        return group


def chunks(parts: Sequence[Part]) -> list[tuple[Part, ...]]:
    """Printed parts in groups, in order."""
    made = Chunks()
    groups = [*(made.add(part) for part in parts), made.rest()]
    return [group for group in groups if group]


def _ends_chunk(part: Part) -> bool:
    """One document in CHUNK ends its chunk; its name alone decides, not what it says."""
    return hashlib.sha256(f"{part.number} {part.title}".encode()).digest()[0] % CHUNK == 0


def tasks_of(volumes: Sequence[PlannedVolume], store: Store) -> list[Task]:
    """The tasks that render what the tool prints itself, in order; no chunk goes on in the next
    volume, so that a volume can be begun before those in front of it are gathered."""
    return [task_of(group, store) for volume in volumes for group in chunks(parts_of([volume]))]


def task_of(group: Sequence[Part], store: Store) -> Task:
    """The task that renders one group of parts."""
    contents = [part.content for part in group if part.content]
    return Task(
        store.key([one.made_of for one in contents]),
        tuple(f"{part.number} {part.title}" for part in group),
        lambda: tuple(one.html() for one in contents),
    )


def task_alone(name: str, made_of: str, html: Callable[[], str], store: Store) -> Task:
    """The task that renders one file of its own."""
    return Task(store.key(["alone", made_of]), (name,), lambda: (html(),), alone=True)


class Rendering:
    """The rendering of a build. Documents that are known early can be begun meanwhile.

    Leaving it ends the work that nobody waits for any more.
    """

    def __init__(self, store: Store, renderer: Renderer) -> None:
        self._store = store
        self._renderer = renderer
        self._found: dict[str, Kept | None] = {}

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        if isinstance(self._renderer, Workers):
            self._renderer.drop()

    def begin(self, tasks: Sequence[Task]) -> None:
        """Give the workers of this machine what the store does not hold; others wait for all."""
        if isinstance(self._renderer, Workers):
            self._renderer.begin(self._lacking(tasks))

    def finish(
        self,
        tasks: Sequence[Task],
        told: Callable[[int, int], None],
        shard: tuple[int, int] | None = None,
    ) -> list[Kept]:
        """Every task rendered, in order; what the store holds is not rendered again.

        `told` hears of documents done and all. A `shard` is one share of the tasks, the first of
        `(1, 3)` every third, and no more: equal projects give equal shares on every machine.
        """
        lacking = self._lacking(tasks)
        mine = {task.key for task in (tasks[shard[0] - 1 :: shard[1]] if shard else tasks)}
        asked = [task for task in lacking if task.key in mine]
        total = sum(len(task.titles) for task in tasks)
        done = total - sum(len(task.titles) for task in lacking)
        told(done, total)
        for task, result in self._renderer(asked) if asked else ():
            self._found[task.key] = self._store.keep(task.key, result.data, result.pages)
            done += len(task.titles)
            told(min(done, total), total)
        kept = [self._found[task.key] for task in tasks]
        return [one for one in kept if one is not None]

    def _lacking(self, tasks: Sequence[Task]) -> list[Task]:
        for task in tasks:
            if task.key not in self._found:
                self._found[task.key] = self._store.find(task.key)
        return list({t.key: t for t in tasks if self._found[t.key] is None}.values())


class Workers:
    """A renderer of worker processes on this machine."""

    def __init__(self, most: int) -> None:
        self._most = most
        self._pool: _Pool | None = None

    def begin(self, tasks: Sequence[Task]) -> None:
        """Hand these out already, as far as a pool takes them; they are asked for later."""
        if self._most > 1 and tasks:
            self._pool = self._pool or _Pool(self._most)
            self._pool.hand_out(tasks)

    def drop(self) -> None:
        """Do not begin what is still waiting."""
        if self._pool:
            self._pool.drop()
            self._pool = None

    def __call__(self, tasks: Sequence[Task]) -> Iterator[tuple[Task, Rendered]]:
        """Render all of these, begun or not. Raises LostWorkerError."""
        pool, self._pool = self._pool, None
        if not pool and min(self._most, len(tasks)) == 1:
            yield from ((task, rendered(task.make(), task.alone)) for task in tasks)
            return
        left = sorted(tasks, key=lambda task: pool is None or task.key not in pool.begun)
        batch = self._most * CHUNKS_PER_WORKER
        for start in range(0, len(left), batch):
            yield from _wave(left[start : start + batch], self._most, pool)
            pool = None


def on_this_machine(workers: int = 0) -> Workers:
    """A renderer of worker processes; 0 means one for each core, 1 renders in this process.

    The process that workers are forked from is started here: it loads the renderer meanwhile.
    """
    most = workers or os.cpu_count() or 1
    if most > 1:
        multiprocessing.set_forkserver_preload(["__main__", "dossier.handover.worker"])
        forkserver.ensure_running()
    return Workers(most)


class _Pool:
    """Worker processes, and the tasks that they have in hand."""

    def __init__(self, count: int) -> None:
        context = multiprocessing.get_context("forkserver")
        self._room = count * CHUNKS_PER_WORKER
        self._workers = ProcessPoolExecutor(count, mp_context=context)
        self._waiting: dict[Future[Rendered], Task] = {}
        self.begun: set[str] = set()

    def hand_out(self, tasks: Sequence[Task]) -> None:
        """Hand out tasks that are not in hand yet, while there is room."""
        with suppress(BrokenProcessPool):  # a worker may die while tasks are still handed out
            for task in tasks:
                if task.key not in self.begun and len(self.begun) < self._room:
                    future = self._workers.submit(rendered, task.make(), task.alone)
                    self._waiting[future] = task
                    self.begun.add(task.key)

    def results(self, tasks: Sequence[Task]) -> Iterator[tuple[Task, Rendered]]:
        """Results of these as they come; a pool that breaks just ends early."""
        self.hand_out(tasks)
        try:
            for future in as_completed(self._waiting):
                task = self._waiting.pop(future)  # lets go of the result once it is passed on
                with suppress(BrokenProcessPool):
                    yield task, future.result()
        finally:
            self.drop()

    def drop(self) -> None:
        """End, without beginning what still waits."""
        self._workers.shutdown(cancel_futures=True)


def _wave(tasks: Sequence[Task], count: int, pool: _Pool | None) -> Iterator[tuple[Task, Rendered]]:
    """Chunks rendered by one pool; what a lost worker had in hand is done again by a fresh one.

    The executor's own limit of tasks for each worker can hang in Python 3.11 once the first
    workers have reached it, so the whole pool is replaced instead.
    """
    left = {task.key: task for task in tasks}
    losses = 0
    while left and losses < _LOSSES:
        before = len(left)
        for task, result in (pool or _Pool(count)).results(list(left.values())):
            if left.pop(task.key, None):
                yield task, result
        pool = None
        losses = losses + 1 if len(left) == before else 0
    for task in left.values():
        alone = list(_Pool(1).results([task]))
        if not alone:
            raise LostWorkerError(
                f"A worker process dies while it renders {', '.join(task.titles)}. "
                "If memory is short, use fewer workers (--workers 1)."
            )
        yield from alone
