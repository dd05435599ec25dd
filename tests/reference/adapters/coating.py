"""Adapters: holiday test voltage, climate and field joint coating."""

from __future__ import annotations

from typing import Any

from dossier.calc import coating
from dossier.codes import field_coating_practice as practice
from dossier.codes import iso_12944_7_2017 as climate
from dossier.records.verdicts import worst
from dossier.units import convert

Inputs = dict[str, Any]

_UNITS = {"thickness_mil": "mil", "thickness_um": "µm", "thickness_mm": "mm"}


def _rule(standard: str, given: str) -> str:
    """The rule that the standard of an entry names, in the form that fits the unit it is given."""
    if "SP0274" in standard:
        forms = {"thickness_um": "sp0274-um", "thickness_mm": "sp0274-mm"}
        return forms.get(given, "sp0274")
    names = {"SP0490": "sp0490", "D5162": "d5162", "34395": "d5162", "21809-3": "iso-21809-3"}
    return next(rule for mark, rule in names.items() if mark in standard)


def holiday_test_voltage(i: Inputs, entry: dict[str, Any]) -> dict[str, Any]:
    given = next(key for key in _UNITS if key in i)
    thickness_mm = convert(i[given], _UNITS[given], "mm")
    if per_mil := i.get("volts_per_mil"):
        return {"volts": coating.holiday_voltage_per_mil_v(thickness_mm, per_mil)}
    rule = _rule(entry["standard"], given)
    return {"volts": coating.holiday_test_voltage_v(thickness_mm, rule)}


def holiday_constant(i: Inputs) -> dict[str, Any]:
    metric = coating.holiday_constant_per_root_mm(i["constant_per_root_mil"])
    return {"constant_per_root_mm": metric}


def holiday_upper_bound(i: Inputs) -> dict[str, Any]:
    bound = coating.holiday_upper_bound_v(i["thickness_mm"], i["dielectric_kv_mm"])
    return {"bound_volts": bound, "verdict": "ok" if i["test_volts"] < bound else "too_high"}


def dew_point_margin(i: Inputs) -> dict[str, Any]:
    air, humidity, steel = i["air_c"], i["humidity_pct"], i["steel_c"]
    return {
        "dew_point_c": coating.dew_point_c(air, humidity),
        "margin_c": coating.dew_point_margin_c(air, humidity, steel),
        "verdict": "wait" if worst(climate.climate(air, humidity, steel)) else "coat",
    }


def temperature_difference(i: Inputs) -> dict[str, Any]:
    return {"difference_c": convert(i["difference_f"], "°F difference", "°C difference")}


def fjc_peel_sampling(i: Inputs) -> dict[str, Any]:
    return {"min_peel_tests": practice.min_peel_tests(i["joints_coated"], i["days"])}


def fjc_peel_strength(i: Inputs) -> dict[str, Any]:
    return {"min_force_n": coating.peel_force_n(i["required_n_per_cm"], i["strip_mm"])}


def fjc_holiday_disposition(i: Inputs) -> dict[str, Any]:
    return {"action": practice.holiday_disposition(i["holidays"])}


ADAPTERS = {
    adapter.__name__: adapter
    for adapter in (
        holiday_test_voltage,
        holiday_constant,
        holiday_upper_bound,
        dew_point_margin,
        temperature_difference,
        fjc_peel_sampling,
        fjc_peel_strength,
        fjc_holiday_disposition,
    )
}
