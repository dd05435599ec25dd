"""Post-weld heat treatment as it was done, and hardness tests of production welds."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from dossier.records.base import Paper, Record


@dataclass(frozen=True, slots=True, kw_only=True)
class HeatTreatmentRecord(Record):
    """What one chart shows of one joint: rates above 300 °C, soak temperature and time."""

    chart: str
    joint: str
    method: str = ""  # "furnace", "local, resistance", "local, induction"
    instrument: str = ""  # the recorder
    thermocouples: tuple[str, ...] = ()
    heating_c_h: float | None = None
    cooling_c_h: float | None = None
    soak_low_c: float | None = None  # lowest reading of any thermocouple during the soak
    soak_high_c: float | None = None
    holding_min: float | None = None
    started_at: datetime | None = None
    finished_at: datetime | None = None
    operator: str = ""
    result: str = ""
    document: Paper | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class HardnessTest(Record):
    """Hardness readings on one zone of one joint."""

    report: str
    joint: str
    method: str = "HV10"  # "HV5", "HV10", "HBW"
    zone: str = ""  # "weld metal", "heat affected zone", "base metal", "root", "cap"
    values: tuple[float, ...] = ()
    limit: float | None = None  # on the scale of `method`, as the report states it
    instrument: str = ""
    tested_at: datetime | None = None
    examiner: str = ""
    result: str = ""
    document: Paper | None = None
