"""Does the header of each digital radiograph name the joint, day and wall that its record does?"""

from __future__ import annotations

from collections.abc import Hashable, Iterator
from datetime import date

from dossier.coverage.as_of import day_of
from dossier.coverage.joint_file import JointFile
from dossier.coverage.view import View
from dossier.records.examinations import Examination
from dossier.records.radiographs import Radiograph
from dossier.records.verdicts import HOLD, Basis, Evidence, Finding, Reason

NAME = "radiograph-header"
ENTRIES = Basis("DICONDE (ASTM E2339)", "", "component and study entries", "memory")
# Walls of pipe vary with rolling and the entry is often the nominal one; common practice.
WALL = Basis("common practice", "", "entered wall within a tenth of the nominal", "practice")
_WALL_SHARE = 0.1


def check(seen: View) -> Iterator[Finding]:
    """One finding per radiograph whose header is unreadable or speaks against the records."""
    by_document: dict[str, list[Examination]] = {}
    for examination in seen.project.examinations:
        if examination.document is not None:
            by_document.setdefault(examination.document.document, []).append(examination)
    for radiograph in seen.project.radiographs:
        used = by_document.get(radiograph.document, [])
        reasons = tuple(_reasons(seen, radiograph, used))
        if reasons:
            yield _finding(radiograph, used, reasons)


def asked(seen: View) -> bool:
    """Whether there are digital radiographs."""
    return bool(seen.project.radiographs)


def concerns(seen: View, file: JointFile) -> Iterator[Hashable]:
    """Each examination that a radiograph belongs to, and each joint that a header names."""
    images = {radiograph.document for radiograph in seen.project.radiographs}
    named = {name for r in seen.project.radiographs for name in (r.component_id, r.component)}
    for report in file.examinations:
        if report.document is not None and report.document.document in images:
            yield report
    if file.number in named:
        yield file.joint


def _reasons(seen: View, header: Radiograph, used: list[Examination]) -> Iterator[Reason]:
    if header.unreadable:
        yield Reason("header", header.unreadable, "a header that can be read", ENTRIES, HOLD)
        return
    joints = list(dict.fromkeys(examination.joint for examination in used))
    named = [name for name in (header.component_id, header.component) if name]
    if joints and not set(named) & set(joints):
        found = " or ".join(named) or "not entered"
        yield Reason("component", found, " or ".join(joints), ENTRIES, HOLD)
    days = {day for e in used if (day := day_of(e.examined_at)) is not None}
    if days and header.exposed_on is not None and header.exposed_on not in days:
        yield Reason("day", header.exposed_on.isoformat(), _days(days), ENTRIES, HOLD)
    walls = _walls(seen, joints or named)
    wall = header.wall_mm
    if wall is not None and walls and all(abs(wall - w) > _WALL_SHARE * w for w in walls):
        permitted = " or ".join(f"{w:g} mm" for w in sorted(walls))
        yield Reason("wall", f"{wall:g} mm", permitted, WALL, HOLD)


def _days(days: set[date]) -> str:
    return " or ".join(day.isoformat() for day in sorted(days))


def _walls(seen: View, joints: list[str]) -> set[float]:
    """The walls of the members of these joints, in mm."""
    walls = set()
    for number in joints:
        for joint in seen.known.joints.get(number, ()):
            for item in (joint.upstream_item, joint.downstream_item):
                known = seen.known.items.get(item)
                if known is not None and known.wall_mm is not None:
                    walls.add(known.wall_mm)
    return walls


def _finding(header: Radiograph, used: list[Examination], reasons: tuple[Reason, ...]) -> Finding:
    joints = list(dict.fromkeys(examination.joint for examination in used))
    about = (("joint", joints[0]),) if len(joints) == 1 else ()
    said = "; ".join(f"{r.variable} {r.found}, on record {r.permitted}" for r in reasons)
    if header.unreadable:
        said = header.unreadable
    return Finding(
        NAME,
        HOLD,
        (*about, ("document", header.document)),
        f"Radiograph {header.document} ({header.file}): {said}.",
        reasons,
        (
            Evidence(header.origin, header.document),
            *(Evidence(examination.origin) for examination in used),
        ),
        "Compare image, report and header; file the right image, or correct the record.",
    )
