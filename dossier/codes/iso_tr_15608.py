"""ISO/TR 15608: grouping of steels, as far as yield strength, condition and composition decide.

Sub-group limits of CR ISO 15608:2000 (read), kept in 2005, 2013 and 2017.
"""

from __future__ import annotations

import re

from dossier.errors import InputError
from dossier.records.procedures import Composition
from dossier.records.verdicts import Basis

EDITION = "ISO/TR 15608:2017"
BASIS = Basis("ISO/TR 15608", "2017", "steel table", "read")
GRADES = Basis("ISO/TR 20172", "", "", "memory")

# Usual grades with the group that lists of European steels give them: grade -> (group, MPa).
_GRADES: dict[str, tuple[str, int | None]] = {
    "S235JR": ("1.1", 235), "S235J0": ("1.1", 235), "S235J2": ("1.1", 235),
    "S275JR": ("1.1", 275), "S275J0": ("1.1", 275), "S275J2": ("1.1", 275),
    "S355JR": ("1.2", 355), "S355J0": ("1.2", 355), "S355J2": ("1.2", 355),
    "S355K2": ("1.2", 355), "S355N": ("1.2", 355), "S355NL": ("1.2", 355),
    "S355M": ("1.2", 355), "S355ML": ("1.2", 355), "S420N": ("1.3", 420),
    "S420NL": ("1.3", 420), "S460N": ("1.3", 460), "S460NL": ("1.3", 460),
    "S420M": ("2.1", 420), "S420ML": ("2.1", 420), "S460M": ("2.1", 460), "S460ML": ("2.1", 460),
    "S500M": ("2.2", 500), "S550Q": ("3.1", 550), "S690Q": ("3.1", 690), "S690QL": ("3.1", 690),
    "S890Q": ("3.2", 890), "S890QL": ("3.2", 890), "P235GH": ("1.1", 235), "P265GH": ("1.1", 265),
    "P295GH": ("1.2", 295), "P355GH": ("1.2", 355), "P355N": ("1.2", 355), "16Mo3": ("1.2", 275),
    "13CrMo4-5": ("5.1", 300), "10CrMo9-10": ("5.2", 310), "L245N": ("1.1", 245),
    "L290N": ("1.2", 290), "L360N": ("1.2", 360), "L415N": ("1.3", 415), "L245M": ("1.1", 245),
    "L290M": ("1.2", 290), "L360M": ("1.2", 360), "L415M": ("2.1", 415), "L450M": ("2.1", 450),
    "L485M": ("2.2", 485), "L555M": ("2.2", 555), "L555Q": ("3.1", 555),
}  # fmt: skip
_CONDITIONS = {
    "as rolled": "1", "normalised": "1", "thermomechanical": "2", "quenched and tempered": "3",
}  # fmt: skip
CONDITIONS = tuple(_CONDITIONS)


def carbon_steel_group(condition: str, yield_mpa: float) -> str:
    """The group of a carbon-manganese or fine-grain steel, by condition and yield strength.

    `yield_mpa` is the specified minimum. `condition` is one of `CONDITIONS`, longer wording
    ("normalised fine grain") included. As rolled over 360 MPa belongs to no group here.
    Source: CR ISO 15608:2000, steel table (read). Raises InputError: not in the table.

    >>> carbon_steel_group("as rolled or normalised", 275), carbon_steel_group("normalised", 420)
    ('1.1', '1.3')
    >>> carbon_steel_group("thermomechanical", 485)
    '2.2'
    """
    if not yield_mpa > 0:
        raise InputError("yield_mpa", found=yield_mpa, expected="more than 0 MPa")
    main = next((m for word, m in reversed(_CONDITIONS.items()) if word in condition), "")
    if not main:
        raise InputError("condition", found=repr(condition), expected=", ".join(CONDITIONS))
    if yield_mpa <= 360:
        if main == "3":
            raise InputError("yield_mpa", found=yield_mpa, expected="more than 360 MPa in group 3")
        return "1.1" if yield_mpa <= 275 else "1.2"
    if main == "1" and "normalised" not in condition:
        raise InputError("yield_mpa", found=yield_mpa, expected="up to 360 MPa as rolled")
    limit_mpa = {"1": float("inf"), "2": 460.0, "3": 690.0}[main]
    if main == "1":
        return "1.3"
    return f"{main}.1" if yield_mpa <= limit_mpa else f"{main}.2"


def chromium_group(cr_pct: float, mo_pct: float) -> str:
    """The sub-group of a chromium-molybdenum steel free of vanadium, by content in per cent.

    Source: CR ISO 15608:2000, steel table, group 5 (read; the molybdenum limits, 0.7 % in 5.1,
    over 0.7 to 1.2 % in 5.2, 0.4 to 0.7 % in 5.3 and 0.7 to 1.2 % in 5.4, memory).
    Raises InputError: outside the table.

    >>> chromium_group(2.25, 1.0), chromium_group(1.0, 0.5)
    ('5.2', '5.1')
    """
    steps = (
        ("5.1", 0.75, 1.5, 0.0, 0.7),
        ("5.2", 1.5, 3.5, 0.7, 1.2),
        ("5.3", 3.5, 7.0, 0.4, 0.7),
        ("5.4", 7.0, 10.0, 0.7, 1.2),
    )
    for group, cr_low, cr_high, mo_low, mo_high in steps:
        over = cr_pct >= cr_low if group == "5.1" else cr_pct > cr_low
        if over and cr_pct <= cr_high and mo_low <= mo_pct <= mo_high:
            return group
    raise InputError(
        "cr_pct", found=f"{cr_pct} % Cr, {mo_pct} % Mo", expected="a composition of group 5"
    )


def composition_group(composition: Composition) -> str:
    """The sub-group of a chromium-molybdenum steel from its analysis.

    Source: as `chromium_group`. Raises InputError: chromium or molybdenum not analysed, vanadium
    over 0.1 %, or outside the table.

    >>> composition_group(Composition(cr=2.2, mo=0.95, v=0.01))
    '5.2'
    """
    if composition.cr is None or composition.mo is None:
        raise InputError("composition", found="Cr or Mo not analysed", expected="both")
    if composition.v is not None and composition.v > 0.1:
        raise InputError("v_pct", found=composition.v, expected="up to 0.1 % in group 5")
    return chromium_group(composition.cr, composition.mo)


def grade_group(grade: str) -> str:
    """The group of a usual European or line-pipe grade; "" where it is not in the short list.

    Source: grade lists beside ISO/TR 15608 (memory); each entry agrees with
    `carbon_steel_group` for its specified minimum yield strength.

    >>> grade_group("S355J2+N"), grade_group("L485ME"), grade_group("unheard-of")
    ('1.2', '2.2', '')
    """
    return _GRADES.get(_plain(grade), ("", 0))[0]


def grade_yield_mpa(grade: str) -> float | None:
    """Specified minimum yield strength of a usual grade, in MPa; None where it is not listed.

    For the thinnest step of the product standard. Source: as `grade_group` (memory).

    >>> grade_yield_mpa("L485ME"), grade_yield_mpa("unheard-of")
    (485, None)
    """
    return _GRADES.get(_plain(grade), ("", None))[1]


def _plain(grade: str) -> str:
    """A grade without its delivery condition ("+N") and, for line pipe, its use ("E", "B")."""
    plain = re.sub(r"\+\w+$", "", grade.strip())
    return re.sub(r"^(L\d{3}[NMQ])[BESO]+$", r"\1", plain)


def main_group(group: str) -> int:
    """The main group of a group or sub-group, 1 to 11.

    Raises InputError: not a group.

    >>> main_group("10.2")
    10
    """
    match = re.fullmatch(r"(\d{1,2})(?:\.\d)?", group.strip())
    if not match or not 1 <= int(match[1]) <= 11:
        raise InputError("material group", found=repr(group), expected="1 to 11, as 1.2")
    return int(match[1])
