"""Weld map: the joints of each drawing as a scheme and a list."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from dossier.coverage.joint_file import JointFile, joint_file
from dossier.coverage.stages import STAGES, stages_reached
from dossier.documents.printed.face import Asked, Name, Part, Printed, part, printed
from dossier.documents.sheet import Row, columns, day, fact, row, table, words
from dossier.drawings.joint_chain import Link, joint_chain
from dossier.records.joints import Joint

CODE = "WMP"


def make(of: Asked) -> Iterator[Printed]:
    """One weld map a drawing, then one of the joints that name none."""
    drawings: dict[str, list[Joint]] = {}
    for joint in of.seen.project.joints:
        drawings.setdefault(joint.drawing, []).append(joint)
    named = sorted(drawings.items(), key=lambda pair: (not pair[0], pair[0]))
    for place, (drawing, joints) in enumerate(named, start=1):
        yield _map(of, drawing, joints, place)
    if not drawings:
        yield printed(of, Name(CODE, "Weld map"), {"joints": _list(of, [], [])})


def _map(of: Asked, drawing: str, joints: Sequence[Joint], place: int) -> Printed:
    run = sorted(joints, key=lambda joint: (joint.kp_m is None, joint.kp_m or 0.0))
    files = [joint_file(of.seen, joint) for joint in run]
    revisions = sorted({j.drawing_revision for j in joints if j.drawing_revision})
    links = [_link(of, file) for file in files if file.joint.status != "void"]
    return printed(
        of,
        Name(CODE, f"Weld map {drawing}" if drawing else "Joints that name no drawing", place),
        {"joints": _list(of, files, list(joint_chain(drawing or "no drawing", links)))},
        lead="A scheme of what is joined to what, from the log. The drawing itself governs "
        "places and dimensions.",
        facts=[
            fact("Drawing", drawing),
            fact("Revision in the log", words(revisions)),
            fact("Joints", str(len(joints))),
            fact("Lines", words(dict.fromkeys(j.line for j in joints))),
        ],
        form="wide",
    )


def _letter(of: Asked, file: JointFile) -> str:
    """Letter of the last stage that a joint has reached; X for one that was cut out."""
    if file.joint.status == "cut out":
        return "X"
    reached = [name for name, yes in zip(STAGES, stages_reached(of.seen, file), strict=True) if yes]
    return reached[-1][0].upper() if reached else "P"


def _link(of: Asked, file: JointFile) -> Link:
    joint = file.joint
    note = "" if joint.kp_m is None else f"KP {joint.kp_m / 1000:.3f}"
    return Link(joint.number, joint.upstream_item, joint.downstream_item, _letter(of, file), note)


def _list(of: Asked, files: Sequence[JointFile], drawings: Sequence[str]) -> Part:
    heads = columns(
        ("Joint", 8), ("State", 5), ("Kind", 7), ("Upstream", 11), ("Heat", 7),
        ("Downstream", 11), ("Heat", 7), ("WPS", 9), ("Welders", 12), ("Welded", 7),
        ("Reports", 16),
    )  # fmt: skip
    rows = [_row(of, file) for file in files]
    note = (
        "State: P planned, W welded, E examined, A accepted, C coated, L lowered, X cut out; the "
        "last that is on record. Reports: those that accept or reject, by method."
    )
    return part(table("Joints", heads, rows, note if rows else ""), "No joint is on record.",
                drawings)  # fmt: skip


def _row(of: Asked, file: JointFile) -> Row:
    joint = file.joint
    reports = words(f"{e.method} {e.report} {e.result}" for e in file.examinations if e.result)
    return row([
        joint.number, _letter(of, file), joint.kind, joint.upstream_item, joint.upstream_heat,
        joint.downstream_item, joint.downstream_heat,
        f"{joint.wps} rev. {joint.wps_revision}" if joint.wps else "",
        words(dict.fromkeys(made.welder for made in file.passes)), day(joint.welded_on), reports,
    ])  # fmt: skip
