"""Limits of radiographic indications by acceptance level. All figures are from memory."""

from __future__ import annotations

from dataclasses import dataclass

from dossier.errors import InputError
from dossier.records.verdicts import Basis

BASIS = Basis("ISO 10675-1", "2016", "Table 1", "memory")

QUALITY_LEVELS = {1: "B", 2: "C", 3: "D"}  # of ISO 5817
PER_LENGTH_MM = 100.0
_PORES = {1: (0.2, 3.0), 2: (0.3, 4.0), 3: (0.4, 5.0)}  # factor of s, cap in mm
_SLAG = {1: (0.2, 2.0, 25.0), 2: (0.3, 3.0, 50.0), 3: (0.4, 4.0, 75.0)}  # height; cap of length
_LACK_OF_FUSION_MM = {1: 0.0, 2: 0.0, 3: 25.0}


@dataclass(frozen=True, slots=True)
class SlagLimit:
    """Permitted slag: height, and summed length within `per_length_mm` of weld, in mm."""

    height_mm: float
    sum_length_mm: float
    per_length_mm: float = PER_LENGTH_MM


def _checked(level: int, s_mm: float = 1.0) -> None:
    if level not in QUALITY_LEVELS:
        raise InputError("level", found=level, expected="1, 2 or 3")
    if not s_mm > 0:
        raise InputError("s_mm", found=s_mm, expected="more than 0 mm")


def single_pore_limit_mm(level: int, s_mm: float) -> float:
    """Largest diameter of a single pore, in mm, for weld thickness `s_mm`.

    Source: ISO 10675-1:2016, Table 1 (memory). Raises InputError: level, thickness.

    >>> single_pore_limit_mm(1, 12.0), single_pore_limit_mm(2, 20.0)
    (2.4, 4.0)
    """
    _checked(level, s_mm)
    factor, cap_mm = _PORES[level]
    return min(cap_mm, round(factor * s_mm, 9))


def slag_limit(level: int, s_mm: float) -> SlagLimit:
    """Permitted slag for weld thickness `s_mm`.

    Source: ISO 10675-1:2016, Table 1 (memory). Raises InputError: level, thickness.

    >>> slag_limit(2, 12.0)
    SlagLimit(height_mm=3.0, sum_length_mm=12.0, per_length_mm=100.0)
    """
    _checked(level, s_mm)
    factor, cap_mm, length_mm = _SLAG[level]
    return SlagLimit(min(cap_mm, round(factor * s_mm, 9)), min(s_mm, length_mm))


def lack_of_fusion_limit_mm(level: int) -> float:
    """Summed length of lack of fusion or penetration within 100 mm of weld, in mm; 0 is none.

    At level 3 only broken-up ones that do not break the surface.
    Source: ISO 10675-1:2016, Table 1 (memory). Raises InputError: level.

    >>> lack_of_fusion_limit_mm(3), lack_of_fusion_limit_mm(2)
    (25.0, 0.0)
    """
    _checked(level)
    return _LACK_OF_FUSION_MM[level]
