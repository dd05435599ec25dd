"""Adapters: 49 CFR 192 and 195 on joints, examination, repair, tests and records; practice."""

from __future__ import annotations

from collections.abc import Callable

from dossier.codes import (
    cfr_192_examination,
    cfr_192_joints,
    cfr_192_records,
    cfr_192_repair,
    cfr_192_test,
    cfr_195_construction,
    cfr_195_test,
    cfr_195_welders,
    practice,
)
from dossier.records.verdicts import CLEAR, CUT_OUT, NOTE, Reason
from dossier.units import convert
from tests.reference.us_words import Inputs, Reply, accept, day, mm, permit, proved

ZONES = {
    "class1": "class 1",
    "class2": "class 2",
    "class3_4_or_crossing": "class 3, 4 or crossing",
    "tie_in": "tie-in",
}


def kpa(psi: float) -> float:
    return convert(psi, "psi", "kPa")


def psi(pressure_kpa: float) -> float:
    return convert(pressure_kpa, "kPa", "psi")


def miter_gas(entry: Inputs) -> Reply:
    return permit(
        cfr_192_joints.miter(
            entry["hoop_stress_pct_smys"],
            entry["deflection_deg"],
            entry.get("spacing_pipe_diameters"),
        )
    )


def needed(entry: Inputs) -> Reply:
    weld = cfr_192_examination.GirthWeld(
        hoop_stress_percent=entry["hoop_stress_pct_smys"],
        nominal_in=entry["nominal_diameter_in"],
        visually_approved=entry["visual_by_qualified_inspector"],
        few_and_impractical=entry.get("few_welds_ndt_impractical", False),
    )
    clear = cfr_192_examination.examination_needed(weld).verdict == CLEAR
    return {"verdict": "not_required" if clear else "required"}


def least_gas(entry: Inputs) -> Reply:
    number = cfr_192_examination.least_tests(
        ZONES[entry["zone"]],
        entry["field_butt_welds_that_day"],
        entry.get("welds_impracticable", 0),
    )
    return {"min_welds_tested": number}


def day_gas(entry: Inputs) -> Reply:
    return accept(
        cfr_192_examination.day_examined(
            ZONES[entry["zone"]],
            entry["field_butt_welds_that_day"],
            entry["welds_tested"],
            entry.get("welds_impracticable", 0),
        )
    )


def record_gas(entry: Inputs) -> Reply:
    missing = cfr_192_examination.missing_of_record(entry["record_has"])
    return {"missing": list(missing), "retain": cfr_192_examination.RETENTION}


def crack(entry: Inputs, context: Inputs) -> Reply:
    liquid = context["standard"] == cfr_195_construction.STANDARD
    rule = cfr_195_construction.crack_removal if liquid else cfr_192_repair.crack_removal
    reason = rule(
        mm(entry["weld_length_in"]),
        mm(entry["crack_length_in"]),
        from_pipelay_vessel=entry.get("offshore_from_pipelay_vessel", False),
    )
    out = reason.verdict == CUT_OUT
    return {"verdict": "remove" if out else "repair_allowed_with_qualified_procedure"}


def repaired_area(entry: Inputs) -> Reply:
    return permit(
        cfr_192_repair.repair_procedure(
            entry["defect"] == "crack",
            entry["area_previously_repaired"],
            entry["qualified_repair_procedure"],
        )
    )


def in_service(entry: Inputs) -> Reply:
    weld = cfr_192_repair.InServiceWeld(
        leaking=entry["leaking"],
        hoop_stress_percent=entry["stress_pct_smys"],
        remaining_mm=mm(entry["remaining_thickness_in"]),
    )
    return permit(cfr_192_repair.in_service_repair(weld))


def building(entry: Inputs) -> Reply:
    distance = convert(entry["building_distance_ft"], "ft", "m")
    pressures = kpa(entry["mop_psig"]), kpa(entry["test_pressure_psig"])
    return accept(cfr_192_test.near_building(*pressures, distance))


def strength_hours(entry: Inputs) -> Reply:
    """The section asked about is the one for lines of high stress: take the highest."""
    short = entry["preinstallation_short_section"]
    return {"min_hours": cfr_192_test.least_hours(100, 1000, short_section=short)}


def maop(entry: Inputs) -> Reply:
    allowed = cfr_192_test.maop_by_test_kpa(
        kpa(entry["test_pressure_psig"]), entry["class_location"], day(entry["installed_date"])
    )
    return {"max_maop_psig": psi(allowed)}


def test_record(entry: Inputs) -> Reply:
    kept = {cfr_192_records.retention_of_test_record(section) for section in entry["tests"]}
    return {"fields": len(cfr_192_records.TEST_RECORD_FIELDS), "retain": kept.pop()}


test_record.__test__ = False  # type: ignore[attr-defined]


def liquid_test(entry: Inputs) -> Reply:
    test = cfr_195_test.liquid_test(
        kpa(entry["mop_psig"]), visually_inspected=entry["visually_inspected"]
    )
    reply: Reply = {
        "min_strength_psig": psi(test.strength_kpa),
        "min_strength_hours": test.strength_hours,
    }
    if test.leak_kpa is not None:
        reply |= {"min_leak_psig": psi(test.leak_kpa), "min_leak_hours": test.leak_hours}
    return reply


def arc_burn(entry: Inputs) -> Reply:
    reason = cfr_195_construction.arc_burn(
        mm(entry["wall_after_grinding_in"]), mm(entry["mill_min_wall_in"])
    )
    return {"verdict": "cut_out_cylinder" if reason.verdict == CUT_OUT else "permitted"}


def hot_pass(entry: Inputs) -> Reply:
    usual = practice.HOT_PASS_MIN
    if "minutes_after_hot_pass" in entry:
        usual = practice.SECOND_HOT_PASS_MIN
        reason = practice.bead_delay(entry["minutes_after_hot_pass"], usual)
    else:
        reason = practice.bead_delay(entry["minutes_after_root"], usual)
    verdict = "warn" if reason.verdict == NOTE else "permitted"
    return {"verdict": verdict, "range_min": [usual.low, usual.high]}


def weld_number(entry: Inputs) -> Reply:
    if "fields" in entry:
        return {"missing": list(practice.missing_of_joint(entry["fields"]))}
    status = entry["status"].replace("_", " ")
    linked = practice.cut_out_linked(entry["old_weld"], status, entry["new_welds"])
    return {"verdict": "accept" if linked.verdict == CLEAR else "reject"}


def golden(entry: Inputs) -> Reply:
    return permit(practice.golden_weld(entry["hydrotested"], entry["rt_pct"], entry["ut_pct"]))


def repair_rate(entry: Inputs) -> Reply:
    numbers = entry["welds_inspected"], entry["welds_rejected"]
    review = practice.repair_rate(*numbers).verdict == NOTE
    return {
        "repair_rate_pct": practice.repair_rate_percent(*numbers),
        "verdict": "review" if review else "accept",
    }


def transition(entry: Inputs) -> Reply:
    ksi = float(entry["grade"].removeprefix("X"))
    reason = cfr_192_joints.transition_review(
        entry["nominal_diameter_in"], ksi, entry["unequal_wall"]
    )
    return {"verdict": "flag" if reason.verdict == NOTE else "accept"}


def shelter(entry: Inputs) -> Reason:
    return cfr_192_joints.weather(entry["rain"], entry["shelter_keeps_weld_dry"])


METHODS_OF_JUDGING = {
    "radiography_only": "radiography",
    "destructive_testing": "destructive testing",
}

ADAPTERS: dict[str, Callable[..., Reply]] = {
    "record_retention": lambda e: {
        "min_years_after_construction": cfr_192_records.welder_record_years(
            e["line"], day(e["installed_date"])
        )
    },
    "weather_protection": lambda e: permit(shelter(e)),
    "alignment_kept": lambda e: permit(
        cfr_192_joints.alignment(e["alignment_kept_during_root_bead"])
    ),
    "section_exists": lambda e: {
        "section_count": sum(name in cfr_192_joints.SUBPART_E for name in e["sections"])
    },
    "miter_gas": miter_gas,
    "ndt_required_gas": needed,
    "crack_by_appendix_a": lambda e: accept(
        cfr_192_examination.accepted_by_appendix_a(e["imperfection"])
    ),
    "ndt_min_count_gas": least_gas,
    "ndt_day_gas": day_gas,
    "sample_each_welder": lambda e: accept(
        cfr_192_examination.each_welder(
            e["welder_welds_that_day"],
            e["welder_welds_tested"],
            isolated=e["isolated_from_principal_activity"],
        )
    ),
    "ndt_method": lambda e: permit(cfr_192_examination.method_allowed(e["method"])),
    "ndt_record_fields": record_gas,
    "crack_disposition_law": crack,
    "repair_of_repaired_area": repaired_area,
    "repair_inspection": lambda e: {
        "verdict": "accept"
        if cfr_192_repair.repair_inspected(e["repair_reinspected"]).verdict == CLEAR
        else "reject"
    },
    "in_service_weld_repair": in_service,
    "gas_test_max_hoop": lambda e: {
        "max_hoop_stress_pct_smys": cfr_192_test.greatest_hoop_stress_percent(
            e["medium"], e["class_location"]
        )
    },
    "strength_test_hours": strength_hours,
    "gas_building_test": building,
    "leak_strength_hours": lambda e: {
        "min_hours": cfr_192_test.least_hours(e["hoop_stress_pct_smys"], e["pressure_psig"])
    },
    "maop_by_test": maop,
    "pressure_test_record_fields": test_record,
    "procedure_needed": lambda e: permit(
        cfr_195_welders.procedure_test(METHODS_OF_JUDGING[e["procedure_qualified_by"]])
    ),
    "procedure_record": lambda e: permit(
        cfr_192_joints.procedure_record(e["procedure_recorded"], e["test_results_attached"])
    ),
    "miter_liquid": lambda e: permit(
        cfr_195_construction.miter(
            e["deflection_deg"], from_misalignment=e["caused_by_misalignment"]
        )
    ),
    "arc_burn": arc_burn,
    "liquid_inspection": lambda e: permit(
        cfr_195_construction.inspection(e["visual"], e["ndt_program"])
    ),
    "ndt_min_count_liquid_welder": lambda e: {
        "min_welds_tested": cfr_195_construction.least_tests_of_welder(
            e["girth_welds_by_welder_that_day"]
        )
    },
    "ndt_day_liquid_listed": lambda e: accept(
        cfr_195_construction.listed_place(
            e["girth_welds_that_day"], e["welds_tested"], e["welds_impracticable"]
        )
    ),
    "ndt_used_pipe": lambda e: {
        "min_tested": cfr_195_construction.least_tests_of_all(e["old_girth_welds"])
    },
    "construction_record_fields": lambda _: {
        "groups": len(cfr_195_construction.RECORD_GROUPS),
        "retain": cfr_195_construction.RETENTION,
    },
    "liquid_test": liquid_test,
    "liquid_test_medium": lambda e: permit(
        cfr_195_test.medium_allowed(e["medium"], low_stress=e["line_stress"] == "low_stress")
    ),
    "tie_in_pipe_test": lambda e: permit(cfr_195_test.tie_in_pipe(e["tie_in_pipe_tested"])),
    "weld_to_procedure": lambda e: permit(
        cfr_192_joints.procedure_followed(not e["wps_parameter_outside_range"])
    ),
    "transition_weld": transition,
    "hot_pass_time": hot_pass,
    "root_gap": lambda _: {"nominal_mm": practice.ROOT_GAP_MM},
    "weld_number": weld_number,
    "golden_weld": golden,
    "repair_length_share": lambda e: proved(
        [practice.repair_length(e["repair_length_pct_of_weld"])]
    ),
    "welder_repair_rate": repair_rate,
}
