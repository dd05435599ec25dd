"""Rejected indications over which no repair lies, though their report was answered by one."""

from __future__ import annotations

from collections.abc import Sequence

from dossier.codes.editions import acceptance_code
from dossier.coverage.joint_file import JointFile
from dossier.coverage.repair_places import STEP_MM, Place, around_mm_of, place_of, shared_mm
from dossier.coverage.view import View
from dossier.records.examinations import Examination, Indication
from dossier.records.joints import Repair
from dossier.records.verdicts import NONCONFORMITY, worst


def unrepaired(seen: View, file: JointFile, report: Examination) -> tuple[Indication, ...]:
    """The indications of a rejected report that no repair for it, or after it, lies over.

    Only those that the limits reject, each by itself or all that are left together; where line,
    diameter or wall is unknown the limits cannot be asked, and the rejection stands for all.
    """
    answering = [place_of(repair) for repair in file.repairs if _answers(repair, report)]
    places = [place for place in answering if place is not None]
    if len(places) < len(answering):
        return ()
    left = tuple(one for one in report.indications if _bare(file, one, places))
    alone = tuple(one for one in left if _rejected(seen, file, report, (one,)))
    return alone or (left if left and _rejected(seen, file, report, left) else ())


def _bare(file: JointFile, one: Indication, places: Sequence[Place]) -> bool:
    """Whether an indication whose start is recorded touches none of the places."""
    if one.start_mm is None:
        return False
    here, around_mm = Place(one.start_mm, one.length_mm or 0.0), around_mm_of(file)
    return all(shared_mm(here, place, around_mm) < -STEP_MM for place in places)


def _answers(repair: Repair, report: Examination) -> bool:
    if repair.examination == report.report:
        return True
    repaired, examined = repair.repaired_at, report.examined_at
    return repaired is None or examined is None or repaired >= examined


def _rejected(
    seen: View, file: JointFile, report: Examination, indications: tuple[Indication, ...]
) -> bool:
    if file.line is None or file.od_mm is None or file.wall_mm is None:
        return True
    code = acceptance_code(file.line.acceptance_code)
    reasons = code.accept(
        report.method,
        indications,
        od_mm=file.od_mm,
        wall_mm=file.wall_mm,
        choices=seen.choices,
    )
    return worst(reasons) >= NONCONFORMITY
