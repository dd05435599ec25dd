"""Projects made in memory from the sound trial project, for questions about many days."""

from __future__ import annotations

import tempfile
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from datetime import date, datetime, time, timedelta
from functools import cache
from pathlib import Path
from typing import Any

from dossier.coverage.view import View, view
from dossier.intake import load_project
from dossier.records.construction import Lowering
from dossier.records.examinations import Examination
from dossier.records.joints import Joint, Pass
from dossier.records.project import Project
from tests.trial import CLEAN, read, written


@cache
def sound() -> Project:
    """The sound project, read once."""
    with tempfile.TemporaryDirectory() as folder:
        return load_project(written(read(CLEAN), Path(folder)))


@dataclass(frozen=True, kw_only=True)
class Made:
    """One joint of the main line: when and by whom, and what was examined of it."""

    number: str
    day: date
    welders: tuple[str, ...] = ("W01",)
    kind: str = "mainline"
    tested_on: date | None = None
    result: str = "accepted"
    impracticable: str = ""
    buried: bool = False
    status: str = "welded"
    more: dict[str, Any] = field(default_factory=dict)  # further fields of the examination


def project(made: Iterable[Made], **line: object) -> Project:
    """The sound project with these joints in place of its own, on its main line so changed."""
    base = sound()
    joint, passes = base.joints[0], [p for p in base.passes if p.joint == "ML-001"]
    report = next(e for e in base.examinations if e.report == "RT-1")
    joints: list[Joint] = []
    log: list[Pass] = []
    reports: list[Examination] = []
    lowered: list[Lowering] = []
    for one in made:
        joints.append(
            replace(
                joint,
                number=one.number,
                name=replace(joint.name, written=one.number, base=one.number),
                kind=one.kind,
                status=one.status,
                impracticable=one.impracticable,
                welded_on=one.day,
                finished_at=datetime.combine(one.day, time(10)),
            )
        )
        log += [_on(one, nth, p) for nth, p in enumerate(passes)]
        if one.tested_on:
            reports.append(
                replace(
                    report,
                    report=f"RT-{one.number}",
                    joint=one.number,
                    examined_at=datetime.combine(one.tested_on, time(11)),
                    films=(one.number,),
                    result=one.result,
                    **one.more,
                )
            )
        if one.buried:
            at = datetime.combine(one.day + timedelta(days=9), time(9))
            lowered.append(Lowering(joint=one.number, lowered_at=at))
    lines = tuple(replace(x, **line) if x.id == "ML" else x for x in base.lines)  # type: ignore[arg-type]
    return replace(
        base,
        lines=lines,
        joints=tuple(joints),
        passes=tuple(log),
        examinations=tuple(reports),
        lowerings=tuple(lowered),
        coatings=(),
    )


def _on(one: Made, nth: int, made: Pass) -> Pass:
    assert made.started_at is not None
    assert made.finished_at is not None
    return replace(
        made,
        joint=one.number,
        welder=one.welders[nth % len(one.welders)],
        started_at=datetime.combine(one.day, made.started_at.time()),
        finished_at=datetime.combine(one.day, made.finished_at.time()),
    )


def certified(base: Project, welded_on: date, **certificate: object) -> Project:
    """The same project, the certificate of W01 tested on another day."""
    welders = []
    for welder in base.welders:
        if welder.stamp == "W01":
            held = replace(welder.certificates[0], welded_on=welded_on, **certificate)  # type: ignore[arg-type]
            welder = replace(welder, since=date(2020, 1, 1), certificates=(held,))
        welders.append(welder)
    return replace(base, welders=tuple(welders))


def seen_on(base: Project, day: date = date(2030, 1, 1)) -> View:
    """The project as of a day."""
    return view(base, day)
