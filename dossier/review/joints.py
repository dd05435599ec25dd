"""The joints column by column: what the page lists, filters, maps and draws samples of."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from dossier.coverage.audit_sample import weighed
from dossier.coverage.joint_file import JointFile, joint_file
from dossier.coverage.stages import stages_reached
from dossier.coverage.view import View
from dossier.documents.findings import open_points
from dossier.documents.sheet import day
from dossier.records.joints import Joint
from dossier.records.verdicts import CLEAR, Finding
from dossier.review.pack import worded

Own = Mapping[str, Sequence[Finding]]  # findings by the joint that they are about


def joint_columns(seen: View, own: Own) -> dict[str, Any]:
    """One list a column, each as long as the register of joints and in its order."""
    joints = seen.project.joints
    files = [joint_file(seen, joint) for joint in joints]
    weights = list(_weights(seen, files))
    return {
        "number": [joint.number for joint in joints],
        "line": worded(joint.line for joint in joints),
        "kind": worded(joint.kind for joint in joints),
        "status": worded(joint.status for joint in joints),
        "wps": worded(_wps(joint) for joint in joints),
        "day": worded(day(joint.welded_on or joint.finished_at) for joint in joints),
        "kp": [joint.kp_m for joint in joints],
        "welders": worded(_welders(file) for file in files),
        "batches": worded(_batches(file) for file in files),
        "heats": worded(_heats(file) for file in files),
        "stages": worded(_bits(stages_reached(seen, file)) for file in files),
        "verdict": worded(int(worst_verdict(own.get(j.number, ()))) for j in joints),
        "open": worded(len(open_points(own.get(joint.number, ()))) for joint in joints),
        "weight": worded(weight for weight, _ in weights),
        "because": worded(because for _, because in weights),
    }


OWN, TAIL = "\x01", "\x02"  # the joint's own number, and what follows its first dash


def needles(seen: View) -> list[str]:
    """What else a joint is found by: films, reports, repairs, items, drawing, crew, remarks.

    Most such names hold the joint's own number; a mark stands for it, since it is known already.
    """
    return [_needle(joint_file(seen, joint)) for joint in seen.project.joints]


def _needle(file: JointFile) -> str:
    names = (name.replace(OWN, " ").replace(TAIL, " ") for name in _names(file))
    text = " ".join(dict.fromkeys(names))
    _, dash, tail = file.number.partition("-")
    text = text.replace(file.number, OWN) if file.number else text
    return text.replace(tail, TAIL) if dash and tail else text


def worst_verdict(findings: Sequence[Finding]) -> int:
    """The worst verdict of findings that no concession answers, as a number; 0 for none."""
    return max((int(f.verdict) for f in findings if not f.conceded_by), default=int(CLEAR))


def _wps(joint: Joint) -> tuple[str, str]:
    return joint.wps, joint.wps_revision


def _welders(file: JointFile) -> tuple[str, ...]:
    stamps = {made.welder for made in file.passes} | {repair.welder for repair in file.repairs}
    return tuple(sorted(stamp for stamp in stamps if stamp))


def _batches(file: JointFile) -> tuple[str, ...]:
    used = {made.batch for made in file.passes} | {repair.batch for repair in file.repairs}
    used |= {coating.batch for coating in file.coatings}
    return tuple(sorted(number for number in used if number))


def _heats(file: JointFile) -> tuple[str, ...]:
    told = {file.joint.upstream_heat, file.joint.downstream_heat}
    told |= {item.heat for item in file.items}
    return tuple(sorted(heat for heat in told if heat))


def _bits(reached: Sequence[bool]) -> int:
    return sum(1 << place for place, done in enumerate(reached) if done)


def _names(file: JointFile) -> Iterator[str]:
    joint = file.joint
    yield from (joint.drawing, joint.fit_up_by)
    yield from (number for number, _ in file.members)
    for report in file.examinations:
        yield report.report
        yield from report.films
    yield from (repair.number for repair in file.repairs)
    yield from (coating.report for coating in file.coatings)
    yield joint.remarks


def _weights(seen: View, files: Sequence[JointFile]) -> Iterator[tuple[int, tuple[str, ...]]]:
    """Weight and grounds of each joint in an audit sample; 0 where it is not drawn from."""
    replaced = {joint.replaces for joint in seen.project.joints if joint.replaces}
    drawn: set[str] = set()
    for file in files:
        if file.joint.status not in ("welded", "cut out") or file.number in drawn:
            yield 0, ()
            continue
        drawn.add(file.number)
        one = weighed(file, replaced)
        yield one.weight, one.because
