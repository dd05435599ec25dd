"""Adapters: gamma sources, dose rates, and the rules of 10 CFR on radiation work."""

from __future__ import annotations

from typing import Any

from dossier.calc import dose, sources
from dossier.codes import cfr_10_20, cfr_10_34, cfr_10_73
from dossier.records.verdicts import CLEAR, Reason
from dossier.units import convert

Inputs = dict[str, Any]

DAYS_PER_YEAR = sources.DAYS_PER_YEAR


def _word(reason: Reason, other: str, clear: str = "permitted") -> dict[str, Any]:
    return {"verdict": clear if reason.verdict == CLEAR else other}


def half_life(i: Inputs) -> dict[str, Any]:
    days = sources.half_life_d(i["source"])
    return {"half_life_d": days, "half_life_y": days / DAYS_PER_YEAR}


def source_activity_ci(i: Inputs) -> dict[str, Any]:
    start = convert(i["activity_ci"], "Ci", "GBq")
    later = sources.activity_after_gbq(i["source"], start, i["elapsed_d"])
    return {"activity_ci": convert(later, "GBq", "Ci")}


def source_activity_tbq(i: Inputs) -> dict[str, Any]:
    start = convert(i["activity_tbq"], "TBq", "GBq")
    later = sources.activity_after_gbq(i["source"], start, i["elapsed_d"])
    return {"activity_tbq": convert(later, "GBq", "TBq")}


def decay_time(i: Inputs) -> dict[str, Any]:
    start, target = (convert(i[key], "Ci", "GBq") for key in ("activity_ci", "target_ci"))
    return {"elapsed_d": sources.decay_time_d(i["source"], start, target)}


def gamma_constant(i: Inputs) -> dict[str, Any]:
    return sources.gamma_constant_r_m2_h_ci(i["source"])._asdict()


def gamma_constant_si(i: Inputs) -> dict[str, Any]:
    micro = sources.gamma_constant_usv_m2_h_gbq(i["gamma_r_m2_h_ci"])
    return {"gamma_msv_m2_h_gbq": micro / 1000}


def boundary_distance(i: Inputs) -> dict[str, Any]:
    distance = dose.boundary_distance_m(
        convert(i["activity_ci"], "Ci", "GBq"),
        sources.gamma_constant_usv_m2_h_gbq(i["gamma_r_m2_h_ci"]),
        convert(i["limit_mr_h"], "mrem/h", "µSv/h"),
        i.get("collimator_hvl", 0.0),
    )
    return {"distance_m": distance}


def boundary_distance_si(i: Inputs) -> dict[str, Any]:
    distance = dose.boundary_distance_m(
        i["activity_gbq"], i["gamma_usv_m2_h_gbq"], i["limit_usv_h"]
    )
    return {"distance_m": distance}


def boundary_duty_cycle(i: Inputs) -> dict[str, Any]:
    given = (
        convert(i["activity_ci"], "Ci", "GBq"),
        sources.gamma_constant_usv_m2_h_gbq(i["gamma_r_m2_h_ci"]),
        convert(i["dose_mrem_in_hour"], "mrem", "µSv"),
    )
    return {
        "distance_m": dose.boundary_distance_m(*given, beam_on_min_per_h=i["beam_on_min_per_h"]),
        "distance_beam_on_all_hour_m": dose.boundary_distance_m(*given),
    }


def inverse_square_feet(i: Inputs) -> dict[str, Any]:
    rates = (convert(i[key], "mrem/h", "µSv/h") for key in ("rate_1_mr_h", "rate_2_mr_h"))
    there = dose.distance_for_rate_m(convert(i["distance_1_ft"], "ft", "m"), *rates)
    return {"distance_2_ft": convert(there, "m", "ft")}


def inverse_square_metres(i: Inputs) -> dict[str, Any]:
    there = dose.distance_for_rate_m(i["distance_1_m"], i["rate_1_usv_h"], i["rate_2_usv_h"])
    return {"distance_2_m": there}


def shield_transmission(i: Inputs) -> dict[str, Any]:
    return {"transmission": dose.shield_transmission(i["thickness_mm"], i["hvl_mm"])}


def tenth_value_layer(i: Inputs) -> dict[str, Any]:
    return {"tvl_mm": dose.tenth_value_layer_mm(i["hvl_mm"])}


def exposure_time(i: Inputs) -> dict[str, Any]:
    minutes = sources.exposure_minutes(
        i["film_factor_r"],
        i["thickness_mm"],
        i["hvt_mm"],
        convert(i["source_to_film_cm"], "cm", "mm"),
        i["activity_ci"],
        i["gamma_r_m2_h_ci"],
    )
    return {"minutes": minutes}


def exposure_time_factor(i: Inputs) -> dict[str, Any]:
    minutes = sources.exposure_minutes_by_factor(
        i["exposure_factor"], i["distance_in"], i["film_factor"], i["activity_ci"]
    )
    return {"minutes": minutes}


def exposure_scale(i: Inputs) -> dict[str, Any]:
    change = {
        f"distance_{n}_mm": convert(i[f"distance_{n}_in"], "in", "mm")
        for n in (1, 2)
        if i.get(f"distance_{n}_in") is not None
    }
    change |= {
        f"activity_{n}_gbq": convert(i[f"activity_{n}_ci"], "Ci", "GBq")
        for n in (1, 2)
        if i.get(f"activity_{n}_ci") is not None
    }
    return {"minutes_2": sources.exposure_minutes_scaled(i["minutes"], **change)}


def source_security_fraction(i: Inputs) -> dict[str, Any]:
    held = {source: convert(ci, "Ci", "GBq") for source, ci in i["sources_ci"].items()}
    over = cfr_10_73.under_security_rules(held)
    return {
        "sum_of_fractions": cfr_10_73.security_fraction(held),
        "verdict": "category_2_or_more" if over else "below",
    }


def dose_limit(i: Inputs) -> dict[str, Any]:
    limits = cfr_10_20.dose_limits_rem(i["person"], i["period"])
    answer: dict[str, Any] = {}
    for what, rem in limits.items():
        if what == "external_unrestricted":
            answer |= {
                "dose_mrem": convert(rem, "rem", "mrem"),
                "dose_usv": convert(rem, "rem", "µSv"),
            }
        else:
            answer |= {f"{what}_rem": rem, f"{what}_msv": convert(rem, "rem", "mSv")}
    return answer


def area_posting(i: Inputs) -> dict[str, Any]:
    return {"area": cfr_10_20.area_posting(i["dose_mrem_in_hour_at_30_cm"])}


def rt_crew(i: Inputs) -> dict[str, Any]:
    site = i["site"]
    needed = {"needed": cfr_10_34.crew_needed(site)}
    return needed | _word(cfr_10_34.crew(site, i["qualified_people"]), "not_permitted")


def rt_surveillance(i: Inputs) -> dict[str, Any]:
    reason = cfr_10_34.surveillance(
        i["site"], continuous_direct_visual=i["continuous_direct_visual"]
    )
    return _word(reason, "not_permitted")


def rt_posting(_: Inputs) -> dict[str, Any]:
    return {"posting_required": cfr_10_34.posting_required()}


def rt_survey(i: Inputs) -> dict[str, Any]:
    reason = cfr_10_34.survey(survey_after_exposure=i["survey_after_exposure"])
    return _word(reason, "film_change_not_permitted")


def rt_dosimeter(i: Inputs) -> dict[str, Any]:
    reason = cfr_10_34.dosimeter(i["direct_reading_mrem"])
    return _word(reason, "stop_work_and_process_dosimeter", "continue")


ADAPTERS: dict[str, Any] = {
    "half_life": half_life,
    "decay_time": decay_time,
    "gamma_constant": gamma_constant,
    "gamma_constant_si": gamma_constant_si,
    "boundary_distance": boundary_distance,
    "boundary_distance_si": boundary_distance_si,
    "boundary_duty_cycle": boundary_duty_cycle,
    "shield_transmission": shield_transmission,
    "tenth_value_layer": tenth_value_layer,
    "exposure_time": exposure_time,
    "exposure_time_factor": exposure_time_factor,
    "exposure_scale": exposure_scale,
    "source_security_fraction": source_security_fraction,
    "dose_limit": dose_limit,
    "area_posting": area_posting,
    "rt_crew": rt_crew,
    "rt_surveillance": rt_surveillance,
    "rt_posting": rt_posting,
    "rt_survey": rt_survey,
    "rt_dosimeter": rt_dosimeter,
    "source_activity": lambda i: (
        source_activity_ci(i) if "activity_ci" in i else source_activity_tbq(i)
    ),
    "inverse_square_distance": lambda i: (
        inverse_square_feet(i) if "distance_1_ft" in i else inverse_square_metres(i)
    ),
}
