"""Adapters: film geometry, ISO 17636-1 and ASME V Article 2."""

from __future__ import annotations

from typing import Any

from dossier.calc import radiography
from dossier.codes import asme_v_2007 as asme
from dossier.codes import iso_17636_1_2013 as iso
from dossier.records.verdicts import CLEAR, Reason

Inputs = dict[str, Any]


def _word(reason: Reason, clear: str, other: str) -> str:
    return clear if reason.verdict == CLEAR else other


def iso_min_source_to_object(i: Inputs) -> dict[str, Any]:
    return iso.min_source_to_object(
        i["test_class"], i["source_size_mm"], i["object_to_film_mm"], i["nominal_thickness_mm"]
    )._asdict()


def iso_min_source_to_object_pipe(i: Inputs) -> dict[str, Any]:
    return iso.min_source_to_object_pipe(
        i["technique"],
        i["test_class"],
        i["source_size_mm"],
        i["outside_diameter_mm"],
        i["wall_mm"],
    )._asdict()


def iso_panoramic_check(i: Inputs) -> dict[str, Any]:
    shot = iso.panoramic(
        i["test_class"],
        i["source_size_mm"],
        i["outside_diameter_mm"],
        i["wall_mm"],
        iqi_met=i["iqi_met"],
    )
    passed = "pass_with_reduction" if shot.reduction_pct else "pass_without_reduction"
    return shot._asdict() | {"verdict": _word(shot.reason, passed, "fail")}


def iso_reduction_limit(i: Inputs) -> dict[str, Any]:
    return {"lowest_f_mm": iso.lowest_distance_mm(i["f_min_mm"], i["source_position"])}


def iso_class_b_fallback(i: Inputs) -> dict[str, Any]:
    better = i["film_class_better"]
    reason = iso.class_b_fallback(i["density"], film_class_better=better)
    least = iso.class_b_fallback_density(film_class_better=better)
    return {"verdict": _word(reason, "accept", "reject"), "min_density": least}


def iso_min_density(i: Inputs) -> dict[str, Any]:
    reason = iso.density(i["test_class"], i["density"])
    return {
        "min_density": iso.min_density(i["test_class"]),
        "verdict": _word(reason, "accept", "reject"),
    }


def iso_source_by_thickness(i: Inputs) -> dict[str, Any]:
    span = iso.source_range(i["source"], i["test_class"])
    inside = i["penetrated_thickness_mm"] in span
    return {
        "min_mm": span.low,
        "max_mm": span.high,
        "verdict": "in_range" if inside else "out_of_range",
    }


def iso_iqi_wire(i: Inputs) -> dict[str, Any]:
    single = i["technique"].startswith("single wall")
    thickness = i["nominal_thickness_mm" if single else "penetrated_thickness_mm"]
    wire = iso.required_wire(i["technique"], thickness)
    return {"wire": f"W{wire}", "wire_diameter_mm": iso.WIRE_DIAMETERS_MM[wire]}


def iso_iqi_relaxation(i: Inputs) -> dict[str, Any]:
    wire = iso.relaxed_wire(
        int(i["required_wire"].removeprefix("W")),
        i["source"],
        i["test_class"],
        i["penetrated_thickness_mm"],
        agreed=i["agreed"],
    )
    return {"lowest_acceptable_wire": f"W{wire}"}


def iso_dwdi_exposures(i: Inputs) -> dict[str, Any]:
    diameter, wall = i["outside_diameter_mm"], i["wall_mm"]
    return {
        "wall_over_od": radiography.wall_ratio(wall, diameter),
        "exposures": iso.elliptical_exposures(diameter, wall),
    }


def asme_geometric_unsharpness(i: Inputs) -> dict[str, Any]:
    size, behind = i["source_size_in"], i["object_source_side_to_film_in"]
    distance, thickness = i["source_to_object_in"], i["iqi_basis_thickness_in"]
    reason = asme.unsharpness(size, distance, behind, thickness)
    return {
        "ug_in": asme.unsharpness_in(size, distance, behind),
        "limit_in": asme.unsharpness_limit_in(thickness),
        "verdict": _word(reason, "pass", "fail"),
    }


def asme_ug_limit(i: Inputs) -> dict[str, Any]:
    return {"limit_in": asme.unsharpness_limit_in(i["iqi_basis_thickness_in"])}


def asme_min_source_distance(i: Inputs) -> dict[str, Any]:
    least = asme.min_source_to_object_in(
        i["source_size_in"], i["object_source_side_to_film_in"], i["iqi_basis_thickness_in"]
    )
    return {"min_source_to_object_in": least}


def ug_distance_trap(i: Inputs) -> dict[str, Any]:
    size, behind, whole = (
        i["source_size_mm"],
        i["object_source_side_to_film_mm"],
        i["source_to_film_mm"],
    )
    right = radiography.source_to_object_mm(whole, behind)
    return {
        "ug_mm": radiography.geometric_unsharpness_mm(size, right, behind),
        "ug_if_sfd_is_wrongly_used_mm": radiography.geometric_unsharpness_mm(size, whole, behind),
    }


def asme_iqi_selection(i: Inputs) -> dict[str, Any]:
    wall, cap = i["wall_in"], i["reinforcement_in"]
    return {"basis_in": asme.iqi_basis_in(wall, cap)} | asme.iqi(wall, cap, i["iqi_side"])._asdict()


def asme_density(i: Inputs) -> dict[str, Any]:
    span = asme.density_range(
        i["radiation"], one_film_of_composite=i.get("one_film_of_composite", False)
    )
    return {"verdict": "accept" if i["density"] in span else "reject"}


def asme_density_window(i: Inputs) -> dict[str, Any]:
    span = asme.density_window(i["density_at_iqi"])
    return {"lowest": span.low, "highest": span.high}


def asme_min_exposures(i: Inputs) -> dict[str, Any]:
    return asme.exposures(i["technique"], i["outside_diameter_in"])._asdict()


def asme_iqi_count(i: Inputs) -> dict[str, Any]:
    return asme.iqi_placement(i["span_deg"], on_axis=i["source"] == "on_axis")._asdict()


def backscatter_letter(i: Inputs) -> dict[str, Any]:
    return {"verdict": _word(asme.backscatter(i["letter_image"]), "accept", "reject")}


def film_light_transmission(i: Inputs) -> dict[str, Any]:
    return {"transmission_pct": radiography.light_transmission_pct(i["density"])}


def iqi_sensitivity_pct(i: Inputs) -> dict[str, Any]:
    return {"sensitivity_pct": radiography.iqi_sensitivity_pct(i["wire_mm"], i["thickness_mm"])}


def film_count(i: Inputs) -> dict[str, Any]:
    diameter = i["outside_diameter_mm"]
    return {
        "circumference_mm": radiography.circumference_mm(diameter),
        "films": radiography.film_count(diameter, i["film_length_mm"], i["overlap_mm"]),
    }


def lead_number_belt(i: Inputs) -> dict[str, Any]:
    return radiography.number_belt(i["outside_diameter_mm"], i["spacing_mm"])._asdict()


ADAPTERS = {
    adapter.__name__: adapter
    for adapter in (
        iso_min_source_to_object,
        iso_min_source_to_object_pipe,
        iso_panoramic_check,
        iso_reduction_limit,
        iso_class_b_fallback,
        iso_min_density,
        iso_source_by_thickness,
        iso_iqi_wire,
        iso_iqi_relaxation,
        iso_dwdi_exposures,
        asme_geometric_unsharpness,
        asme_ug_limit,
        asme_min_source_distance,
        ug_distance_trap,
        asme_iqi_selection,
        asme_density,
        asme_density_window,
        asme_min_exposures,
        asme_iqi_count,
        backscatter_letter,
        film_light_transmission,
        iqi_sensitivity_pct,
        film_count,
        lead_number_belt,
    )
}
