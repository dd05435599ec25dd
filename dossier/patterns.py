"""Regular expressions that a project brings along, matched within a time limit.

A pattern with a repeat inside of a repeat can take longer than the age of the pipe on a short
text. The engine cannot be stopped from outside, but it looks for signals of the system: a timer
stops it, in the main thread of systems that have such timers. Elsewhere only the length of the
text is limited.
"""

from __future__ import annotations

import re
import signal
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType
from typing import NoReturn

from dossier.errors import InputError

LONGEST = 200  # characters
SECONDS = 1.0


class SlowPatternError(InputError):
    """A pattern that does not end in time."""


class _TimeUpError(Exception):
    """Raised by the timer."""


def fullmatch(pattern: str, text: str) -> re.Match[str] | None:
    """The match of the whole of `text`.

    Raises InputError: a text longer than LONGEST; SlowPatternError: no end within SECONDS.

    >>> bool(fullmatch("[A-Z]+-[0-9]+", "ML-117"))
    True
    """
    if len(text) > LONGEST:
        raise InputError("text", found=f"{len(text)} characters", expected=f"at most {LONGEST}")
    if not _has_timer():
        return re.fullmatch(pattern, text)
    if _watching:
        return _in_time(pattern, text)
    with watched():
        return _in_time(pattern, text)


@contextmanager
def watched() -> Iterator[None]:
    """Time limits at little cost for many matches: the timer's signal is taken over once.

    Outside of the main thread, or of systems with such timers, it does nothing.
    """
    if _watching or not _has_timer():
        yield
        return
    before = signal.signal(signal.SIGALRM, _time_is_up)
    left = signal.setitimer(signal.ITIMER_REAL, 0)
    _watching.append(True)
    try:
        yield
    finally:
        _watching.clear()
        signal.signal(signal.SIGALRM, signal.SIG_DFL if before is None else before)
        signal.setitimer(signal.ITIMER_REAL, *left)


def _has_timer() -> bool:
    return hasattr(signal, "setitimer") and threading.current_thread() is threading.main_thread()


_watching: list[bool] = []  # holds something while the timer's signal is taken over


def _in_time(pattern: str, text: str) -> re.Match[str] | None:
    signal.setitimer(signal.ITIMER_REAL, SECONDS)
    try:
        try:
            return re.fullmatch(pattern, text)
        finally:
            signal.setitimer(signal.ITIMER_REAL, 0)
    except _TimeUpError:
        raise SlowPatternError(
            "pattern", found=f"no end after {SECONDS:g} s on {text[:60]!r}",
            expected="a pattern without a repeat inside of a repeat",
        ) from None  # fmt: skip


def _time_is_up(_signal: int, _frame: FrameType | None) -> NoReturn:
    raise _TimeUpError
