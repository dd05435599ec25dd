"""Adapters: welders and procedures of API 1104 and of 49 CFR 192 and 195."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Any

from dossier.codes import api_1104_20, api_1104_21, cfr_192_welders, cfr_195_welders
from dossier.codes.api_1104_21 import fillers, papers, procedures, specimens, welders
from dossier.codes.periods import months_later
from dossier.records.procedures import Groove, Pqr, PqrPass, Procedure, ProcedurePass, Span
from dossier.records.weld import Weld
from dossier.records.welders import Certificate, Deposit
from tests.reference.us_words import (
    SIZES,
    Inputs,
    Reply,
    accept,
    day,
    inside,
    mm,
    mpa,
    permit,
    proved,
)

PROCESSES = {"SMAW": "111", "GMAW": "135", "GTAW": "141", "FCAW": "136"}
DIRECTIONS = {"downhill": "down", "uphill": "up"}
POSITIONS = {"fixed_45_deg": "6G", "fixed_horizontal": "5G", "roll": "1G"}
FULL = {
    "api1104_section6": "API 1104 section 6",
    "part192_appendix_c": "Part 192 Appendix C",
    "asme_ix": "ASME IX",
}
START = date(2024, 1, 15)


def test_paper(**changes: Any) -> Certificate:
    """A certificate of a plain butt test, changed where an entry says so."""
    plain: dict[str, Any] = {
        "number": "T-1",
        "code": api_1104_21.EDITION,
        "welded_on": START,
        "product": "pipe",
        "weld_type": "butt",
        "positions": ("5G",),
        "direction": "down",
        "od_mm": 219.075,
        "wall_mm": 8.179,
        "deposits": (Deposit(process="111", filler="E6010", backing="none"),),
    }
    return Certificate(**(plain | changes))


test_paper.__test__ = False  # type: ignore[attr-defined]


def variable(name: str, certificate: Certificate, weld: Weld, edition: Any = api_1104_21) -> Reply:
    return permit(r for r in edition.covers(certificate, weld, {}) if r.variable == name)


def multiple(entry: Inputs) -> Certificate:
    return test_paper(
        od_mm=mm(entry["test_od_in"]), wall_mm=mm(entry.get("test_wall_in", 0.5)), branch=True
    )


def multiple_range(entry: Inputs) -> Reply:
    weld = Weld(process="111", od_mm=mm(entry["weld_od_in"]), wall_mm=mm(entry["weld_wall_in"]))
    reasons = api_1104_21.covers(multiple(entry), weld, {})
    return permit(r for r in reasons if r.variable in ("outside diameter", "wall"))


def filler_family(entry: Inputs) -> Reply:
    allowed = api_1104_20.welder_filler_groups(str(entry["qualified_group"]))
    return inside(str(entry["weld_group"]), allowed)


def direction(entry: Inputs) -> Reply:
    paper = test_paper(direction=DIRECTIONS[entry["qualified_direction"]])
    weld = Weld(process="111", position="5G", direction=DIRECTIONS[entry["weld_direction"]])
    return variable("direction", paper, weld)


def process(entry: Inputs) -> Reply:
    tested = [
        test_paper(deposits=(Deposit(process=PROCESSES[name], backing="none"),))
        for name in entry["qualified_processes_separately"]
    ]
    answers = []
    for name in entry["weld_processes"]:
        weld = Weld(process=PROCESSES[name])
        answers.append(any(variable("process", paper, weld)["verdict"] == "permitted"
                           for paper in tested))  # fmt: skip
    return {"verdict": "permitted" if all(answers) else "not_permitted"}


def position(entry: Inputs) -> Reply:
    paper = test_paper(positions=(POSITIONS[entry["test_position"]],))
    return variable(
        "position", paper, Weld(process="111", position=POSITIONS[entry["weld_position"]])
    )


def smys(entry: Inputs) -> Reply:
    group = procedures.smys_group(mpa(entry["smys_psi"]))
    if group.low == group.high:
        return {"group": "separate_test_per_grade"}
    return {"group": "a" if group.low == 0 else "b"}


def for_material(entry: Inputs) -> Reply:
    return inside(
        procedures.nominal_smys(mpa(entry["weld_smys_psi"])),
        procedures.smys_group(mpa(entry["pqr_smys_psi"])),
    )


def dissimilar(entry: Inputs) -> Reply:
    sides = mpa(entry["side1_smys_psi"]), mpa(entry["side2_smys_psi"])
    return inside(mpa(entry["pqr_smys_psi"]), procedures.dissimilar_strength(*sides))


def pqr(**changes: Any) -> Pqr:
    plain: dict[str, Any] = {
        "number": "PQR-1",
        "code": api_1104_21.EDITION,
        "welded_on": START,
        "smys_mpa": 360.0,
        "wall_mm": 9.5,
        "position": "5G",
        "groove": Groove(kind="V", angle_deg=60),
        "preheat_c": 20.0,
        "passes": (
            PqrPass(number=1, kind="root", process="111", direction="down"),
            PqrPass(number=2, kind="hot", process="111", direction="down", since_last_min=5.0),
        ),
    }
    return Pqr(**(plain | changes))


def wps(**changes: Any) -> Procedure:
    plain: dict[str, Any] = {
        "number": "WPS-1",
        "revision": "0",
        "title": "girth welds",
        "code": api_1104_21.EDITION,
        "positions": ("5G",),
        "wall_mm": Span(low=9.5, high=9.5),
        "smys_mpa": Span(low=360, high=360),
        "groove": Groove(kind="V", angle_deg=60),
        "preheat_min_c": 20.0,
        "passes": (
            ProcedurePass(kind="root", process="111", filler="E6010", direction="down"),
            ProcedurePass(
                kind="hot", process="111", filler="E6010", direction="down", within_min=5.0
            ),
        ),
    }
    return Procedure(**(plain | changes))


def supported(name: str, test: Pqr, sheet: Procedure) -> Reply:
    return permit(r for r in api_1104_21.supports([test], sheet, {}) if r.variable == name)


def second_bead(entry: Inputs) -> Reply:
    test, sheet = pqr(), wps()
    hot = {"since_last_min": float(entry["qualified_max_min"])}
    test = pqr(passes=(test.passes[0], PqrPass(number=2, kind="hot", process="111", **hot)))
    late = ProcedurePass(
        kind="hot", process="111", filler="E6010", within_min=float(entry["actual_min"])
    )
    return supported("root to second bead", test, wps(passes=(sheet.passes[0], late)))


def preheat(entry: Inputs) -> Reply:
    test = pqr(preheat_c=float(entry["qualified_min_c"]))
    return supported("preheat", test, wps(preheat_min_c=float(entry["actual_c"])))


def travel_speed(entry: Inputs) -> Reply:
    low, high = entry["qualified_range_mm_per_min"]
    return permit(procedures.travel_speed(entry["actual_mm_per_min"], Span(low=low, high=high)))


def procedure_variable(entry: Inputs) -> Reply:
    if "groove" in entry:
        return bevel(entry)
    return diameter_of_procedure(entry) if "pqr_od_in" in entry else travel_speed(entry)


def bevel(entry: Inputs) -> Reply:
    groove = entry["groove"]
    test = pqr(groove=Groove(kind=groove, angle_deg=2 * entry["qualified_bevel_deg"]))
    sheet = wps(groove=Groove(kind=groove, angle_deg=2 * entry["actual_bevel_deg"]))
    return supported("joint design", test, sheet)


def diameter_of_procedure(entry: Inputs) -> Reply:
    test = pqr(od_mm=mm(entry["pqr_od_in"]))
    od = mm(entry["weld_od_in"])
    sheet = wps(od_mm=Span(low=od, high=od))
    reasons = api_1104_21.supports([test], sheet, {})
    names = ("outside diameter", "wall") if entry["same_wall_group"] else ("outside diameter",)
    return permit(r for r in reasons if r.variable in names)


def filler_group(entry: Inputs) -> Reply:
    text = f"{entry['aws_spec']} {entry['classification']}"
    return {"group_no": int(fillers.filler_group(text))}


def counts(found: specimens.Specimens) -> Reply:
    names = ("tensile", "nick_break", "root_bend", "face_bend", "side_bend", "total")
    return {name: getattr(found, name) for name in names}


def specimens_procedure(entry: Inputs) -> Reply:
    sides = mm(entry["od_in"]), mm(entry["wall_in"])
    return counts(specimens.procedure_specimens(*sides, mpa(entry["smys_psi"])))


def nick_break(entry: Inputs) -> Reply:
    def length(name: str) -> float | None:
        return None if entry.get(name) is None else mm(entry[name])

    face = specimens.NickBreak(
        gas_pocket_mm=length("max_gas_pocket_in"),
        gas_area_percent=entry.get("gas_area_pct"),
        slag_depth_mm=length("slag_depth_in"),
        slag_length_mm=length("slag_length_in"),
        slag_apart_mm=length("slag_separation_in"),
    )
    return accept(specimens.nick_break(face, mm(entry["wall_in"]), SIZES))


def currency_api(entry: Inputs) -> Reply:
    later = months_later(START, entry["months_since_last_weld"])
    return permit(api_1104_21.valid_on(test_paper(), later, (), {}))


def process_gas(entry: Inputs) -> Reply:
    used = day(entry["last_welded_with_process_date"])
    return permit(cfr_192_welders.process_currency(used, None, day(entry["weld_date"]), {}))


def process_gas_by_test(entry: Inputs) -> Reply:
    tested = day(entry["last_accepted_tested_weld_date"])
    return permit(cfr_192_welders.process_currency(None, tested, day(entry["weld_date"]), {}))


def tested_gas(entry: Inputs) -> Reply:
    tests = [day(entry["last_accepted_tested_weld_date"])]
    stress = entry["hoop_stress_pct_smys"]
    return permit(cfr_192_welders.weld_test_currency(tests, day(entry["weld_date"]), stress, {}))


def two_a_year(entry: Inputs) -> Reply:
    tests = [day(text) for text in entry["accepted_test_dates"]]
    return permit(cfr_192_welders.twice_a_year(tests, entry["calendar_years_checked"], {}))


def appendix_c(entry: Inputs) -> Reply:
    return permit(
        cfr_192_welders.appendix_c_requalification(
            day(entry["last_requalified_date"]),
            day(entry["weld_date"]),
            entry["requalified_in_each_calendar_year"],
            {},
        )
    )


def currency_liquid(entry: Inputs) -> Reply:
    return permit(
        cfr_195_welders.currency(
            day(entry["last_welded_with_process_date"]),
            day(entry["last_accepted_tested_weld_date"]),
            day(entry["weld_date"]),
            {},
        )
    )


ACTS = {"weld": "weld", "requalify_to_that_edition": "requalify"}
TESTED_BY = {"nondestructive_testing": "nondestructive", "destructive_testing": "destructive"}

ADAPTERS: dict[str, Callable[[Inputs], Reply]] = {
    "welder_low_stress_pipe": lambda e: permit(
        cfr_192_welders.qualification_for_stress(
            FULL[e["qualified_under"]], e["hoop_stress_pct_smys"]
        )
    ),
    "earlier_edition_welder": lambda e: permit(cfr_192_welders.earlier_edition(ACTS[e["act"]])),
    "welder_compressor_station": lambda e: permit(
        cfr_192_welders.compressor_station(TESTED_BY[e["qualified_by"]])
    ),
    "welder_process_currency_gas": process_gas,
    "welder_process_currency_gas_by_test": process_gas_by_test,
    "welder_tested_weld_currency_gas": tested_gas,
    "welder_ongoing_status_two_per_year": two_a_year,
    "welder_credit_for_shared_joint": lambda e: permit(
        cfr_192_welders.credit_for_joint(e["welders_on_joint"])
    ),
    "appendix_c_requalification": appendix_c,
    "appendix_c_bend": lambda e: accept(
        cfr_192_welders.appendix_c_bend([mm(c) for c in e["longest_crack_in_each_coupon_in"]])
    ),
    "appendix_c_range": lambda e: permit(
        cfr_192_welders.appendix_c_diameter(e["weld_nominal_diameter_in"])
    ),
    "welder_currency_liquid": currency_liquid,
    "welder_currency_api": currency_api,
    "welder_od_group": lambda e: inside(
        mm(e["weld_od_in"]), welders.od_group(mm(e["qualified_od_in"]))
    ),
    "welder_wall_group": lambda e: inside(
        mm(e["weld_wall_in"]), welders.wall_group(mm(e["qualified_wall_in"]))
    ),
    "multiple_qualification_test": lambda e: permit(welders.multiple_test(multiple(e))),
    "multiple_qualification_range": multiple_range,
    "welder_filler_group": filler_family,
    "welder_direction": direction,
    "welder_process": process,
    "welder_position": position,
    "wps_items": lambda _: {"min_item_groups": len(papers.WPS_ITEMS)},
    "smys_group": smys,
    "procedure_for_material": for_material,
    "procedure_dissimilar": dissimilar,
    "root_to_second_bead_time": second_bead,
    "preheat_minimum": preheat,
    "procedure_variable": procedure_variable,
    "filler_group": filler_group,
    "specimens_procedure": specimens_procedure,
    "specimens_welder": lambda e: counts(
        specimens.welder_specimens(mm(e["od_in"]), mm(e["wall_in"]))
    ),
    "nick_break": nick_break,
    "bend": lambda e: accept(specimens.bend(mm(e["largest_opening_in"]), mm(e["wall_in"]), SIZES)),
    "tensile": lambda e: accept(
        specimens.tensile(mpa(e["measured_tensile_psi"]), mpa(e["pipe_smts_psi"]))
    ),
    "coupon_report_fields": lambda e: {
        "missing": list(papers.missing_of(papers.COUPON_REPORT, e["report_has"]))
    },
    "welder_records": lambda e: proved(
        papers.welder_records(e["test_results_kept"], e["list_of_qualified_welders"])
    ),
}
