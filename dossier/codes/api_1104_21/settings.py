"""Basis, named readings and sizes that all rules of API 1104, 21st edition, share.

The standard gives every figure in US customary and in SI units and asks that each system be used
on its own. The choice "units" says which one the project measures in; the SI figures are the
standard's rounded ones and are known from memory.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import pi

from dossier.codes.face import Choices
from dossier.codes.readings import Readings, reading
from dossier.errors import InputError
from dossier.records.verdicts import Basis
from dossier.units import show

EDITION = "API 1104:21st"

CHOICES: Readings = {
    "units": (
        "US",
        ("SI",),
        "system whose figures are the limits: inches, or the standard's rounded millimetres",
    ),
    "cracks": (
        "cut-out",
        ("repair",),
        (
            "what a rejected crack leads to; `repair` where the company allows repair of cracks "
            "shorter than 8 % of the weld (section 10)"
        ),
    ),
    "fixed test covers rolled": (
        "no",
        ("yes",),
        (
            "whether a test in a fixed position also covers rolled welding (6.2.2 names the change "
            "both ways)"
        ),
    ),
    "butt test covers lap fillet": (
        "inclined test only",
        ("same position",),
        "which butt test of single qualification covers lap fillet welds",
    ),
    "concavity in accumulation": (
        "not counted",
        ("counted",),
        (
            "whether concavity and burn-through no darker than the base metal, acceptable at any "
            "length, add to the accumulation of imperfections"
        ),
    ),
    "porosity distribution": (
        "hold",
        ("interpreter",),
        (
            "scattered pores are compared with the charts by eye: hold until shown, or rely on the "
            "interpreter (note)"
        ),
    ),
    "confirmation months": (
        "none",
        ("6", "12"),
        (
            "the company's own limit on the time since the test or the last confirmation; the "
            "standard sets none"
        ),
    ),
}


def choose(choices: Choices, name: str) -> str:
    """The project's reading of a named choice of this edition, or its default.

    Raises InputError: a value that is not among the alternatives.

    >>> choose({}, "units"), choose({"units": "SI"}, "units")
    ('US', 'SI')
    """
    return reading(choices, CHOICES, name)


def basis(clause: str, known: str = "memory") -> Basis:
    """Basis in this edition. `known` as in `Basis`."""
    return Basis("API 1104", "21st", clause, known)


@dataclass(frozen=True, slots=True)
class Sizes:
    """The standard's recurring lengths in millimetres, in one system of units."""

    sixty_fourth: float
    thirty_second: float
    sixteenth: float
    eighth: float
    crater: float  # 5/32 in
    quarter: float
    half: float
    one: float
    two: float
    three: float
    window: float  # 12 in
    small_od: float  # 2.375 in

    @property
    def window_text(self) -> str:
        """The length of weld over which indications are summed, in words."""
        return "12 in" if self.window > 300 else "300 mm"


_IN = 25.4
US = Sizes(
    _IN / 64,
    _IN / 32,
    _IN / 16,
    _IN / 8,
    _IN * 5 / 32,
    _IN / 4,
    _IN / 2,
    _IN,
    2 * _IN,
    3 * _IN,
    12 * _IN,
    2.375 * _IN,
)
SI = Sizes(0.4, 0.8, 1.6, 3.0, 4.0, 6.0, 13.0, 25.0, 50.0, 75.0, 300.0, 60.3)


def sizes(choices: Choices) -> Sizes:
    """The sizes of the chosen system of units.

    >>> sizes({}).half, sizes({"units": "SI"}).half
    (12.7, 13.0)
    """
    return US if choose(choices, "units") == "US" else SI


# A diameter or wall written in the standard's rounded millimetres is the inch figure it stands
# for; without this a 323.9 mm pipe would be larger than its own 12.750 in.
_SAME_OD = {60.3: 60.325, 168.3: 168.275, 323.8: 323.85, 323.9: 323.85}
_SAME_WALL = {19.1: 19.05}  # 4.8 mm and 6.4 mm lie on the right side of their inch figures
STEP_MM = 1e-6


def _snap(value: float | None, same: Mapping[float, float]) -> float | None:
    if value is None:
        return None
    for written, meant in same.items():
        if abs(value - written) <= STEP_MM or abs(value - meant) <= STEP_MM:
            return meant
    return value


def nominal_od(od_mm: float | None) -> float | None:
    """The diameter that a recorded one stands for, in mm: rounded millimetres become the inch size.

    >>> nominal_od(323.9), nominal_od(60.3), nominal_od(323.8754), nominal_od(None)
    (323.85, 60.325, 323.8754, None)
    """
    return _snap(od_mm, _SAME_OD)


def nominal_wall(wall_mm: float | None) -> float | None:
    """The wall that a recorded one stands for, in mm; as `nominal_od`.

    >>> nominal_wall(19.1), nominal_wall(12.7)
    (19.05, 12.7)
    """
    return _snap(wall_mm, _SAME_WALL)


def weld_length_mm(od_mm: float) -> float:
    """Length of a girth weld in mm: pi times the specified outside diameter in mm.

    Source: API 1104, 21st edition, 9.3 (arithmetic). Raises InputError: od_mm <= 0.

    >>> round(weld_length_mm(219.075) / 25.4, 3)
    27.096
    """
    if not od_mm > 0:
        raise InputError("od_mm", found=od_mm, expected="more than 0 mm")
    return pi * od_mm


def mm(value: float) -> str:
    """A length for people, in millimetres and inches."""
    return show(value, "mm", "dual")
