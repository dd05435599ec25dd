"""How far a joint has come, each stage by its own record; the run of items of a line."""

from __future__ import annotations

from dataclasses import replace

from dossier.coverage.joint_file import joint_file
from dossier.coverage.run_of_pipe import run_of_pipe
from dossier.coverage.stages import stages_reached
from dossier.coverage.view import view
from dossier.records.project import Project
from tests.documents import example


def _reached(project: Project, number: int) -> tuple[bool, ...]:
    seen = view(project, example.AS_OF)
    return stages_reached(seen, joint_file(seen, seen.project.joints[number]))


def test_every_stage_rests_on_its_own_record() -> None:
    made = example.project(3)
    assert _reached(made, 0) == (True, True, True, True, True)
    assert _reached(made, 1) == (True, True, True, True, False)
    # coated before its repair was looked at again: coated all the same, not accepted
    early = replace(made, examinations=tuple(e for e in made.examinations
                                             if not e.report.startswith("RT-ML-001")))  # fmt: skip
    assert _reached(early, 0) == (True, True, False, True, True)


def test_where_nothing_is_asked_for_the_last_report_decides() -> None:
    made = example.project(3)
    rules = replace(made.settings.requirements, examined=())
    free = replace(made, settings=replace(made.settings, requirements=rules))
    assert _reached(free, 2)[2] is True
    last = tuple(e for e in made.examinations if e.report != "RT-ML-003R1")
    assert _reached(replace(free, examinations=last), 2)[2] is False


def test_the_run_follows_the_chainage_and_leaves_out_what_was_cut_out() -> None:
    joints = list(example.joints(4))
    assert [laid.item for laid in run_of_pipe(reversed(joints))] == [
        "P-001", "P-002", "P-003", "P-004", "P-005",
    ]  # fmt: skip
    joints[1] = replace(joints[1], status="cut out")
    run = list(run_of_pipe(joints))
    assert [laid.item for laid in run] == ["P-001", "P-002", "P-003", "P-004", "P-005"]
    assert [laid.gap for laid in run] == [False, False, True, False, False]
    assert list(run_of_pipe([])) == []
