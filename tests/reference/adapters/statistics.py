"""Adapters: repair rates and their intervals, control charts, sampling plans, set cover."""

from __future__ import annotations

from typing import Any

from dossier.calc import control_charts, proportions, sampling, set_cover
from dossier.units import convert

Inputs = dict[str, Any]


def proportion_intervals(i: Inputs) -> dict[str, Any]:
    given = i["defective"], i["inspected"], i["confidence"]
    exact, wilson = proportions.exact_interval(*given), proportions.wilson_interval(*given)
    return {
        "exact_lower": exact.low,
        "exact_upper": exact.high,
        "wilson_lower": wilson.low,
        "wilson_upper": wilson.high,
    }


def count_interval(i: Inputs) -> dict[str, Any]:
    ends = proportions.count_interval(i["count"], i["confidence"])
    return {"lower": ends.low, "upper": ends.high}


def _limits(limits: control_charts.Limits) -> dict[str, Any]:
    return {
        "centre": limits.centre,
        "lcl": limits.low,
        "ucl": limits.high,
        "std_dev": limits.std_dev,
    }


def p_chart_limits(i: Inputs) -> dict[str, Any]:
    return _limits(control_charts.p_chart_limits(i["p_bar"], i["n"]))


def np_chart_limits(i: Inputs) -> dict[str, Any]:
    return _limits(control_charts.np_chart_limits(i["counts"], i["n"]))


def u_chart_limits(i: Inputs) -> dict[str, Any]:
    return _limits(control_charts.u_chart_limits(i["u_bar"], i["n"]))


def c_chart_limits(i: Inputs) -> dict[str, Any]:
    return _limits(control_charts.c_chart_limits(i["c_bar"]))


def u_chart_points_out_of_control(i: Inputs) -> dict[str, Any]:
    counts = i["counts"]
    return {"out_of_control": control_charts.u_points_out(counts, [i["n"]] * len(counts))}


def repair_rate_by_joint(i: Inputs) -> dict[str, Any]:
    return {"rate_pct": proportions.repair_rate_by_joint_pct(i["repaired"], i["inspected"])}


def repair_rate_by_length(i: Inputs) -> dict[str, Any]:
    lengths = (convert(i[key], "in", "mm") for key in ("repair_length_in", "inspected_length_in"))
    return {"rate_pct": proportions.repair_rate_by_length_pct(*lengths)}


def repair_rate_three_ways(i: Inputs) -> dict[str, Any]:
    repaired, joints = i["repaired_joints"], i["joints"]
    length = proportions.girth_weld_length_mm(joints, i["od_mm"])
    exact = proportions.exact_interval(repaired, joints)
    wilson = proportions.wilson_interval(repaired, joints)
    return {
        "joint_rate_pct": proportions.repair_rate_by_joint_pct(repaired, joints),
        "length_rate_pct": proportions.repair_rate_by_length_pct(i["repair_length_mm"], length),
        "repairs_per_100_m": proportions.repairs_per_100_m(i["repair_areas"], length),
        "exact_lower_pct": 100 * exact.low,
        "exact_upper_pct": 100 * exact.high,
        "wilson_lower_pct": 100 * wilson.low,
        "wilson_upper_pct": 100 * wilson.high,
    }


def sampling_plan(i: Inputs) -> dict[str, Any]:
    plan = sampling.single_normal_plan(i["lot_size"], i["aql_pct"], i["level"])
    return {
        "code_letter": plan.code_letter,
        "sample_size": plan.sample_size,
        "ac": plan.accept,
        "re": plan.reject,
    }


def code_letter_and_size(i: Inputs) -> dict[str, Any]:
    letter = sampling.code_letter(i["lot_size"], i["level"])
    return {"code_letter": letter, "sample_size": sampling.sample_size(letter)}


def probability_of_acceptance(i: Inputs) -> dict[str, Any]:
    chance = sampling.probability_of_acceptance(i["sample_size"], i["ac"], i["p"])
    return {"p_accept": chance}


def fewest_sets_that_cover_everything(i: Inputs) -> dict[str, Any]:
    cover = set_cover.fewest_sets(i["universe"], i["sets"])
    return {"size": len(cover.names), "cover": list(cover.names)}


def greedy_against_optimum(i: Inputs) -> dict[str, Any]:
    given = i["universe"], i["sets"]
    return {
        "greedy_size": len(set_cover.greedy_cover(*given).names),
        "optimal_size": len(set_cover.fewest_sets(*given).names),
    }


ADAPTERS = {
    "95_pct_two_sided_interval_for_a_proportion": proportion_intervals,
    "95_pct_exact_interval": proportion_intervals,
    "90_pct_exact_interval": proportion_intervals,
    "95_pct_intervals": proportion_intervals,
    "95_pct_exact_interval_for_a_count": count_interval,
    "p_chart_limits": p_chart_limits,
    "np_chart_limits": np_chart_limits,
    "u_chart_limits": u_chart_limits,
    "c_chart_limits": c_chart_limits,
    "u_chart_points_out_of_control": u_chart_points_out_of_control,
    "repair_rate_by_joint": repair_rate_by_joint,
    "repair_rate_by_length": repair_rate_by_length,
    "repair_rate_by_joint_by_length_and_per_100_m": repair_rate_three_ways,
    "acceptance_sampling_plan_single_normal": sampling_plan,
    "sample_size_code_letter_and_sample_size": code_letter_and_size,
    "probability_of_acceptance": probability_of_acceptance,
    "fewest_sets_that_cover_everything": fewest_sets_that_cover_everything,
    "greedy_against_optimum": greedy_against_optimum,
}
