"""Dose rates round a gamma source: boundary distances, inverse square, shielding.

CAUTION (module constant) belongs on every sheet that prints these figures: a calculated distance
is where a survey begins, and the licensed radiation safety officer and local law govern.
"""

from __future__ import annotations

from math import log2, sqrt

from dossier.calc.cautions import caution
from dossier.calc.guards import not_negative, positive
from dossier.errors import InputError

CAUTION = caution("radiation")


def boundary_distance_m(
    activity_gbq: float,
    gamma_usv_m2_h_gbq: float,
    limit_usv_h: float,
    half_value_layers: float = 0.0,
    beam_on_min_per_h: float = 60.0,
) -> float:
    """Distance at which the dose rate of a point source falls to the limit, in m.

    `half_value_layers` counts the collimator; no wall, ground or air is credited and no scatter
    added. With `beam_on_min_per_h` below 60 the limit is a dose in any one hour (any sixty
    minutes in a row); print the distance for a full hour beside it.
    Caution: figures only; the licensed radiation safety officer and local law govern.

    Formula: d = sqrt(A x gamma x (minutes / 60) / (2^layers x limit))
    Source: inverse square law; 10 CFR 20.1301(a)(2) for the dose in any one hour.
    Raises InputError for values of 0 or less, or more than 60 minutes in the hour.

    >>> round(boundary_distance_m(1850.0, 130.0, 7.5), 2)
    179.07
    """
    rate_1_m = positive("activity_gbq", activity_gbq) * positive(
        "gamma_usv_m2_h_gbq", gamma_usv_m2_h_gbq
    )
    if not positive("beam_on_min_per_h", beam_on_min_per_h) <= 60:
        raise InputError("beam_on_min_per_h", found=beam_on_min_per_h, expected="at most 60 min")
    shielded = rate_1_m / 2.0 ** not_negative("half_value_layers", half_value_layers)
    return sqrt(shielded * beam_on_min_per_h / 60.0 / positive("limit_usv_h", limit_usv_h))


def distance_for_rate_m(distance_1_m: float, rate_1_usv_h: float, rate_2_usv_h: float) -> float:
    """Distance at which a rate measured at one distance becomes another rate, in m.

    Caution: figures only; the licensed radiation safety officer and local law govern.

    Formula: d2 = d1 sqrt(R1 / R2)
    Source: inverse square law (point source, nothing in between).
    Raises InputError unless every argument is more than 0.

    >>> distance_for_rate_m(2.0, 400.0, 25.0)
    8.0
    """
    ratio = positive("rate_1_usv_h", rate_1_usv_h) / positive("rate_2_usv_h", rate_2_usv_h)
    return positive("distance_1_m", distance_1_m) * sqrt(ratio)


def rate_at_distance_usv_h(rate_1_usv_h: float, distance_1_m: float, distance_2_m: float) -> float:
    """Dose rate at another distance from the same source, in µSv/h.

    Caution: figures only; the licensed radiation safety officer and local law govern.

    Formula: R2 = R1 (d1 / d2)^2
    Source: inverse square law (point source, nothing in between).
    Raises InputError unless every argument is more than 0.

    >>> rate_at_distance_usv_h(400.0, 2.0, 8.0)
    25.0
    """
    ratio = positive("distance_1_m", distance_1_m) / positive("distance_2_m", distance_2_m)
    return positive("rate_1_usv_h", rate_1_usv_h) * ratio**2


def shield_transmission(thickness_mm: float, half_value_layer_mm: float) -> float:
    """Share of the dose rate that passes a shield (1 is all of it).

    Broad beams build up behind thick shields, so the true share is higher: survey behind it.
    Caution: figures only; the licensed radiation safety officer and local law govern.

    Formula: 0.5^(T / HVL)
    Source: attenuation law; half-value layers as ASTM E94 reprints give them.
    Raises InputError for a negative thickness or a layer of 0 or less.

    >>> shield_transmission(26.0, 13.0)
    0.25
    """
    layer = positive("half_value_layer_mm", half_value_layer_mm)
    return float(0.5 ** (not_negative("thickness_mm", thickness_mm) / layer))


def tenth_value_layer_mm(half_value_layer_mm: float) -> float:
    """Thickness that lets one tenth of the dose rate pass, in mm.

    Caution: figures only; the licensed radiation safety officer and local law govern.

    Formula: TVL = HVL x log2(10)
    Source: attenuation law.
    Raises InputError for a layer of 0 or less.

    >>> round(tenth_value_layer_mm(13.0), 1)
    43.2
    """
    return positive("half_value_layer_mm", half_value_layer_mm) * log2(10.0)


def shield_thickness_mm(transmission: float, half_value_layer_mm: float) -> float:
    """Thickness of shield that lets only this share of the dose rate pass, in mm.

    Caution: figures only; the licensed radiation safety officer and local law govern.

    Formula: T = HVL x log2(1 / transmission)
    Source: attenuation law (rearranged).
    Raises InputError for a share outside 0 to 1 or a layer of 0 or less.

    >>> shield_thickness_mm(0.25, 13.0)
    26.0
    """
    if not 0 < transmission <= 1:
        raise InputError("transmission", found=transmission, expected="more than 0, at most 1")
    return positive("half_value_layer_mm", half_value_layer_mm) * log2(1.0 / transmission)
