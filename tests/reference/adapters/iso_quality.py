"""Answers of the companions: steel groups, documents, imperfections, consumables, examination."""

from __future__ import annotations

from datetime import date
from typing import Any

from dossier.codes import (
    en_10204,
    en_12732_2021,
    en_13480_5,
    iso_2553_2019,
    iso_4063,
    iso_6947,
    iso_17635,
    iso_tr_15608,
    quality_system,
)
from dossier.codes.consumables import read_filler
from dossier.codes.consumables.filler import covering_symbol
from dossier.codes.iso_5817_2014.limits import Limit, limit
from dossier.codes.iso_10675_1_2016 import limits as radiographic
from dossier.records.verdicts import CLEAR

Inputs = Any


def verdict(ok: bool) -> dict[str, Any]:
    return {"verdict": "permitted" if ok else "not_permitted"}


def steel_group(i: Inputs) -> dict[str, Any]:
    if i.get("cr_pct") is not None:
        return {"group": iso_tr_15608.chromium_group(i["cr_pct"], i["mo_pct"])}
    return {"group": iso_tr_15608.carbon_steel_group(i["condition"], i["reh_mpa"])}


def inspection_document(i: Inputs) -> dict[str, Any]:
    if i.get("required"):
        return verdict(en_10204.serves(i["supplied"], i["required"]).verdict == CLEAR)
    found = en_10204.document_type(i.get("old_type") or i["type"])
    return {
        "new_type": found.name,
        "same_as_en_10204": found.name,
        "test_results": found.test_results,
        "inspection": found.inspection,
        "validated_by": found.validated_by,
    }


SIZES = {"2017": "d"}


def imperfection_limit(i: Inputs) -> dict[str, Any]:
    number = str(i["imperfection"])
    sizes = {
        name: i[f"{name}_mm"] for name in ("t", "b", "s", "a") if i.get(f"{name}_mm") is not None
    }
    letter = SIZES.get(number, "h")
    answer: dict[str, Any] = {}
    for level in "BCD":
        found = limit(number, level, sizes)
        answer[f"{letter}_max_mm_{level}"] = found.high_mm if found.permitted else None
        answer[level] = "permitted" if found.permitted else "not_permitted"
        if found.short_only:
            answer["only_short"] = True
    return answer


NAMES = {
    "excess_weld_metal_butt": "502",
    "excess_convexity_fillet": "503",
    "excess_penetration": "504",
    "surface_pore_butt": "2017",
    "incomplete_root_penetration": "4021",
    "lack_of_fusion": "401",
    "crack": "100",
    "undercut": "5011",
    "root_concavity": "515",
    "linear_misalignment_plate": "5071",
    "linear_misalignment_pipe": "5072",
}
DIMENSIONS = {"t": "wall_mm", "b": "weld_width_mm", "s": "throat_or_s_mm", "a": "throat_mm"}


def iso5817_limit(i: Inputs) -> dict[str, Any]:
    sizes = {short: i[name] for short, name in DIMENSIONS.items() if i.get(name) is not None}
    found: Limit = limit(NAMES[i["imperfection"]], i["level"], sizes)
    return {"max_mm": found.high_mm, "short_only": found.short_only}


def iso10675_single_pore(i: Inputs) -> dict[str, Any]:
    return {
        "max_mm": radiographic.single_pore_limit_mm(i["level"], i["weld_thickness_s_mm"]),
        "iso5817_level": radiographic.QUALITY_LEVELS[i["level"]],
    }


def iso10675_slag(i: Inputs) -> dict[str, Any]:
    found = radiographic.slag_limit(i["level"], i["weld_thickness_s_mm"])
    return {
        "max_height_mm": found.height_mm,
        "max_sum_length_mm": found.sum_length_mm,
        "per_length_mm": found.per_length_mm,
    }


def iso10675_lof(i: Inputs) -> dict[str, Any]:
    return {
        "max_sum_length_mm": radiographic.lack_of_fusion_limit_mm(i["level"]),
        "per_length_mm": radiographic.PER_LENGTH_MM,
    }


def process_number(i: Inputs) -> dict[str, Any]:
    if i.get("numbers"):
        return {number: iso_4063.process_name(number) for number in i["numbers"]}
    return {"name": iso_4063.process_name(str(i["number"]))}


def welding_position(i: Inputs) -> dict[str, Any]:
    return verdict(iso_6947.inside_main_position(i["slope_dev_deg"], i["rotation_dev_deg"]))


def consumable_designation(i: Inputs, entry: Inputs) -> dict[str, Any]:
    standard = entry["standard"] if str(entry["standard"]).startswith("ISO") else ""
    found = read_filler(f"{standard} {i['designation']}".strip())
    core = covering_symbol(found.covering, "136") if found.form == "cored wire" else ""
    return {
        "yield_min_mpa": found.yield_min_mpa,
        "tensile_mpa": [found.tensile_min_mpa, found.tensile_max_mpa],
        "elongation_min_pct": found.elongation_min_percent,
        "impact_j": found.impact_j,
        "impact_c": found.impact_c,
        "alloy": found.alloy or "none",
        "covering": covering_symbol(found.covering, "111") if found.form[:7] == "covered" else "",
        "core": core,
        "core_type": found.covering.removesuffix(" cored"),
        "current": found.current,
        "recovery": found.recovery,
        "positions": found.positions,
        "hydrogen_ml_100g": found.hydrogen_ml_100g,
        "gas": found.gas,
        "wire": found.wire,
    }


def ndt_progressive(i: Inputs) -> dict[str, Any]:
    action = en_13480_5.after_rejection(i["sample_rejected"], i.get("extra_rejected"))
    return {"action": action}


def ndt_extent(i: Inputs) -> dict[str, Any]:
    if i.get("governed_by"):
        return {"category_for_ndt": en_13480_5.category_for_extent(i["category"], i["governed_by"])}
    if i.get("fluid"):
        return {
            "volumetric_min_pct": en_13480_5.volumetric_percent(
                i["table_pct"],
                group=i["group"],
                piping_class=i["piping_class"],
                dn=i["dn"],
                fluid=i["fluid"],
            )
        }
    rejected = i.get("rejected_in_first_100", i.get("rejected"))
    return {"examine_min": en_13480_5.welds_to_examine(i["welds"], i["specified_pct"], rejected)}


def ndt_level(i: Inputs) -> dict[str, Any]:
    found = iso_17635.examination_levels(i["quality_level"])
    return {
        "rt_class": found.radiographic_class,
        "rt_acceptance": found.radiographic,
        "ut_acceptance": found.ultrasonic,
        "mt_acceptance": found.magnetic,
        "pt_acceptance": found.penetrant,
    }


def quality_records(i: Inputs) -> dict[str, Any]:
    answer: dict[str, Any] = {"records": list(quality_system.QUALITY_RECORDS)}
    if i.get("delivery_date"):
        delivered = date.fromisoformat(i["delivery_date"])
        answer["keep_until"] = quality_system.records_kept_until(delivered)
    return answer


def coordination() -> dict[str, Any]:
    return {"levels": list(quality_system.KNOWLEDGE_LEVELS)}


def wps_content() -> dict[str, Any]:
    return {"fields": list(quality_system.WPS_FIELDS)}


def weld_symbol(i: Inputs) -> dict[str, Any]:
    if i.get("a_mm") is not None:
        return {"z_mm": iso_2553_2019.leg_length_mm(i["a_mm"])}
    if i.get("weld_made"):
        site = i["weld_made"] == "site"
        return {"symbol": iso_2553_2019.SITE_WELD_SYMBOL if site else "none"}
    tail = iso_2553_2019.symbol_tail("1", "2", "3", "4")
    return {"tail_order": list(iso_2553_2019.SYMBOL_TAIL), "separator": tail[1]}


def gas_scope(i: Inputs) -> dict[str, Any]:
    found = en_12732_2021.gas_supply_temperature_range()
    return {"in_scope": i["design_temperature_c"] in found}


ADAPTERS = {
    "steel_group": steel_group,
    "inspection_document": inspection_document,
    "imperfection_limit": imperfection_limit,
    "iso5817_limit": iso5817_limit,
    "iso10675_single_pore": iso10675_single_pore,
    "iso10675_slag": iso10675_slag,
    "iso10675_lof": iso10675_lof,
    "process_number": process_number,
    "welding_position": welding_position,
    "consumable_designation": consumable_designation,
    "ndt_progressive": ndt_progressive,
    "ndt_extent": ndt_extent,
    "ndt_level": ndt_level,
    "quality_records": quality_records,
    "coordination": coordination,
    "wps_content": wps_content,
    "weld_symbol": weld_symbol,
    "gas_scope": gas_scope,
}
