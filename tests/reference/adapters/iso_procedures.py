"""Answers of ISO 15614-1, editions 2004 and 2017, to check values."""

from __future__ import annotations

from math import inf
from typing import Any

from dossier.calc.heat_input import arc_energy_kj_mm, heat_input_kj_mm, thermal_efficiency
from dossier.codes import quality_system
from dossier.codes.iso_15614_1_2004 import dimensions, heat, materials, scope, technique
from dossier.codes.iso_15614_1_2017 import level_1, level_2
from dossier.records.verdicts import CLEAR, Range

Inputs = Any

MODES = {"D": "short circuit", "G": "globular", "S": "spray", "P": "pulsed"}
PRODUCTS = {"P": "plate", "T": "pipe"}


def verdict(ok: bool) -> dict[str, Any]:
    return {"verdict": "permitted" if ok else "not_permitted"}


def ends(found: Range, name: str, unit: str, asked: float | None = None) -> dict[str, Any]:
    if found.nothing:
        return verdict(False)
    low = None if found.low in (0, -inf) else found.low
    answer: dict[str, Any] = {f"{name}_min_{unit}": low, f"{name}_max_{unit}": found.high}
    return answer | verdict(asked in found) if asked is not None else answer


def newer(entry: Inputs) -> bool:
    return "2017" in str(entry["edition"])


def procedure_level(i: Inputs) -> dict[str, Any]:
    asked = str(i["required_level"])
    asked = level_1.required_level("" if asked == "not specified" else asked)
    answer: dict[str, Any] = {"required_level": int(asked)}
    if i.get("test_level") is not None:
        answer |= verdict(asked in level_1.level_covered(str(i["test_level"]), asked))
    return answer


def procedure_manufacturer(i: Inputs) -> dict[str, Any]:
    return verdict(scope.same_manufacturer(i["tested_by"], i["welding_responsibility"]))


def procedure_welder(i: Inputs) -> dict[str, Any]:
    return verdict(
        scope.welder_is_qualified(
            procedure_accepted=i["procedure_test"] == "accepted",
            welder_items_covered=i["welder_test_items"] == "covered",
        )
    )


def procedure_route(i: Inputs) -> dict[str, Any]:
    if i.get("question"):
        return dict(quality_system.QUALIFICATION_ROUTES)
    standard = "not represented" not in i["joint"]
    return {"route": scope.qualification_route(standard_piece=standard)}


def procedure_test_piece(i: Inputs) -> dict[str, Any]:
    equal = scope.butt_piece_allowed(i["t1_mm"], i["t2_mm"])
    return verdict(equal or i["piece"] != "butt")


def procedure_material(i: Inputs, entry: Inputs) -> dict[str, Any]:
    test = _pair(i["test_group"])
    answer: dict[str, Any] = {"qualified": materials.qualified_pairs(*test).values}
    if not i.get("prod_group"):
        return answer
    rule = level_2.material_reason if newer(entry) else materials.material_reason
    ok = rule(test, _pair(i["prod_group"])).verdict == CLEAR
    strength = materials.yield_range(test, i.get("test_reh_mpa"))
    if strength and i.get("prod_reh_mpa") is not None:
        ok = ok and i["prod_reh_mpa"] in strength
    return answer | verdict(ok)


def _pair(text: str) -> tuple[str, str]:
    first, _, second = text.partition("-")
    return first, second or first


def procedure_butt_thickness(i: Inputs, entry: Inputs) -> dict[str, Any]:
    t_mm, asked = i["test_t_mm"], i.get("prod_t_mm")
    if i.get("level") == 1:
        return ends(level_1.butt_thickness_range(t_mm), "t", "mm", asked)
    untested = bool(i.get("impact_required")) and not i.get("impact_tested", True)
    rule = level_2.butt_thickness_range if newer(entry) else dimensions.butt_thickness_range
    return ends(rule(t_mm, i.get("run", "multi"), impact_untested=untested), "t", "mm", asked)


def procedure_deposit(i: Inputs, entry: Inputs) -> dict[str, Any]:
    s_mm = i["test_s_mm"]
    found = (
        level_2.deposit_range(s_mm)
        if newer(entry)
        else dimensions.deposit_range(s_mm, i.get("run", "multi"))
    )
    return ends(found, "s", "mm", i.get("prod_s_mm"))


def procedure_run(i: Inputs) -> dict[str, Any]:
    return verdict(i["prod_run"] in technique.qualified_runs(i["test_run"]))


def procedure_fillet_thickness(i: Inputs, entry: Inputs) -> dict[str, Any]:
    rule = level_2.fillet_thickness_range if newer(entry) else dimensions.fillet_thickness_range
    return ends(rule(i["test_t_mm"]), "t", "mm", i.get("prod_t_mm"))


def procedure_throat(i: Inputs, entry: Inputs) -> dict[str, Any]:
    rule = level_2.throat_range if newer(entry) else dimensions.throat_range
    return ends(rule(i["test_a_mm"], i["run"]), "a", "mm", i.get("prod_a_mm"))


def procedure_diameter(i: Inputs, entry: Inputs) -> dict[str, Any]:
    rules: Any = level_2 if newer(entry) else dimensions
    if PRODUCTS.get(i.get("test_product", "T")) == "plate":
        turned = bool(i.get("prod_rotated")) and i.get("prod_position") in ("PA", "PC")
        return verdict(i["prod_od_mm"] in rules.plate_diameter_range(rotating=turned))
    return ends(rules.diameter_range(i["test_od_mm"]), "od", "mm", i.get("prod_od_mm"))


def procedure_branch_angle(i: Inputs, entry: Inputs) -> dict[str, Any]:
    rules: Any = level_2 if newer(entry) else dimensions
    return ends(
        rules.branch_angle_range(i["test_angle_deg"]), "angle", "deg", i.get("prod_angle_deg")
    )


def procedure_position(i: Inputs, entry: Inputs) -> dict[str, Any]:
    impact, hardness = bool(i.get("impact_required")), bool(i.get("hardness_required"))
    if i.get("wanted"):
        product = PRODUCTS[i.get("product", "P")]
        return {
            **technique.SPECIMEN_POSITIONS,
            "test_pieces_min": technique.pieces_needed(
                product=product, impact=impact, hardness=hardness
            ),
        }
    rule = level_2.qualified_positions if newer(entry) else technique.qualified_positions
    return verdict(i["prod_position"] in rule([i["test_position"]], bound=impact or hardness))


def procedure_heat_input(i: Inputs, entry: Inputs) -> dict[str, Any]:
    if i.get("u_v") is not None:
        energy = arc_energy_kj_mm(i["u_v"], i["i_a"], 60 * i["v_mm_s"])
        return {"hi_kj_mm": heat_input_kj_mm(energy, thermal_efficiency(i["process"]))}
    tested = [
        i[name]
        for name in ("test_hi_kj_mm", "test_low_hi_kj_mm", "test_high_hi_kj_mm")
        if i.get(name) is not None
    ]
    impact, hardness = bool(i.get("impact_required")), bool(i.get("hardness_required"))
    rule = level_2.heat_input_range if newer(entry) else heat.heat_input_range
    found = rule(tested, impact=impact, hardness=hardness)
    return ends(found, "hi", "kj_mm", i.get("prod_hi_kj_mm"))


def procedure_preheat(i: Inputs, entry: Inputs) -> dict[str, Any]:
    rule: Any = level_2.preheat_range if newer(entry) else heat.preheat_range
    return ends(rule(i["test_preheat_c"]), "preheat", "c", i.get("prod_preheat_c"))


def procedure_interpass(i: Inputs, entry: Inputs) -> dict[str, Any]:
    rule: Any = level_2.interpass_range if newer(entry) else heat.interpass_range
    return ends(rule(i["test_interpass_max_c"]), "interpass", "c", i.get("prod_interpass_c"))


def procedure_postheat(i: Inputs) -> dict[str, Any]:
    return verdict(
        heat.postheat_allowed(_heating(i["test_postheat"]), _heating(i["prod_postheat"]))
    )


def _heating(text: str | None) -> tuple[float, float] | None:
    if text in (None, "none"):
        return None
    temperature, _, time, _ = str(text).split()
    return float(temperature), float(time)


def procedure_pwht(i: Inputs, entry: Inputs) -> dict[str, Any]:
    rule = level_2.pwht_range if newer(entry) else heat.pwht_range
    return ends(rule(i["test_pwht_c"]), "t", "c", i.get("prod_pwht_c"))


def procedure_process(i: Inputs) -> dict[str, Any]:
    found = technique.qualified_processes(i["test_process"])
    return verdict(i["prod_process"] in found)


def procedure_flux(i: Inputs) -> dict[str, Any]:
    return verdict(i["prod_flux"] in technique.qualified_fluxes(i["test_flux"]))


def procedure_gas(i: Inputs) -> dict[str, Any]:
    found = technique.carbon_dioxide_range(i["test_co2_pct"])
    same = i.get("test_gas") == i.get("prod_gas")
    return {"co2_max_pct": found.high} | verdict(same and i["prod_co2_pct"] in found)


def procedure_hardness(i: Inputs, entry: Inputs) -> dict[str, Any]:
    rule = level_2.hardness_limit if newer(entry) else heat.hardness_limit
    found = rule(i["group"], heat_treated=i["heat_treated"])
    measured = i.get("hv10_highest")
    answer: dict[str, Any] = {"hv10_max": found.high}
    return answer | verdict(measured in found) if measured is not None else answer


def procedure_test_scope(i: Inputs) -> dict[str, Any]:
    if i.get("level") == 1:
        found = level_1.required_tests()
    else:
        impact = bool(i.get("impact_specified"))
        found = level_2.required_tests(
            i["joint"], i.get("test_t_mm"), i.get("group", ""), impact_specified=impact
        )
    return {
        "vt_pct": found.visual_percent,
        "surface_pct": found.surface_percent,
        "rt_or_ut_pct": found.volumetric_percent,
        "tensile": found.tensile,
        "bend": found.bend,
        "impact_sets": found.impact_sets,
        "hardness": found.hardness,
        "macro": found.macro,
    }


def procedure_current(i: Inputs) -> dict[str, Any]:
    impact = bool(i["impact_required"])
    found = technique.qualified_currents(i["process"], i["test_current"], impact_required=impact)
    return verdict(i["prod_current"] in found)


def procedure_filler_make(i: Inputs) -> dict[str, Any]:
    fixed = technique.make_is_fixed(i["process"], impact_required=bool(i["impact_required"]))
    same = i["test_make"] == i["prod_make"]
    return verdict(bool(i.get("same_designation", True)) and (same or not fixed))


def procedure_transfer(i: Inputs) -> dict[str, Any]:
    found = technique.qualified_transfers(MODES[i["test_transfer"]])
    return verdict(MODES[i["prod_transfer"]] in found)


ADAPTERS = {name: value for name, value in globals().items() if name.startswith("procedure_")}
