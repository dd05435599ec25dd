"""What happens to a joint after acceptance: coating, holiday test, lowering, pressure test."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from dossier.records.base import Paper, Record


@dataclass(frozen=True, slots=True, kw_only=True)
class Coating(Record):
    """Field coating of one joint and its holiday test."""

    report: str
    joint: str
    system: str = ""
    batch: str = ""
    coated_at: datetime | None = None
    air_c: float | None = None
    steel_c: float | None = None
    dew_point_c: float | None = None
    humidity_percent: float | None = None
    thickness_mm: float | None = None
    holiday_tested_at: datetime | None = None
    holiday_kv: float | None = None
    holidays_found: int | None = None
    holidays_repaired: int | None = None
    instrument: str = ""
    result: str = ""
    document: Paper | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Lowering(Record):
    """Lowering in of one joint."""

    joint: str
    lowered_at: datetime | None = None
    cover_m: float | None = None
    location: str = ""  # where the rule of cover tells places apart: "road", "class 1", ...
    ground: str = ""  # "normal", "rock"
    backfilled_at: datetime | None = None
    document: Paper | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PressureTest(Record):
    """One pressure test of one section: the joints listed, or those of the line between two KP."""

    number: str
    section: str = ""
    line: str = ""
    joints: tuple[str, ...] = ()
    kp_from_m: float | None = None
    kp_to_m: float | None = None
    medium: str = ""  # "water", "air", "nitrogen", "natural gas"
    pressure_bar: float | None = None  # lowest gauge pressure held
    required_bar: float | None = None  # lowest gauge pressure that the procedure asks for
    duration_h: float | None = None
    required_h: float | None = None
    started_at: datetime | None = None
    gauges: tuple[str, ...] = ()  # numbers of the instruments
    elevations: str = ""  # where they bear on the pressure; n/a where they do not
    company: str = ""
    responsible: str = ""
    leaks: int | None = None
    disposition: str = ""  # of leaks and failures
    result: str = ""
    document: Paper | None = None
