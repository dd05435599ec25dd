"""What one procedure test qualifies for one of its processes, at its level."""

from __future__ import annotations

from dossier.codes.face import Choices
from dossier.codes.iso_15614_1 import qualification
from dossier.codes.iso_15614_1_2004 import ranges as older
from dossier.codes.iso_15614_1_2017 import level_1, level_2
from dossier.codes.iso_15614_1_2017.basis import CHOICES, rebased
from dossier.codes.readings import reading
from dossier.records.procedures import Pqr
from dossier.records.verdicts import Qualified, Range

# Where the rules of 2004 stand in 2017, and how that is known.
_CLAUSES = {
    "process": ("8.4.1", "memory"),
    "weld type": ("8.4.3", "memory"),
    "sides and backing": ("8.4.3", "memory"),
    "material groups": ("8.3.1, Table 5", "secondary"),
    "yield strength": ("8.3.1, Table 5", "secondary"),
    "material thickness": ("8.3.2, Table 7", "memory"),
    "deposited thickness": ("8.3.2, Table 7", "secondary"),
    "throat": ("8.3.2, Table 8", "memory"),
    "outside diameter": ("8.3.3", "memory"),
    "branch angle": ("8.3.4", "memory"),
    "position": ("8.4.2", "secondary"),
    "runs": ("8.4.1", "memory"),
    "current": ("8.4.6", "memory"),
    "transfer": ("8.5.2", "memory"),
    "filler": ("8.4.4", "memory"),
    "shielding gas": ("8.5.2", "memory"),
    "heat input": ("8.4.7", "memory"),
    "preheat": ("8.4.8", "memory"),
    "interpass": ("8.4.9", "memory"),
    "hydrogen": ("8.4.4", "memory"),
    "heat treatment": ("8.4.11", "memory"),
}


def process_range(pqr: Pqr, process: str, choices: Choices) -> Qualified:
    """What `pqr` qualifies for one of its processes at its level, in sheet order.

    Source: ISO 15614-1:2017, 8.3 to 8.5. Raises InputError: a value the code does not know.

    >>> from datetime import date
    >>> from dossier.records.procedures import PqrPass
    >>> test = Pqr(
    ...     number="P1", code="ISO 15614-1:2017", level="1", welded_on=date(2025, 2, 3),
    ...     product="plate", weld_type="butt", wall_mm=12.0,
    ...     passes=(PqrPass(number=1, kind="fill", process="135"),),
    ... )
    >>> str(process_range(test, "135", {})["material thickness"])
    '5 to 24 mm'
    """
    found = older.process_range(pqr, process, choices)
    moved: Qualified = {
        name: rebased(one, *_CLAUSES[name.split(",")[0]]) for name, one in found.items()
    }
    level = level_1.required_level(pqr.level)
    result: Qualified = {
        "process": moved.pop("process"),
        "level": level_1.level_covered(level),
        **moved,
        **_thickness(pqr, process, choices),
        **_temperatures(pqr, choices),
    }
    return _at_level_1(pqr, process, result, choices) if level == "1" else result


def _thickness(pqr: Pqr, process: str, choices: Choices) -> Qualified:
    """The deposit of several processes, and the thickness of fillets, changed in 2017."""
    found: Qualified = {}
    deposit = qualification.deposit_mm(pqr, process)
    if len(qualification.processes(pqr.passes)) > 1 and deposit and pqr.weld_type != "fillet":
        found["deposited thickness"] = level_2.deposit_range(deposit)
    if pqr.weld_type == "fillet" and pqr.wall_mm:
        wide = reading(choices, CHOICES, "fillet thickness") == "wide"
        found["material thickness"] = level_2.fillet_thickness_range(pqr.wall_mm, wide=wide)
    return found


def _temperatures(pqr: Pqr, choices: Choices) -> Qualified:
    allowance_c = 50.0 if reading(choices, CHOICES, "temperature allowance") == "50 °C" else 0.0
    found: Qualified = {}
    if pqr.preheat_c is not None:
        found["preheat"] = level_2.preheat_range(pqr.preheat_c, allowance_c)
    if pqr.interpass_max_c is not None:
        found["interpass"] = level_2.interpass_range(pqr.interpass_max_c, allowance_c)
    return found


def _at_level_1(pqr: Pqr, process: str, found: Qualified, choices: Choices) -> Qualified:
    """Level 1 frees runs, sides, diameter and, without impact, current; impact caps heat input."""
    impact = older.required(choices, "impact required", tested=pqr.impact_tested)
    freed = {"runs", "sides and backing", "throat"} | (set() if impact else {"current"})
    kept = {
        name: one
        for name, one in found.items()
        if name not in freed and not name.startswith("heat input")
    }
    if "outside diameter" in kept:
        kept["outside diameter"] = level_1.diameter_range()
    kept.pop("outside diameter, rotating pipe", None)
    if pqr.weld_type == "fillet":
        kept["material thickness"] = level_1.fillet_thickness_range()
    elif pqr.wall_mm:
        kept["material thickness"] = level_1.butt_thickness_range(pqr.wall_mm)
    if impact:
        levels = qualification.heat_inputs(qualification.of_process(pqr.passes, process))
        basis = found["process"].basis
        kept["heat input"] = (
            level_1.heat_input_range(levels)
            if levels
            else Range.none(basis, "heat input of the test not recorded", "kJ/mm")
        )
    return kept
