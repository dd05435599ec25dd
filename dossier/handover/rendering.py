"""Rendering many documents: in chunks, over worker processes, in a fixed order.

A chunk bounds the memory (about 70 MB and 5 MB a page); a worker ends after a few chunks, since
the renderer does not give memory back.
"""

from __future__ import annotations

import multiprocessing
import os
from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor

from dossier.documents.pdf import Rendered, render

CHUNK = 25
CHUNKS_PER_WORKER = 8


def chunks(pages: Sequence[str], size: int) -> list[list[str]]:
    """Documents in groups of at most `size`, in order.

    >>> chunks(["a", "b", "c"], 2)
    [['a', 'b'], ['c']]
    """
    return [list(pages[i : i + size]) for i in range(0, len(pages), size)]


def render_all(
    pages: Sequence[str], workers: int, told: Callable[[int, int], None]
) -> list[Rendered]:
    """All documents rendered, chunk by chunk in order; `told` hears of documents done and all.

    `workers` 0 means one for each core; 1 renders in this process.
    """
    groups = chunks(pages, CHUNK)
    count = min(workers or os.cpu_count() or 1, len(groups))
    if count <= 1:
        return list(_told(map(render, groups), groups, told))
    return list(_told(_in_workers(groups, count), groups, told))


def _in_workers(groups: Sequence[list[str]], count: int) -> Iterator[Rendered]:
    """Chunks rendered by fresh pools, one after the other.

    The executor's own limit of tasks for each worker can hang in Python 3.11 once the first
    workers have reached it, so the whole pool is replaced instead.
    """
    context = multiprocessing.get_context("forkserver")
    batch = count * CHUNKS_PER_WORKER
    for start in range(0, len(groups), batch):
        part = groups[start : start + batch]
        with ProcessPoolExecutor(min(count, len(part)), mp_context=context) as pool:
            yield from pool.map(render, part)


def _told(
    results: Iterable[Rendered], groups: Sequence[list[str]], told: Callable[[int, int], None]
) -> Iterator[Rendered]:
    done, total = 0, sum(len(group) for group in groups)
    for group, result in zip(groups, results, strict=True):
        done += len(group)
        told(done, total)
        yield result
