"""Outside diameters and nominal walls of steel pipe by nominal size and schedule."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal
from types import MappingProxyType
from typing import NamedTuple

from dossier.errors import InputError
from dossier.records.verdicts import Basis

TABLE_1 = Basis("ASME B36.10M", "2018", "Table 1", known="secondary")


class PipeSize(NamedTuple):
    """Outside diameter and nominal wall of one pipe size, in both systems of the standard."""

    outside_diameter_mm: float
    outside_diameter_in: float
    wall_mm: float
    wall_in: float


# Nominal pipe size: outside diameter in mm and in, then walls in inches by schedule. The metric
# diameters are rounded by the standard (24 in is 610 mm, not 609.6), the metric walls are the
# inch walls to 0.01 mm. Sizes and walls that an open-source piping table confirms are secondary;
# the others are from memory.
_SIZES: dict[str, tuple[float, float, str]] = {
    "0.5": (21.3, 0.840, "40 .109 80 .147 160 .188 XXS .294"),
    "0.75": (26.7, 1.050, "40 .113 80 .154 160 .219 XXS .308"),
    "1": (33.4, 1.315, "40 .133 80 .179 160 .250 XXS .358"),
    "1.25": (42.2, 1.660, "40 .140 80 .191 160 .250 XXS .382"),
    "1.5": (48.3, 1.900, "40 .145 80 .200 160 .281 XXS .400"),
    "2": (60.3, 2.375, "40 .154 80 .218 160 .344 XXS .436"),
    "2.5": (73.0, 2.875, "40 .203 80 .276 160 .375 XXS .552"),
    "3": (88.9, 3.500, "40 .216 80 .300 160 .438 XXS .600"),
    "3.5": (101.6, 4.000, "40 .226 80 .318"),
    "4": (114.3, 4.500, "40 .237 80 .337 120 .438 160 .531 XXS .674"),
    "5": (141.3, 5.563, "40 .258 80 .375 120 .500 160 .625 XXS .750"),
    "6": (168.3, 6.625, "40 .280 80 .432 120 .562 160 .719 XXS .864"),
    "8": (
        219.1,
        8.625,
        "20 .250 30 .277 40 .322 60 .406 80 .500 100 .594 120 .719 140 .812 XXS .875 160 .906",
    ),
    "10": (
        273.0,
        10.750,
        "20 .250 30 .307 40 .365 60 .500 80 .594 100 .719 120 .844 140 1.000 160 1.125",
    ),
    "12": (
        323.8,
        12.750,
        (
            "20 .250 30 .330 STD .375 40 .406 XS .500 60 .562 80 .688 100 .844 120 1.000 "
            "140 1.125 160 1.312"
        ),
    ),
    "14": (
        355.6,
        14.000,
        (
            "10 .250 20 .312 30 .375 40 .438 XS .500 60 .594 80 .750 100 .938 120 1.094 "
            "140 1.250 160 1.406"
        ),
    ),
    "16": (
        406.4,
        16.000,
        "10 .250 20 .312 30 .375 40 .500 60 .656 80 .844 100 1.031 120 1.219 140 1.438 160 1.594",
    ),
    "18": (
        457.0,
        18.000,
        (
            "10 .250 20 .312 STD .375 30 .438 XS .500 40 .562 60 .750 80 .938 100 1.156 "
            "120 1.375 140 1.562 160 1.781"
        ),
    ),
    "20": (
        508.0,
        20.000,
        "10 .250 20 .375 30 .500 40 .594 60 .812 80 1.031 100 1.281 120 1.500 140 1.750 160 1.969",
    ),
    "24": (
        610.0,
        24.000,
        (
            "10 .250 20 .375 XS .500 30 .562 40 .688 60 .969 80 1.219 100 1.531 120 1.812 "
            "140 2.062 160 2.344"
        ),
    ),
    "30": (762.0, 30.000, "10 .312 STD .375 20 .500 30 .625"),
    "36": (914.0, 36.000, "10 .312 STD .375 20 .500 30 .625 40 .750"),
    "42": (1067.0, 42.000, "STD .375 XS .500 30 .625 40 .750"),
    "48": (1219.0, 48.000, "STD .375 XS .500"),
}

# The weight classes are schedules of their own up to a size and fixed walls from there on:
# STD is schedule 40 to NPS 10 and 0.375 in above, XS schedule 80 to NPS 8 and 0.500 in above.
_STD_IN, _XS_IN = "0.375", "0.500"


def _mm(inches: str) -> float:
    exact = Decimal(inches) * Decimal("25.4")
    return float(exact.quantize(Decimal("0.01"), ROUND_HALF_UP))


def _walls(nps: str) -> dict[str, str]:
    words = _SIZES[nps][2].split()
    walls = dict(zip(words[::2], words[1::2], strict=True))
    walls.setdefault("STD", walls["40"] if float(nps) <= 10 else _STD_IN)
    walls.setdefault("XS", walls["80"] if float(nps) <= 8 else _XS_IN)
    return walls


SIZES = MappingProxyType({nps: (mm, inches) for nps, (mm, inches, _) in _SIZES.items()})


def schedules(nps: str) -> tuple[str, ...]:
    """The schedules and weight classes this module holds for one nominal pipe size.

    Source: ASME B36.10M:2018, Table 1. Raises InputError for a size it does not hold.

    >>> schedules("3.5")
    ('40', '80', 'STD', 'XS')
    """
    if nps not in _SIZES:
        raise InputError("nps", found=nps, expected=f"one of {', '.join(_SIZES)}")
    return tuple(_walls(nps))


def pipe_size(nps: str, schedule: str) -> PipeSize:
    """Outside diameter and nominal wall of a nominal pipe size and schedule.

    `nps` is written in inches as decimals ("0.75", "12"); `schedule` is a number as text, or
    "STD", "XS", "XXS".

    Formula: table
    Source: ASME B36.10M:2018, Table 1 (inch figures partly from memory; metric walls are the
    inch walls to 0.01 mm).
    Raises InputError for a size or schedule that the module does not hold.

    >>> pipe_size("12", "40")
    PipeSize(outside_diameter_mm=323.8, outside_diameter_in=12.75, wall_mm=10.31, wall_in=0.406)
    """
    held = schedules(nps)
    if schedule not in held:
        raise InputError("schedule", found=schedule, expected=f"one of {', '.join(held)}")
    wall = _walls(nps)[schedule]
    outside_mm, outside_in = SIZES[nps]
    return PipeSize(outside_mm, outside_in, _mm(wall), float(wall))
