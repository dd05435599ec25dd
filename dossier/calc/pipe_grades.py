"""Tensile limits of line pipe grades."""

from __future__ import annotations

from types import MappingProxyType
from typing import NamedTuple

from dossier.errors import InputError
from dossier.records.verdicts import Basis
from dossier.units import convert

TABLE_7 = Basis("API 5L", "45th", "Table 7", known="secondary")


class TensileLimits(NamedTuple):
    """Yield and tensile strength limits of a pipe body, in MPa."""

    min_yield_mpa: float
    max_yield_mpa: float
    min_tensile_mpa: float
    max_tensile_mpa: float


# PSL 2 pipe body. B, X52, X60, X65 and X70 secondary; the others and all upper tensile limits
# from memory (an older edition allows 655 MPa for B and X42 and 760 for those up to X70).
PSL_2 = MappingProxyType(
    {
        "L245/B": TensileLimits(245, 450, 415, 655),
        "L290/X42": TensileLimits(290, 495, 415, 655),
        "L320/X46": TensileLimits(320, 525, 435, 655),
        "L360/X52": TensileLimits(360, 530, 460, 760),
        "L390/X56": TensileLimits(390, 545, 490, 760),
        "L415/X60": TensileLimits(415, 565, 520, 760),
        "L450/X65": TensileLimits(450, 600, 535, 760),
        "L485/X70": TensileLimits(485, 635, 570, 760),
        "L555/X80": TensileLimits(555, 705, 625, 825),
        "L625/X90": TensileLimits(625, 775, 695, 915),
        "L690/X100": TensileLimits(690, 840, 760, 990),
        "L830/X120": TensileLimits(830, 1050, 915, 1145),
    }
)


def psl_2_tensile_limits(grade: str) -> TensileLimits:
    """Yield and tensile limits of a PSL 2 pipe grade, in MPa.

    `grade` is written as "L360/X52", or by either half.

    Formula: table
    Source: API 5L, 45th edition, Table 7 (secondary; some grades from memory).
    Raises InputError for any other grade.

    >>> psl_2_tensile_limits("X52").min_yield_mpa
    360
    """
    for name, limits in PSL_2.items():
        if grade == name or grade in name.split("/"):
            return limits
    raise InputError("grade", found=grade, expected=f"one of {', '.join(PSL_2)}")


def table_psi(stress_mpa: float) -> int:
    """A strength in psi as the table prints it: converted and rounded to the nearest 100 psi.

    Formula: round(MPa x 145.0377 / 100) x 100
    Source: API 5L, 45th edition, Table 7 (secondary).

    >>> table_psi(360)
    52200
    """
    return int(convert(stress_mpa, "MPa", "psi") / 100.0 + 0.5) * 100
