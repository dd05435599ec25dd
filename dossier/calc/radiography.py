"""Geometry of a radiograph: unsharpness, distances, films round a joint, density.

Which limit applies is a rule of a standard and stands in `dossier.codes`.
"""

from __future__ import annotations

from math import ceil, log10, pi
from typing import NamedTuple

from dossier.calc.cautions import caution
from dossier.calc.guards import not_negative, positive
from dossier.errors import InputError

CAUTION = caution("radiation")


class NumberBelt(NamedTuple):
    """Lead numbers round a joint: how many, the last one, and the gap back to the datum."""

    numbers: int
    last_number: int
    closing_gap_mm: float


def geometric_unsharpness_mm(
    source_size_mm: float, source_to_object_mm: float, object_to_film_mm: float
) -> float:
    """Geometric unsharpness of the image, in mm.

    `source_to_object_mm` runs from the source to the source side of the weld, `object_to_film_mm`
    from there to the film. The distance from source to film is not to be used: it hides part of
    the unsharpness (see `source_to_object_mm`).

    Formula: Ug = F d / D
    Source: ASME BPVC Section V, 2007, Article 2, T-274.1.
    Raises InputError unless every argument is more than 0.

    >>> round(geometric_unsharpness_mm(2.0, 600.0, 100.0), 4)
    0.3333
    """
    size = positive("source_size_mm", source_size_mm)
    distance = positive("source_to_object_mm", source_to_object_mm)
    return size * positive("object_to_film_mm", object_to_film_mm) / distance


def source_to_object_mm(source_to_film_mm: float, object_to_film_mm: float) -> float:
    """Distance from the source to the source side of the weld, in mm.

    Formula: D = SFD - d
    Source: ASME BPVC Section V, 2007, Article 2, T-274.1; ISO 17636-1:2013, 7.6 (f = SFD - b).
    Raises InputError unless the source lies outside the object.

    >>> source_to_object_mm(700.0, 100.0)
    600.0
    """
    behind = positive("object_to_film_mm", object_to_film_mm)
    if not source_to_film_mm > behind:
        raise InputError(
            "source_to_film_mm",
            found=source_to_film_mm,
            expected=f"more than the object to film distance, {behind:g} mm",
        )
    return source_to_film_mm - behind


def min_source_to_object_mm(
    source_size_mm: float, object_to_film_mm: float, unsharpness_limit_mm: float
) -> float:
    """Least distance from source to weld that keeps the unsharpness at its limit, in mm.

    Formula: D = F d / Ug
    Source: ASME BPVC Section V, 2007, Article 2, T-274 (rearranged).
    Raises InputError unless every argument is more than 0.

    >>> min_source_to_object_mm(3.0, 20.0, 0.5)
    120.0
    """
    size = positive("source_size_mm", source_size_mm)
    limit = positive("unsharpness_limit_mm", unsharpness_limit_mm)
    return size * positive("object_to_film_mm", object_to_film_mm) / limit


def circumference_mm(outside_diameter_mm: float) -> float:
    """Length of a girth weld along the outside of the pipe, in mm.

    Formula: C = pi D
    Source: geometry.
    Raises InputError unless the diameter is more than 0.

    >>> round(circumference_mm(610.0), 1)
    1916.4
    """
    return pi * positive("outside_diameter_mm", outside_diameter_mm)


def film_count(outside_diameter_mm: float, film_length_mm: float, overlap_mm: float = 25.4) -> int:
    """Films of one length that cover a girth weld with the overlap asked for.

    Formula: N = ceil(pi D / (L - overlap))
    Source: API RP 577, 8.8.4 (neighbouring films overlap by 1 in, 25.4 mm, at least).
    Raises InputError unless the film is longer than the overlap.

    >>> film_count(610.0, 400.0)
    6
    """
    lap = not_negative("overlap_mm", overlap_mm)
    if not film_length_mm > lap:
        raise InputError(
            "film_length_mm", found=film_length_mm, expected=f"more than the overlap, {lap:g} mm"
        )
    return ceil(circumference_mm(outside_diameter_mm) / (film_length_mm - lap))


def number_belt(outside_diameter_mm: float, spacing_mm: float = 50.0) -> NumberBelt:
    """Lead numbers round a joint, from 0 at the datum, and the gap that closes the belt.

    `spacing_mm` and the place of the datum are the project's choice.

    Formula: last = ceil(pi D / s) - 1; gap = pi D - last s
    Source: common practice of the trade.
    Raises InputError unless both arguments are more than 0.

    >>> belt = number_belt(610.0)
    >>> belt.numbers, belt.last_number, round(belt.closing_gap_mm, 1)
    (39, 38, 16.4)
    """
    around = circumference_mm(outside_diameter_mm)
    last = ceil(around / positive("spacing_mm", spacing_mm)) - 1
    return NumberBelt(last + 1, last, around - last * spacing_mm)


def wall_ratio(wall_mm: float, outside_diameter_mm: float) -> float:
    """Wall over outside diameter, which decides how many elliptical exposures a pipe needs.

    Formula: t / D
    Source: ISO 17636-1:2013, 7.1.6.
    Raises InputError unless the wall is more than 0 and less than half the diameter.

    >>> round(wall_ratio(5.54, 60.3), 4)
    0.0919
    """
    diameter = positive("outside_diameter_mm", outside_diameter_mm)
    if not positive("wall_mm", wall_mm) < diameter / 2:
        raise InputError("wall_mm", found=wall_mm, expected="less than half the outside diameter")
    return wall_mm / diameter


def light_transmission_pct(density: float) -> float:
    """Share of the viewer's light that a film of this optical density lets through, in percent.

    Formula: 100 x 10^(-density)
    Source: API RP 577, 8.8.9.4.
    Raises InputError when the density is negative.

    >>> light_transmission_pct(2.0)
    1.0
    """
    return float(100.0 * 10.0 ** -not_negative("density", density))


def film_density(transmission_pct: float) -> float:
    """Optical density of a film from the percent of light it lets through.

    Formula: density = -log10(transmission / 100)
    Source: API RP 577, 8.8.9.4 (rearranged).
    Raises InputError unless the transmission is more than 0 and at most 100 percent.

    >>> film_density(1.0)
    2.0
    """
    if not 0 < transmission_pct <= 100:
        raise InputError(
            "transmission_pct", found=transmission_pct, expected="more than 0, at most 100"
        )
    return 2.0 - log10(transmission_pct)


def iqi_sensitivity_pct(wire_mm: float, thickness_mm: float) -> float:
    """Thinnest visible wire as percent of the thickness.

    Formula: 100 x wire / thickness
    Source: common practice of film evaluation; codes accept a wire, not this percentage.
    Raises InputError unless both arguments are more than 0.

    >>> round(iqi_sensitivity_pct(0.25, 12.7), 2)
    1.97
    """
    return 100.0 * positive("wire_mm", wire_mm) / positive("thickness_mm", thickness_mm)
