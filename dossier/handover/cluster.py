"""Rendering on the machines of a Dask cluster: the same chunks, the same bytes."""

from __future__ import annotations

import threading
from collections.abc import Iterator, Sequence
from importlib import import_module
from importlib.util import find_spec
from itertools import islice
from typing import Any

from dossier.documents.pdf import Rendered
from dossier.errors import DossierError, MissingToolError
from dossier.handover.rendering import Renderer, Task, rendered
from dossier.handover.store import base_of

_IN_FLIGHT = 64  # chunks handed out at a time, so that pages do not pile up in the scheduler
_CONNECT_S = 20
_ONE_AT_A_TIME = threading.Lock()  # the renderer does not share a process between threads


class ClusterError(DossierError):
    """A cluster that cannot be reached, or whose workers would give other bytes."""


def on_cluster(address: str) -> Renderer:
    """A renderer that hands chunks to the workers of the scheduler at `address`.

    A worker that is lost costs the chunks that it had in hand; they are given to another.
    Raises MissingToolError: the extra is not installed; ClusterError when work begins: nobody
    answers, or a worker has another version of the tool, a renderer or the templates.
    """
    if find_spec("distributed") is None:
        raise MissingToolError(
            "distributed", needed_for="--cluster", remedy='install the extra "cluster"'
        )

    def run(tasks: Sequence[Task]) -> Iterator[tuple[Task, Rendered]]:
        dask: Any = import_module("distributed")
        try:
            client = dask.Client(address, timeout=_CONNECT_S, set_as_default=False)
        except (OSError, ValueError) as error:
            raise ClusterError(f"No scheduler answers at {address} ({error}).") from error
        with client:
            _same_everywhere(client.run(base_of, None), address)
            waiting = iter(tasks)
            first = [_submit(client, task) for task in islice(waiting, _IN_FLIGHT)]
            known = {future.key: task for future, task in zip(first, tasks, strict=False)}
            done = dask.as_completed(first, loop=client.loop, with_results=True)
            for future, result in done:
                yield known.pop(future.key), result
                for task in islice(waiting, 1):
                    future = _submit(client, task)
                    known[future.key] = task
                    done.add(future)

    return run


def _submit(client: Any, task: Task) -> Any:
    pages = task.make()
    name = f"dossier-{task.key}"
    return client.submit(_render, pages, task.alone, key=name, retries=2, pure=True)


def _render(pages: Sequence[str], alone: bool) -> Rendered:
    with _ONE_AT_A_TIME:
        return rendered(pages, alone)


def _same_everywhere(bases: dict[str, str], address: str) -> None:
    if not bases:
        raise ClusterError(f"The scheduler at {address} has no workers.")
    ours = base_of(None)
    other = sorted(worker for worker, base in bases.items() if base != ours)
    if other:
        raise ClusterError(
            f"Workers with another version of the tool, its renderers or templates: "
            f"{', '.join(other)}. Their pages could differ from ours."
        )
