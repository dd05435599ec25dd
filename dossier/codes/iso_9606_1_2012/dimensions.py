"""5.7: deposited thickness, diameter, fillet thickness."""

from __future__ import annotations

from collections.abc import Sequence
from math import inf

from dossier.codes.iso_9606_1_2012.basis import clause
from dossier.errors import InputError
from dossier.records.verdicts import Range

BUTT_DEPOSIT = clause("5.7, Table 6", "memory")
DIAMETER = clause("5.7, Table 7")
FILLET = clause("5.7, Table 8")
FILLET_PIECE = clause("6.2")


def _positive(name: str, value: float) -> float:
    if not value > 0:
        raise InputError(name, found=value, expected="more than 0 mm")
    return value


def butt_deposit_range(s_mm: float, layers: int | None, process: str) -> Range:
    """Deposited thickness that a butt-weld test qualifies its welder for, in mm.

    `s_mm` is what this welder deposited with this process, not the wall of the test piece. From
    12 mm the range has no upper end if the test had three layers or more; for fewer the table
    names no range, so none is claimed (the stricter reading).

    Source: ISO 9606-1:2012, 5.7, Table 6 with its notes (memory; the row from 3 to 12 mm and the
    factor for 311 secondary). Raises InputError: s_mm of 0 or less.

    >>> str(butt_deposit_range(5.0, 2, "111")), str(butt_deposit_range(12.0, 3, "111"))
    ('3 to 10 mm', 'from 3 mm')
    """
    _positive("s_mm", s_mm)
    growth = 1.5 if process == "311" else 2.0  # the notes hold oxyacetylene back
    if s_mm < 3:
        return Range(s_mm, max(3.0, growth * s_mm), BUTT_DEPOSIT)
    if s_mm < 12 or process == "311":
        return Range(3.0, growth * s_mm, BUTT_DEPOSIT)
    if layers is None:
        return Range.none(BUTT_DEPOSIT, "layers of the test not recorded")
    if layers >= 3:
        return Range(3.0, inf, BUTT_DEPOSIT)
    return Range.none(BUTT_DEPOSIT, "no range named for fewer than three layers")


def joined_deposit_range(
    deposits_mm: Sequence[float], layers: int | None, processes: Sequence[str]
) -> Range:
    """Deposited thickness of a joint that is welded with all processes of a test together, in mm.

    By the sum of the deposits. Source: ISO 9606-1:2012, 5.2, Table 1 (memory).
    Raises InputError: a deposit of 0 or less.

    >>> str(joined_deposit_range((4.0, 11.0), 4, ("141", "111")))
    'from 3 mm'
    """
    for value in deposits_mm:
        _positive("deposits_mm", value)
    process = "311" if "311" in processes else processes[0]
    return butt_deposit_range(sum(deposits_mm), layers, process)


def diameter_range(od_mm: float) -> Range:
    """Outside diameters that a test in pipe qualifies, in mm.

    Of a hollow section the smaller side counts (`controlling_diameter_mm`).
    Source: ISO 9606-1:2012, 5.7, Table 7 (secondary). Raises InputError: od_mm of 0 or less.

    >>> str(diameter_range(25.0)), str(diameter_range(25.1)), str(diameter_range(60.3))
    ('25 to 50 mm', 'from 25 mm', 'from 30.15 mm')
    """
    _positive("od_mm", od_mm)
    if od_mm <= 25:
        return Range(od_mm, 2 * od_mm, DIAMETER)
    return Range(max(25.0, 0.5 * od_mm), inf, DIAMETER)


def controlling_diameter_mm(side_a_mm: float, side_b_mm: float) -> float:
    """The diameter that a hollow section with these sides counts as: the smaller side, in mm.

    Source: ISO 9606-1:2012, 5.7, Table 7 footnote (secondary).

    >>> controlling_diameter_mm(80.0, 60.0)
    60.0
    """
    return min(_positive("side_a_mm", side_a_mm), _positive("side_b_mm", side_b_mm))


def fillet_thickness_range(t_mm: float) -> Range:
    """Material thickness that a fillet test qualifies, in mm. The throat is not limited.

    Source: ISO 9606-1:2012, 5.7, Table 8 (secondary; the floor of 3 mm on the upper end memory).
    Raises InputError: t_mm of 0 or less.

    >>> str(fillet_thickness_range(2.9)), str(fillet_thickness_range(3.0))
    ('2.9 to 5.8 mm', 'from 3 mm')
    """
    _positive("t_mm", t_mm)
    if t_mm < 3:
        return Range(t_mm, max(3.0, 2 * t_mm), FILLET)
    return Range(3.0, inf, FILLET)


def fillet_test_throat_range(t_mm: float) -> Range:
    """Throat that the fillet test piece itself shall have, in mm: 0.5 to 0.7 of its thickness.

    Source: ISO 9606-1:2012, 6.2, figure of the fillet test piece (secondary).

    >>> str(fillet_test_throat_range(10.0))
    '5 to 7 mm'
    """
    _positive("t_mm", t_mm)
    return Range(0.5 * t_mm, 0.7 * t_mm, FILLET_PIECE)
