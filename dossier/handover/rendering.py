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
from concurrent.futures import ProcessPoolExecutor, as_completed
from concurrent.futures.process import BrokenProcessPool
from contextlib import suppress
from dataclasses import dataclass
from multiprocessing import forkserver

from dossier.documents.pdf import Rendered, render, render_document
from dossier.errors import DossierError
from dossier.handover.plan import Part
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


def chunks(parts: Sequence[Part]) -> list[tuple[Part, ...]]:
    """Printed parts in groups, in order; the same parts always fall into the same groups."""
    groups: list[tuple[Part, ...]] = []
    group: list[Part] = []
    length = 0
    for part in parts:
        if part.content is None:
            continue
        group.append(part)
        length += part.content.length
        if length >= LONG or len(group) == 2 * CHUNK or _ends_chunk(part):
            groups.append(tuple(group))
            group, length = [], 0
    return [*groups, tuple(group)] if group else groups


def _ends_chunk(part: Part) -> bool:
    """One document in CHUNK ends its chunk; its name alone decides, not what it says."""
    return hashlib.sha256(f"{part.number} {part.title}".encode()).digest()[0] % CHUNK == 0


def tasks_of(parts: Sequence[Part], store: Store) -> list[Task]:
    """The tasks that render these parts, in order."""
    return [_task(group, store) for group in chunks(parts)]


def _task(group: Sequence[Part], store: Store) -> Task:
    contents = [part.content for part in group if part.content]
    return Task(
        store.key([one.made_of for one in contents]),
        tuple(f"{part.number} {part.title}" for part in group),
        lambda: tuple(one.html() for one in contents),
    )


def task_alone(name: str, html: str, store: Store) -> Task:
    """The task that renders one file of its own."""
    return Task(store.key(["alone", html]), (name,), lambda: (html,), alone=True)


def render_all(
    tasks: Sequence[Task], store: Store, renderer: Renderer, told: Callable[[int, int], None]
) -> list[Kept]:
    """Every task rendered, in order; what the store holds is not rendered again.

    `told` hears of documents done and all.
    """
    found = {task.key: store.find(task.key) for task in tasks}
    lacking = list({t.key: t for t in tasks if found[t.key] is None}.values())
    total = sum(len(task.titles) for task in tasks)
    done = total - sum(len(task.titles) for task in lacking)
    told(done, total)
    for task, result in renderer(lacking) if lacking else ():
        found[task.key] = store.keep(task.key, result.data, result.pages)
        done += len(task.titles)
        told(min(done, total), total)
    kept = [found[task.key] for task in tasks]
    return [one for one in kept if one is not None]


def on_this_machine(workers: int = 0) -> Renderer:
    """A renderer of worker processes; 0 means one for each core, 1 renders in this process.

    The process that workers are forked from is started here: it loads the renderer meanwhile.
    """
    most = workers or os.cpu_count() or 1
    if most > 1:
        multiprocessing.set_forkserver_preload(["__main__", "dossier.handover.worker"])
        forkserver.ensure_running()

    def run(tasks: Sequence[Task]) -> Iterator[tuple[Task, Rendered]]:
        count = min(most, len(tasks))
        if count <= 1:
            yield from ((task, rendered(task.make(), task.alone)) for task in tasks)
            return
        batch = count * CHUNKS_PER_WORKER
        for start in range(0, len(tasks), batch):
            yield from _wave(tasks[start : start + batch], count)

    return run


def _wave(tasks: Sequence[Task], count: int) -> Iterator[tuple[Task, Rendered]]:
    """Chunks rendered by a fresh pool; what a lost worker had in hand is done again.

    The executor's own limit of tasks for each worker can hang in Python 3.11 once the first
    workers have reached it, so the whole pool is replaced instead.
    """
    left = {task.key: task for task in tasks}
    losses = 0
    while left and losses < _LOSSES:
        before = len(left)
        for task, result in _pool(list(left.values()), count):
            del left[task.key]
            yield task, result
        losses = losses + 1 if len(left) == before else 0
    for task in left.values():
        alone = list(_pool([task], 1))
        if not alone:
            raise LostWorkerError(
                f"A worker process dies while it renders {', '.join(task.titles)}. "
                "If memory is short, use fewer workers (--workers 1)."
            )
        yield from alone


def _pool(tasks: Sequence[Task], count: int) -> Iterator[tuple[Task, Rendered]]:
    """Results as they come; a pool that breaks just ends early."""
    context = multiprocessing.get_context("forkserver")
    with ProcessPoolExecutor(min(count, len(tasks)), mp_context=context) as pool:
        waiting = {}
        with suppress(BrokenProcessPool):  # a worker may die while tasks are still handed out
            for task in tasks:
                waiting[pool.submit(rendered, task.make(), task.alone)] = task
        for future in as_completed(waiting):
            task = waiting.pop(future)  # lets go of the result once it is passed on
            with suppress(BrokenProcessPool):
                yield task, future.result()


def sharded(renderer: Renderer, shard: tuple[int, int], tasks: Sequence[Task]) -> Renderer:
    """A renderer that does one share of the tasks, the first of `(1, 3)` every third, and no more.

    Equal projects give equal shares on every machine.
    """
    mine = {task.key for task in tasks[shard[0] - 1 :: shard[1]]}

    def run(asked: Sequence[Task]) -> Iterator[tuple[Task, Rendered]]:
        yield from renderer([task for task in asked if task.key in mine])

    return run
