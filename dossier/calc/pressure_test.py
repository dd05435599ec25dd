"""Water of a pressure test: to fill a section, and to bring it to test pressure.

CAUTION (module constant) belongs on every sheet that prints these figures.
"""

from __future__ import annotations

from math import pi
from typing import NamedTuple

from dossier.calc.cautions import caution
from dossier.calc.guards import not_negative, positive, within
from dossier.calc.pipe import hoop_stress_mpa
from dossier.errors import InputError

CAUTION = caution("pressure")

_PSI_PER_MPA = 1.0 / 0.006894757293168
_MAX_PRESSURE_MPA = 70.0  # the handbook's linear factors are not meant for more


class SectionWater(NamedTuple):
    """Water in a section at test pressure, and how much of it was pumped in after filling."""

    at_pressure_m3: float
    added_m3: float


def fill_volume_m3(outside_diameter_mm: float, wall_mm: float, length_m: float) -> float:
    """Water that fills a test section at no pressure, in m3.

    Formula: V = pi / 4 (D - 2 t)^2 L
    Source: geometry; the handbook form is 0.0408 (D - 2 t)^2 L in US gallons, inches and feet.
    Raises InputError for a wall of half the diameter or more.

    >>> round(fill_volume_m3(273.05, 7.0866, 8046.72), 1)
    423.5
    """
    wall = positive("wall_mm", wall_mm)
    bore_m = (positive("outside_diameter_mm", outside_diameter_mm) - 2.0 * wall) / 1000.0
    if not bore_m > 0:
        raise InputError("wall_mm", found=wall_mm, expected="less than half the outside diameter")
    return pi / 4.0 * bore_m**2 * positive("length_m", length_m)


def water_compression_factor(pressure_mpa: float) -> float:
    """Volume of water at no pressure over its volume at the test pressure.

    Valid to 70 MPa.

    Formula: Fwp = 1 / (1 - 4.5e-5 P / 14.73), P in psi
    Source: Pipeline Rules of Thumb Handbook, hydrostatic testing, Appendix A (3).
    Raises InputError outside 0 to 70 MPa.

    >>> round(water_compression_factor(16.75426), 6)
    1.007479
    """
    psi = within("pressure_mpa", pressure_mpa, 0.0, _MAX_PRESSURE_MPA) * _PSI_PER_MPA
    return 1.0 / (1.0 - 4.5e-5 * psi / 14.73)


def pipe_expansion_factor(
    pressure_mpa: float, outside_diameter_mm: float, wall_mm: float, temperature_c: float
) -> float:
    """Volume of a buried steel pipe under pressure and temperature over its volume without.

    Valid for water that is liquid (0 to 100 °C) and pressures to 70 MPa.

    Formula: Fpp = 1 + (D / t)(0.91 P / 30e6) + 3.6e-6 (T - 60), P in psi, T in °F
    Source: Pipeline Rules of Thumb Handbook, hydrostatic testing, Appendix A (4).
    Raises InputError outside those limits, or for a wall of half the diameter or more.

    >>> round(pipe_expansion_factor(16.75426, 273.05, 7.0866, 10.0), 6)
    1.002804
    """
    within("pressure_mpa", pressure_mpa, 0.0, _MAX_PRESSURE_MPA)
    twice_stress_psi = 2.0 * hoop_stress_mpa(pressure_mpa, outside_diameter_mm, wall_mm)
    twice_stress_psi *= _PSI_PER_MPA
    warmer_f = within("temperature_c", temperature_c, 0.0, 100.0) * 1.8 + 32.0 - 60.0
    return 1.0 + 0.91 * twice_stress_psi / 30e6 + 3.6e-6 * warmer_f


def water_temperature_factor(temperature_c: float, water_factor: float) -> float:
    """What the temperature of the section does to the water it holds (1 at 60 °F).

    `water_factor` (Fwt) is the relative volume of water at that temperature, read from a table
    of water density; it is 1 at 60 °F (15.56 °C) and less where the water is denser.

    Formula: Fpwt = (1 + 18.2e-6 (T - 60)) / Fwt, T in °F
    Source: Pipeline Rules of Thumb Handbook, hydrostatic testing, Appendix A (5); the steel term
    from memory, it reproduces the book's worked example.
    Raises InputError outside 0 to 100 °C or for a factor of 0 or less.

    >>> round(water_temperature_factor(10.0, 0.9993061), 6)
    1.000512
    """
    warmer_f = within("temperature_c", temperature_c, 0.0, 100.0) * 1.8 + 32.0 - 60.0
    return (1.0 + 18.2e-6 * warmer_f) / positive("water_factor", water_factor)


def water_at_pressure(
    fill_m3: float,
    compression_factor: float,
    expansion_factor: float,
    temperature_factor: float = 1.0,
) -> SectionWater:
    """Water in a section at test pressure, and the part pumped in after filling, in m3.

    The factors are those of `water_compression_factor`, `pipe_expansion_factor` and
    `water_temperature_factor`.

    Formula: Vtp = V Fwp Fpp Fpwt; added = Vtp - V
    Source: Pipeline Rules of Thumb Handbook, hydrostatic testing, Appendix A (2).
    Raises InputError for a volume or factor of 0 or less.

    >>> round(water_at_pressure(423.5, 1.007479, 1.002804, 1.000512).added_m3, 2)
    4.58
    """
    start = positive("fill_m3", fill_m3)
    full = start * positive("compression_factor", compression_factor)
    full *= positive("expansion_factor", expansion_factor)
    full *= positive("temperature_factor", temperature_factor)
    return SectionWater(full, full - start)


def head_pressure_mpa(height_m: float, density_kg_m3: float = 1000.0) -> float:
    """Pressure of a column of water, in MPa: what a low point carries above a high one.

    Formula: P = rho g h
    Source: hydrostatics, g = 9.80665 m/s2.
    Raises InputError for a negative height or a density of 0 or less.

    >>> round(head_pressure_mpa(100.0), 4)
    0.9807
    """
    density = positive("density_kg_m3", density_kg_m3)
    return density * 9.80665 * not_negative("height_m", height_m) / 1e6
