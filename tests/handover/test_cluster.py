"""A cluster of two worker processes on this machine, over loopback: the same bytes."""

from __future__ import annotations

import os
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from dossier.handover import How, build
from dossier.handover.cluster import ClusterError, on_cluster
from dossier.handover.rendering import Task
from tests.handover import small
from tests.handover.conftest import Made

pytest.importorskip("distributed")
pytestmark = pytest.mark.filterwarnings("ignore")  # the library is free with them
ROOT = Path(__file__).parents[2]
START_S = 120


def _free_port() -> int:
    with socket.socket() as one:
        one.bind(("127.0.0.1", 0))
        return int(one.getsockname()[1])


@pytest.fixture(scope="module")
def cluster() -> Iterator[tuple[str, list[subprocess.Popen[bytes]]]]:
    address = f"tcp://127.0.0.1:{_free_port()}"
    env = {**os.environ, "PYTHONPATH": str(ROOT), "PYTHONWARNINGS": "ignore"}
    quiet = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL, "env": env}
    dask = [sys.executable, "-m", "distributed.cli"]
    port = address.rpartition(":")[2]
    scheduler = subprocess.Popen(
        [*dask[:2], "distributed.cli.dask_scheduler", "--host", "127.0.0.1", "--port", port,
         "--no-dashboard"], **quiet,
    )  # fmt: skip
    workers = [
        subprocess.Popen(
            [*dask[:2], "distributed.cli.dask_worker", address, "--nthreads", "2", "--no-nanny",
             "--no-dashboard", "--host", "127.0.0.1"], **quiet,
        )
        for _ in range(2)
    ]  # fmt: skip
    try:
        _wait_for(address, 2)
        yield address, workers
    finally:
        for process in (*workers, scheduler):
            process.kill()
            process.wait()


def _wait_for(address: str, count: int) -> None:
    from distributed import Client

    deadline = time.monotonic() + START_S
    with Client(address, timeout=START_S, set_as_default=False) as client:
        while len(client.scheduler_info()["workers"]) < count:
            assert time.monotonic() < deadline
            time.sleep(0.2)


def test_a_cluster_gives_the_same_bytes(
    made: Made, cluster: tuple[str, list[subprocess.Popen[bytes]]], tmp_path: Path
) -> None:
    how = How(store=tmp_path / "store", cluster=cluster[0])
    build(made.seen, made.findings, made.project, tmp_path / "out", how=how)
    assert small.tree(tmp_path / "out") == small.tree(made.out)


def test_a_lost_machine_costs_only_what_it_had_in_hand(
    cluster: tuple[str, list[subprocess.Popen[bytes]]],
) -> None:
    address, workers = cluster
    tasks = [
        Task(f"{n:064x}", (f"{n}",), lambda n=n: (f"<title>{n}</title><p>document {n}</p>",))
        for n in range(40)
    ]  # fmt: skip
    found = {}
    for task, result in on_cluster(address)(tasks):
        found[task.titles[0]] = result.pages
        if len(found) == 3:
            workers[0].kill()
    assert found == {str(n): (1,) for n in range(40)}


def test_a_cluster_that_does_not_answer_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("dossier.handover.cluster._CONNECT_S", 1)
    with pytest.raises(ClusterError, match="No scheduler answers"):
        list(on_cluster(f"tcp://127.0.0.1:{_free_port()}")([]))


def test_workers_of_another_version_are_refused() -> None:
    from dossier.handover.cluster import _same_everywhere
    from dossier.handover.store import base_of

    _same_everywhere({"a": base_of(None)}, "here")
    with pytest.raises(ClusterError, match=r"another version .* b\."):
        _same_everywhere({"a": base_of(None), "b": "0.0.9"}, "here")
    with pytest.raises(ClusterError, match="no workers"):
        _same_everywhere({}, "here")
