"""Checksums of files that are read once, reckoned while their bytes are passed on.

The slow checksum has a thread of its own, which goes through the files in their order and may lag
behind by a few blocks; the quick one is reckoned in passing. So two threads have about as much to
do, one on each of two cores: with a third one they get into each other's way and take half as long
again. The blocks lie in buffers that take turns: a new one for every read costs more than the
reading.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass, field
from itertools import cycle
from pathlib import Path

QUICK, SLOW = "sha256", "sha512"
ALGORITHMS = (QUICK, SLOW)
Block = bytes | memoryview
_SIZE = 1 << 20
_BUFFERS = 8


@dataclass(slots=True)
class _Buffer:
    """Room for one block, and the work on it that is still under way."""

    room: memoryview = field(default_factory=lambda: memoryview(bytearray(_SIZE)))
    work: Future[None] | None = None

    def free(self) -> memoryview:
        """The room, once nobody works on it."""
        if self.work:
            self.work.result()
            self.work = None
        return self.room


class Checksums:
    """Passes files on block by block and finds their checksums."""

    def __init__(self, thread: ThreadPoolExecutor) -> None:
        self._thread = thread
        self._buffers = cycle([_Buffer() for _ in range(_BUFFERS)])
        self._quick: dict[str, str] = {}
        self._slow: dict[str, Future[str]] = {}

    def blocks(self, name: str, content: bytes | Path) -> Iterator[Block]:
        """The bytes of a file; a block is good until the next one is asked for."""
        quick, slow = hashlib.new(QUICK), hashlib.new(SLOW)
        if isinstance(content, bytes):
            self._thread.submit(slow.update, content)
            quick.update(content)
            yield content
        else:
            with content.open("rb", buffering=0) as stream:
                buffer = next(self._buffers)
                while count := stream.readinto(buffer.free()):
                    block = buffer.room[:count]
                    buffer.work = self._thread.submit(slow.update, block)
                    quick.update(block)
                    yield block
                    buffer = next(self._buffers)
        self._quick[name] = quick.hexdigest()
        self._slow[name] = self._thread.submit(slow.hexdigest)

    def found(self) -> dict[str, dict[str, str]]:
        """The checksums by algorithm and name of the file, once all are reckoned."""
        slow = {name: digest.result() for name, digest in self._slow.items()}
        return {QUICK: self._quick, SLOW: slow}


@contextmanager
def checksums() -> Iterator[Checksums]:
    """Checksums of the files that are passed on meanwhile.

    >>> with checksums() as reading:
    ...     passed_on = b"".join(reading.blocks("a.txt", b"abc"))
    ...     reading.found()["sha256"]["a.txt"][:8]
    'ba7816bf'
    """
    with ThreadPoolExecutor(1, thread_name_prefix=SLOW) as thread:
        yield Checksums(thread)
