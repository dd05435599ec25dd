"""The plan as a document: one context for the terminal, the workbook and the sheet."""

from __future__ import annotations

from collections.abc import Iterator

from dossier.coverage.plan import DAYS, Plan, plan
from dossier.documents.printed.face import Asked, Name, Printed, printed
from dossier.documents.printed.work_ahead import papers, people
from dossier.documents.sheet import fact, words

CODE = "WAH"
_LEAD = (
    "Which further tests are lacking, who may weld what, what ends soon and what is still owed. "
    "The plan proposes; the qualified welding engineer decides, and the licensed standard governs."
)


def make(of: Asked) -> Iterator[Printed]:
    """The plan of the project as of the day of the view; none where nothing is planned or due."""
    made = plan(of.seen, DAYS)
    if made.asked.needs or made.asked.unplanned or made.procedures.lacking or made.ahead.lapses:
        yield context(of, made)


def context(of: Asked, made: Plan, trial: str = "") -> Printed:
    """Plain data of a plan. `trial` names what was added to the records to see what it changes."""
    asked = made.asked
    held = [n for n in range(len(asked.needs)) if n not in made.welders.open]
    facts = [
        fact("Planned joints", str(len(asked.of_joint) + len(asked.unplanned))),
        fact("Distinct needs", f"{len(asked.needs)}, of which {len(held)} are covered"),
        fact("Further welder tests", made.welders.choice.proof),
        fact("Further procedure tests", made.procedures.choice.proof),
        fact(f"Lapses in {made.ahead.days} days", str(len(made.ahead.lapses))),
    ]
    if trial:
        facts.insert(0, fact("What if", trial))
    open_joints = [j for j, needs in asked.of_joint.items() if set(needs) & set(made.welders.open)]
    told = [f"Joints that nobody may weld yet: {words(open_joints)}."] if open_joints else []
    return printed(
        of,
        Name(CODE, "Work ahead", status="trial" if trial else "issued"),
        {
            "needs": people.needs_part(made, of.system),
            "staff": people.staff_part(made),
            "tests": people.tests_part(made, of.system),
            "ranges": people.ranges_part(made, of.system),
            "without": people.open_part(made),
            "lacking": papers.lacking_part(made),
            "pieces": papers.pieces_part(made, of.system),
            "unsupported": papers.unsupported_part(made),
            "lapses": papers.lapses_part(made),
            "confirmations": papers.confirmations_part(made),
            "owed": papers.owed_part(made),
            "films": papers.films_part(made, of.system),
            "consumables": papers.consumables_part(of.seen),
        },
        lead=_LEAD,
        facts=facts,
        words=told,
        form="wide",
    )
