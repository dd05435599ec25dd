"""Examinations with their indications, examiners and instruments."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from dossier.records.base import Paper, Record


@dataclass(frozen=True, slots=True, kw_only=True)
class Indication:
    """One indication as read: what it is, where and how large.

    `start_mm` is measured around the circumference from the datum at 12 o'clock, in the
    direction of rising numbers; `kind` uses the abbreviations of API 1104 (IP, IPD, IC, IF, IFD,
    ESI, ISI, BT, P, CP, HB, C, EU, IU, ICP) where they apply.
    """

    kind: str
    start_mm: float | None = None
    length_mm: float | None = None
    width_mm: float | None = None
    depth_mm: float | None = None
    count: int | None = None
    density_exceeds_base: bool | None = None  # image darker than the thinner base metal beside it


@dataclass(frozen=True, slots=True, kw_only=True)
class Examination(Record):
    """One examination of one joint by one method."""

    report: str
    joint: str
    method: str  # "VT", "RT", "UT", "MT", "PT"
    procedure: str = ""
    technique: str = ""
    requested_on: date | None = None
    examined_at: datetime | None = None
    reported_on: date | None = None
    examiner: str = ""
    extent_percent: float | None = None
    films: tuple[str, ...] = ()
    film_mm: float | None = None  # length of weld that each film shows
    iqi: str = ""
    density: float | None = None
    instrument: str = ""
    result: str = ""  # "accepted", "rejected" as reported; "" not yet read
    rejected_welder: str = ""  # stamp in whose part the cause of a rejection lies
    tracer_for: str = ""  # report of the rejection that this further examination was made for
    indications: tuple[Indication, ...] = ()
    document: Paper | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ExaminerCertificate:
    """One certificate of an examiner, for one method and level."""

    number: str
    method: str
    level: int
    scheme: str = ""  # "ISO 9712:2021", "SNT-TC-1A"
    issued_on: date | None = None
    expires_on: date | None = None
    vision_on: date | None = None  # last near-vision test
    document: Paper | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Examiner(Record):
    """A person who examines welds."""

    id: str
    name: str
    employer: str = ""
    certificates: tuple[ExaminerCertificate, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Instrument(Record):
    """A measuring instrument and one of its calibrations."""

    number: str
    kind: str
    calibrated_on: date | None = None
    due_on: date | None = None
    certificate: str = ""
    as_found: str = ""  # "in tolerance", "out of tolerance"
    document: Paper | None = None
