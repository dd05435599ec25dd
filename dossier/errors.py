"""Error types. Everything `dossier` raises on purpose derives from `DossierError`."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial
from typing import Any


class DossierError(Exception):
    """Base of all errors that carry a message for the user."""


class InputError(DossierError, ValueError):
    """A quantity that a formula or rule cannot take: outside its validity limits or not a value.

    `name` is the argument (with its unit), `found` what was given, `expected` the limit in words.
    """

    def __init__(self, name: str, *, found: object, expected: str) -> None:
        super().__init__(f"{name}: found {found}, expected {expected}")
        self.name = name
        self.found = found
        self.expected = expected

    def __reduce__(self) -> tuple[Any, ...]:
        # From a worker process: pickle would call the class with the message alone.
        return partial(type(self), found=self.found, expected=self.expected), (self.name,)


class MissingToolError(DossierError):
    """A library or program that this command needs is not installed."""

    def __init__(self, tool: str, *, needed_for: str, remedy: str) -> None:
        super().__init__(f"{tool} is missing, needed for {needed_for}. Remedy: {remedy}")
        self.tool = tool
        self.needed_for = needed_for
        self.remedy = remedy

    def __reduce__(self) -> tuple[Any, ...]:
        kept = partial(type(self), needed_for=self.needed_for, remedy=self.remedy)
        return kept, (self.tool,)


@dataclass(frozen=True, slots=True, order=True)
class Fault:
    """One thing wrong with the input: where, which field, what was found, what was expected."""

    file: str
    place: str  # "line 12", "Log!C7" or "" for the whole file
    field: str
    found: str
    expected: str
    hint: str = ""

    def __str__(self) -> str:
        where = f"{self.file}, {self.place}" if self.place else self.file
        field = f"{self.field}: " if self.field else ""
        hint = f" {self.hint}" if self.hint else ""
        return f"{where}: {field}found {self.found}, expected {self.expected}.{hint}"


def _reading_order(fault: Fault) -> tuple[str, list[tuple[int, str]], str, str]:
    """Line 9 before line 12, row 9 before row 12: figures count as numbers."""
    parts = re.findall(r"[0-9]+|[^0-9]+", fault.place)
    place = [(int(part), "") if part.isdecimal() else (-1, part) for part in parts]
    return fault.file, place, fault.field, fault.found


class ProjectError(DossierError):
    """A project that cannot be read. Holds every fault of every file, not only the first."""

    def __init__(self, faults: Sequence[Fault]) -> None:
        self.faults = tuple(sorted(faults, key=_reading_order))
        super().__init__("\n".join(str(fault) for fault in self.faults))

    def __reduce__(self) -> tuple[Any, ...]:
        return type(self), (self.faults,)
