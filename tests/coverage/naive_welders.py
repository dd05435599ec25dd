"""The welder question asked again and again, with nested loops over the plain registers.

No index, no memory of answers, no engine: only the rules of the codes, and the registers.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from dossier.codes.editions import welder_code
from dossier.codes.face import DEPOSIT, PROCESS
from dossier.records.joints import Joint, Pass
from dossier.records.materials import Item
from dossier.records.procedures import Procedure
from dossier.records.project import Project
from dossier.records.verdicts import CLEAR, NONCONFORMITY, Reason, Verdict
from dossier.records.weld import Weld
from dossier.records.welders import Certificate, Welder

Answer = tuple[str, str, str, str]  # joint, welder, process, what is wrong
CHECK_OF = {  # what is wrong: the check that tells of it
    "unknown": "welder-certificate",
    "not his stamp": "welder-certificate",
    "no certificate": "welder-certificate",
    "outside": "welder-range",
    "too thick": "welder-deposit",
    "lapsed": "welder-continuity",
}


def answers(project: Project) -> Iterator[Answer]:
    """What is wrong with each welder's work on each joint that is welded."""
    for joint in project.joints:
        if joint.status != "welded":
            continue
        passes = [p for p in project.passes if p.joint == joint.number and p.origin == joint.origin]
        done = []
        for made in passes:
            if (made.welder, made.process) not in done:
                done.append((made.welder, made.process))
        for stamp, process in done:
            own = [p for p in passes if (p.welder, p.process) == (stamp, process)]
            for part in by_person(project, joint, own):
                for wrong in wrongs(project, joint, part):
                    yield joint.number, stamp, process, wrong


def by_person(project: Project, joint: Joint, own: list[Pass]) -> list[list[Pass]]:
    """The passes of a stamp, apart for each person who held it on the day, and for nobody."""
    names = [holder_name(project, made.welder, day_of(made, joint)) for made in own]
    return [
        [p for p, of in zip(own, names, strict=True) if of == name] for name in sorted({*names})
    ]


def holder_name(project: Project, stamp: str, day: date) -> str:
    for welder in project.welders:
        if welder.stamp == stamp and (welder.since or date.min) <= day <= (
            welder.until or date.max
        ):
            return welder.name
    return ""


def wrongs(project: Project, joint: Joint, own: list[Pass]) -> Iterator[str]:
    stamp, days = own[0].welder, sorted({day_of(made, joint) for made in own})
    known = [w for w in project.welders if w.stamp == stamp]
    holders = [w for w in known if (w.since or date.min) <= days[0] <= (w.until or date.max)]
    if not holders:
        yield "unknown" if not known else "not his stamp"
        return
    weld = weld_of(project, joint, own)
    asked = [(c, reasons_of(project, c, weld)) for c in held(project, joint, holders[0], days[0])]
    for_process = [pair for pair in asked if not wrong_process(pair[1])]
    if not for_process:
        yield "no certificate"
        return
    faults = [{r.variable for r in reasons if r.verdict != CLEAR} for _, reasons in for_process]
    fit = [c for (c, _), fault in zip(for_process, faults, strict=True) if fault <= {DEPOSIT}]
    wide = [c for (c, _), fault in zip(for_process, faults, strict=True) if not fault]
    near = [c for c in fit if c not in wide]
    if not fit:
        yield "outside"
    elif not wide or any(only_near_in_force(project, near, wide, day) for day in days):
        yield "too thick"
    for day in days if fit else ():
        if all(standing(project, certificate, day) != CLEAR for certificate in fit):
            yield "lapsed"
            return


def only_near_in_force(
    project: Project, near: list[Certificate], wide: list[Certificate], day: date
) -> bool:
    """Whether what lacks the thickness was in force that day, and what covers it was not."""
    best = min(standing(project, certificate, day) for certificate in wide)
    return any(standing(project, certificate, day) < best for certificate in near)


def held(project: Project, joint: Joint, welder: Welder, day: date) -> Iterator[Certificate]:
    for line in project.lines:
        for certificate in welder.certificates:
            ended = certificate.ended_on is not None and certificate.ended_on <= day
            if (
                line.id == joint.line
                and certificate.code == line.welder_code
                and certificate.result == "passed"
                and certificate.welded_on <= day
                and not ended
            ):
                yield certificate


def reasons_of(project: Project, certificate: Certificate, weld: Weld) -> tuple[Reason, ...]:
    code = welder_code(certificate.code)
    return code.covers(certificate, weld, project.settings.choices)


def wrong_process(reasons: tuple[Reason, ...]) -> bool:
    return any(r.variable == PROCESS and r.verdict >= NONCONFORMITY for r in reasons)


def standing(project: Project, certificate: Certificate, day: date) -> Verdict:
    code = welder_code(certificate.code)
    told = code.valid_on(certificate, day, certificate.confirmations, project.settings.choices)
    return max(reason.verdict for reason in told)


def day_of(made: Pass, joint: Joint) -> date:
    moment = made.finished_at or made.started_at
    return moment.date() if moment else joint.welded_on or date.min


def wps_of(project: Project, joint: Joint) -> Procedure | None:
    """The WPS named, else the last revision of its number."""
    found = [w for w in project.procedures if w.number == joint.wps]
    for wps in found:
        if wps.revision == joint.wps_revision:
            return wps
    return found[-1] if found else None


def weld_of(project: Project, joint: Joint, own: list[Pass]) -> Weld:
    wps, first = wps_of(project, joint), own[0]
    numbers = [n for n in (joint.upstream_item, joint.downstream_item) if n]
    items: list[Item] = [i for n in numbers for i in project.items if i.number == n]
    batches = [b for b in project.batches if b.number == first.batch]
    rows = [r for r in (wps.passes if wps else ()) if r.kind == first.kind]
    row = next((r for r in rows if r.process == first.process), rows[0] if rows else None)
    layers: dict[int, float] = {}
    for made in own:
        layers[made.number] = max(layers.get(made.number, 0.0), made.deposit_mm or 0.0)
    root = any(made.kind == "root" for made in own)
    groove = wps.groove if wps else None
    only = wps.positions[0] if wps and len(wps.positions) == 1 else ""
    return Weld(
        process=first.process,
        product="pipe",
        weld_type=joint.weld_type,
        position=joint.position_code or only,
        direction=first.direction or (row.direction if row else ""),
        material_group=items[0].material_group,
        smys_mpa=max(item.smys_mpa or 0.0 for item in items),
        filler=batches[0].classification if batches else "",
        filler_group=batches[0].filler_group if batches else "",
        transfer=row.transfer if row else "",
        current=row.current if row else "",
        deposit_mm=round(sum(layers.values()), 6),
        wall_mm=min(item.wall_mm or 0.0 for item in items),
        od_mm=min(item.od_mm or 0.0 for item in items),
        sides=groove.sides if groove else "",
        backing=(groove.backing if groove else "") if root else "weld metal",
        layers=len(layers),
        root=root,
    )
