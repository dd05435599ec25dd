"""Figures of one pass, computed from what was recorded of it."""

from __future__ import annotations

from dossier.calc.heat_input import arc_energy_kj_mm, heat_input_kj_mm, thermal_efficiency
from dossier.records.joints import Pass
from dossier.records.procedures import PqrPass


def heat_input_of(made: Pass | PqrPass) -> float | None:
    """Heat input of a pass in kJ/mm, thermal efficiency included; None if a reading is missing.

    Source: EN 1011-1:2009, heat input. Raises InputError: a reading of 0 or less.
    """
    if made.voltage_v is None or made.current_a is None or made.travel_mm_min is None:
        return None
    energy = arc_energy_kj_mm(made.voltage_v, made.current_a, made.travel_mm_min)
    return heat_input_kj_mm(energy, thermal_efficiency(made.process))
