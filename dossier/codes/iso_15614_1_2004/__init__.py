"""ISO 15614-1:2004 with amendments 1 and 2, procedure qualification tests for arc welding of steel.

Named readings (`CHOICES`, in `basis`): "impact required", "hardness required", "heat input by",
"shielding gas". Each lists its strict default and the alternatives.

Several tests may stand behind one procedure: each process on its own test; for one process,
tests that differ only in thickness, deposit, diameter, position or heat input join (see
`dossier.codes.iso_15614_1.joining`).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from dossier.codes.face import Choices, Rule
from dossier.codes.iso_15614_1 import joining, qualification
from dossier.codes.iso_15614_1.judging import Rules
from dossier.codes.iso_15614_1_2004 import materials, ranges, technique
from dossier.codes.iso_15614_1_2004.basis import CHOICES, EDITION, clause
from dossier.records.procedures import Pqr, Procedure
from dossier.records.verdicts import Choice, Qualified, Reason

_HERE = "dossier.codes.iso_15614_1_2004"


def joined_positions(pqrs: Iterable[Pqr], choices: Choices) -> Choice:
    """The positions that several tests cover together. Source: ISO 15614-1:2004, 8.4.2.

    >>> from datetime import date
    >>> from dossier.records.procedures import PqrPass
    >>> test = Pqr(
    ...     number="P1", code=EDITION, welded_on=date(2025, 2, 3), product="plate", position="PA",
    ...     weld_type="butt", wall_mm=12.0, passes=(PqrPass(number=1, kind="fill", process="135"),),
    ... )
    >>> "PF" in joined_positions([test], {}), "PG" in joined_positions([test], {})
    (True, False)
    """
    pqrs = tuple(pqrs)
    bound = any(
        ranges.required(choices, "impact required", tested=pqr.impact_tested)
        or ranges.required(choices, "hardness required", tested=pqr.hardness_tested)
        for pqr in pqrs
    )
    named = [qualification.iso_position_of(pqr) for pqr in pqrs]
    return technique.qualified_positions([text for text in named if text], bound=bound)


_RULES = Rules(
    ranges=ranges.process_range,
    material=materials.material_reason,
    filler=technique.filler_covered,
    is_group=materials.is_group,
    sides=technique.side_word,
    positions=joined_positions,
)


def procedure_range(pqr: Pqr, choices: Choices) -> Qualified:
    """What one procedure test qualifies, variable by variable, in sheet order.

    With several processes the variables of each carry its number ("current, 141").
    Source: ISO 15614-1:2004, clause 8. Raises InputError: a value the code does not know.

    >>> from datetime import date
    >>> from dossier.records.procedures import PqrPass
    >>> test = Pqr(
    ...     number="P1", code=EDITION, welded_on=date(2025, 2, 3), product="plate", position="PA",
    ...     weld_type="butt", wall_mm=12.0, passes=(PqrPass(number=1, kind="fill", process="135"),),
    ... )
    >>> str(procedure_range(test, {})["material thickness"])
    '6 to 15.6 mm'
    """
    return joining.by_process(ranges.process_range, pqr, choices)


def supports(pqrs: Sequence[Pqr], wps: Procedure, choices: Choices) -> tuple[Reason, ...]:
    """Reasons, one for each variable of the procedure, against its tests together.

    Source: ISO 15614-1:2004, clause 8. Raises InputError: a value the code does not know.

    >>> draft = Procedure(number="W1", revision="A", title="draft", code=EDITION)
    >>> [(one.variable, one.found, str(one.verdict)) for one in supports([], draft, {})]
    [('tests', 'no test', 'hold')]
    """
    return joining.supports(_RULES, pqrs, wps, choices, clause("8"))


RULES = (
    Rule("Material groups", "8.3.1, Table 3", "secondary", f"{_HERE}.materials.material_reason"),
    Rule("Yield strength", "8.3.1", "secondary", f"{_HERE}.materials.yield_range"),
    Rule("Butt thickness", "8.3.2.1, Table 5", "memory",
         f"{_HERE}.dimensions.butt_thickness_range"),
    Rule("Deposit of a process", "8.3.2.1", "memory", f"{_HERE}.dimensions.deposit_range"),
    Rule("Fillet thickness", "8.3.2.2, Table 6", "memory",
         f"{_HERE}.dimensions.fillet_thickness_range"),
    Rule("Throat", "8.3.2.2, Table 6", "memory", f"{_HERE}.dimensions.throat_range"),
    Rule("Outside diameter", "8.3.2.3", "memory", f"{_HERE}.dimensions.diameter_range"),
    Rule("Plate for pipe", "8.3.2.3", "memory", f"{_HERE}.dimensions.plate_diameter_range"),
    Rule("Branch angle", "8.3.3", "memory", f"{_HERE}.dimensions.branch_angle_range"),
    Rule("Process", "8.4.1, 8.5.1.1", "memory", f"{_HERE}.technique.qualified_processes"),
    Rule("Runs", "8.4.1", "memory", f"{_HERE}.technique.qualified_runs"),
    Rule("Position", "8.4.2", "secondary", f"{_HERE}.technique.qualified_positions"),
    Rule("Weld type", "8.4.3", "memory", f"{_HERE}.technique.qualified_weld_types"),
    Rule("Sides and backing", "8.4.3", "memory", f"{_HERE}.technique.qualified_sides"),
    Rule("Filler", "8.4.4", "memory", f"{_HERE}.technique.filler_covered"),
    Rule("Make of the filler", "8.4.5", "memory", f"{_HERE}.technique.make_is_fixed"),
    Rule("Current", "8.4.7", "memory", f"{_HERE}.technique.qualified_currents"),
    Rule("Heat input", "8.4.8", "read", f"{_HERE}.heat.heat_input_range"),
    Rule("Preheat", "8.4.9", "read", f"{_HERE}.heat.preheat_range"),
    Rule("Interpass temperature", "8.4.10", "read", f"{_HERE}.heat.interpass_range"),
    Rule("Post-heating", "8.4.11", "read", f"{_HERE}.heat.postheat_allowed"),
    Rule("Post-weld heat treatment", "8.4.12", "read", f"{_HERE}.heat.pwht_range"),
    Rule("Flux", "8.5.1.2", "read", f"{_HERE}.technique.qualified_fluxes"),
    Rule("Transfer mode", "8.5.2", "memory", f"{_HERE}.technique.qualified_transfers"),
    Rule("Carbon dioxide", "8.5.2.1", "read", f"{_HERE}.technique.carbon_dioxide_range"),
    Rule("Hardness", "7.4.6, Table 2", "memory", f"{_HERE}.heat.hardness_limit"),
    Rule("Extent of testing", "7.1, Table 1", "memory", f"{_HERE}.scope.required_tests"),
    Rule("Manufacturer", "8.2", "secondary", f"{_HERE}.scope.same_manufacturer"),
)  # fmt: skip

NOT_COVERED = (
    "Make of filler, flux and backing gas: the records carry none; the rules stand alone.",
    "Number of wires, pulse data, stand-off and other variables of single processes (8.5).",
    "Nickel and nickel alloys.",
    "Pairs of groups beyond those listed: taken to cover themselves only.",
    "Acceptance of each test of the piece beyond its recorded result.",
)

__all__ = ["CHOICES", "EDITION", "NOT_COVERED", "RULES", "procedure_range", "supports"]
