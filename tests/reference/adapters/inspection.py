"""Adapters: dates of checks and certificates, viewing conditions, cover, records, cautions."""

from __future__ import annotations

from datetime import date, time
from typing import Any

from dossier.calc import pipe
from dossier.calc.cautions import caution_ids
from dossier.codes import (
    api_rp_577,
    api_rp_582_2016,
    asme_v_2007,
    cfr_192_cover,
    cfr_192_repair,
    cfr_195_cover,
    construction_records,
    instruments,
    iso_9712_2021,
    iso_15156_2,
    joint_sequence,
    viewing_conditions,
)
from dossier.records.verdicts import CLEAR, Reason, worst
from dossier.units import convert

Inputs = dict[str, Any]


def _word(reason: Reason, clear: str, other: str) -> str:
    return clear if reason.verdict == CLEAR else other


def calibration_due(i: Inputs) -> dict[str, Any]:
    item, last, used = i["item"], date.fromisoformat(i["last"]), date.fromisoformat(i["used_on"])
    return {
        "due": instruments.due_on(item, last),
        "verdict": _word(instruments.in_date(item, last, used), "current", "lapsed"),
    }


def near_vision_due(i: Inputs) -> dict[str, Any]:
    assert i["scheme"] == "iso9712"
    last, used = date.fromisoformat(i["last"]), date.fromisoformat(i["exam_on"])
    return {
        "due": iso_9712_2021.vision_test_until(last),
        "verdict": _word(iso_9712_2021.vision_test(last, used), "current", "lapsed"),
    }


def ndt_certificate_due(i: Inputs) -> dict[str, Any]:
    assert i["scheme"] == "iso9712"
    issued, used = date.fromisoformat(i["issued"]), date.fromisoformat(i["used_on"])
    return {
        "expires": iso_9712_2021.examiner_certificate_until(issued),
        "verdict": _word(iso_9712_2021.examiner_certificate(issued, used), "current", "lapsed"),
    }


def film_reader_level(i: Inputs) -> dict[str, Any]:
    return {"verdict": _word(api_rp_577.film_reader(i["level"]), "permitted", "not_permitted")}


def vt_conditions(i: Inputs) -> dict[str, Any]:
    reasons = viewing_conditions.visual(i["illuminance_lx"], i["eye_distance_mm"], i["angle_deg"])
    return {"verdict": "not_acceptable" if worst(reasons) else "acceptable"}


def mt_yoke_lift(i: Inputs) -> dict[str, Any]:
    reason = viewing_conditions.yoke_lift(i["current"], i["leg_spacing_in"], i["lifted_lb"])
    return {"verdict": _word(reason, "accept", "reject")}


def uv_light(i: Inputs) -> dict[str, Any]:
    reasons = viewing_conditions.uv_light(i["uv_w_m2"], i["visible_lx"])
    return {
        "verdict": "reject" if worst(reasons) else "accept",
        "uv_uw_cm2": viewing_conditions.uv_uw_cm2(i["uv_w_m2"]),
    }


def pt_temperature(i: Inputs) -> dict[str, Any]:
    reason = asme_v_2007.penetrant_temperature(i["surface_c"])
    return {"verdict": _word(reason, "standard_procedure", "needs_qualified_procedure")}


def ut_calibration_check(i: Inputs) -> dict[str, Any]:
    examined = {weld: time.fromisoformat(at) for weld, at in i["welds_examined"].items()}
    good, failed = (time.fromisoformat(i[key]) for key in ("last_good_check", "check_failed_at"))
    return {"reexamine": asme_v_2007.welds_to_examine_again(good, failed, examined)}


def repair_status(i: Inputs) -> dict[str, Any]:
    reasons = (
        cfr_192_repair.repair_inspected(i["reexamined"]),
        cfr_192_repair.repair_procedure(
            False, i["repair_no"] > 1, i.get("qualified_repair_procedure", False)
        ),
    )
    open_ones = [reason.found for reason in reasons if reason.verdict != CLEAR]
    return {"joint_status": "open" if open_ones else "closed", "reason": "; ".join(open_ones)}


def joint_chronology(i: Inputs) -> dict[str, Any]:
    days = {
        step: date.fromisoformat(i[step])
        for step in joint_sequence.STEPS
        if i.get(step) is not None
    }
    pairs = joint_sequence.disorders(days)
    return {
        "verdict": "flag" if pairs else "ok",
        "pair": "{} after {}".format(*pairs[0]) if pairs else "",
    }


def cover_195(i: Inputs) -> dict[str, Any]:
    where = i["location"], i["excavation"]
    return {
        "min_in": cfr_195_cover.min_cover_in(*where),
        "min_mm": cfr_195_cover.min_cover_mm(*where),
        "verdict": _word(cfr_195_cover.cover(*where, i["measured_in"]), "ok", "short"),
    }


def cover_192(i: Inputs) -> dict[str, Any]:
    where = i["location"], i["excavation"]
    return {
        "min_in": cfr_192_cover.min_cover_in(*where),
        "verdict": _word(cfr_192_cover.cover(*where, i["measured_in"]), "ok", "short"),
    }


def trench_geometry(i: Inputs) -> dict[str, Any]:
    cover = pipe.cover_m(
        convert(i["ditch_depth_ft"], "ft", "m"),
        convert(i["bedding_in"], "in", "m"),
        convert(i["outside_diameter_in"], "in", "m"),
    )
    return {"cover_in": convert(cover, "m", "in")}


def record_completeness(i: Inputs) -> dict[str, Any]:
    missing = construction_records.missing_items(i["record_set"], i["present"])
    return {"missing": missing, "complete": not missing}


def record_retention(i: Inputs) -> dict[str, Any]:
    return {"period": construction_records.retention(i["record"]).period}


def printed_caution(i: Inputs) -> dict[str, Any]:
    return {"caution_ids": list(caution_ids(i["document"]))}


def hardness_limit(i: Inputs) -> dict[str, Any]:
    reason = iso_15156_2.hardness(i["location"], i["hardness_hv10"])
    return {
        "limit_hv": iso_15156_2.hardness_limit_hv(i["location"]),
        "verdict": _word(reason, "accept", "reject"),
    }


def ferrite_limit(i: Inputs) -> dict[str, Any]:
    span = api_rp_582_2016.ferrite_range(i["zone"])
    reason = api_rp_582_2016.ferrite(i["zone"], i["ferrite_pct"])
    verdict = _word(reason, "accept", "reject")
    return {"min_pct": span.low, "max_pct": span.high, "verdict": verdict}


ADAPTERS = {
    adapter.__name__: adapter
    for adapter in (
        calibration_due,
        near_vision_due,
        ndt_certificate_due,
        film_reader_level,
        vt_conditions,
        mt_yoke_lift,
        uv_light,
        pt_temperature,
        ut_calibration_check,
        repair_status,
        joint_chronology,
        cover_195,
        cover_192,
        trench_geometry,
        record_completeness,
        record_retention,
        printed_caution,
        hardness_limit,
        ferrite_limit,
    )
}
