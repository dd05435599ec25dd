"""Was any weld examined, by whatever method, by one of those who welded or repaired it?

Visual examination has its own check.
"""

from __future__ import annotations

from collections.abc import Iterator

from dossier.coverage.evidence import at, paper
from dossier.coverage.joint_file import JointFile
from dossier.coverage.view import View, project_basis, stamps_of
from dossier.records.verdicts import NONCONFORMITY, Finding, Reason

NAME = "self-examination"


def check(seen: View, file: JointFile) -> Iterator[Finding]:
    """One finding per report by a welder of the joint, known by stamp or by name."""
    stamps = {made.welder for made in file.passes} | {r.welder for r in file.repairs if r.welder}
    for report in file.examinations:
        if report.method == "VT" or not report.examiner:
            continue
        if stamps.isdisjoint(stamps_of(seen, report.examiner)):
            continue
        basis = project_basis(seen, "independence of examination")
        found = f"{report.examiner}, a welder of this joint"
        yield Finding(
            NAME,
            NONCONFORMITY,
            (("joint", file.number), ("report", report.report)),
            f"{report.examiner} examined joint {file.number} by {report.method} "
            f"({report.report}) and is one of its welders.",
            (Reason("examiner", found, "not a welder of it", basis, NONCONFORMITY),),
            (*at(report, "examiner"), *paper(report)),
            "Have the film read, or the joint examined, again by somebody else.",
        )
