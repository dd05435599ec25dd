"""Work with a stranger's template, done in a process of its own that has little time and memory.

A sandbox keeps a template from the files and the code of the machine; it does not keep it from
running for ever or from filling the memory. The process is kept for the next document, and
replaced when it was stopped. Where the system has no such limits (Windows) only time is limited.
"""

from __future__ import annotations

import atexit
import gc
import multiprocessing
import os
import threading
from collections.abc import Callable
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess
from pathlib import Path
from typing import Any

from dossier.errors import DossierError, InputError

SECONDS = 60.0  # for one document
MEGABYTES = 2_000  # of address space beyond what the process has when it starts


class Guard:
    """One process at a time that does what it is asked; a lock keeps threads apart."""

    def __init__(self, seconds: float = SECONDS, megabytes: int = MEGABYTES) -> None:
        self.seconds, self.megabytes = seconds, megabytes
        self._lock = threading.Lock()
        self._process: BaseProcess | None = None
        self._line: Connection | None = None
        self._owner = 0

    def __call__(self, work: Callable[..., Any], *arguments: Any) -> Any:
        """What `work(*arguments)` gives; the first argument names the template.

        Raises InputError: it took longer or more memory than it may, or the template failed, in
        whatever way; other errors of the project pass through.
        """
        with self._lock:
            line = self._ready()
            line.send((work, arguments))
            if not line.poll(self.seconds):
                self.stop()
                raise InputError("template", found=f"no end after {self.seconds:g} seconds",
                                 expected="a document in less")  # fmt: skip
            try:
                error, answer = line.recv()
            except (EOFError, OSError):
                self.stop()
                error, answer = MemoryError(), None
        if isinstance(error, MemoryError):
            self.stop()
            raise InputError("template", found=f"more than {self.megabytes:,} MB of memory used",
                             expected="less") from None  # fmt: skip
        if isinstance(error, DossierError):
            raise error
        if error is not None:
            name = Path(str(arguments[0])).name if arguments else ""
            raise InputError(
                "template", found=f"in {name}: {type(error).__name__}: {error}",
                expected="one in which `dossier templates` finds no fault",
            ) from error  # fmt: skip
        return answer

    def stop(self) -> None:
        """End the process; the next piece of work gets a new one."""
        process, line = self._process, self._line
        self._process = self._line = None
        if line is not None:
            line.close()
        if process is not None and self._owner == os.getpid():
            process.kill()
            process.join()
            process.close()

    def _ready(self) -> Connection:
        if self._line is None or self._process is None or self._owner != os.getpid():
            context = multiprocessing.get_context("spawn")
            self._line, theirs = context.Pipe()
            self._process = context.Process(
                target=_serve, args=(theirs, self.megabytes), daemon=True
            )
            self._process.start()
            self._owner = os.getpid()
            theirs.close()
        return self._line


def _serve(line: Connection, megabytes: int) -> None:
    limited = settled = False
    while True:
        try:
            work, arguments = line.recv()
        except (EOFError, KeyboardInterrupt):
            return
        if not limited:  # now that what the work needs has been imported
            _limit(megabytes)
            limited = True
        answer: tuple[Exception | None, Any]
        try:
            answer = (None, work(*arguments))
        except Exception as error:  # noqa: BLE001 - handed to whoever asked
            answer = (_portable(error), None)
        line.send(answer)
        if not settled:  # what stays is left out, so that templates of former projects go soon
            gc.freeze()
            gc.collect()
            gc.set_threshold(700, 10, 1)
            settled = True


def _portable(error: Exception) -> Exception:
    """The error itself where it can travel, else one of the same kind of trouble with its words."""
    import pickle

    if hasattr(error, "docx_context"):
        del error.docx_context  # a generator, which cannot travel
    try:
        again = str(pickle.loads(pickle.dumps(error)))  # noqa: S301 - just made here
    except Exception:  # noqa: BLE001 - any failure means that it cannot travel
        again = None
    if again == str(error):
        return error
    return InputError("template", found=f"{type(error).__name__}: {error}", expected="a template")


def _limit(megabytes: int) -> None:
    try:
        import resource
    except ImportError:
        return
    used = 0
    try:
        with open("/proc/self/statm", encoding="ascii") as facts:  # noqa: PTH123
            used = int(facts.read().split()[0]) * resource.getpagesize()
    except OSError:
        pass
    most = used + megabytes * 1_000_000
    resource.setrlimit(resource.RLIMIT_AS, (most, most))


guarded = Guard()
atexit.register(guarded.stop)
