"""8.3.2 and 8.3.3: thickness, throat, diameter and branch angle that a procedure test covers."""

from __future__ import annotations

from math import inf

from dossier.codes.iso_15614_1_2004.basis import clause
from dossier.errors import InputError
from dossier.records.verdicts import Range

BUTT = clause("8.3.2.1, Table 5")
FILLET = clause("8.3.2.2, Table 6")
DIAMETER = clause("8.3.2.3")
BRANCH = clause("8.3.3")


def _positive(name: str, value: float) -> None:
    if not value > 0:
        raise InputError(name, found=value, expected="more than 0 mm")


def _runs(runs: str) -> None:
    if runs not in ("single", "multi"):
        raise InputError("runs", found=repr(runs), expected="single or multi")


def butt_thickness_range(t_mm: float, runs: str, *, impact_untested: bool = False) -> Range:
    """Material thickness of butt welds that a test piece of `t_mm` covers, in mm.

    `runs` is "single" or "multi"; `impact_untested`: impact is required but was not tested (the
    footnote then ends the range at 12 mm where the piece is over 3 and up to 12 mm).
    Source: ISO 15614-1:2004, 8.3.2.1, Table 5 (memory).
    Raises InputError: t_mm of 0 or less, unknown `runs`.

    >>> str(butt_thickness_range(12.0, "multi")), str(butt_thickness_range(12.1, "multi"))
    ('3 to 24 mm', '6.05 to 24.2 mm')
    """
    _positive("t_mm", t_mm)
    _runs(runs)
    single = runs == "single"
    if t_mm <= 3:
        return Range(0.7 * t_mm, (1.3 if single else 2) * t_mm, BUTT)
    if t_mm <= 12:
        low = max(3.0, 0.5 * t_mm) if single else 3.0
        high = (1.3 if single else 2) * t_mm
        return Range(low, min(12.0, high) if impact_untested else high, BUTT)
    if t_mm <= 100:
        return Range(0.5 * t_mm, (1.1 if single else 2) * t_mm, BUTT)
    if single:
        return Range.none(BUTT, "no range for a single run over 100 mm")
    return Range(50.0, 2 * t_mm, BUTT)


def deposit_range(s_mm: float, runs: str) -> Range:
    """Deposit of one process that a test with several processes covers, in mm.

    The deposit of each process in the test stands for the thickness in Table 5.
    Source: ISO 15614-1:2004, 8.3.2.1 (memory). Raises InputError: as `butt_thickness_range`.

    >>> str(deposit_range(3.0, "multi"))
    '2.1 to 6 mm'
    """
    return butt_thickness_range(s_mm, runs)


def fillet_thickness_range(t_mm: float) -> Range:
    """Material thickness of fillet welds that a test piece of `t_mm` covers, in mm.

    Source: ISO 15614-1:2004, 8.3.2.2, Table 6 (memory). Raises InputError: t_mm of 0 or less.

    >>> str(fillet_thickness_range(10.0)), str(fillet_thickness_range(30.0))
    ('5 to 12 mm', 'from 5 mm')
    """
    _positive("t_mm", t_mm)
    if t_mm <= 3:
        return Range(0.7 * t_mm, 2 * t_mm, FILLET)
    if t_mm < 30:
        return Range(max(3.0, 0.5 * t_mm), 1.2 * t_mm, FILLET)
    return Range(5.0, inf, FILLET)


def throat_range(a_mm: float, runs: str) -> Range:
    """Throat of fillet welds that a test covers, in mm: limited for a single run only.

    Source: ISO 15614-1:2004, 8.3.2.2, Table 6 (memory).
    Raises InputError: a_mm of 0 or less, unknown `runs`.

    >>> str(throat_range(4.0, "single")), str(throat_range(8.0, "multi"))
    ('3 to 6 mm', 'any')
    """
    _positive("a_mm", a_mm)
    _runs(runs)
    if runs == "multi":
        return Range(0.0, inf, FILLET)
    return Range(0.75 * a_mm, 1.5 * a_mm, FILLET)


def diameter_range(od_mm: float) -> Range:
    """Outside diameters of pipe or branch that a test in pipe covers, in mm.

    Source: ISO 15614-1:2004, 8.3.2.3 (memory). Raises InputError: od_mm of 0 or less.

    >>> str(diameter_range(25.0)), str(diameter_range(42.4)), str(diameter_range(219.1))
    ('12.5 to 50 mm', 'from 25 mm', 'from 109.55 mm')
    """
    _positive("od_mm", od_mm)
    if od_mm <= 25:
        return Range(0.5 * od_mm, 2 * od_mm, DIAMETER)
    return Range(max(25.0, 0.5 * od_mm), inf, DIAMETER)


def plate_diameter_range(*, rotating: bool) -> Range:
    """Outside diameters of pipe that a test in plate covers, in mm.

    Over 500 mm; over 150 mm where the pipe is rotated in PA or PC.
    Source: ISO 15614-1:2004, 8.3.2.3 (memory).

    >>> 500.0 in plate_diameter_range(rotating=False), 168.3 in plate_diameter_range(rotating=True)
    (False, True)
    """
    return Range(150 if rotating else 500, inf, DIAMETER, low_open=True)


def branch_angle_range(angle_deg: float) -> Range:
    """Branch angles that a test at `angle_deg` covers, in degrees: from there to 90.

    Source: ISO 15614-1:2004, 8.3.3 (memory). Raises InputError: outside 0 to 90.

    >>> str(branch_angle_range(60.0))
    '60 to 90 deg'
    """
    if not 0 < angle_deg <= 90:
        raise InputError("angle_deg", found=angle_deg, expected="more than 0, up to 90 degrees")
    return Range(angle_deg, 90.0, BRANCH, "deg")
