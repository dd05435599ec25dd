"""Pipe under pressure: hoop stress, wall, design pressure, test pressure, mass.

CAUTION (module constant) belongs on every sheet that prints a test pressure.
"""

from __future__ import annotations

from dossier.calc.cautions import caution
from dossier.calc.guards import not_negative, positive
from dossier.errors import InputError

CAUTION = caution("pressure")


def _bore_limit(wall: float, outside_diameter: float, unit: str) -> None:
    positive(f"outside_diameter_{unit}", outside_diameter)
    if not positive(f"wall_{unit}", wall) < outside_diameter / 2:
        raise InputError(f"wall_{unit}", found=wall, expected="less than half the outside diameter")


def _share(name: str, value: float) -> float:
    if not 0 < value <= 1:
        raise InputError(name, found=value, expected="more than 0, at most 1")
    return value


def hoop_stress_mpa(pressure_mpa: float, outside_diameter_mm: float, wall_mm: float) -> float:
    """Hoop stress in a pipe by the outside diameter, in MPa.

    Formula: S = P D / (2 t)
    Source: Barlow formula, as ASME B31.4, ASME B31.8 and 49 CFR 192.105 use it.
    Raises InputError for a negative pressure, or a wall of half the diameter or more.

    >>> round(hoop_stress_mpa(15.0, 1016.0, 17.5), 2)
    435.43
    """
    _bore_limit(wall_mm, outside_diameter_mm, "mm")
    return not_negative("pressure_mpa", pressure_mpa) * outside_diameter_mm / (2.0 * wall_mm)


def percent_smys(stress_mpa: float, smys_mpa: float) -> float:
    """A stress as percent of the specified minimum yield strength.

    Formula: 100 S / SMYS
    Source: definition, as 49 CFR 192 and ASME B31.4 use it.
    Raises InputError for a negative stress or a yield strength of 0 or less.

    >>> round(percent_smys(435.4286, 485.0), 2)
    89.78
    """
    return 100.0 * not_negative("stress_mpa", stress_mpa) / positive("smys_mpa", smys_mpa)


def wall_for_stress_mm(pressure_mpa: float, outside_diameter_mm: float, stress_mpa: float) -> float:
    """Wall at which the hoop stress equals a given stress, in mm, without any allowance.

    Formula: t = P D / (2 S)
    Source: Barlow formula (rearranged).
    Raises InputError unless every argument is more than 0.

    >>> round(wall_for_stress_mm(7.0, 762.0, 210.0), 3)
    12.7
    """
    force = positive("pressure_mpa", pressure_mpa) * positive(
        "outside_diameter_mm", outside_diameter_mm
    )
    return force / (2.0 * positive("stress_mpa", stress_mpa))


def pressure_for_stress_mpa(stress_mpa: float, outside_diameter_mm: float, wall_mm: float) -> float:
    """Pressure at which the hoop stress equals a given stress, in MPa.

    Formula: P = 2 S t / D
    Source: Barlow formula (rearranged).
    Raises InputError for a stress of 0 or less, or a wall of half the diameter or more.

    >>> pressure_for_stress_mpa(435.0, 1000.0, 20.0)
    17.4
    """
    _bore_limit(wall_mm, outside_diameter_mm, "mm")
    return 2.0 * positive("stress_mpa", stress_mpa) * wall_mm / outside_diameter_mm


def design_pressure_mpa(
    smys_mpa: float,
    outside_diameter_mm: float,
    wall_mm: float,
    design_factor: float,
    joint_factor: float = 1.0,
    temperature_factor: float = 1.0,
) -> float:
    """Design pressure of steel pipe for gas, in MPa.

    The factors of the class location, the long seam and the temperature come from 192.111,
    192.113 and 192.115 (`dossier.codes.cfr_192_design`). `wall_mm` is the nominal wall; 192.109
    limits which one may be used when it is not known.

    Formula: P = (2 S t / D) F E T
    Source: 49 CFR 192.105(a).
    Raises InputError for a factor outside 0 to 1, or a wall of half the diameter or more.

    >>> design_pressure_mpa(360.0, 600.0, 10.0, 0.5)
    6.0
    """
    factors = _share("design_factor", design_factor) * _share("joint_factor", joint_factor)
    factors *= _share("temperature_factor", temperature_factor)
    return pressure_for_stress_mpa(smys_mpa, outside_diameter_mm, wall_mm) * factors


def mill_test_fraction(grade_smys_mpa: float, outside_diameter_mm: float) -> float:
    """Share of SMYS that the standard mill hydrostatic test stresses line pipe to.

    Grades A and B (SMYS up to 245 MPa) 0.60; higher grades 0.60 to 141.3 mm outside diameter,
    0.75 to 219.1 mm, 0.85 below 508 mm, 0.90 from 508 mm.

    Formula: table
    Source: API 5L, 45th edition, 10.2.6.5, Table 26 (0.60 and 0.90 secondary, the rest memory).
    Raises InputError unless both arguments are more than 0.

    >>> mill_test_fraction(450.0, 610.0), mill_test_fraction(450.0, 168.3)
    (0.9, 0.75)
    """
    diameter = positive("outside_diameter_mm", outside_diameter_mm)
    if positive("grade_smys_mpa", grade_smys_mpa) <= 245.0:
        return 0.60
    if diameter <= 141.3:
        return 0.60
    if diameter <= 219.1:
        return 0.75
    return 0.85 if diameter < 508.0 else 0.90


def mill_test_pressure_mpa(
    smys_mpa: float, outside_diameter_mm: float, wall_mm: float, stress_fraction: float
) -> float:
    """Mill hydrostatic test pressure of line pipe, in MPa, before any rounding or upper limit.

    Formula: P = 2 S t / D with S = fraction x SMYS
    Source: API 5L, 45th edition, 10.2.6.5 (secondary).
    Raises InputError for a fraction outside 0 to 1, or a wall of half the diameter or more.

    >>> mill_test_pressure_mpa(450.0, 600.0, 10.0, 0.9)
    13.5
    """
    stress = positive("smys_mpa", smys_mpa) * _share("stress_fraction", stress_fraction)
    return pressure_for_stress_mpa(stress, outside_diameter_mm, wall_mm)


def plain_end_mass_kg_m(outside_diameter_mm: float, wall_mm: float) -> float:
    """Plain-end mass of steel pipe, in kg/m.

    The metric constant (7850 kg/m3) and the inch constant of the standard differ by 0.1 percent,
    so a mass in lb/ft is never converted from this one (see `plain_end_mass_lb_ft`).

    Formula: 0.0246615 (D - t) t
    Source: ASME B36.10M:2018, mass formula (memory).
    Raises InputError for a wall of half the diameter or more.

    >>> round(plain_end_mass_kg_m(610.0, 9.53), 1)
    141.1
    """
    _bore_limit(wall_mm, outside_diameter_mm, "mm")
    return 0.0246615 * (outside_diameter_mm - wall_mm) * wall_mm


def plain_end_mass_lb_ft(outside_diameter_in: float, wall_in: float) -> float:
    """Plain-end mass of steel pipe, in lb/ft.

    Formula: 10.6802 (D - t) t
    Source: ASME B36.10M:2018, mass formula (memory).
    Raises InputError for a wall of half the diameter or more.

    >>> round(plain_end_mass_lb_ft(24.0, 0.375), 2)
    94.62
    """
    _bore_limit(wall_in, outside_diameter_in, "in")
    return 10.6802 * (outside_diameter_in - wall_in) * wall_in


def cover_m(ditch_depth_m: float, bedding_m: float, outside_diameter_m: float) -> float:
    """Cover over the top of a pipe laid on its bedding, in m.

    Formula: cover = ditch depth - bedding - outside diameter
    Source: geometry (common practice); depth measured from the finished grade.
    Raises InputError when the pipe would stand out of the ditch.

    >>> round(cover_m(2.74, 0.15, 0.61), 2)
    1.98
    """
    filled = not_negative("bedding_m", bedding_m) + positive(
        "outside_diameter_m", outside_diameter_m
    )
    if positive("ditch_depth_m", ditch_depth_m) < filled:
        raise InputError(
            "ditch_depth_m", found=ditch_depth_m, expected=f"at least bedding and pipe, {filled:g}"
        )
    return ditch_depth_m - filled
