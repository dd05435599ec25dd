"""Consumables to buy for a mass of weld metal: what is bought and what ends in the joint."""

from __future__ import annotations

from dataclasses import dataclass

from dossier.calc.guards import not_negative, positive, within
from dossier.errors import InputError
from dossier.records.verdicts import Basis

EFFICIENCY_BASIS = Basis(
    "a manufacturer's welding handbook", "", "average deposition efficiency", "memory"
)
# The figures were read in this order; most of the row names were lost and are from memory.
# Covered electrodes by length, with a stub of 2 in.
DEPOSITION_EFFICIENCY = {
    "SAW": 0.99,
    "GMAW 98 Ar 2 O2": 0.98,
    "GMAW 75 Ar 25 CO2": 0.96,
    "GMAW CO2": 0.93,
    "metal-cored": 0.93,
    "FCAW gas-shielded": 0.86,
    "FCAW self-shielded": 0.78,
    "SMAW 12 in": 0.59,
    "SMAW 14 in": 0.62,
    "SMAW 18 in": 0.66,
}


def average_deposition_efficiency(process: str) -> float:
    """Share of the bought consumable that ends as weld metal, on average, by process.

    Source: a manufacturer's handbook, no edition (figures read, row names mostly from memory).
    Raises InputError: a process without a row.

    >>> average_deposition_efficiency("SAW")
    0.99
    """
    if process not in DEPOSITION_EFFICIENCY:
        known = ", ".join(DEPOSITION_EFFICIENCY)
        raise InputError("process", found=repr(process), expected=f"one of {known}")
    return DEPOSITION_EFFICIENCY[process]


def deposition_efficiency(weld_metal_kg: float, consumed_kg: float) -> float:
    """Share of the consumed electrode or wire that became weld metal.

    Any one unit of mass will do for both.
    Source: a manufacturer's handbook, no edition (read). Raises InputError: a mass not over 0,
    more weld metal than was consumed.

    >>> deposition_efficiency(3.0, 4.0)
    0.75
    """
    consumed = positive("consumed_kg", consumed_kg)
    return within("weld_metal_kg", positive("weld_metal_kg", weld_metal_kg), 0, consumed) / consumed


def efficiency_with_stub(
    efficiency: float, electrode_mm: float, reference_stub_mm: float, stub_mm: float
) -> float:
    """Deposition efficiency with another stub length than the one it was stated for.

    Formula: E2 = E1 (L - s2) / (L - s1); lengths in any one unit.
    Source: handbook practice, no edition (read). Raises InputError: an efficiency outside 0 to 1,
    a stub that is negative or not shorter than the electrode.

    >>> round(efficiency_with_stub(0.638, 355.6, 50.8, 101.6), 3)
    0.532
    """
    stated = within("efficiency", efficiency, 0.0, 1.0)
    length = positive("electrode_mm", electrode_mm)
    burnt = [
        positive("electrode less stub", length - not_negative(name, stub))
        for name, stub in (("reference_stub_mm", reference_stub_mm), ("stub_mm", stub_mm))
    ]
    return within("resulting efficiency", stated * burnt[1] / burnt[0], 0.0, 1.0)


def to_buy_kg(weld_metal_kg: float, efficiency: float) -> float:
    """Electrode or wire to buy for a mass of weld metal, in the same unit of mass.

    Formula: P = W / E
    Source: a manufacturer's handbook, no edition (read). Raises InputError: a negative mass, an
    efficiency not over 0 and up to 1.

    >>> round(to_buy_kg(42.4, 0.66), 4)
    64.2424
    """
    share = within("efficiency", positive("efficiency", efficiency), 0.0, 1.0)
    return not_negative("weld_metal_kg", weld_metal_kg) / share


CELLULOSIC_BASIS = Basis("a pipeline handbook", "", "p. 74, vertical down", "read")
# Nominal diameter, in -> lb of 5/32 in electrode, and lb of 3/16 in electrode by wall in inches.
CELLULOSIC_LB: dict[int, tuple[float, dict[str, float]]] = {
    6: (0.34, {"5/16": 0.54, "3/8": 0.86}),
    8: (0.45, {"5/16": 0.71, "3/8": 1.1, "1/2": 2.2}),
    10: (0.56, {"5/16": 0.88, "3/8": 1.4, "1/2": 2.7}),
    12: (0.67, {"5/16": 1.0, "3/8": 1.7, "1/2": 3.2}),
    14: (0.73, {"5/16": 1.1, "3/8": 1.8, "1/2": 3.5, "5/8": 5.7, "3/4": 8.3}),
    16: (0.84, {"5/16": 1.3, "3/8": 2.1, "1/2": 4.0, "5/8": 6.5, "3/4": 9.4}),
    18: (0.94, {"5/16": 1.5, "3/8": 2.3, "1/2": 4.5, "5/8": 7.3, "3/4": 10.6}),
    20: (1.1, {"5/16": 1.6, "3/8": 2.6, "1/2": 5.0, "5/8": 8.1, "3/4": 11.8}),
    22: (1.2, {"5/16": 1.8, "3/8": 2.9, "1/2": 5.5, "5/8": 8.9, "3/4": 13.0}),
    24: (1.3, {"5/16": 2.0, "3/8": 3.1, "1/2": 6.0, "5/8": 9.7, "3/4": 14.2}),
    26: (1.4, {"5/16": 2.1, "3/8": 3.4, "1/2": 6.5, "5/8": 10.5, "3/4": 15.3}),
    28: (1.5, {"5/16": 2.3, "3/8": 3.7, "1/2": 7.0, "5/8": 11.3, "3/4": 16.5}),
    30: (1.6, {"5/16": 2.5, "3/8": 3.9, "1/2": 7.5, "5/8": 12.1, "3/4": 17.7}),
    32: (1.7, {"5/16": 2.6, "3/8": 4.2, "1/2": 8.0, "5/8": 13.0, "3/4": 18.9}),
    34: (1.8, {"5/16": 2.8, "3/8": 4.4, "1/2": 8.6, "5/8": 13.8, "3/4": 20.1}),
    36: (1.9, {"5/16": 2.9, "3/8": 4.7, "1/2": 9.1, "5/8": 14.6, "3/4": 21.3}),
    38: (2.0, {"5/16": 3.1, "3/8": 5.0, "1/2": 9.6, "5/8": 15.4, "3/4": 22.4}),
    40: (2.1, {"5/16": 3.3, "3/8": 5.2, "1/2": 10.1, "5/8": 16.2, "3/4": 23.6}),
    42: (2.2, {"3/8": 5.5, "1/2": 10.6, "5/8": 17.0, "3/4": 24.8}),
    44: (2.3, {"3/8": 5.7, "1/2": 11.1, "5/8": 17.8, "3/4": 26.0}),
    46: (2.4, {"3/8": 6.0, "1/2": 11.6, "5/8": 18.6, "3/4": 27.2}),
    48: (2.5, {"3/8": 6.3, "1/2": 12.1, "5/8": 19.4, "3/4": 28.3}),
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class ElectrodesPerJoint:
    """Cellulosic electrodes bought for one joint, in lb, by electrode diameter."""

    root_5_32_lb: float
    fill_3_16_lb: float

    @property
    def total_lb(self) -> float:
        """Both diameters together, to the handbook's own precision of 0.01 lb."""
        return round(self.root_5_32_lb + self.fill_3_16_lb, 2)


def cellulosic_per_joint(nominal_diameter_in: int, wall_in: str) -> ElectrodesPerJoint:
    """Cellulosic electrodes to buy for one girth weld welded vertical down, by table.

    Electrode bought, with 4 in stubs; the weld metal is about half of it. Look-up only:
    `wall_in` is "5/16", "3/8", "1/2", "5/8" or "3/4".
    Source: a pipeline handbook, no edition, p. 74 (read). Raises InputError: no such row or cell.

    >>> cellulosic_per_joint(24, "1/2").total_lb
    7.3
    """
    if nominal_diameter_in not in CELLULOSIC_LB:
        raise InputError(
            "nominal_diameter_in", found=nominal_diameter_in, expected="6 to 48, even numbers"
        )
    root, fill = CELLULOSIC_LB[nominal_diameter_in]
    if wall_in not in fill:
        raise InputError("wall_in", found=repr(wall_in), expected=f"one of {', '.join(fill)}")
    return ElectrodesPerJoint(root, fill[wall_in])
