"""Mass of weld metal, runs and time: estimates for planning, not for acceptance."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, pi

from dossier.calc.groove_area import cap_mm2, single_v_mm2, v_opening_mm
from dossier.calc.guards import not_negative, positive, within
from dossier.errors import InputError

# The customary densities of steel; the American one is 0.2 % lower.
STEEL_G_CM3 = 7.85
STEEL_LB_IN3 = 0.283


def mass_kg_m(area_mm2: float, density_g_cm3: float = STEEL_G_CM3) -> float:
    """Weld metal per metre of joint, in kg/m; 1 mm2 of section is 1 cm3 per metre.

    Source: common practice. Raises InputError: a negative section, no density.

    >>> round(mass_kg_m(146.0), 2)
    1.15
    """
    return not_negative("area_mm2", area_mm2) * positive("density_g_cm3", density_g_cm3) / 1000


def girth_length_m(od_mm: float, wall_mm: float) -> float:
    """Length of a girth weld at the middle of the wall, in m: pi (OD - wall).

    Source: common practice. Raises InputError: a wall not over 0, or not under half the diameter.

    >>> round(girth_length_m(610.0, 12.7), 5)
    1.87647
    """
    wall = positive("wall_mm", wall_mm)
    if not wall < positive("od_mm", od_mm) / 2:
        raise InputError("wall_mm", found=wall_mm, expected=f"under half of {od_mm:g} mm")
    return pi * (od_mm - wall) / 1000


def girth_weld_mass_kg(
    od_mm: float, wall_mm: float, area_mm2: float, density_g_cm3: float = STEEL_G_CM3
) -> float:
    """Weld metal of one girth weld, in kg, from its section with cap and root.

    Formula: section x length at mid-wall x density
    Source: common practice. Raises InputError as `girth_length_m` and `mass_kg_m`.

    >>> round(girth_weld_mass_kg(610.0, 12.7, 110.247), 4)
    1.624
    """
    return girth_length_m(od_mm, wall_mm) * mass_kg_m(area_mm2, density_g_cm3)


@dataclass(frozen=True, slots=True, kw_only=True)
class PipeBevel:
    """Single-V preparation of a pipe end, and its cap; by default the usual one.

    Usual (common practice): 60° included, and 1.6 mm (1/16 in) for every other measure.
    """

    root_gap_mm: float = 1.6
    root_face_mm: float = 1.6
    included_deg: float = 60.0
    cap_height_mm: float = 1.6
    cap_overlap_mm: float = 1.6  # on each side, beyond the edge of the bevel


USUAL_BEVEL = PipeBevel()


def girth_v_section_mm2(wall_mm: float, bevel: PipeBevel = USUAL_BEVEL) -> float:
    """Section of a single-V girth weld with its cap, in mm2.

    The cap is a parabola as wide as the opening and the overlap on both sides; root penetration
    is not counted (add `cap_mm2` for it).
    Source: common practice. Raises InputError as `single_v_mm2` and `cap_mm2`.

    >>> round(girth_v_section_mm2(19.1), 3)
    234.048
    """
    preparation = (bevel.root_gap_mm, bevel.included_deg, bevel.root_face_mm)
    overlaps = 2 * not_negative("cap_overlap_mm", bevel.cap_overlap_mm)
    width = v_opening_mm(wall_mm, *preparation) + overlaps
    return single_v_mm2(wall_mm, *preparation) + cap_mm2(width, bevel.cap_height_mm)


def runs_estimate(area_mm2: float, bead_area_mm2: float) -> int:
    """Estimated number of runs: section over the mean bead section, rounded up.

    The bead section is an assumption of whoever estimates; the procedure sheet governs.
    Source: common practice. Raises InputError unless both are more than 0.

    >>> runs_estimate(143.506, 20.0), runs_estimate(60.0, 20.0)
    (8, 3)
    """
    runs = positive("area_mm2", area_mm2) / positive("bead_area_mm2", bead_area_mm2)
    return max(1, ceil(runs - 1e-9))  # 3.0000000000000004 runs are three


def deposition_rate_kg_h(deposit_g: float, time_s: float) -> float:
    """Deposition rate from a bead on a weighed plate, in kg per hour of arc time.

    Source: a manufacturer's trade information (read). Raises InputError unless both are over 0.

    >>> round(deposition_rate_kg_h(95.0, 60.0), 3)
    5.7
    """
    return positive("deposit_g", deposit_g) * 3.6 / positive("time_s", time_s)


def arc_time_h(mass_kg: float, deposition_rate: float) -> float:
    """Arc time for a mass of weld metal at a deposition rate in kg/h, in h.

    Source: common practice. Raises InputError: a negative mass, no rate.

    >>> round(arc_time_h(6.9, 1.5), 3)
    4.6
    """
    return not_negative("mass_kg", mass_kg) / positive("deposition_rate", deposition_rate)


def welding_time_h(arc_hours: float, operating_factor: float) -> float:
    """Time a weld takes, in h, of which the arc burns the share `operating_factor`.

    Source: common practice. Raises InputError: a negative time, a factor not over 0 and up to 1.

    >>> round(welding_time_h(4.6, 0.35), 3)
    13.143
    """
    share = within("operating_factor", positive("operating_factor", operating_factor), 0.0, 1.0)
    return not_negative("arc_hours", arc_hours) / share
