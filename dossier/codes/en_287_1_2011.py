"""EN 287-1:2011: the few rules in which it differs from its successor ISO 9606-1.

Kept to read old certificates; new ones are not written to it. All but the 150 mm limit is memory.
"""

from __future__ import annotations

from math import inf

from dossier.errors import InputError
from dossier.records.verdicts import Basis, Choice, Range

EDITION = "EN 287-1:2011"


def _clause(number: str, known: str = "memory") -> Basis:
    return Basis("EN 287-1", "2011", number, known)


def plate_diameter_range(*, rotating: bool) -> Range:
    """Outside diameters of pipe that a test in plate covers, in mm.

    Source: EN 287-1:2011, 5.3 (150 mm rotating secondary; 500 mm memory).

    >>> str(plate_diameter_range(rotating=True))
    'from 150 mm'
    """
    return Range(150 if rotating else 500, inf, _clause("5.3", "secondary"))


def qualified_weld_types(weld_type: str) -> Choice:
    """Weld types that a test covers: a butt test also covers fillets.

    Source: EN 287-1:2011, 5.4 (memory). Raises InputError: unknown type.

    >>> str(qualified_weld_types("butt"))
    'butt, fillet'
    """
    if weld_type not in ("butt", "fillet"):
        raise InputError("weld_type", found=repr(weld_type), expected="butt or fillet")
    return Choice.of({weld_type, "fillet"}, _clause("5.4"))


def butt_thickness_range(t_mm: float) -> Range:
    """Material thickness that a butt test covers, in mm: 3 to 2 t up to 12 mm, from 5 mm above.

    Source: EN 287-1:2011, 5.7 (memory). Raises InputError: t_mm of 0 or less.

    >>> str(butt_thickness_range(12.0)), str(butt_thickness_range(12.1))
    ('3 to 24 mm', 'from 5 mm')
    """
    if not t_mm > 0:
        raise InputError("t_mm", found=t_mm, expected="more than 0 mm")
    if t_mm <= 3:
        return Range(t_mm, 2 * t_mm, _clause("5.7"))
    if t_mm <= 12:
        return Range(3.0, 2 * t_mm, _clause("5.7"))
    return Range(5.0, inf, _clause("5.7"))
