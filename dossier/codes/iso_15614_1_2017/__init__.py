"""ISO 15614-1:2017, procedure qualification tests for arc and gas welding of steels.

Levels 1 and 2; a test or procedure without a stated level is taken as level 2. Named readings
(`CHOICES`, in `basis`): those of 2004, "temperature allowance" and "fillet thickness".

Several tests may stand behind one procedure: each process on its own test; for one process,
tests that differ only in thickness, deposit, diameter, position or heat input join (see
`dossier.codes.iso_15614_1.joining`).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from dossier.codes import iso_15614_1_2004 as older
from dossier.codes.face import Choices, Rule
from dossier.codes.iso_15614_1 import joining
from dossier.codes.iso_15614_1.judging import Rules
from dossier.codes.iso_15614_1_2004 import materials, technique
from dossier.codes.iso_15614_1_2017 import level_2
from dossier.codes.iso_15614_1_2017.basis import CHOICES, EDITION, clause, rebased
from dossier.codes.iso_15614_1_2017.ranges import process_range
from dossier.records.procedures import Pqr, Procedure
from dossier.records.verdicts import Choice, Qualified, Reason

_HERE = "dossier.codes.iso_15614_1_2017"


def joined_positions(pqrs: Iterable[Pqr], choices: Choices) -> Choice:
    """The positions that several tests cover together. Source: ISO 15614-1:2017, 8.4.2.

    >>> from datetime import date
    >>> from dossier.records.procedures import PqrPass
    >>> test = Pqr(
    ...     number="P1", code=EDITION, welded_on=date(2025, 2, 3), product="plate", position="PA",
    ...     weld_type="butt", wall_mm=12.0, passes=(PqrPass(number=1, kind="fill", process="135"),),
    ... )
    >>> "PF" in joined_positions([test], {}), "PG" in joined_positions([test], {})
    (True, False)
    """
    found = rebased(older.joined_positions(pqrs, choices), "8.4.2", "secondary")
    assert isinstance(found, Choice)  # noqa: S101 - narrows the type
    return found


_RULES = Rules(
    ranges=process_range,
    material=level_2.material_reason,
    filler=technique.filler_covered,
    is_group=materials.is_group,
    sides=technique.side_word,
    positions=joined_positions,
)


def procedure_range(pqr: Pqr, choices: Choices) -> Qualified:
    """What one procedure test qualifies at its level, variable by variable, in sheet order.

    With several processes the variables of each carry its number ("current, 141").
    Source: ISO 15614-1:2017, clause 8. Raises InputError: a value the code does not know.

    >>> from datetime import date
    >>> from dossier.records.procedures import PqrPass
    >>> test = Pqr(
    ...     number="P1", code=EDITION, welded_on=date(2025, 2, 3), product="plate", position="PA",
    ...     weld_type="butt", wall_mm=12.0, passes=(PqrPass(number=1, kind="fill", process="135"),),
    ... )
    >>> str(procedure_range(test, {})["material thickness"])
    '6 to 15.6 mm'
    """
    return joining.by_process(process_range, pqr, choices)


def supports(pqrs: Sequence[Pqr], wps: Procedure, choices: Choices) -> tuple[Reason, ...]:
    """Reasons, one for each variable of the procedure, against its tests together.

    Source: ISO 15614-1:2017, clause 8. Raises InputError: a value the code does not know.

    >>> draft = Procedure(number="W1", revision="A", title="draft", code=EDITION)
    >>> [(one.variable, one.found, str(one.verdict)) for one in supports([], draft, {})]
    [('tests', 'no test', 'hold')]
    """
    return joining.supports(_RULES, pqrs, wps, choices, clause("8"))


RULES = (
    Rule("Level", "1", "read", f"{_HERE}.level_1.level_covered"),
    Rule("Material groups", "8.3.1, Table 5", "secondary", f"{_HERE}.level_2.material_reason"),
    Rule("Butt thickness, level 1", "8.3.2, Table 6", "memory",
         f"{_HERE}.level_1.butt_thickness_range"),
    Rule("Butt thickness, level 2", "8.3.2, Table 7", "memory",
         f"{_HERE}.level_2.butt_thickness_range"),
    Rule("Deposit of a process", "8.3.2, Table 7", "secondary", f"{_HERE}.level_2.deposit_range"),
    Rule("Fillet thickness", "8.3.2, Table 8", "memory",
         f"{_HERE}.level_2.fillet_thickness_range"),
    Rule("Throat", "8.3.2, Table 8", "memory", f"{_HERE}.level_2.throat_range"),
    Rule("Outside diameter", "8.3.3", "memory", f"{_HERE}.level_2.diameter_range"),
    Rule("Branch angle", "8.3.4", "memory", f"{_HERE}.level_2.branch_angle_range"),
    Rule("Position", "8.4.2", "secondary", f"{_HERE}.level_2.qualified_positions"),
    Rule("Heat input, level 1", "8.4.7", "memory", f"{_HERE}.level_1.heat_input_range"),
    Rule("Heat input, level 2", "8.4.7", "memory", f"{_HERE}.level_2.heat_input_range"),
    Rule("Preheat", "8.4.8", "memory", f"{_HERE}.level_2.preheat_range"),
    Rule("Interpass temperature", "8.4.9", "memory", f"{_HERE}.level_2.interpass_range"),
    Rule("Post-weld heat treatment", "8.4.11", "memory", f"{_HERE}.level_2.pwht_range"),
    Rule("Hardness", "7.4.5, Table 3", "memory", f"{_HERE}.level_2.hardness_limit"),
    Rule("Extent of testing, level 1", "7.1, Table 1", "memory", f"{_HERE}.level_1.required_tests"),
    Rule("Extent of testing, level 2", "7.1, Table 1", "memory", f"{_HERE}.level_2.required_tests"),
    Rule("All others", "8.4, 8.5", "memory", f"{_HERE}.ranges.process_range"),
)  # fmt: skip

NOT_COVERED = (
    *older.NOT_COVERED,
    (
        "Level 1 beyond thickness, diameter, heat input and extent of testing: the stricter "
        "rules of level 2 are kept."
    ),
)

__all__ = ["CHOICES", "EDITION", "NOT_COVERED", "RULES", "procedure_range", "supports"]
