"""Radiographs, their readers, and the right of rejection: sections 8, 9.2 and 11.1."""

from __future__ import annotations

from dossier.codes.api_1104_21.settings import STEP_MM, basis
from dossier.errors import InputError
from dossier.records.verdicts import CLEAR, NONCONFORMITY, Range, Reason
from dossier.units import convert

DENSITY = basis("11.1, film density")
IQI = basis("11.1, wire IQI")
VISION = basis("8.4.3", "read")
REJECTION = basis("9.2", "read")

FILM_DENSITY = Range(1.8, 4.0, DENSITY, "")
LOCAL_DENSITY = Range(1.5, 4.2, DENSITY, "")

# Greatest weld thickness and essential wire, both in inches.
_WIRES = ((0.25, 0.008), (0.375, 0.010), (0.5, 0.013), (0.75, 0.016), (1.0, 0.020), (2.0, 0.025))


def film_density(density: float, *, small_local_area: bool = False) -> Reason:
    """Density (H and D units) of a film through the weld.

    Source: API 1104, 21st edition, 11.1 (memory).

    >>> str(film_density(1.79).verdict), str(film_density(1.79, small_local_area=True).verdict)
    ('nonconformity', 'clear')
    """
    return (LOCAL_DENSITY if small_local_area else FILM_DENSITY).judge("film density", density)


def essential_wire_mm(thickness_mm: float) -> float:
    """Thickest wire (mm) of an ASTM wire IQI that must show, by weld thickness in mm.

    Source: API 1104, 21st edition, 11.1 (memory). Raises InputError: thickness not more than 0,
    or above 2 in.

    >>> round(essential_wire_mm(6.35), 4), round(essential_wire_mm(12.7), 4)
    (0.2032, 0.3302)
    """
    if not thickness_mm > 0:
        raise InputError("thickness_mm", found=thickness_mm, expected="more than 0 mm")
    for thickest_in, wire_in in _WIRES:
        if thickness_mm <= convert(thickest_in, "in", "mm") + STEP_MM:
            return convert(wire_in, "in", "mm")
    raise InputError("thickness_mm", found=thickness_mm, expected="up to 50.8 mm (2 in)")


def vision(months_since_near: float, months_since_color: float) -> tuple[Reason, ...]:
    """Eyesight of a film interpreter: near vision every year, color every five years.

    Source: API 1104, 21st edition, 8.4.3 (read; years counted as 12 months each).
    """
    return (
        Range(0, 12, VISION, "months").judge("near vision test", months_since_near),
        Range(0, 60, VISION, "months").judge("color test", months_since_color),
    )


def right_of_rejection(meets_limits: bool, company_rejects: bool) -> Reason:
    """A weld inside the limits may still be rejected by the company; it states why.

    Source: API 1104, 21st edition, 9.2 (read).
    """
    if company_rejects:
        return Reason(
            "right of rejection", "rejected by the company", "-", REJECTION, NONCONFORMITY
        )
    verdict = CLEAR if meets_limits else NONCONFORMITY
    found = "inside the limits" if meets_limits else "outside the limits"
    return Reason("limits", found, "inside the limits", REJECTION, verdict)
