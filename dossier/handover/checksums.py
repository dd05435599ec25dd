"""Checksums of files that are read once, reckoned while their bytes are passed on.

Each checksum has a thread of its own, which goes through the files in their order and may lag
behind by a few blocks. The blocks lie in buffers that take turns: a new one for every read costs
more than the reading.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, field
from itertools import cycle
from pathlib import Path

ALGORITHMS = ("sha256", "sha512")
Block = bytes | memoryview
_SIZE = 1 << 20
_BUFFERS = 8


@dataclass(slots=True)
class _Buffer:
    """Room for one block, and the work on it that is still under way."""

    room: memoryview = field(default_factory=lambda: memoryview(bytearray(_SIZE)))
    work: list[Future[None]] = field(default_factory=list)

    def free(self) -> memoryview:
        """The room, once nobody works on it."""
        for one in self.work:
            one.result()
        self.work = []
        return self.room


class Checksums:
    """Passes files on block by block and finds their checksums."""

    def __init__(self, threads: dict[str, ThreadPoolExecutor]) -> None:
        self._threads = threads
        self._buffers = cycle([_Buffer() for _ in range(_BUFFERS)])
        self._digests: dict[str, dict[str, Future[str]]] = {name: {} for name in threads}

    def blocks(self, name: str, content: bytes | Path) -> Iterator[Block]:
        """The bytes of a file; a block is good until the next one is asked for."""
        sums = {algorithm: hashlib.new(algorithm) for algorithm in self._threads}
        if isinstance(content, bytes):
            for algorithm, own in sums.items():
                self._threads[algorithm].submit(own.update, content)
            yield content
        else:
            with content.open("rb", buffering=0) as stream:
                buffer = next(self._buffers)
                while count := stream.readinto(buffer.free()):
                    block = buffer.room[:count]
                    buffer.work = [
                        self._threads[algorithm].submit(own.update, block)
                        for algorithm, own in sums.items()
                    ]
                    yield block
                    buffer = next(self._buffers)
        for algorithm, own in sums.items():
            self._digests[algorithm][name] = self._threads[algorithm].submit(own.hexdigest)

    def found(self) -> dict[str, dict[str, str]]:
        """The checksums by algorithm and name of the file, once all are reckoned."""
        return {
            algorithm: {name: digest.result() for name, digest in own.items()}
            for algorithm, own in self._digests.items()
        }


@contextmanager
def checksums() -> Iterator[Checksums]:
    """Checksums of the files that are passed on meanwhile, with a thread for each algorithm.

    >>> with checksums() as reading:
    ...     passed_on = b"".join(reading.blocks("a.txt", b"abc"))
    ...     reading.found()["sha256"]["a.txt"][:8]
    'ba7816bf'
    """
    with ExitStack() as open_:
        threads = {
            name: open_.enter_context(ThreadPoolExecutor(1, thread_name_prefix=name))
            for name in ALGORITHMS
        }
        yield Checksums(threads)
