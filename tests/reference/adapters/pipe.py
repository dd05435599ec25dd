"""Adapters: pressure, design factors, grades, sizes and test water of pipe."""

from __future__ import annotations

from typing import Any

from dossier.calc import pipe, pressure_test
from dossier.calc.pipe_grades import psl_2_tensile_limits, table_psi
from dossier.calc.pipe_sizes import pipe_size
from dossier.codes.cfr_192_design import design_factor as class_design_factor
from dossier.units import convert

Inputs = dict[str, Any]


def _mpa(psi: float) -> float:
    return convert(psi, "psi", "MPa")


def _psi(mpa: float) -> float:
    return convert(mpa, "MPa", "psi")


def _mm(inches: float) -> float:
    return convert(inches, "in", "mm")


def hoop_stress(i: Inputs) -> dict[str, Any]:
    stress = pipe.hoop_stress_mpa(_mpa(i["pressure_psi"]), _mm(i["od_in"]), _mm(i["wall_in"]))
    return {"hoop_stress_psi": _psi(stress)}


def wall_thickness(i: Inputs) -> dict[str, Any]:
    wall = pipe.wall_for_stress_mm(_mpa(i["pressure_psi"]), _mm(i["od_in"]), _mpa(i["stress_psi"]))
    return {"wall_in": convert(wall, "mm", "in")}


def design_pressure_gas_pipeline(i: Inputs) -> dict[str, Any]:
    pressure = pipe.design_pressure_mpa(
        _mpa(i["smys_psi"]),
        _mm(i["od_in"]),
        _mm(i["wall_in"]),
        i["design_factor"],
        i["joint_factor"],
        i["temperature_factor"],
    )
    return {"pressure_psi": _psi(pressure)}


def design_factor_f(i: Inputs) -> dict[str, Any]:
    return {"design_factor": class_design_factor(i["class_location"])}


def psl_2_grade(i: Inputs) -> dict[str, Any]:
    limits = psl_2_tensile_limits(i["grade"])
    figures = {
        "smys": limits.min_yield_mpa,
        "smts": limits.min_tensile_mpa,
        "max_yield": limits.max_yield_mpa,
    }
    return {f"{name}_mpa": mpa for name, mpa in figures.items()} | {
        f"{name}_psi": table_psi(mpa) for name, mpa in figures.items()
    }


def pressure_and_stress_conversion(i: Inputs) -> dict[str, Any]:
    return {"stress_psi": _psi(i["stress_mpa"])}


def hydrostatic_test_stress_in_si(i: Inputs) -> dict[str, Any]:
    pressure = convert(i["pressure_bar"], "bar", "MPa")
    stress = pipe.hoop_stress_mpa(pressure, i["od_mm"], i["wall_mm"])
    return {"hoop_stress_mpa": stress, "percent_smys": pipe.percent_smys(stress, i["smys_mpa"])}


def mill_hydrostatic_test_pressure(i: Inputs) -> dict[str, Any]:
    pressure = pipe.mill_test_pressure_mpa(
        _mpa(i["smys_psi"]), _mm(i["od_in"]), _mm(i["wall_in"]), i["stress_fraction"]
    )
    return {"pressure_psi": _psi(pressure)}


def _fill_m3(i: Inputs) -> float:
    return pressure_test.fill_volume_m3(
        _mm(i["od_in"]), _mm(i["wall_in"]), convert(i["length_ft"], "ft", "m")
    )


def _gallons(cubic_metres: float) -> float:
    return convert(cubic_metres, "m3", "US gal")


def water_to_fill_a_test_section(i: Inputs) -> dict[str, Any]:
    return {"volume_gal": _gallons(_fill_m3(i))}


def _compression(i: Inputs) -> float:
    return pressure_test.water_compression_factor(_mpa(i["pressure_psi"]))


def _expansion(i: Inputs) -> float:
    return pressure_test.pipe_expansion_factor(
        _mpa(i["pressure_psi"]),
        _mm(i["od_in"]),
        _mm(i["wall_in"]),
        convert(i["temperature_f"], "°F", "°C"),
    )


def water_compressibility_factor(i: Inputs) -> dict[str, Any]:
    return {"f_wp": _compression(i)}


def pipe_expansion_factor(i: Inputs) -> dict[str, Any]:
    return {"f_pp": _expansion(i)}


def water_to_reach_test_pressure(i: Inputs) -> dict[str, Any]:
    warmth = pressure_test.water_temperature_factor(
        convert(i["temperature_f"], "°F", "°C"), i["f_wt"]
    )
    water = pressure_test.water_at_pressure(_fill_m3(i), _compression(i), _expansion(i), warmth)
    return {
        "volume_at_pressure_gal": _gallons(water.at_pressure_m3),
        "incremental_gal": _gallons(water.added_m3),
    }


def plain_end_pipe_mass(i: Inputs) -> dict[str, Any]:
    return {"mass_lb_ft": pipe.plain_end_mass_lb_ft(i["od_in"], i["wall_in"])}


def pipe_dimensions(i: Inputs) -> dict[str, Any]:
    size = pipe_size(i["nps"], i["schedule"])
    return {
        "od_mm": size.outside_diameter_mm,
        "od_in": size.outside_diameter_in,
        "wall_mm": size.wall_mm,
        "wall_in": size.wall_in,
    }


ADAPTERS = {
    adapter.__name__: adapter
    for adapter in (
        hoop_stress,
        wall_thickness,
        design_pressure_gas_pipeline,
        design_factor_f,
        pressure_and_stress_conversion,
        hydrostatic_test_stress_in_si,
        mill_hydrostatic_test_pressure,
        water_to_fill_a_test_section,
        water_compressibility_factor,
        pipe_expansion_factor,
        water_to_reach_test_pressure,
        plain_end_pipe_mass,
        pipe_dimensions,
    )
} | {"psl_2_tensile_limits_of_a_pipe_grade": psl_2_grade}
