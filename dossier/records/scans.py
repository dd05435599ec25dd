"""What was found of the file of an evidence document."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Scan:
    """The file of one document: whether it is there, and its pages where it is a PDF."""

    document: str
    found: bool
    pages: int | None = None  # counted; None for other files
    unreadable: str = ""  # why its pages cannot be counted
