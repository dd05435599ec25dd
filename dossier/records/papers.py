"""Evidence documents, concessions and nonconformity reports."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from dossier.records.base import Paper, Record


@dataclass(frozen=True, slots=True, kw_only=True)
class Document(Record):
    """A scanned paper: its register number, file below the project folder, and pages."""

    number: str
    title: str
    kind: str = ""  # "material certificate", "radiographic report", "welder certificate", ...
    file: str = ""
    pages: int | None = None
    issued_on: date | None = None
    volume: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Concession(Record):
    """A signed acceptance of stated findings on stated joints."""

    number: str
    title: str
    checks: tuple[str, ...] = ()  # names of the checks whose findings it answers
    findings: tuple[str, ...] = ()  # or the findings themselves, by id
    joints: tuple[str, ...] = ()
    requirement: str = ""
    disposition: str = ""
    approver: str = ""
    signed_on: date | None = None
    document: Paper | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Nonconformity(Record):
    """A report of a broken requirement, from its opening to its closing."""

    number: str
    title: str
    joints: tuple[str, ...] = ()
    findings: tuple[str, ...] = ()  # ids of the findings that it reports
    requirement: str = ""
    description: str = ""
    disposition: str = ""  # "use as is", "repair", "cut out", ...
    approver: str = ""
    opened_on: date | None = None
    closed_on: date | None = None
    document: Paper | None = None
