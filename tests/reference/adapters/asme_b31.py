"""ASME B31.3, B31.4 and B31.8: check values -> public rules. No figure of a standard here."""

from __future__ import annotations

from typing import Any

from dossier.codes import asme_b31_4, asme_b31_8, cfr_192_examination
from dossier.codes.asme_b31_3 import criteria, heat, leak_testing, sampling, toughness
from dossier.codes.asme_ix.thickness import base_metal_range
from dossier.codes.extents import welds_to_examine
from dossier.errors import InputError
from dossier.records.verdicts import CLEAR, Range, worst

SERVICES = {"normal": "normal", "severe_cyclic": "severe cyclic", "category_d": "category D"}


def verdict(good: bool) -> dict[str, str]:
    return {"verdict": "permitted" if good else "not_permitted"}


def span(limit: Range, unit: str = "mm") -> dict[str, Any]:
    return {"range": {"min": limit.low, "max": limit.high, "unit": unit}}


def upper(limit: Range, unit: str) -> dict[str, Any]:
    return {"range": {"min": None, "max": limit.high, "unit": unit}}


def joint(i: Any) -> heat.Joint:
    walls = (i.get(f"{n}_thickness_mm") for n in ("greater", "control", "nominal"))
    names = ("carbon_pct", "smts_mpa", "cr_pct", "preheat_c", "multilayer")
    more = {name: i.get(name) for name in names}
    return heat.Joint(
        p_number=i["p_number"],
        thickness_mm=next(t for t in walls if t is not None),
        group=str(i.get("group", "")),
        weld=i.get("weld", "groove"),
        **more,
    )


def preheat(i: Any) -> Any:
    return span(heat.preheat_range(joint(i)), "C")


def holding_temperature(i: Any) -> Any:
    return span(heat.holding_temperature_range(i["p_number"]), "C")


def pwht_needed(i: Any) -> Any:
    assert i["control_thickness_mm"]
    required = heat.pwht_required_at_all(i["p_number"])
    return {"verdict": "required" if required else "not_required"}


def holding_time(i: Any) -> Any:
    return {"value": heat.holding_time_min(i["p_number"], i["control_thickness_mm"]), "unit": "min"}


def longer(i: Any) -> Any:
    assert i["control_thickness_mm"]
    hours = heat.holding_time_below_minimum_h(i["p_number"], "1", i["decrease_c"])
    return {"value": hours, "unit": "h"}


def longer_allowed(i: Any) -> Any:
    try:
        heat.holding_time_below_minimum_h(i["p_number"], "1", i["decrease_c"])
    except InputError:
        return verdict(False)
    return verdict(True)


def exempt(i: Any) -> Any:
    good = worst(heat.exemption_reasons(joint(i))) is CLEAR
    return {"verdict": "exempt" if good else "not_exempt"}


def letter(i: Any) -> Any:
    names = {"rounded": "rounded indications"}
    imperfection = i["imperfection"].replace("_", " ")
    found = criteria.criterion(
        names.get(imperfection, imperfection), SERVICES[i["service"]], i["weld"]
    )
    return {"set": [found or "N/A"]}


def limit(row: str, service: str, part: str) -> Any:
    def ask(i: Any) -> Any:
        found = criteria.limits(criteria.criterion(row, service), i["tw_mm"])
        return span(getattr(found, part))

    return ask


def ip_length(i: Any) -> Any:
    """Any wall: the sum does not depend on it."""
    found = criteria.limits(criteria.criterion("incomplete penetration"), 10.0)
    assert found.window_mm == i["weld_length_mm"]
    assert found.total
    return span(found.total)


def reinforcement(i: Any) -> Any:
    found = criteria.limits(criteria.criterion("reinforcement", SERVICES[i["service"]]), i["tw_mm"])
    assert found.height
    return span(found.height)


def concavity(i: Any) -> Any:
    return verdict(i["joint_thickness_mm"] in criteria.joint_thickness_range(i["tw_mm"]))


def undercut(i: Any) -> Any:
    found = criteria.limits(criteria.criterion("undercut"), i["tw_mm"])
    assert found.depth
    return verdict(i["undercut_mm"] in found.depth)


METHODS = {"RT": "RT or UT"}


def share(service: str) -> Any:
    def ask(i: Any) -> Any:
        assert i["item"]
        method = METHODS.get(i["method"], i["method"])
        return {"value": sampling.extent_percent(service, method), "unit": "percent"}

    return ask


def lot(i: Any) -> Any:
    percent = sampling.extent_percent("normal", METHODS[i["method"]])
    count = welds_to_examine(i["girth_welds_in_lot"], percent, i.get("welders", 0))
    return {"value": count, "unit": "welds"}


STATES = {"accepted": "lot_accepted", "all represented": "all_represented"}


def progressive(i: Any) -> Any:
    state = sampling.progressive(
        i["defects_in_first_sample"], i.get("tier1_defects"), i.get("tier2_defects"), choices={}
    )
    if state.state in STATES:
        return {"verdict": STATES[state.state]}
    return {"additional_samples": state.more, "same_welder": True, "same_kind": True}


def tracers(i: Any) -> Any:
    assert i["defects_in_first_sample"]
    defect = sampling.Sample("J-1", "same welder", defective=True)
    offered = [sampling.Sample(f"J-{n}", w) for n, w in enumerate(i["offered_tracers"], 2)]
    return verdict(worst(sampling.tracer_reasons(defect, offered)) is CLEAR)


def hydrostatic(i: Any) -> Any:
    value = leak_testing.hydrostatic_pressure_mpa(i["design_pressure_mpa"], i["st_mpa"], i["s_mpa"])
    return {"value": value, "unit": "MPa"}


def duration(i: Any) -> Any:
    assert i["test"] == "hydrostatic"
    return span(leak_testing.duration_range(), "min")


def pneumatic(i: Any) -> Any:
    return span(leak_testing.pneumatic_pressure_range(i["design_pressure_mpa"]), "MPa")


def relief(i: Any) -> Any:
    return upper(leak_testing.relief_setting_range(i["test_pressure_kpa"]), "kPa")


def initial_service(i: Any) -> Any:
    return verdict(leak_testing.initial_service_test_allowed(SERVICES[i["service"]]))


def impact(i: Any) -> Any:
    assert i["impact_test_required"]
    return span(toughness.impact_tested_range(i["coupon_thickness_mm"]))


def both_ranges(i: Any) -> Any:
    coupon, wall = i["coupon_thickness_mm"], i["wps_thickness_mm"]
    assert i["impact_test_required"]
    return verdict(
        wall in toughness.impact_tested_range(coupon) and wall in base_metal_range(coupon)
    )


def b31_8_share(i: Any) -> Any:
    value = asme_b31_8.extent_percent(i["location_class"], i["hoop_stress_pct_smys"])
    return {"value": value, "unit": "percent"}


def b31_8_crossing(i: Any) -> Any:
    assert "crossing" in i["location"]
    least = asme_b31_8.crossing_percent(impractical=True)
    value = asme_b31_8.crossing_percent()
    return {"value": value, "unit": "percent", "least_if_impractical": least}


def b31_8_count(i: Any) -> Any:
    full_stress = 100.0
    percent = asme_b31_8.extent_percent(i["location_class"], full_stress)
    return {"value": welds_to_examine(i["welds_in_day"], percent), "unit": "welds"}


def federal(i: Any) -> Any:
    zone = next(z for z in cfr_192_examination.SHARE_PERCENT if f"class {i['location_class']}" in z)
    return {
        "value": cfr_192_examination.SHARE_PERCENT[zone],
        "unit": "percent",
        "least_if_impractical": cfr_192_examination.RELIEF_PERCENT[zone],
    }


def b31_4_share(i: Any) -> Any:
    return {"value": asme_b31_4.extent_percent(i["location"]), "unit": "percent"}


def b31_4_critical(i: Any) -> Any:
    least = asme_b31_4.extent_percent(i["location"], some_inaccessible=True)
    return b31_4_share(i) | {"least_if_inaccessible": least}


def b31_4_weld(i: Any) -> Any:
    return verdict(asme_b31_4.weld_is_complete(i["examined_share_of_circumference"]))


ROWS = {
    "incomplete_penetration_girth": "incomplete penetration",
    "lack_of_fusion_girth": "lack of fusion",
    "undercut_girth": "undercut",
    "linear_indication_girth": "elongated indication",
}


def table_limit(i: Any) -> Any:
    letter_found = criteria.criterion(ROWS[i["imperfection"]], SERVICES[i["service"]])
    found = criteria.limits(letter_found, i["wall_mm"])
    total = found.total.high if found.total else None
    parts = {"depth": found.depth, "length": found.length, "width": found.width}
    answer: dict[str, Any] = {f"max_{n}_mm": r.high for n, r in parts.items() if r}
    in_150 = {"max_length_mm_in_150": total, "max_sum_mm_in_150": total}
    per = {"max_sum_mm": total, "per_length_mm": found.window_mm}
    return answer | in_150 | per


def cap(i: Any) -> Any:
    letter_found = criteria.criterion("reinforcement", SERVICES[i["service"]])
    found = criteria.limits(letter_found, i["wall_mm"])
    assert found.height
    return {"max_height_mm": found.height.high}


def random_rt(i: Any) -> Any:
    percent = sampling.extent_percent("normal", "RT or UT")
    return {"min_examined": welds_to_examine(i["welds_in_lot"], percent)}


def rounds(i: Any) -> Any:
    state = sampling.progressive(
        i["defective_in_first_sample"],
        i.get("defective_in_second"),
        i.get("defective_in_third"),
        choices={},
    )
    words = {"all represented": "all_items_replaced_or_fully_examined"}
    return {
        "extra_samples": state.more,
        "drawn_from": "same_welder_same_lot",
        "total_examined": state.looked_at,
        "action": words.get(state.state, state.state),
    }


NORMAL, SEVERE, D = SERVICES.values()
ADAPTERS = {
    "minimum_preheat": preheat,
    "pwht_holding_temperature_range": holding_temperature,
    "pwht_for_p_no_8": pwht_needed,
    "minimum_pwht_holding_time": holding_time,
    "longer_time_at_lower_temperature_p_no_1_or_3": longer,
    "longer_time_at_lower_temperature_p_no_3": longer_allowed,
    "exemption_from_pwht": exempt,
    "acceptance_criterion_letter": letter,
    "undercut_depth_normal_service_girth_weld": limit("undercut", NORMAL, "depth"),
    "undercut_depth_category_d_girth_weld": limit("undercut", D, "depth"),
    "incomplete_penetration_depth_normal_service_girth_weld": limit(
        "incomplete penetration", NORMAL, "depth"
    ),
    "incomplete_penetration_length_normal_service": ip_length,
    "elongated_indication_length_normal_service": limit("elongated indication", NORMAL, "length"),
    "elongated_indication_width_normal_service": limit("elongated indication", NORMAL, "width"),
    "elongated_indication_sum_in_150_mm_normal_service": limit(
        "elongated indication", NORMAL, "total"
    ),
    "elongated_indication_length_severe_cyclic": limit("elongated indication", SEVERE, "length"),
    "elongated_indication_width_severe_cyclic": limit("elongated indication", SEVERE, "width"),
    "elongated_indication_sum_severe_cyclic": limit("elongated indication", SEVERE, "total"),
    "reinforcement_or_internal_protrusion_normal_service": reinforcement,
    "reinforcement_or_internal_protrusion_category_d": reinforcement,
    "root_concavity": concavity,
    "undercut_verdict_normal_service": undercut,
    "extent_of_examination_category_d": share(D),
    "extent_of_examination_severe_cyclic": share(SEVERE),
    "extent_of_examination_category_m": share("category M"),
    "extent_of_examination_high_pressure_chapter_ix": share("high pressure"),
    "minimum_hydrostatic_test_pressure": hydrostatic,
    "leak_test_duration": duration,
    "minimum_pneumatic_test_pressure": pneumatic,
    "relief_device_setting_in_a_pneumatic_test": relief,
    "initial_service_leak_test": initial_service,
    "thickness_covered_by_an_impact_tested_procedure_coupon": impact,
    "which_range_binds": both_ranges,
    "share_of_daily_field_butt_welds_to_examine_hoop_stress_20_percent_smys_or_more": b31_8_share,
    "welds_at_compressor_stations_and_major_crossings": b31_8_crossing,
    "number_of_welds_in_one_day": b31_8_count,
    "share_in_class_3_us_federal_rule": federal,
    "share_of_girth_welds_per_day": b31_4_share,
    "welds_in_populated_areas_water_crossings_rights_of_way_offshore": b31_4_critical,
    "extent_on_one_weld": b31_4_weld,
    "b313_limit": table_limit,
    "b313_reinforcement": cap,
    "b313_random_rt": random_rt,
    "b313_progressive": rounds,
}


def extent_normal(i: Any) -> Any:
    """The quantity asks a share of an item, or a count of a lot."""
    return lot(i) if "girth_welds_in_lot" in i else share(NORMAL)(i)


def sampling_or_tracers(i: Any) -> Any:
    """The quantity asks what comes next, or whether welds that were offered will do."""
    return tracers(i) if "offered_tracers" in i else progressive(i)


ADAPTERS |= {
    "extent_of_examination_normal_service": extent_normal,
    "progressive_sampling": sampling_or_tracers,
}
