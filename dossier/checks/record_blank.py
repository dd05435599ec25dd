"""Is every field that the project needs answered: filled in, or "n/a"?

Blank, not applicable and zero are three things: a zero and an "n/a" answer the question, a blank
does not.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from dossier.coverage.evidence import at
from dossier.coverage.joint_file import JointFile
from dossier.coverage.view import View, project_basis
from dossier.records.base import Record
from dossier.records.project import Needed
from dossier.records.verdicts import HOLD, Finding, Reason

NAME = "record-blank"


def asked(seen: View) -> bool:
    """Whether the project names fields that it needs."""
    return bool(seen.project.settings.requirements.needed_fields)


def check(seen: View, file: JointFile) -> Iterator[Finding]:
    """One finding per register in which a record of the joint has a blank that is needed."""
    for need in seen.project.settings.requirements.needed_fields:
        if need.kinds and file.joint.kind not in need.kinds:
            continue
        blanks = [
            (record, name) for record in _records(file, need) for name in _blank(record, need)
        ]
        if blanks:
            yield _finding(seen, file, need, blanks)


def _records(file: JointFile, need: Needed) -> Iterable[Record]:
    if need.register == "joints":
        return (file.joint,)
    if need.register == "items":
        return file.items
    held: Iterable[Record] = getattr(file, need.register)
    return held


def _blank(record: Record, need: Needed) -> Iterator[str]:
    for name in need.fields:
        answered = name in record.not_applicable or getattr(record, name, None) not in (
            None,
            "",
            (),
        )
        if not answered:
            yield name


def _said(record: Record, name: str, count: int) -> str:
    return f"blank in {count}" if hasattr(record, name) else "no field of this register"


def _finding(
    seen: View, file: JointFile, need: Needed, blanks: list[tuple[Record, str]]
) -> Finding:
    basis = project_basis(seen, "fields needed")
    counted = {name: sum(blank == name for _, blank in blanks) for _, name in blanks}
    reasons = tuple(
        Reason(name.replace("_", " "), _said(blanks[0][0], name, n), 'filled or "n/a"', basis, HOLD)
        for name, n in counted.items()
    )
    told = ", ".join(r.variable for r in reasons)
    return Finding(
        NAME,
        HOLD,
        (("joint", file.number), ("register", need.register)),
        f"Joint {file.number}, register {need.register.replace('_', ' ')}: blank {told}.",
        reasons,
        tuple(proof for record, name in blanks for proof in at(record, name)),
        "Fill it in from the daily record, or answer n/a where it does not apply.",
    )
