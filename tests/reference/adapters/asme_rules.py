"""ASME Section IX, rules that one call answers: check values -> public rules. No figures here."""

from __future__ import annotations

import re
from typing import Any

from dossier.codes.asme_ix import fillers, metals, results, thickness, welder_limits
from dossier.records.verdicts import Range

MODES = {"short_circuiting": "short circuit"}


def verdict(good: bool) -> dict[str, str]:
    return {"verdict": "permitted" if good else "not_permitted"}


def span(limit: Range, unit: str = "mm", *, no_floor: bool = False) -> dict[str, Any]:
    return {"range": {"min": None if no_floor else limit.low, "max": limit.high, "unit": unit}}


def base_range(i: Any) -> Any:
    return span(thickness.base_metal_range(i["coupon_thickness_mm"], i.get("process", "111")))


def deposit(i: Any) -> Any:
    t, coupon = i["deposit_thickness_mm"], i["coupon_thickness_mm"]
    return span(thickness.deposit_range(t, coupon, i["process"]), no_floor=True)


def specimens(i: Any) -> Any:
    return {"specimens": results.procedure_specimens(i["coupon_thickness_mm"])}


def longitudinal(i: Any) -> Any:
    assert i["bend_type"] == "longitudinal"
    return span(thickness.longitudinal_bend_range(i["coupon_thickness_mm"]))


def unequal_members(i: Any) -> Any:
    plain = thickness.base_metal_range(i["coupon_thickness_mm"])
    thick = thickness.thick_member_range(plain, i["coupon_thickness_mm"], i["p_number"])
    return verdict(i["thin_mm"] in plain and i["thick_mm"] in thick)


def tough(i: Any) -> Any:
    coupon = i["coupon_thickness_mm"]
    plain = thickness.base_metal_range(coupon)
    if i["pwht_above_upper_transformation"] or not i["toughness_required"]:
        return span(plain)
    return span(thickness.toughness_range(plain, coupon))


def thick_pass(i: Any) -> Any:
    coupon = i["coupon_thickness_mm"]
    plain = thickness.base_metal_range(coupon, i["process"])
    return span(thickness.thick_pass_range(plain, coupon, i["max_pass_mm"]))


def short_arc(i: Any) -> Any:
    coupon = i["coupon_thickness_mm"]
    plain = thickness.base_metal_range(coupon, i["process"])
    short = i["transfer"] == "short_circuiting"
    return span(thickness.short_arc_range(plain, coupon) if short else plain)


def short_arc_deposit(i: Any) -> Any:
    t = i["deposit_thickness_mm"]
    short = i["transfer"] == "short_circuiting"
    return span(welder_limits.deposit_range(t, None, short_arc=short), no_floor=True)


def upper_transformation(i: Any) -> Any:
    coupon = i["coupon_thickness_mm"]
    plain = thickness.base_metal_range(coupon)
    assert i["pwht_above_upper_transformation"]
    return span(thickness.upper_transformation_range(plain, coupon, i["p_number"]))


def tension(i: Any) -> Any:
    base = i["break_location"] == "base_metal"
    limit = results.tension_range(i["specified_min_mpa"], broke_in_base_metal=base)
    return verdict(i["result_mpa"] in limit)


def bend(i: Any) -> Any:
    assert not i["at_corner"]
    return verdict(i["open_defect_mm"] in results.bend_opening_range())


def f_number(i: Any) -> Any:
    return {"value": fillers.f_number(i["classification"]), "unit": "F-Number"}


def a_number(i: Any) -> Any:
    return {"value": fillers.a_number(i["classification"]), "unit": "A-Number"}


def p_number(i: Any) -> Any:
    found = metals.metal_of(i["specification"])
    return {"set": {f"P-No. {found.p}", f"Group {found.group}"}}


def radiograph(i: Any) -> Any:
    assert i["examination"] == "RT"
    mode = i.get("transfer", "")
    return verdict(results.radiography_may_replace_bends(i["process"], MODES.get(mode, mode)))


def coupon_length(i: Any) -> Any:
    assert i["product_form"] == "plate"
    return span(results.volumetric_length())


def coupons(i: Any) -> Any:
    return {"value": results.small_pipe_coupons(i["od_mm"]), "unit": "coupons"}


def production_length(i: Any) -> Any:
    return verdict(i["examined_length_mm"] in results.volumetric_length(i["role"]))


def slag(i: Any) -> Any:
    return verdict(i["slag_length_mm"] in results.slag_length_range(i["t_mm"]))


def linear(i: Any) -> Any:
    return verdict(results.linear_allowed(i["indication"]))


def rounded(i: Any) -> Any:
    return span(results.rounded_range(i["t_mm"]))


def shared_coupon(i: Any) -> Any:
    limit = results.coupon_for_welders(i["welders"])
    return verdict(i["coupon_thickness_mm"] in limit)


def bends(i: Any) -> Any:
    positions = frozenset(re.findall(r"\dG", i["position"]))
    found: dict[str, Any] = dict(results.welder_bends(i["deposit_thickness_mm"], positions))
    total = found.pop("total")
    alternative = "one face and one root"
    return {"specimens": found | {"total_bends": total, "alternative": alternative}}


ADAPTERS = {
    "base_metal_thickness_range_qualified_by_a_groove_pqr": base_range,
    "base_metal_thickness_range_process_outside_note_3": base_range,
    "maximum_deposited_weld_metal_thickness_qualified_by_a_groove_pqr": deposit,
    "test_specimens_for_a_groove_pqr_transverse_bends": specimens,
    "base_metal_range_longitudinal_bends": longitudinal,
    "thicker_member_p_no_1": unequal_members,
    "thicker_member_p_no_8": unequal_members,
    "thinner_member": unequal_members,
    "base_metal_range_with_toughness_required": tough,
    "base_metal_range_with_toughness_coupon_heat_treated_above_the_upper_transformation": tough,
    "maximum_base_metal_no_pass_over_13_mm": thick_pass,
    "maximum_base_metal_a_pass_over_13_mm": thick_pass,
    "base_metal_range_short_circuiting_gmaw": short_arc,
    "deposit_limit_short_circuiting_gmaw": short_arc_deposit,
    "maximum_base_metal_heat_treatment_above_the_upper_transformation": upper_transformation,
    "pqr_tension_result": tension,
    "bend_specimen_open_defect": bend,
    "f_number_of_a_filler": f_number,
    "a_number_of_a_ferrous_deposit": a_number,
    "p_number_and_group_number": p_number,
    "radiography_of_a_gmaw_short_circuiting_test": radiograph,
    "radiography_of_an_smaw_test": radiograph,
    "length_for_volumetric_examination": coupon_length,
    "number_of_small_pipe_coupons_for_radiography": coupons,
    "first_production_weld_welder": production_length,
    "first_production_weld_operator": production_length,
    "elongated_slag_in_a_welder_test_radiograph": slag,
    "crack_in_a_welder_test_radiograph": linear,
    "largest_rounded_indication": rounded,
    "coupon_thickness_for_several_welders": shared_coupon,
    "bend_specimens_for_a_performance_test": bends,
}
