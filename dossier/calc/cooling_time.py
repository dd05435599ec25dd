"""Cooling time from 800 to 500 °C, t8/5, of unalloyed and low-alloy steel.

Source of every formula: EN 1011-2:2001, Annex D (secondary: a handbook that reports it).
Heat input is that of EN 1011-1, with the thermal efficiency of the process.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite, sqrt

from dossier.calc.guards import positive
from dossier.errors import InputError
from dossier.records.verdicts import Basis

BASIS = Basis("EN 1011-2", "2001", "Annex D", "secondary")


@dataclass(frozen=True, slots=True)
class Shape:
    """Shape factors of a joint: `f2` for two-dimensional heat flow, `f3` for three-dimensional."""

    f2: float = 1.0
    f3: float = 1.0

    def __post_init__(self) -> None:
        for name, factor in (("f2", self.f2), ("f3", self.f3)):
            if not 0 < factor <= 1:
                raise InputError(name, found=factor, expected="more than 0, at most 1")


RUN_ON_PLATE = Shape()

# (lowest, highest) shape of each joint, from memory; where the standard names a range, both ends
# matter: the lower cools faster (hardness), the higher slower (toughness).
SHAPES = {
    "run on plate": (Shape(1.0, 1.0), Shape(1.0, 1.0)),
    "butt, between runs": (Shape(0.9, 0.9), Shape(0.9, 0.9)),
    "single-run fillet, corner": (Shape(0.67, 0.67), Shape(0.9, 0.67)),
    "single-run fillet, T-joint": (Shape(0.45, 0.67), Shape(0.67, 0.67)),
}


def _preheat(preheat_c: float) -> float:
    if not -50 <= preheat_c < 500:
        raise InputError("preheat_c", found=preheat_c, expected="from -50 °C to under 500 °C")
    return preheat_c


def _per_kj_3d(preheat_c: float, shape: Shape) -> float:
    """t8/5 per kJ/mm in three-dimensional flow, s."""
    t0 = _preheat(preheat_c)
    return (6700 - 5 * t0) * (1 / (500 - t0) - 1 / (800 - t0)) * shape.f3


def _per_kj2_2d(preheat_c: float, shape: Shape) -> float:
    """t8/5 per (kJ/mm / mm of plate) squared in two-dimensional flow, s."""
    t0 = _preheat(preheat_c)
    return (4300 - 4.3 * t0) * 1e5 * (1 / (500 - t0) ** 2 - 1 / (800 - t0) ** 2) * shape.f2


def t85_three_dimensional_s(
    heat_input_kj_mm: float, preheat_c: float, shape: Shape = RUN_ON_PLATE
) -> float:
    """t8/5 of a thick plate, where heat also flows through the thickness, in s.

    Formula: (6700 - 5 T0) Q [1/(500-T0) - 1/(800-T0)] F3, with T0 in °C and Q in kJ/mm.
    Limits: T0 below 500 °C (and, as a check against slips, not below -50 °C).
    Source: EN 1011-2:2001, Annex D (secondary). Raises InputError outside the limits.

    >>> round(t85_three_dimensional_s(1.0, 20.0), 5)
    5.28846
    """
    return positive("heat_input_kj_mm", heat_input_kj_mm) * _per_kj_3d(preheat_c, shape)


def t85_two_dimensional_s(
    heat_input_kj_mm: float, preheat_c: float, thickness_mm: float, shape: Shape = RUN_ON_PLATE
) -> float:
    """t8/5 of a thin plate, where heat flows in the plane only, in s.

    Formula: (4300 - 4.3 T0) 1e5 (Q/d)^2 [1/(500-T0)^2 - 1/(800-T0)^2] F2
    Limits: T0 below 500 °C (and not below -50 °C); d more than 0.
    Source: EN 1011-2:2001, Annex D (secondary). Raises InputError outside the limits.

    >>> round(t85_two_dimensional_s(1.0, 20.0, 10.0), 4)
    11.3636
    """
    ratio = positive("heat_input_kj_mm", heat_input_kj_mm) / positive("thickness_mm", thickness_mm)
    return ratio**2 * _per_kj2_2d(preheat_c, shape)


def transition_thickness_mm(
    heat_input_kj_mm: float, preheat_c: float, shape: Shape = RUN_ON_PLATE
) -> float:
    """Thickness at which the two heat flows give the same t8/5, in mm.

    The standard states it for F2 = F3 = 1; here it is where the two formulae meet, which is the
    same whenever the factors are equal.
    Source: EN 1011-2:2001, Annex D (secondary). Raises InputError outside the formulae's limits.

    >>> round(transition_thickness_mm(1.0, 20.0), 4)
    14.6586
    """
    heat = positive("heat_input_kj_mm", heat_input_kj_mm)
    return sqrt(heat * _per_kj2_2d(preheat_c, shape) / _per_kj_3d(preheat_c, shape))


@dataclass(frozen=True, slots=True)
class CoolingTime:
    """The governing t8/5 and the heat flow, "2d" or "3d", that sets it."""

    t85_s: float
    flow: str
    transition_mm: float


def cooling_time(
    heat_input_kj_mm: float, preheat_c: float, thickness_mm: float, shape: Shape = RUN_ON_PLATE
) -> CoolingTime:
    """The governing t8/5: three-dimensional from the transition thickness on, else two.

    Source: EN 1011-2:2001, Annex D (secondary). Raises InputError outside the formulae's limits.

    >>> cooling_time(1.0, 20.0, 20.0).flow, round(cooling_time(1.2, 100.0, 12.0).t85_s, 4)
    ('3d', 16.2895)
    """
    thickness = positive("thickness_mm", thickness_mm)
    transition = transition_thickness_mm(heat_input_kj_mm, preheat_c, shape)
    if thickness >= transition:
        t85 = t85_three_dimensional_s(heat_input_kj_mm, preheat_c, shape)
        return CoolingTime(t85, "3d", transition)
    t85 = t85_two_dimensional_s(heat_input_kj_mm, preheat_c, thickness, shape)
    return CoolingTime(t85, "2d", transition)


def heat_input_for_3d_kj_mm(t85_s: float, preheat_c: float, shape: Shape = RUN_ON_PLATE) -> float:
    """Heat input that gives a wanted t8/5 in three-dimensional heat flow, in kJ/mm.

    Inverse of `t85_three_dimensional_s`, with its limits and errors.
    Source: EN 1011-2:2001, Annex D (secondary), solved for the heat input.

    >>> round(heat_input_for_3d_kj_mm(10.0, 100.0), 6)
    1.505376
    """
    return positive("t85_s", t85_s) / _per_kj_3d(preheat_c, shape)


def heat_input_for_2d_kj_mm(
    t85_s: float, preheat_c: float, thickness_mm: float, shape: Shape = RUN_ON_PLATE
) -> float:
    """Heat input that gives a wanted t8/5 in two-dimensional heat flow, in kJ/mm.

    Inverse of `t85_two_dimensional_s`, with its limits and errors.
    Source: EN 1011-2:2001, Annex D (secondary), solved for the heat input.

    >>> round(heat_input_for_2d_kj_mm(11.3636, 20.0, 10.0), 4)
    1.0
    """
    squared = positive("t85_s", t85_s) / _per_kj2_2d(preheat_c, shape)
    return positive("thickness_mm", thickness_mm) * sqrt(squared)


def heat_input_for_kj_mm(
    t85_s: float, preheat_c: float, thickness_mm: float, shape: Shape = RUN_ON_PLATE
) -> float:
    """Heat input that gives a wanted governing t8/5, in kJ/mm.

    The governing cooling time is the longer of the two, so the heat input is the smaller.
    Inverse of `cooling_time`, with its limits and errors.
    Source: EN 1011-2:2001, Annex D (secondary), solved for the heat input.

    >>> round(heat_input_for_kj_mm(16.2895, 100.0, 12.0), 4)
    1.2
    """
    return min(
        heat_input_for_3d_kj_mm(t85_s, preheat_c, shape),
        heat_input_for_2d_kj_mm(t85_s, preheat_c, thickness_mm, shape),
    )


def heat_input_window_kj_mm(
    t85_range_s: tuple[float, float],
    preheat_range_c: tuple[float, float],
    thickness_mm: float,
    shape: Shape = RUN_ON_PLATE,
) -> tuple[float, float]:
    """Heat inputs that keep t8/5 in its range over the whole preheat and interpass range, kJ/mm.

    `preheat_range_c` runs from the lowest preheat to the highest interpass temperature. The
    coldest pass sets the lower end (it cools fastest), the hottest the upper one.
    Limits and source as `cooling_time`.
    Raises InputError: a range the wrong way round, or no heat input that serves both ends.

    >>> low, high = heat_input_window_kj_mm((8.0, 20.0), (100.0, 150.0), 20.0)
    >>> round(low, 2), round(high, 2)
    (1.2, 1.94)
    """
    for name, ends in (("t85_range_s", t85_range_s), ("preheat_range_c", preheat_range_c)):
        if not ends[0] <= ends[1]:
            raise InputError(name, found=ends, expected="the lower end first")
    low = heat_input_for_kj_mm(t85_range_s[0], preheat_range_c[0], thickness_mm, shape)
    high = heat_input_for_kj_mm(t85_range_s[1], preheat_range_c[1], thickness_mm, shape)
    if not (low <= high and isfinite(high)):
        raise InputError(
            "t85_range_s", found=t85_range_s, expected="a range one heat input can hold"
        )
    return low, high
