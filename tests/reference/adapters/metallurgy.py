"""Adapters: units, heat input, carbon equivalents, hydrogen, preheat, cooling time, hardness.

Where an entry gives inch units the formula still runs in SI and `dossier.units` converts.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from dossier.calc import (
    carbon_equivalent,
    cooling_time,
    hardness,
    heat_input,
    hydrogen,
    preheat,
    stainless,
)
from dossier.records.procedures import Composition
from dossier.records.verdicts import NONCONFORMITY
from dossier.units import UNITS, convert

Inputs = Mapping[str, Any]
Reply = dict[str, Any]

# How the entries spell a unit at the end of a name.
SUFFIXES = {
    "kj_mm": "kJ/mm", "kj_in": "kJ/in", "j_in": "J/in", "j_mm": "J/mm", "kj_cm": "kJ/cm",
    "ci": "Ci", "gbq": "GBq", "tbq": "TBq", "mbq": "MBq", "bq": "Bq", "mil": "mil", "um": "µm",
    "fc": "fc", "lx": "lx", "mpa": "MPa", "psi": "psi", "ksi": "ksi", "bar": "bar", "kpa": "kPa",
    "mm": "mm", "in": "in", "m": "m", "ft": "ft", "km": "km", "c": "°C", "f": "°F", "k": "K",
    "kg": "kg", "lb": "lb", "g": "g", "l": "l", "m3": "m3", "gal": "US gal", "ft3": "ft3",
    "mm_min": "mm/min", "in_min": "in/min", "mm_s": "mm/s", "cm_min": "cm/min", "msv": "mSv",
    "usv": "µSv", "mrem": "mrem", "rem": "rem", "sv": "Sv", "s": "s", "min": "min", "h": "h",
}  # fmt: skip


def unit_conversion(inputs: Inputs) -> Reply:
    """In every unit of the same kind, so that the entry finds the one it asks for."""
    ((name, value),) = inputs.items()
    suffix = max((end for end in SUFFIXES if name.endswith(f"_{end}")), key=len)
    stem = name.removesuffix(suffix)
    reply: Reply = {}
    for end, unit in SUFFIXES.items():
        if UNITS[unit].kind == UNITS[SUFFIXES[suffix]].kind:
            reply[stem + end] = convert(value, SUFFIXES[suffix], unit)
    return reply


def _composition(inputs: Inputs) -> Composition:
    given = {name.removesuffix("_pct"): value for name, value in inputs.items()}
    elements = Composition.__dataclass_fields__
    return Composition(**{name: value for name, value in given.items() if name in elements})


def _arc_energies(kj_mm: float) -> Reply:
    """One arc energy under every name the entries have for it."""
    per_inch = {
        "heat_input_kj_in": convert(kj_mm, "kJ/mm", "kJ/in"),
        "heat_input_j_in": convert(kj_mm, "kJ/mm", "J/in"),
    }
    return {"arc_energy_kj_mm": kj_mm, "heat_input_kj_mm": kj_mm, **per_inch}


def heat_input_us(inputs: Inputs) -> Reply:
    if "travel_speed_in_min" in inputs:
        speed = convert(inputs["travel_speed_in_min"], "in/min", "mm/min")
    else:
        length = convert(inputs["length_in"], "in", "mm")
        seconds = convert(inputs["time_min"], "min", "s")
        speed = heat_input.travel_speed_mm_min(length, seconds)
    energy = heat_input.arc_energy_kj_mm(inputs["voltage_v"], inputs["current_a"], speed)
    return {**_arc_energies(energy), "travel_speed_in_min": convert(speed, "mm/min", "in/min")}


def heat_input_from_time(inputs: Inputs) -> Reply:
    length = convert(inputs["length_in"], "in", "mm")
    return _arc_energies(
        heat_input.arc_energy_from_time_kj_mm(
            inputs["voltage_v"], inputs["current_a"], inputs["arc_time_s"], length
        )
    )


def _with_efficiency(arc_energy: float, k: float) -> Reply:
    heat = heat_input.heat_input_kj_mm(arc_energy, k)
    return {**_arc_energies(heat), "arc_energy_kj_mm": arc_energy, "k": k}


def heat_input_with_k(inputs: Inputs) -> Reply:
    energy = heat_input.arc_energy_kj_mm(
        inputs["voltage_v"], inputs["current_a"], inputs["travel_speed_mm_min"]
    )
    k = inputs["k"] if "k" in inputs else heat_input.thermal_efficiency(inputs["process_iso4063"])
    return _with_efficiency(energy, k)


def run_out(inputs: Inputs) -> Reply:
    energy = heat_input.arc_energy_from_time_kj_mm(
        inputs["voltage_v"],
        inputs["current_a"],
        inputs["arc_time_s"],
        inputs["run_out_length_mm"],
    )
    return _with_efficiency(energy, inputs["k"])


def heat_input_from_energy(inputs: Inputs) -> Reply:
    return _arc_energies(
        heat_input.arc_energy_from_energy_kj_mm(inputs["energy_j"], inputs["bead_length_mm"])
    )


def heat_input_from_power(inputs: Inputs) -> Reply:
    return _arc_energies(
        heat_input.arc_energy_from_power_kj_mm(
            inputs["power_w"], inputs["arc_time_s"], inputs["bead_length_mm"]
        )
    )


def pulsed_power(inputs: Inputs) -> Reply:
    duty = inputs["duty_peak"]
    peak = (inputs["peak_v"], inputs["peak_a"], duty)
    power = heat_input.waveform_power([peak, (inputs["base_v"], inputs["base_a"], 1 - duty)])
    return {
        "mean_power_w": power.mean_power_w,
        "product_of_means_w": power.product_of_means_w,
        "error_pct": power.error_percent,
    }


def efficiency(inputs: Inputs) -> Reply:
    return {"k": heat_input.thermal_efficiency(inputs["process_iso4063"])}


def carbon_equivalents(inputs: Inputs) -> Reply:
    steel = _composition(inputs)
    return {
        "ce_iiw": carbon_equivalent.ce_iiw_pct(steel),
        "ce_aws": carbon_equivalent.ce_aws_pct(steel),
        "pcm": carbon_equivalent.pcm_pct(steel),
        "cet": carbon_equivalent.cet_pct(steel),
        "cen": carbon_equivalent.cen_pct(steel),
        "accommodation_factor": carbon_equivalent.accommodation_factor(inputs["c_pct"]),
    }


def cen_with_table(inputs: Inputs) -> Reply:
    steel = _composition(inputs)
    return {
        "bracket_sum": carbon_equivalent.cen_bracket_pct(steel),
        "carbon_equivalent": carbon_equivalent.cen_pct(steel, inputs["accommodation_factor"]),
    }


def accommodation(inputs: Inputs) -> Reply:
    return {"accommodation_factor": carbon_equivalent.accommodation_factor(inputs["c_pct"])}


def pcm_boron(inputs: Inputs, entry: Mapping[str, Any]) -> Reply:
    steel = _composition(inputs)
    floor = carbon_equivalent.BORON_FLOOR_PCT[entry["edition"].split()[0]]
    return {
        "pcm": carbon_equivalent.pcm_pct(steel, boron_floor_pct=floor),
        "pcm_if_boron_counted": carbon_equivalent.pcm_pct(steel),
    }


def psl2_choice(inputs: Inputs) -> Reply:
    limit = carbon_equivalent.psl2_limit(inputs["c_pct"], inputs["grade"], inputs["thickness_mm"])
    return {"formula": limit.formula, "limit": limit.limit_pct}


def psl2_verdict(inputs: Inputs) -> Reply:
    """The entry names neither grade nor wall: any tabulated M grade has the same limits."""
    found = carbon_equivalent.psl2_verdict(_composition(inputs), "L450M", 10.0)
    return {
        "formula": found.limit.formula,
        "value": found.value_pct,
        "accepted": found.reason.verdict < NONCONFORMITY,
    }


def _method_b(inputs: Inputs) -> preheat.MethodB:
    return preheat.MethodB(
        cet_pct=inputs["cet_pct"],
        thickness_mm=inputs["thickness_mm"],
        hydrogen_ml_100g=inputs["hydrogen_ml_100g"],
        heat_input_kj_mm=inputs["heat_input_kj_mm"],
    )


def method_b(inputs: Inputs) -> Reply:
    terms = preheat.method_b(_method_b(inputs))
    return {
        "preheat_c": terms.preheat_c,
        "cet_term_c": terms.cet_c,
        "thickness_term_c": terms.thickness_c,
        "hydrogen_term_c": terms.hydrogen_c,
        "heat_input_term_c": terms.heat_input_c,
        "constant_c": terms.constant_c,
    }


def method_b_and_sew(inputs: Inputs) -> Reply:
    en = preheat.method_b(_method_b(inputs)).preheat_c
    sew = preheat.method_b(_method_b(inputs), constants="SEW 088").preheat_c
    return {"en_c": en, "sew_c": sew, "difference_c": sew - en}


def method_b_ambient(inputs: Inputs) -> Reply:
    calculated = preheat.method_b(_method_b(inputs)).preheat_c
    stated = preheat.preheat_to_state_c(calculated, inputs["workpiece_c"])
    return {"preheat_c": calculated, "preheat_required": stated is not None}


def method_b_validity(inputs: Inputs) -> Reply:
    return {"in_range": not preheat.method_b_faults(_method_b(inputs))}


def design_cet(inputs: Inputs) -> Reply:
    chosen = preheat.design_cet_pct(inputs["parent_cet_pct"], inputs["weld_metal_cet_pct"])
    return {"design_cet_pct": chosen}


def method_a(inputs: Inputs) -> Reply:
    thickness = preheat.method_a_thickness_mm(
        inputs["ce_iiw"], inputs["heat_input_kj_mm"], inputs["hydrogen_ml_100g"]
    )
    return {"max_combined_thickness_mm": thickness}


def hydrogen_scale(inputs: Inputs) -> Reply:
    return {"scale": hydrogen.hydrogen_scale(inputs["hydrogen_ml_100g"])}


def hydrogen_classes(inputs: Inputs) -> Reply:
    content = inputs["hydrogen_ml_100g"]
    return {
        "iso_class": hydrogen.iso_hydrogen_class(content),
        "aws_class": hydrogen.aws_hydrogen_class(content),
    }


def hydrogen_level(inputs: Inputs) -> Reply:
    return {"hydrogen_ml_100g": hydrogen.aws_level_ml_100g(inputs["level"])}


def combined_thickness(inputs: Inputs) -> Reply:
    joint = {"t_fillet": "T fillet", "fillet": "T fillet"}.get(inputs["joint"], inputs["joint"])
    total = preheat.combined_thickness_mm(joint, inputs["t1_mm"], inputs["t2_mm"])
    return {"combined_thickness_mm": total}


def measuring_distance(inputs: Inputs) -> Reply:
    return {"distance_mm": preheat.measuring_distance_mm(inputs["thickness_mm"])}


def susceptibility(inputs: Inputs) -> Reply:
    pcm, content = inputs["pcm"], inputs["hydrogen_ml_100g"]
    return {
        "index": preheat.susceptibility_index(pcm, content),
        "group": preheat.susceptibility_group(pcm, content),
    }


def _shape(inputs: Inputs) -> cooling_time.Shape:
    plate = cooling_time.RUN_ON_PLATE
    return cooling_time.Shape(inputs.get("f2", plate.f2), inputs.get("f3", plate.f3))


def t85_3d(inputs: Inputs) -> Reply:
    t85 = cooling_time.t85_three_dimensional_s(
        inputs["heat_input_kj_mm"], inputs["preheat_c"], _shape(inputs)
    )
    return {"t85_s": t85}


def t85_2d(inputs: Inputs) -> Reply:
    t85 = cooling_time.t85_two_dimensional_s(
        inputs["heat_input_kj_mm"], inputs["preheat_c"], inputs["thickness_mm"], _shape(inputs)
    )
    return {"t85_s": t85}


def transition(inputs: Inputs) -> Reply:
    thickness = cooling_time.transition_thickness_mm(
        inputs["heat_input_kj_mm"], inputs["preheat_c"], _shape(inputs)
    )
    return {"transition_thickness_mm": thickness}


def governing(inputs: Inputs) -> Reply:
    found = cooling_time.cooling_time(
        inputs["heat_input_kj_mm"], inputs["preheat_c"], inputs["thickness_mm"], _shape(inputs)
    )
    return {
        "flow": found.flow,
        "t85_s": found.t85_s,
        "transition_thickness_mm": found.transition_mm,
    }


def inverse_3d(inputs: Inputs) -> Reply:
    heat = cooling_time.heat_input_for_3d_kj_mm(
        inputs["t85_s"], inputs["preheat_c"], _shape(inputs)
    )
    return {"heat_input_kj_mm": heat}


def schaeffler(inputs: Inputs) -> Reply:
    point = stainless.schaeffler(_composition(inputs))
    return {"cr_eq": point.cr_eq, "ni_eq": point.ni_eq}


def wrc(inputs: Inputs) -> Reply:
    point = stainless.wrc_1992(_composition(inputs))
    return {"cr_eq": point.cr_eq, "ni_eq": point.ni_eq}


def wrc_diluted(inputs: Inputs) -> Reply:
    filler, base = _composition(inputs["filler"]), _composition(inputs["base"])
    point = stainless.wrc_1992(stainless.diluted(filler, base, inputs["dilution"]))
    return {"cr_eq": point.cr_eq, "ni_eq": point.ni_eq}


def pren(inputs: Inputs) -> Reply:
    number = stainless.pren(
        inputs["cr_pct"], inputs["mo_pct"], inputs["n_pct"], inputs.get("w_pct", 0.0)
    )
    return {"pren": number}


def hardness_conversion(inputs: Inputs) -> Reply:
    row = hardness.converted_hardness(inputs["scale"], inputs["value"])
    return {"hv": row.hv, "hb": row.hb, row.scale.lower(): row.rockwell}


ADAPTERS: dict[str, Callable[..., Reply]] = {
    "unit_conversion": unit_conversion,
    "pressure_and_stress_conversion": unit_conversion,
    "heat_input": heat_input_us,
    "heat_input_from_arc_time_and_length": heat_input_from_time,
    "heat_input_with_thermal_efficiency": heat_input_with_k,
    "thermal_efficiency_factor_k": efficiency,
    "arc_energy_and_heat_input_tig": heat_input_with_k,
    "arc_energy_and_heat_input_saw": heat_input_with_k,
    "heat_input_from_run_out_length_of_one_electrode": run_out,
    "heat_input_from_instantaneous_energy": heat_input_from_energy,
    "heat_input_from_average_instantaneous_power": heat_input_from_power,
    "average_power_of_a_pulsed_waveform": pulsed_power,
    "carbon_equivalent_with_accommodation_factor_read_from_a_table": cen_with_table,
    "carbon_equivalent_with_the_tanh_factor": carbon_equivalents,
    "carbon_equivalent_iiw": carbon_equivalents,
    "four_carbon_equivalents_of_one_analysis": carbon_equivalents,
    "carbon_equivalent_aws_form_with_silicon": carbon_equivalents,
    "accommodation_factor_a_c": accommodation,
    "which_carbon_equivalent_applies_psl_2": psl2_choice,
    "pcm_with_the_boron_rule": pcm_boron,
    "carbon_equivalent_verdict_psl_2_pipe": psl2_verdict,
    "minimum_preheat_method_b": method_b,
    "the_five_terms_of_method_b": method_b,
    "en_1011_2_against_sew_088_constants": method_b_and_sew,
    "method_b_result_below_ambient": method_b_ambient,
    "method_b_validity": method_b_validity,
    "cet_to_use_in_method_b": design_cet,
    "largest_combined_thickness_without_preheat_method_a": method_a,
    "hydrogen_scale_of_en_1011_2": hydrogen_scale,
    "combined_thickness": combined_thickness,
    "where_to_measure_preheat_and_interpass_temperature": measuring_distance,
    "aws_hydrogen_control_method_susceptibility_index": susceptibility,
    "aws_hydrogen_control_hydrogen_levels": hydrogen_level,
    "consumable_hydrogen_class": hydrogen_classes,
    "cooling_time_t8_5_three_dimensional": t85_3d,
    "cooling_time_t8_5_two_dimensional": t85_2d,
    "transition_thickness_between_2_d_and_3_d_heat_flow": transition,
    "governing_heat_flow_and_t8_5_run_on_plate": governing,
    "heat_input_for_a_wanted_t8_5_three_dimensional": inverse_3d,
    "schaeffler_equivalents_of_a_mild_steel": schaeffler,
    "schaeffler_nickel_equivalent_of_a_mild_steel": schaeffler,
    "schaeffler_equivalents_of_type_309": schaeffler,
    "wrc_1992_equivalents": wrc,
    "wrc_1992_equivalents_after_dilution": wrc_diluted,
    "pitting_resistance_equivalent": pren,
    "pitting_resistance_equivalent_with_tungsten": pren,
    "hardness_conversion": hardness_conversion,
    "hardness_limit_pointer": hardness_conversion,
}
