"""What changed between two revisions of a WPS."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from dossier.checks.procedure_in_force import check
from dossier.coverage.joint_file import joint_file
from dossier.coverage.revisions import changes
from dossier.coverage.view import view
from dossier.records.procedures import Groove, Procedure, ProcedurePass, Span
from tests.checks.made import sound

ROOT = ProcedurePass(kind="root", process="111", filler="E6010", current_a=Span(low=70, high=110))
CAP = ProcedurePass(kind="cap", process="111", filler="E8010-P1")
OLD = Procedure(
    number="WPS-1",
    revision="0",
    title="Butts",
    code="API 1104:21st",
    pqrs=("PQR-1",),
    groove=Groove(kind="V", angle_deg=60),
    passes=(ROOT, CAP),
)


def told(new: Procedure) -> list[str]:
    return [str(change) for change in changes(OLD, new)]


def test_signatures_and_dates_are_no_change() -> None:
    later = replace(OLD, revision="1", valid_from=date(2026, 4, 1), change="reissued")
    assert told(later) == []


def test_fields_lists_and_inner_parts_are_told_apart() -> None:
    wider = replace(ROOT, current_a=Span(low=70, high=120))
    new = replace(OLD, pqrs=("PQR-1", "PQR-2"), passes=(wider, CAP), preheat_min_c=100.0)
    assert told(new) == [
        "pqrs: PQR-1, now PQR-1, PQR-2",
        "passes.1.current_a: 70 to 110, now 70 to 120",
        "preheat_min_c: blank, now 100",
    ]


def test_a_pass_more_a_groove_gone_and_an_open_end() -> None:
    new = replace(OLD, groove=None, passes=(ROOT, CAP, CAP), wall_mm=Span(low=5))
    assert told(new) == [
        "wall_mm: blank, now 5 to any",
        "groove: V 60 none single, now blank",
        "passes.3: blank, now cap 111 E8010-P1",
    ]


def test_a_joint_welded_to_an_old_revision_is_told_what_changed() -> None:
    project = sound()
    wps = next(w for w in project.procedures if w.number == "WPS-A")
    old = replace(wps, revision="0", valid_until=date(2026, 4, 30), interpass_max_c=190.0)
    joint = replace(project.joints[0], wps_revision="0")
    seen = view(
        replace(project, procedures=(old, *project.procedures), joints=(joint, *project.joints[1:]))
    )
    (finding,) = check(seen, joint_file(seen, joint))
    assert "interpass_max_c: 190, now" in next(
        r.found for r in finding.reasons if r.variable == "what changed"
    )
