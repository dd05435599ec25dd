"""49 CFR 192.111 to 192.115: factors of the design pressure of steel gas pipe."""

from __future__ import annotations

import itertools
from types import MappingProxyType

from dossier.calc.guards import positive
from dossier.errors import InputError
from dossier.records.verdicts import Basis

CLASS_LOCATION = Basis("49 CFR 192", "", "192.111(a)", known="read")
LONG_SEAM = Basis("49 CFR 192", "", "192.113", known="memory")
TEMPERATURE = Basis("49 CFR 192", "", "192.115", known="memory")

_DESIGN_FACTORS = MappingProxyType({1: 0.72, 2: 0.60, 3: 0.50, 4: 0.40})

_JOINT_FACTORS = MappingProxyType(
    {
        "seamless": 1.0,
        "electric_resistance_welded": 1.0,
        "electric_flash_welded": 1.0,
        "submerged_arc_welded": 1.0,
        "double_submerged_arc_welded": 1.0,
        "furnace_lap_welded": 0.80,
        "furnace_butt_welded": 0.60,
    }
)

# Temperature in °F and factor; between two rows the factor is interpolated.
_TEMPERATURE_ROWS = ((250.0, 1.0), (300.0, 0.967), (350.0, 0.933), (400.0, 0.900), (450.0, 0.867))


def design_factor(class_location: int) -> float:
    """Design factor F of a class location.

    Class 1 falls to 0.60 at uncased road crossings and the like (192.111(b)): give 2 there.

    Source: 49 CFR 192.111(a) (read). Raises InputError for any other class.

    >>> design_factor(1), design_factor(3)
    (0.72, 0.5)
    """
    if class_location not in _DESIGN_FACTORS:
        raise InputError("class_location", found=class_location, expected="1, 2, 3 or 4")
    return _DESIGN_FACTORS[class_location]


def joint_factor(seam: str) -> float:
    """Longitudinal joint factor E of a pipe seam.

    Source: 49 CFR 192.113 (memory). Raises InputError for an unknown seam.

    >>> joint_factor("furnace_butt_welded")
    0.6
    """
    if seam not in _JOINT_FACTORS:
        raise InputError("seam", found=seam, expected=f"one of {', '.join(_JOINT_FACTORS)}")
    return _JOINT_FACTORS[seam]


def temperature_factor(gas_f: float) -> float:
    """Temperature derating factor T for a gas temperature in °F, interpolated between rows.

    Source: 49 CFR 192.115 (memory). Raises InputError above 450 °F, where the table ends.

    >>> temperature_factor(120.0), round(temperature_factor(275.0), 4)
    (1.0, 0.9835)
    """
    positive("gas_f + 460", gas_f + 460.0)
    if gas_f <= _TEMPERATURE_ROWS[0][0]:
        return 1.0
    for (low, at_low), (high, at_high) in itertools.pairwise(_TEMPERATURE_ROWS):
        if gas_f <= high:
            return at_low + (at_high - at_low) * (gas_f - low) / (high - low)
    raise InputError("gas_f", found=gas_f, expected="at most 450 °F")
