"""Coating of field joints: holiday test voltage by each named rule, dew point, peel force.

The rules for the test voltage disagree with one another by design (thin film, thick film,
sleeves), so none is the default: the sheet prints the rule that was used. CAUTION (module
constant) belongs on every sheet that prints a voltage.
"""

from __future__ import annotations

from collections.abc import Callable
from math import log, sqrt
from types import MappingProxyType
from typing import NamedTuple

from dossier.calc.cautions import caution
from dossier.calc.guards import positive, within
from dossier.errors import InputError
from dossier.records.verdicts import Basis

CAUTION = caution("coating voltage")

_MM_PER_MIL = 0.0254


class VoltageRule(NamedTuple):
    """One published rule for the holiday test voltage."""

    formula: str
    volts: Callable[[float], float]  # of the thickness in mm
    basis: Basis


def _by_band(thickness_mm: float) -> float:
    # The edge belongs to the thin band: just above 1.00 mm the voltage more than doubles.
    return (3294.0 if thickness_mm <= 1.0 else 7843.0) * sqrt(thickness_mm)


VOLTAGE_RULES = MappingProxyType(
    {
        "sp0274": VoltageRule(
            "V = 1250 sqrt(mil)",
            lambda t: 1250.0 * sqrt(t / _MM_PER_MIL),
            Basis("NACE SP0274", "2011", "voltage formula", known="secondary"),
        ),
        "sp0274-um": VoltageRule(
            "V = 250 sqrt(µm), the factor rounded up from 248",
            lambda t: 250.0 * sqrt(t * 1000.0),
            Basis("NACE SP0274", "2011", "voltage formula, as rounded in a manual", "secondary"),
        ),
        "sp0274-mm": VoltageRule(
            "V = 7900 sqrt(mm), the factor rounded up from 7843",
            lambda t: 7900.0 * sqrt(t),
            Basis("NACE SP0274", "2011", "voltage formula, metric form", known="memory"),
        ),
        "d5162": VoltageRule(
            "V = 3294 sqrt(mm) up to 1.00 mm, 7843 sqrt(mm) above",
            _by_band,
            Basis("GOST 34395", "2018", "Annex DB (repeats ASTM D5162)", known="read"),
        ),
        "sp0490": VoltageRule(
            "V = 525 sqrt(mil)",
            lambda t: 525.0 * sqrt(t / _MM_PER_MIL),
            Basis("NACE SP0490", "2007", "voltage formula", known="memory"),
        ),
        "iso-21809-3": VoltageRule(
            "V = 5000 + 5000 mm, at most 25000",
            lambda t: min(25_000.0, 5_000.0 + 5_000.0 * t),
            Basis("ISO 21809-3", "2016", "holiday test of sleeves", known="memory"),
        ),
    }
)


def holiday_test_voltage_v(thickness_mm: float, rule: str) -> float:
    """Holiday test voltage of one named rule for a coating thickness in mm, in V.

    `rule` is a key of VOLTAGE_RULES: "sp0274", "sp0274-um", "sp0274-mm" (three printed forms of
    one rule, which differ by about 1 percent), "d5162", "sp0490" (thin film), "iso-21809-3"
    (sleeves). The project's own figure goes before any of them. Near 1 mm the d5162 voltage jumps,
    so an error in thickness matters most there.

    Formula: as the rule says, for instance V = 1250 sqrt(mil) or V = 525 sqrt(mil)
    Source: NACE SP0274:2011; NACE SP0490:2007; GOST 34395:2018, Annex DB; ISO 21809-3:2016.
    Raises InputError for an unknown rule or a thickness of 0 or less.

    >>> round(holiday_test_voltage_v(0.4064, "sp0490")), holiday_test_voltage_v(2.2, "iso-21809-3")
    (2100, 16000.0)
    """
    if rule not in VOLTAGE_RULES:
        raise InputError("rule", found=rule, expected=f"one of {', '.join(VOLTAGE_RULES)}")
    return VOLTAGE_RULES[rule].volts(positive("thickness_mm", thickness_mm))


def holiday_voltage_per_mil_v(thickness_mm: float, volts_per_mil: float = 125.0) -> float:
    """Holiday test voltage by so many volts for each mil of the thickest expected coat, in V.

    Formula: V = volts per mil x thickness in mil
    Source: PHMSA answer on coating quality, not dated (at least 125 V per mil).
    Raises InputError unless both arguments are more than 0.

    >>> round(holiday_voltage_per_mil_v(0.508))
    2500
    """
    mils = positive("thickness_mm", thickness_mm) / _MM_PER_MIL
    return mils * positive("volts_per_mil", volts_per_mil)


def holiday_constant_per_root_mm(constant_per_root_mil: float) -> float:
    """The constant of a square-root voltage rule, carried from mil to mm.

    Formula: M / sqrt(0.0254)
    Source: GOST 34395:2018, Annex DB (525 becomes 3294, 1250 becomes 7843).
    Raises InputError unless the constant is more than 0.

    >>> round(holiday_constant_per_root_mm(1250.0))
    7843
    """
    return positive("constant_per_root_mil", constant_per_root_mil) / sqrt(_MM_PER_MIL)


def holiday_upper_bound_v(thickness_mm: float, dielectric_kv_mm: float) -> float:
    """Voltage at which sound coating of this thickness breaks down, in V: stay below it.

    `dielectric_kv_mm` comes from the maker of the coating (mostly 10 to 30 kV/mm).

    Formula: V = dielectric strength x thickness
    Source: common practice, as makers' manuals of holiday detectors print it.
    Raises InputError unless both arguments are more than 0.

    >>> holiday_upper_bound_v(2.0, 8.4)
    16800.0
    """
    strength_v_mm = 1000.0 * positive("dielectric_kv_mm", dielectric_kv_mm)
    return strength_v_mm * positive("thickness_mm", thickness_mm)


def dew_point_c(air_c: float, humidity_pct: float) -> float:
    """Dew point of air over water, in °C.

    Valid for air from -45 to 60 °C and a relative humidity of more than 0 to 100 percent.

    Formula: g = ln(RH / 100) + 17.62 T / (243.12 + T); dew point = 243.12 g / (17.62 - g)
    Source: Magnus formula with the constants 17.62 and 243.12 °C (WMO-No. 8; memory).
    Raises InputError outside those limits.

    >>> round(dew_point_c(20.0, 70.0), 1)
    14.4
    """
    within("air_c", air_c, -45.0, 60.0)
    if not 0 < humidity_pct <= 100:
        raise InputError("humidity_pct", found=humidity_pct, expected="more than 0, at most 100 %")
    g = log(humidity_pct / 100.0) + 17.62 * air_c / (243.12 + air_c)
    return 243.12 * g / (17.62 - g)


def dew_point_margin_c(air_c: float, humidity_pct: float, steel_c: float) -> float:
    """How far the steel is above the dew point, as a difference in °C.

    Formula: margin = steel - dew point
    Source: ISO 8502-4:2017 (purpose); Magnus formula for the dew point.
    Raises InputError outside the limits of the dew point formula.

    >>> round(dew_point_margin_c(20.0, 70.0, 18.5), 1)
    4.1
    """
    return steel_c - dew_point_c(air_c, humidity_pct)


def peel_force_n(required_n_per_cm: float, strip_mm: float) -> float:
    """Least pull on a peel test strip that shows the required peel strength, in N.

    Formula: F = strength x width
    Source: definition of peel strength (common practice).
    Raises InputError unless both arguments are more than 0.

    >>> peel_force_n(60.0, 25.0)
    150.0
    """
    strength = positive("required_n_per_cm", required_n_per_cm)
    return strength * positive("strip_mm", strip_mm) / 10.0
