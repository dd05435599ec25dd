"""ASME BPVC Section V, 2007 edition: radiography (Article 2), penetrant, ultrasonics in part.

Figures are in inches, as the tables are. CAUTION (module constant) belongs on every sheet that
prints a radiographic technique.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import time
from math import inf
from types import MappingProxyType
from typing import NamedTuple

from dossier.calc.cautions import caution
from dossier.calc.guards import not_negative, positive, within
from dossier.calc.radiography import geometric_unsharpness_mm, min_source_to_object_mm
from dossier.errors import InputError
from dossier.records.verdicts import CLEAR, NONCONFORMITY, Basis, Range, Reason
from dossier.units import convert

CAUTION = caution("radiation")

_STANDARD, _EDITION = "ASME BPVC Section V", "2007"
UNSHARPNESS = Basis(_STANDARD, _EDITION, "Article 2, T-274.2", known="read")
IQI = Basis(_STANDARD, _EDITION, "Article 2, T-276.2, Table T-276, T-233", known="read")
DENSITY = Basis(_STANDARD, _EDITION, "Article 2, T-282.1", known="read")
DENSITY_WINDOW = Basis(_STANDARD, _EDITION, "Article 2, T-282.2", known="read")
EXPOSURES = Basis(_STANDARD, _EDITION, "Article 2, T-271.2", known="read")
IQI_COUNT = Basis(_STANDARD, _EDITION, "Article 2, T-277.2(b)", known="read")
BACKSCATTER = Basis(_STANDARD, _EDITION, "Article 2, T-223", known="read")
PENETRANT = Basis(_STANDARD, _EDITION, "Article 6, T-652", known="secondary")
UT_RECHECK = Basis(_STANDARD, "2019", "Article 4, T-467", known="memory")


class Iqi(NamedTuple):
    """A hole-type IQI with its 2T hole, and the wire that counts the same, in inches."""

    hole_designation: int
    hole_2t_in: float
    essential_wire: int
    wire_diameter_in: float


class Exposures(NamedTuple):
    """Whether a technique is allowed, the fewest exposures, and the angle between them."""

    allowed: bool
    min_exposures: int
    spacing_deg: int


class IqiPlacement(NamedTuple):
    """The fewest IQIs of one exposure and the angle between them (0: one on each film)."""

    min_iqis: int
    spacing_deg: float


def unsharpness_limit_in(iqi_basis_thickness_in: float) -> float:
    """Ceiling of the geometric unsharpness for a material thickness, both in inches.

    The edition recommends these values; the code that refers to it may make them binding. It
    starts the second band at exactly 2 in.

    Source: ASME BPVC Section V, 2007, Article 2, T-274.2 (read).
    Raises InputError for a thickness of 0 or less.

    >>> unsharpness_limit_in(1.99), unsharpness_limit_in(2.0), unsharpness_limit_in(4.01)
    (0.02, 0.03, 0.07)
    """
    thickness = positive("iqi_basis_thickness_in", iqi_basis_thickness_in)
    if thickness < 2.0:
        return 0.020
    if thickness <= 3.0:
        return 0.030
    return 0.040 if thickness <= 4.0 else 0.070


def unsharpness_in(
    source_size_in: float, source_to_object_in: float, object_to_film_in: float
) -> float:
    """Geometric unsharpness with every length in inches.

    Source: ASME BPVC Section V, 2007, Article 2, T-274.1 (read).
    Raises InputError unless every argument is more than 0.

    >>> round(unsharpness_in(0.157, 6.0, 0.875), 4)
    0.0229
    """
    lengths = (source_size_in, source_to_object_in, object_to_film_in)
    return geometric_unsharpness_mm(*(convert(v, "in", "mm") for v in lengths)) / 25.4


def unsharpness(
    source_size_in: float,
    source_to_object_in: float,
    object_to_film_in: float,
    iqi_basis_thickness_in: float,
) -> Reason:
    """The reason for the geometric unsharpness of a set-up against its ceiling.

    Source: ASME BPVC Section V, 2007, Article 2, T-274 (read).
    Raises InputError unless every argument is more than 0.

    >>> unsharpness(0.157, 6.0, 0.875, 0.875).found
    '0.0229 in'
    """
    found_in = unsharpness_in(source_size_in, source_to_object_in, object_to_film_in)
    limit = Range(0.0, unsharpness_limit_in(iqi_basis_thickness_in), UNSHARPNESS, unit="in")
    return limit.judge("geometric unsharpness", found_in)


def min_source_to_object_in(
    source_size_in: float, object_to_film_in: float, iqi_basis_thickness_in: float
) -> float:
    """Least distance from source to object that keeps the unsharpness at its ceiling, in inches.

    Source: ASME BPVC Section V, 2007, Article 2, T-274 (read).
    Raises InputError unless every argument is more than 0.

    >>> round(min_source_to_object_in(0.157, 0.875, 0.875), 3)
    6.869
    """
    limit = unsharpness_limit_in(iqi_basis_thickness_in)
    lengths = (source_size_in, object_to_film_in, limit)
    return min_source_to_object_mm(*(convert(v, "in", "mm") for v in lengths)) / 25.4


# Thickness up to which (included), then hole designation and wire: source side, film side. The
# rows to 0.75 in were read, the others are from memory.
_TABLE_T276 = (
    (0.25, (12, 5), (10, 4)),
    (0.375, (15, 6), (12, 5)),
    (0.50, (17, 7), (15, 6)),
    (0.75, (20, 8), (17, 7)),
    (1.00, (25, 9), (20, 8)),
    (1.50, (30, 10), (25, 9)),
    (2.00, (35, 11), (30, 10)),
    (2.50, (40, 12), (35, 11)),
    (4.00, (50, 13), (40, 12)),
    (6.00, (60, 14), (50, 13)),
    (8.00, (80, 16), (60, 14)),
    (10.00, (100, 17), (80, 16)),
    (12.00, (120, 18), (100, 17)),
    (16.00, (160, 20), (120, 18)),
    (20.00, (200, 21), (160, 20)),
)

WIRE_DIAMETERS_IN = MappingProxyType(
    dict(
        enumerate(
            (
                *(0.0032, 0.004, 0.005, 0.0063, 0.008, 0.010, 0.013, 0.016, 0.020, 0.025, 0.032),
                *(0.040, 0.050, 0.063, 0.080, 0.100, 0.126, 0.160, 0.200, 0.250, 0.320),
            ),
            start=1,
        )
    )
)
_HOLE_2T_IN = MappingProxyType({12: 0.025, 17: 0.035})  # the others are twice their number


def iqi(wall_in: float, reinforcement_in: float, iqi_side: str) -> Iqi:
    """The IQI for a weld, by its single wall and the reinforcement the code allows, in inches.

    `iqi_side` is "source" or "film". The upper edge of a band belongs to the thinner band. A
    backing strip is not part of the thickness.

    Source: ASME BPVC Section V, 2007, Article 2, T-276.2, Table T-276 (rows above 0.75 in from
    memory) and T-233.
    Raises InputError for a wall of 0 or less, an unknown side, or more than 20 in.

    >>> iqi(0.5, 0.125, "source")
    Iqi(hole_designation=20, hole_2t_in=0.04, essential_wire=8, wire_diameter_in=0.016)
    """
    basis = iqi_basis_in(wall_in, reinforcement_in)
    if iqi_side not in ("source", "film"):
        raise InputError("iqi_side", found=iqi_side, expected="source or film")
    for edge, source_side, film_side in _TABLE_T276:
        if basis <= edge:
            hole, essential = source_side if iqi_side == "source" else film_side
            two_t = _HOLE_2T_IN.get(hole, hole * 2 / 1000)
            return Iqi(hole, two_t, essential, WIRE_DIAMETERS_IN[essential])
    raise InputError("wall_in", found=basis, expected="at most 20 in with the reinforcement")


def iqi_basis_in(wall_in: float, reinforcement_in: float) -> float:
    """Thickness on which the IQI is chosen: single wall plus reinforcement allowed, in inches.

    Source: ASME BPVC Section V, 2007, Article 2, T-276.2 (read).
    Raises InputError for a wall of 0 or less or a negative reinforcement.

    >>> iqi_basis_in(0.375, 0.0625)
    0.4375
    """
    cap = not_negative("reinforcement_in", reinforcement_in)
    return round(positive("wall_in", wall_in) + cap, 9)


def density_range(radiation: str, *, one_film_of_composite: bool = False) -> Range:
    """Densities permitted through the IQI and in the area of interest.

    `radiation` is "xray" or "gamma". Each film of a composite needs 1.3. The 0.05 that the
    edition allows between densitometer readings is not used: the stricter reading.

    Source: ASME BPVC Section V, 2007, Article 2, T-282.1 (read).
    Raises InputError for an unknown kind of radiation.

    >>> str(density_range("gamma"))
    '2 to 4'
    """
    least = {"xray": 1.8, "gamma": 2.0}
    if radiation not in least:
        raise InputError("radiation", found=radiation, expected="xray or gamma")
    return Range(1.3 if one_film_of_composite else least[radiation], 4.0, DENSITY, unit="")


def density_window(density_at_iqi: float, radiation: str = "") -> Range:
    """Densities permitted in the area of interest for the density measured through the IQI.

    From 15 percent below to 30 percent above, and never past 4.0 (nor below the least density
    of the `radiation` where that is named). A shim under the IQI lifts the 30 percent.

    Source: ASME BPVC Section V, 2007, Article 2, T-282.2 (read).
    Raises InputError for a density of 0 or less.

    >>> str(density_window(2.5))
    '2.125 to 3.25'
    """
    at_iqi = positive("density_at_iqi", density_at_iqi)
    outer = density_range(radiation) if radiation else Range(0.0, 4.0, DENSITY, unit="")
    low, high = max(outer.low, 0.85 * at_iqi), min(outer.high, 1.30 * at_iqi)
    return Range(low, high, DENSITY_WINDOW, unit="")


def exposures(technique: str, outside_diameter_in: float) -> Exposures:
    """The fewest exposures of a girth weld shot through both walls.

    `technique` is "double_wall_single_view", "double_wall_double_view_offset" (ellipse) or
    "double_wall_double_view_superimposed". Double viewing ends at 3.5 in outside diameter. Where
    access forbids them all, the referencing code says what is then done.

    Source: ASME BPVC Section V, 2007, Article 2, T-271.2 (read).
    Raises InputError for an unknown technique or a diameter of 0 or less.

    >>> exposures("double_wall_double_view_offset", 4.5).allowed
    False
    """
    plans = {
        "double_wall_single_view": (inf, 3, 120),
        "double_wall_double_view_offset": (3.5, 2, 90),
        "double_wall_double_view_superimposed": (3.5, 3, 60),
    }
    if technique not in plans:
        raise InputError("technique", found=technique, expected=f"one of {', '.join(plans)}")
    largest, fewest, spacing = plans[technique]
    return Exposures(
        positive("outside_diameter_in", outside_diameter_in) <= largest, fewest, spacing
    )


def iqi_placement(span_deg: float, *, on_axis: bool) -> IqiPlacement:
    """The fewest IQIs of one exposure that spans part or all of a circumference.

    With the source on the axis: three, 120 degrees apart, from 240 degrees of span; three, at
    the ends and the middle, above 120 degrees; otherwise one on each film.

    Source: ASME BPVC Section V, 2007, Article 2, T-277.2(b) (the middle case from memory).
    Raises InputError for a span outside 0 to 360 degrees.

    >>> iqi_placement(360.0, on_axis=True)
    IqiPlacement(min_iqis=3, spacing_deg=120.0)
    """
    span = within("span_deg", span_deg, 0.0, 360.0)
    if on_axis and span >= 240.0:
        return IqiPlacement(3, 120.0)
    if on_axis and span > 120.0:
        return IqiPlacement(3, span / 2.0)
    return IqiPlacement(1, 0.0)


def backscatter(letter_image: str) -> Reason:
    """The reason for the image of the lead letter B on the back of the film holder.

    `letter_image` is "lighter_than_background" (rejects the film), "darker_than_background" or
    "not_visible" (neither does).

    Source: ASME BPVC Section V, 2007, Article 2, T-223 and T-284; API RP 577, 8.8.9.5 (read).
    Raises InputError for any other image.

    >>> str(backscatter("lighter_than_background").verdict)
    'nonconformity'
    """
    verdicts = {
        "lighter_than_background": NONCONFORMITY,
        "darker_than_background": CLEAR,
        "not_visible": CLEAR,
    }
    if letter_image not in verdicts:
        raise InputError("letter_image", found=letter_image, expected=f"one of {list(verdicts)}")
    found = letter_image.replace("_", " ")
    return Reason("backscatter letter", found, "not lighter", BACKSCATTER, verdicts[letter_image])


def penetrant_temperature(surface_c: float) -> Reason:
    """The reason for a surface temperature against the standard range of penetrant examination.

    Outside 5 to 52 °C the procedure must be qualified at that temperature (so: nonconformity
    until such a procedure is shown).

    Source: ASME BPVC Section V, 2007, Article 6, T-652 (upper end read, lower memory).

    >>> str(penetrant_temperature(53.0).verdict)
    'nonconformity'
    """
    return Range(5.0, 52.0, PENETRANT, unit="°C").judge("surface temperature", surface_c)


def welds_to_examine_again(
    last_good_check: time, check_failed_at: time, examined: Mapping[str, time]
) -> list[str]:
    """Welds examined by ultrasonics since the last good calibration check before a failed one.

    A weld examined in the very minute of the good check counts: the stricter reading.

    Source: ASME BPVC Section V, 2019, Article 4, T-467 (memory).
    Raises InputError when the failed check is not after the good one.

    >>> welds_to_examine_again(time(8), time(11, 30), {"G-101": time(7, 40), "G-102": time(9)})
    ['G-102']
    """
    if not check_failed_at > last_good_check:
        raise InputError(
            "check_failed_at", found=check_failed_at, expected=f"later than {last_good_check}"
        )
    return [weld for weld, at in examined.items() if last_good_check <= at <= check_failed_at]
