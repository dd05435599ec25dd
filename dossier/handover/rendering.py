"""Rendering many documents: in chunks, over worker processes, in a fixed order.

A chunk bounds the memory (about 70 MB and 5 MB a page); a worker ends after a few chunks, since
the renderer does not give memory back.
"""

from __future__ import annotations

import multiprocessing
import os
from collections.abc import Callable, Sequence
from concurrent.futures import ProcessPoolExecutor

from dossier.documents.pdf import Rendered, render

CHUNK = 25
CHUNKS_PER_WORKER = 4


def chunks(pages: Sequence[str], size: int = CHUNK) -> list[list[str]]:
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
    groups = chunks(pages)
    count = min(workers or os.cpu_count() or 1, len(groups))
    done, results = 0, []
    if count <= 1:
        for group in groups:
            results.append(render(group))
            done += len(group)
            told(done, len(pages))
        return results
    per_wave = count * CHUNKS_PER_WORKER
    for start in range(0, len(groups), per_wave):
        wave = groups[start : start + per_wave]
        # A fresh pool for each wave, since max_tasks_per_child can hang before Python 3.12.
        with ProcessPoolExecutor(
            count, mp_context=multiprocessing.get_context("forkserver")
        ) as pool:
            for group, result in zip(wave, pool.map(render, wave), strict=True):
                results.append(result)
                done += len(group)
                told(done, len(pages))
    return results
