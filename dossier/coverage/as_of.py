"""The project as it was known on a day: what is dated later is not there yet."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from datetime import date, datetime, time
from functools import lru_cache
from typing import Any, TypeVar

from dossier.records.construction import Coating, Lowering
from dossier.records.joint_records import JointRecords
from dossier.records.joints import Joint
from dossier.records.materials import Batch
from dossier.records.papers import Nonconformity
from dossier.records.project import Project
from dossier.records.welders import Certificate, Welder

R = TypeVar("R")


def day_of(moment: date | datetime | None) -> date | None:
    """The calendar day of a recorded moment."""
    return moment.date() if isinstance(moment, datetime) else moment


def last_day(project: Project) -> date:
    """The latest day on which the project records any work, examination or construction."""
    return max(_moments(project), default=date.min)


def _moments(project: Project) -> Iterator[date]:
    recorded: tuple[date | datetime | None, ...] = (
        *(joint.welded_on for joint in project.joints),
        *(row.finished_at for row in project.passes),
        *(examination.examined_at for examination in project.examinations),
        *(examination.reported_on for examination in project.examinations),
        *(repair.repaired_at for repair in project.repairs),
        *(coating.holiday_tested_at or coating.coated_at for coating in project.coatings),
        *(lowering.lowered_at for lowering in project.lowerings),
        *(lowering.backfilled_at for lowering in project.lowerings),
        *(chart.finished_at for chart in project.heat_treatments),
        *(test.tested_at for test in project.hardness_tests),
        *(test.started_at for test in project.pressure_tests),
    )
    for moment in recorded:
        day = day_of(moment)
        if day is not None:
            yield day


def _not_after(moment: date | datetime | None, day: date) -> bool:
    known = day_of(moment)
    return known is None or known <= day


def _joint(joint: Joint, day: date) -> Joint:
    """A joint welded after the day was planned on it: its day of welding is not applicable yet."""
    if joint.status == "welded" and not _not_after(joint.welded_on, day):
        unmade = joint.not_applicable | {"welded_on"}
        return replace(
            joint, status="planned", welded_on=None, finished_at=None, not_applicable=unmade
        )
    return joint


def _certificate(certificate: Certificate, day: date) -> Certificate:
    signed = tuple(c for c in certificate.confirmations if c.signed_on <= day)
    ended = certificate.ended_on if _not_after(certificate.ended_on, day) else None
    return replace(certificate, confirmations=signed, ended_on=ended)


def _welder(welder: Welder, day: date) -> Welder:
    held = tuple(_certificate(c, day) for c in welder.certificates if c.welded_on <= day)
    return replace(welder, certificates=held)


def _batch(batch: Batch, day: date) -> Batch:
    """A batch whose certificate is younger than the day had none on that day."""
    if _not_after(batch.certificate_on, day):
        return batch
    return replace(batch, certificate="", certificate_kind="", certificate_on=None)


def _coating(coating: Coating, day: date) -> Coating:
    """A coating whose holiday test is younger than the day was not tested by then."""
    if _not_after(coating.holiday_tested_at, day):
        return coating
    return replace(
        coating,
        holiday_tested_at=None,
        holiday_kv=None,
        holidays_found=None,
        holidays_repaired=None,
    )


def _lowering(lowering: Lowering, day: date) -> Lowering:
    if _not_after(lowering.backfilled_at, day):
        return lowering
    return replace(lowering, backfilled_at=None, cover_m=None)


def _report(report: Nonconformity, day: date) -> Nonconformity:
    """A report that was closed after the day was open on it."""
    return report if _not_after(report.closed_on, day) else replace(report, closed_on=None)


# When a record that hangs on a joint came about, by its register.
_CAME: dict[str, Callable[[Any], date | datetime | None]] = {
    "passes": lambda row: row.started_at or row.finished_at,
    "examinations": lambda row: row.examined_at or row.reported_on,
    "repairs": lambda row: row.repaired_at,
    "heat_treatments": lambda row: row.finished_at or row.started_at,
    "hardness_tests": lambda row: row.tested_at,
    "coatings": lambda row: row.coated_at,
    "lowerings": lambda row: row.lowered_at,
}
_CHANGED: dict[str, Callable[[Any, date], Any]] = {"coatings": _coating, "lowerings": _lowering}


_EVER = datetime.combine(date.min, time.min)


@lru_cache(maxsize=8)
def _end_of(day: date) -> datetime:
    return datetime.combine(day, time.max)


def rows_known_on(register: str, rows: Iterable[R], day: date) -> list[R]:
    """The rows of a register that hangs on the joints, without what is dated after `day`."""
    came, change = _CAME[register], _CHANGED.get(register)
    end = _end_of(day)
    if register == "passes":  # most of all rows are passes
        return [row for row in rows if (row.started_at or row.finished_at or _EVER) <= end]  # type: ignore[attr-defined]
    known = []
    for row in rows:
        moment = came(row)
        if moment is None or (moment <= end if isinstance(moment, datetime) else moment <= day):
            known.append(change(row, day) if change else row)
    return known


def joint_known_on(records: JointRecords, day: date) -> JointRecords:
    """All that was on record of a joint at the end of `day`."""
    registers = records.registers
    known = {
        name: rows_known_on(name, rows, day) if (rows := registers[name]) else rows
        for name in _CAME
    }
    known["items"] = registers["items"]
    return JointRecords(_joint(records.joint, day), known, records.doubts)


def known_on(project: Project, day: date) -> Project:
    """The project with nothing in it that is dated after `day`.

    Registers without a date of their own (items, documents) are taken as they stand; so is the
    register of batches, but for certificates of a later day.
    """
    hanging: dict[str, Any] = {
        name: tuple(rows_known_on(name, getattr(project, name), day)) for name in _CAME
    }
    return replace(
        project,
        **hanging,
        joints=tuple(_joint(joint, day) for joint in project.joints),
        welders=tuple(_welder(welder, day) for welder in project.welders),
        pqrs=tuple(pqr for pqr in project.pqrs if pqr.welded_on <= day),
        pressure_tests=tuple(t for t in project.pressure_tests if _not_after(t.started_at, day)),
        nonconformities=tuple(
            _report(n, day) for n in project.nonconformities if _not_after(n.opened_on, day)
        ),
        concessions=tuple(c for c in project.concessions if _not_after(c.signed_on, day)),
        instruments=tuple(i for i in project.instruments if _not_after(i.calibrated_on, day)),
        material_certificates=tuple(
            c for c in project.material_certificates if _not_after(c.issued_on, day)
        ),
        batches=tuple(_batch(batch, day) for batch in project.batches),
    )
