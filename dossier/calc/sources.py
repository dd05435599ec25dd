"""Gamma sources: decay, activity, exposure time.

CAUTION (module constant) belongs on every sheet that prints these figures: the radiation safety
officer of the licence and the law of the place govern.
"""

from __future__ import annotations

from math import log2
from types import MappingProxyType
from typing import NamedTuple

from dossier.calc.cautions import caution
from dossier.calc.guards import not_negative, positive
from dossier.errors import InputError
from dossier.records.verdicts import Basis

CAUTION = caution("radiation")

DECAY_DATA = Basis("ICRP Publication 107", "2008", "decay data", known="read")
DAYS_PER_YEAR = 365.2422  # the year in which the half-life of Co-60 below is counted

HALF_LIVES_D = MappingProxyType(
    {"Ir-192": 73.827, "Se-75": 119.779, "Yb-169": 32.026, "Co-60": 5.2713 * DAYS_PER_YEAR}
)


class Spread(NamedTuple):
    """Lowest and highest value that published tables print for one constant."""

    low: float
    high: float


GAMMA_TABLES = Basis("handbook tables", "2007", "exposure rate constants", known="read")

# R m2 / (h Ci). Tables disagree, so a sheet prints the value it used and where it came from. The
# lower Yb-169 figure is from memory; the others were read.
GAMMA_R_M2_H_CI = MappingProxyType(
    {
        "Ir-192": Spread(0.48, 0.50),
        "Se-75": Spread(0.20, 0.23),
        "Co-60": Spread(1.32, 1.33),
        "Yb-169": Spread(0.125, 0.175),
    }
)


def half_life_d(source: str) -> float:
    """Half-life of a gamma source, in days.

    `source` is "Ir-192", "Se-75", "Yb-169" or "Co-60".
    Caution: figures only; the licensed radiation safety officer and local law govern.

    Formula: table
    Source: ICRP Publication 107, 2008, decay data (1 year = 365.2422 d).
    Raises InputError for any other source.

    >>> half_life_d("Ir-192")
    73.827
    """
    if source not in HALF_LIVES_D:
        raise InputError("source", found=source, expected=f"one of {', '.join(HALF_LIVES_D)}")
    return HALF_LIVES_D[source]


def activity_after_gbq(source: str, activity_gbq: float, elapsed_d: float) -> float:
    """Activity of a source after so many days, in GBq; a negative time looks back.

    Caution: figures only; the licensed radiation safety officer and local law govern.

    Formula: A = A0 x 0.5^(t / half-life)
    Source: law of radioactive decay; half-lives of ICRP Publication 107, 2008.
    Raises InputError for an unknown source or an activity of 0 or less.

    >>> round(activity_after_gbq("Ir-192", 3700.0, 30.0))
    2792
    """
    start = positive("activity_gbq", activity_gbq)
    return float(start * 0.5 ** (elapsed_d / half_life_d(source)))


def decay_time_d(source: str, activity_gbq: float, target_gbq: float) -> float:
    """Days until a source has decayed to the target activity.

    Caution: figures only; the licensed radiation safety officer and local law govern.

    Formula: t = half-life x log2(A0 / A)
    Source: law of radioactive decay; half-lives of ICRP Publication 107, 2008.
    Raises InputError for an unknown source, or a target of 0 or less or above the activity.

    >>> round(decay_time_d("Ir-192", 3700.0, 740.0), 1)
    171.4
    """
    start = positive("activity_gbq", activity_gbq)
    if not positive("target_gbq", target_gbq) <= start:
        raise InputError("target_gbq", found=target_gbq, expected=f"at most {start:g} GBq")
    return half_life_d(source) * log2(start / target_gbq)


def gamma_constant_r_m2_h_ci(source: str) -> Spread:
    """Lowest and highest published exposure rate constant of a source, in R m2 / (h Ci).

    A distance for safety takes the higher one. The printed sheet names the value and its source.
    Caution: figures only; the licensed radiation safety officer and local law govern.

    Formula: table
    Source: handbook tables of exposure rate constants, 2007, and field sheets (as read).
    Raises InputError for an unknown source.

    >>> gamma_constant_r_m2_h_ci("Ir-192")
    Spread(low=0.48, high=0.5)
    """
    if source not in GAMMA_R_M2_H_CI:
        raise InputError("source", found=source, expected=f"one of {', '.join(GAMMA_R_M2_H_CI)}")
    return GAMMA_R_M2_H_CI[source]


def gamma_constant_usv_m2_h_gbq(gamma_r_m2_h_ci: float) -> float:
    """An exposure rate constant in R m2 / (h Ci) as a dose rate constant in µSv m2 / (h GBq).

    One roentgen is taken as 10 mSv, a rounding on the safe side.
    Caution: figures only; the licensed radiation safety officer and local law govern.

    Formula: gamma x 10000 / 37
    Source: SI definition of the curie (37 GBq); field practice for 1 R = 10 mSv.
    Raises InputError unless the constant is more than 0.

    >>> round(gamma_constant_usv_m2_h_gbq(0.48), 1)
    129.7
    """
    return positive("gamma_r_m2_h_ci", gamma_r_m2_h_ci) * 10_000.0 / 37.0


def exposure_minutes(
    film_dose_r: float,
    thickness_mm: float,
    half_value_layer_mm: float,
    source_to_film_mm: float,
    activity_ci: float,
    gamma_r_m2_h_ci: float,
) -> float:
    """Exposure time by the film dose wanted and the steel that must be crossed, in minutes.

    `film_dose_r` (R) and `half_value_layer_mm` belong to the film and density wanted and need a
    source of their own. Poor for thick steel, where scatter builds up: make a test shot.
    Caution: figures only; the licensed radiation safety officer and local law govern.

    Formula: minutes = dose x 2^(T / HVL) x SFD^2 x 60 / (activity x gamma), SFD in m
    Source: field formula of common practice.
    Raises InputError unless every argument is more than 0 (thickness: 0 or more).

    >>> round(exposure_minutes(1.2, 12.7, 12.5, 305.0, 40.0, 0.48), 3)
    0.705
    """
    layers = not_negative("thickness_mm", thickness_mm) / positive(
        "half_value_layer_mm", half_value_layer_mm
    )
    distance_m = positive("source_to_film_mm", source_to_film_mm) / 1000.0
    output = positive("activity_ci", activity_ci) * positive("gamma_r_m2_h_ci", gamma_r_m2_h_ci)
    dose = positive("film_dose_r", film_dose_r) * 2.0**layers
    return float(dose * distance_m**2 * 60.0 / output)


def exposure_minutes_by_factor(
    exposure_factor: float, distance_in: float, film_factor: float, activity_ci: float
) -> float:
    """Exposure time by a chart's exposure factor, in minutes.

    The factor (Ci min / in2) belongs to one source, thickness, density and film; the film factor
    scales it to another film.
    Caution: figures only; the licensed radiation safety officer and local law govern.

    Formula: minutes = factor x D^2 x film factor / activity
    Source: field formula of common practice.
    Raises InputError unless every argument is more than 0.

    >>> exposure_minutes_by_factor(0.125, 12.0, 1.0, 40.0)
    0.45
    """
    factor = positive("exposure_factor", exposure_factor) * positive("film_factor", film_factor)
    return factor * positive("distance_in", distance_in) ** 2 / positive("activity_ci", activity_ci)


def exposure_minutes_scaled(
    minutes: float,
    distance_1_mm: float = 1.0,
    distance_2_mm: float = 1.0,
    activity_1_gbq: float = 1.0,
    activity_2_gbq: float = 1.0,
) -> float:
    """A proven exposure time carried over to another distance and activity, in minutes.

    Leave a pair at its default where it does not change; film, density and steel stay the same.
    Caution: figures only; the licensed radiation safety officer and local law govern.

    Formula: t2 = t1 x (D2 / D1)^2 x A1 / A2
    Source: inverse square law; reciprocity of activity and time (common practice).
    Raises InputError unless every argument is more than 0.

    >>> exposure_minutes_scaled(2.0, distance_1_mm=600.0, distance_2_mm=750.0)
    3.125
    """
    farther = positive("distance_2_mm", distance_2_mm) / positive("distance_1_mm", distance_1_mm)
    weaker = positive("activity_1_gbq", activity_1_gbq) / positive("activity_2_gbq", activity_2_gbq)
    return positive("minutes", minutes) * farther**2 * weaker
