"""Plan ahead: further tests, who may weld what tomorrow, lapses, examinations still owed.

The codes answer every question of coverage; the planner only chooses between their answers. It
proposes; the qualified engineer disposes.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta

from dossier.coverage.plan.examinations import Examinations, examinations_ahead
from dossier.coverage.plan.lapses import Ahead, lapses_ahead
from dossier.coverage.plan.needs import Needs, needs_of
from dossier.coverage.plan.procedure_tests import ProcedureTests, procedure_tests
from dossier.coverage.plan.staff import Staff, staff_on
from dossier.coverage.plan.welder_tests import WelderTests, welder_tests
from dossier.coverage.view import View

DAYS = 30


@dataclass(frozen=True, slots=True)
class Plan:
    """The whole plan as of the day of a view."""

    asked: Needs
    staff: Staff  # on the next day
    welders: WelderTests
    procedures: ProcedureTests
    ahead: Ahead
    examinations: Examinations


def plan(seen: View, days: int = DAYS) -> Plan:
    """Plan from the day of the view: who may weld the day after, lapses within `days`."""
    if days not in seen.plans:
        seen.plans[days] = _planned(seen, days)
    made: Plan = seen.plans[days]
    return made


def _planned(seen: View, days: int) -> Plan:
    asked = needs_of(seen)
    staff = staff_on(seen, asked, seen.as_of + timedelta(days=1))
    return Plan(
        asked,
        staff,
        welder_tests(asked, staff, seen.choices),
        procedure_tests(seen),
        lapses_ahead(seen, asked, staff, days),
        examinations_ahead(seen, asked),
    )
