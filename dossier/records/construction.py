"""What happens to a joint after acceptance: field coating, holiday test, lowering."""

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
    backfilled_at: datetime | None = None
    document: Paper | None = None
