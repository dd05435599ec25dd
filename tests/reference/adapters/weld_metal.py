"""Adapters: groove sections, mass of weld metal, consumables, runs and time."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from dossier.calc import consumables, groove_area, weld_metal
from dossier.units import convert

Inputs = Mapping[str, Any]
Reply = dict[str, Any]


def single_v(inputs: Inputs) -> Reply:
    area = groove_area.single_v_mm2(
        inputs["thickness_mm"],
        inputs["root_gap_mm"],
        inputs["included_angle_deg"],
        inputs.get("root_face_mm", 0.0),
    )
    return {"area_mm2": area, "volume_cm3_m": area}


def mass_from_volume(inputs: Inputs) -> Reply:
    mass = weld_metal.mass_kg_m(inputs["actual_volume_cm3_m"], inputs["density_g_cm3"])
    return {"mass_kg_m": mass}


def _per_foot(area_mm2: float, density_lb_in3: float) -> Reply:
    density = convert(density_lb_in3, "lb/in3", "g/cm3")
    return {"mass_lb_ft": convert(weld_metal.mass_kg_m(area_mm2, density), "kg/m", "lb/ft")}


def fillet_per_foot(inputs: Inputs) -> Reply:
    area = groove_area.fillet_mm2(convert(inputs["leg_in"], "in", "mm"))
    return _per_foot(area, inputs["density_lb_in3"])


def element_per_foot(inputs: Inputs) -> Reply:
    depth = convert(inputs["thickness_in"], "in", "mm")
    if inputs["shape"] == "rectangle":
        area = groove_area.square_groove_mm2(depth, convert(inputs["gap_in"], "in", "mm"))
    else:
        area = groove_area.bevel_triangle_mm2(depth, inputs["angle_deg"])
    return _per_foot(area, weld_metal.STEEL_LB_IN3)


def element_per_metre(inputs: Inputs) -> Reply:
    area = groove_area.bevel_triangle_mm2(inputs["thickness_mm"], inputs["angle_deg"])
    return {"mass_kg_m": weld_metal.mass_kg_m(area)}


def single_v_with_cap(inputs: Inputs) -> Reply:
    t, gap, included = inputs["thickness_mm"], inputs["root_gap_mm"], 2 * inputs["bevel_deg"]
    width = groove_area.v_opening_mm(t, gap, included)
    cap = groove_area.cap_mm2(width, inputs["excess_height_mm"], "triangle")
    area = groove_area.single_v_mm2(t, gap, included) + cap
    return {"cap_width_mm": width, "area_mm2": area, "mass_kg_m": weld_metal.mass_kg_m(area)}


def cap(inputs: Inputs) -> Reply:
    width, height = inputs["width_mm"], inputs["height_mm"]
    return {
        f"{shape}_mm2": groove_area.cap_mm2(width, height, shape)
        for shape in groove_area.CAP_SHAPES
    }


def compound_v(inputs: Inputs) -> Reply:
    area = groove_area.compound_v_mm2(
        inputs["thickness_mm"],
        inputs["root_gap_mm"],
        inputs["root_face_mm"],
        inputs["lower_height_mm"],
        (inputs["lower_angle_deg"], inputs["upper_angle_deg"]),
    )
    return {"area_mm2": area}


def double_v(inputs: Inputs) -> Reply:
    thickness, face = inputs["thickness_mm"], inputs["root_face_mm"]
    if abs(inputs["depth1_mm"] + inputs["depth2_mm"] + face - thickness) > 1e-9:
        raise ValueError("the depths do not add up to the thickness less the root face")
    angle = inputs["included_angle_deg"]
    area = groove_area.double_v_mm2(
        thickness, inputs["root_gap_mm"], face, inputs["depth1_mm"], (angle, angle)
    )
    return {"area_mm2": area}


def u_groove(inputs: Inputs) -> Reply:
    thickness, gap, face = inputs["thickness_mm"], inputs["root_gap_mm"], inputs["root_face_mm"]
    radius, angle = inputs["root_radius_mm"], inputs["side_angle_deg"]
    return {
        "side_area_mm2": groove_area.j_side_mm2(thickness - face, radius, angle),
        "area_mm2": groove_area.u_groove_mm2(thickness, gap, face, radius, angle),
    }


def girth_weld(inputs: Inputs) -> Reply:
    od, wall = inputs["od_mm"], inputs["wall_mm"]
    bevel = weld_metal.PipeBevel(
        root_gap_mm=inputs["root_gap_mm"],
        root_face_mm=inputs["root_face_mm"],
        included_deg=inputs["included_angle_deg"],
        cap_height_mm=inputs["cap_height_mm"],
        cap_overlap_mm=inputs["cap_overlap_mm"],
    )
    area = weld_metal.girth_v_section_mm2(wall, bevel)
    return {
        "area_mm2": area,
        "length_m": weld_metal.girth_length_m(od, wall),
        "mass_kg": weld_metal.girth_weld_mass_kg(od, wall, area),
    }


def weld_metal_ratio(inputs: Inputs) -> Reply:
    """The entry states no preparation, so the usual one."""
    od, wall = convert(inputs["od_in"], "in", "mm"), convert(inputs["wall_in"], "in", "mm")
    mass_kg = weld_metal.girth_weld_mass_kg(od, wall, weld_metal.girth_v_section_mm2(wall))
    mass_lb = convert(mass_kg, "kg", "lb")
    ratio = consumables.deposition_efficiency(mass_lb, inputs["electrode_lb"])
    return {"weld_metal_lb": mass_lb, "ratio": ratio}


def cellulosic(inputs: Inputs) -> Reply:
    found = consumables.cellulosic_per_joint(inputs["nominal_diameter_in"], inputs["wall_in"])
    return {
        "electrode_5_32_lb": found.root_5_32_lb,
        "electrode_3_16_lb": found.fill_3_16_lb,
        "total_lb": found.total_lb,
    }


def efficiency(inputs: Inputs) -> Reply:
    share = consumables.deposition_efficiency(inputs["weld_metal_lb"], inputs["electrode_lb"])
    return {"efficiency": share}


def average_efficiency(inputs: Inputs) -> Reply:
    return {"efficiency": consumables.average_deposition_efficiency(inputs["process"])}


def stub(inputs: Inputs) -> Reply:
    share = consumables.efficiency_with_stub(
        inputs["reference_efficiency_pct"] / 100,
        convert(inputs["electrode_length_in"], "in", "mm"),
        convert(inputs["reference_stub_in"], "in", "mm"),
        convert(inputs["stub_in"], "in", "mm"),
    )
    return {"efficiency_pct": 100 * share}


def to_buy(inputs: Inputs) -> Reply:
    weld_lb = inputs["weld_metal_lb_ft"] * inputs["length_ft"]
    return {"electrode_lb": consumables.to_buy_kg(weld_lb, inputs["efficiency"])}


def deposition_rate(inputs: Inputs) -> Reply:
    rate = weld_metal.deposition_rate_kg_h(inputs["deposit_g"], inputs["time_s"])
    return {"deposition_rate_kg_h": rate}


def times(inputs: Inputs) -> Reply:
    arc = weld_metal.arc_time_h(inputs["mass_kg"], inputs["deposition_rate_kg_h"])
    total = weld_metal.welding_time_h(arc, inputs["operating_factor"])
    return {"arc_time_h": arc, "total_time_h": total}


def runs(inputs: Inputs) -> Reply:
    return {"runs": weld_metal.runs_estimate(inputs["groove_area_mm2"], inputs["bead_area_mm2"])}


ADAPTERS: dict[str, Callable[[Inputs], Reply]] = {
    "theoretical_single_v_joint_volume": single_v,
    "single_v_with_root_face": single_v,
    "deposited_weld_metal_per_metre": mass_from_volume,
    "fillet_weld_metal_per_foot": fillet_per_foot,
    "joint_element_weight_per_foot": element_per_foot,
    "joint_element_mass_per_metre": element_per_metre,
    "single_v_with_excess_metal": single_v_with_cap,
    "reinforcement_cross_section": cap,
    "compound_bevel_groove": compound_v,
    "double_v_x_groove": double_v,
    "u_groove": u_groove,
    "weld_metal_in_one_pipe_girth_weld": girth_weld,
    "weld_metal_over_electrode_bought": weld_metal_ratio,
    "cellulosic_electrode_per_joint_vertical_down": cellulosic,
    "deposition_efficiency": efficiency,
    "average_deposition_efficiency": average_efficiency,
    "deposition_efficiency_with_stub_loss": stub,
    "electrode_or_wire_to_buy": to_buy,
    "deposition_rate_from_a_plate_test": deposition_rate,
    "arc_time_and_welding_time": times,
    "number_of_runs_estimate": runs,
}
