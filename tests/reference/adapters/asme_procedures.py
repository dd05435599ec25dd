"""ASME Section IX, procedures: check values -> public rules. No figure of the standard here."""

from __future__ import annotations

from datetime import date
from typing import Any

from dossier.calc.heat_input import (
    arc_energy_from_energy_kj_mm,
    arc_energy_from_power_kj_mm,
    arc_energy_kj_mm,
)
from dossier.codes.asme_ix import (
    conditions,
    edition_2017,
    edition_2019,
    fillers,
    metals,
    pqr_limits,
    variables,
)
from dossier.codes.asme_ix.common import Edition
from dossier.records.procedures import Pqr, PqrPass, Procedure, ProcedurePass, Span
from dossier.records.verdicts import CLEAR, Range, worst
from dossier.units import convert

DAY = date(2024, 1, 1)
EDITIONS = {"2017": edition_2017, "2019": edition_2019}
ISO = {"SMAW": "111", "SAW": "121", "GMAW": "135", "FCAW": "136", "GTAW": "141"}


def verdict(good: bool) -> dict[str, str]:
    return {"verdict": "permitted" if good else "not_permitted"}


def span(limit: Range, unit: str = "mm", *, no_floor: bool = False) -> dict[str, Any]:
    low = None if no_floor else limit.low
    return {"range": {"min": low, "max": limit.high, "unit": unit}}


def fillet_pqr(i: Any) -> Any:
    """A fillet test must answer a fillet WPS of every size and refuse a groove."""
    pqr = _pqr(weld_type=i["coupon_type"], wall_mm=i["coupon_thickness_mm"])
    limits = edition_2019.procedure_range(pqr, {})
    bound = {
        "base metal thickness": "all base metal thicknesses",
        "deposited thickness, SMAW F4": "all fillet sizes",
        "outside diameter": "all diameters",
    }
    free = {words for name, words in bound.items() if name not in limits}
    return {"set": free if "butt" not in limits["weld type"] else set()}


def groove_covers_fillet(i: Any) -> Any:
    pqr = _pqr(weld_type="butt", wall_mm=i["coupon_thickness_mm"])
    thick = i["production_base_thickness_mm"]
    wps = _wps(weld_type=i["production_weld"], wall_mm=Span(low=thick, high=thick))
    names = ("weld type", "base metal", "thickness")
    reasons = edition_2019.supports([pqr], wps, {})
    return verdict(worst(r for r in reasons if r.variable.startswith(names)) is CLEAR)


def lent_root(i: Any) -> Any:
    root, fill = i["root_pqr"], i["fill_pqr"]
    root_mm, joint_mm = i["root_deposit_mm"], i["production_thickness_mm"]
    tests = [
        _pqr(
            number="root",
            wall_mm=root["coupon_thickness_mm"],
            passes=(_pqr_pass(root["process"], "root", root["deposit_thickness_mm"]),),
        ),
        _pqr(
            number="fill",
            wall_mm=fill["coupon_thickness_mm"],
            passes=(_pqr_pass(fill["process"], "fill", None),),
        ),
    ]
    wps = _wps(
        wall_mm=Span(low=joint_mm, high=joint_mm),
        passes=(
            _wps_pass(root["process"], "root", root_mm),
            _wps_pass(fill["process"], "fill", joint_mm - root_mm),
        ),
    )
    reasons = edition_2019.supports(tests, wps, {})
    sizes = [r for r in reasons if "thickness" in r.variable]
    return verdict(worst(sizes) is CLEAR)


def listed(i: Any) -> Any:
    found = variables.procedure_variables(i["process"], Edition("2019", False))
    return {"set": set(found) & {i["variable"]}, "listed": i["variable"] in found}


CONDITIONS = {
    "none": "none",
    "below_lower": "below lower",
    "above_upper": "above upper",
    "above_upper_then_below_lower": "above upper, then below lower",
    "between_lower_and_upper": "between lower and upper",
}


def pwht(i: Any) -> Any:
    tested = CONDITIONS.get(i["pqr_pwht"], i["pqr_pwht"])
    wanted = CONDITIONS.get(i["wps_pwht"], i["wps_pwht"])
    return verdict(wanted in conditions.pwht_conditions(i["p_number"], tested))


def pwht_time(i: Any) -> Any:
    inside = i["wps_pwht_hours"] in conditions.pwht_time_range(i["pqr_pwht_hours"])
    return verdict(inside or not i["toughness_required"])


def preheat(i: Any) -> Any:
    return verdict(i["wps_preheat_c"] in conditions.preheat_range(i["pqr_preheat_c"]))


def interpass(i: Any) -> Any:
    limit = conditions.interpass_range(i["pqr_interpass_max_c"])
    return verdict(i["wps_interpass_max_c"] in limit or not i["toughness_required"])


def arc_energy(i: Any) -> Any:
    value = arc_energy_kj_mm(i["volts"], i["amps"], i["travel_speed_mm_per_min"])
    return {"value": value, "unit": "kJ/mm"}


def arc_energy_inch(i: Any) -> Any:
    travel = convert(i["travel_speed_in_per_min"], "in/min", "mm/min")
    value = convert(arc_energy_kj_mm(i["volts"], i["amps"], travel), "kJ/mm", "J/in")
    return {"value": value, "unit": "J/in"}


def arc_energy_of_process(i: Any) -> Any:
    one = PqrPass(
        number=1,
        kind="root",
        process=ISO[i["process"]],
        voltage_v=i["volts"],
        current_a=i["amps"],
        travel_mm_min=i["travel_speed_mm_per_min"],
    )
    return {"value": pqr_limits.arc_energy_of(one), "unit": "kJ/mm"}


def bead(i: Any) -> Any:
    limit = conditions.bead_section_range(i["pqr_bead_width_mm"], i["pqr_bead_thickness_mm"])
    section = conditions.bead_section_range(i["wps_bead_width_mm"], i["wps_bead_thickness_mm"])
    return verdict(section.high in limit or not i["toughness_required"])


def energy(i: Any) -> Any:
    return {"value": arc_energy_from_energy_kj_mm(i["energy_j"], i["bead_length_mm"])} | KJ_MM


def power(i: Any) -> Any:
    value = arc_energy_from_power_kj_mm(i["power_w"], i["arc_time_s"], i["bead_length_mm"])
    return {"value": value} | KJ_MM


KJ_MM = {"unit": "kJ/mm"}


def waveform(i: Any) -> Any:
    allowed = conditions.heat_input_methods(waveform_controlled=i["waveform_controlled"])
    return verdict(i["method"] in allowed)


def heat_input(i: Any) -> Any:
    limit = conditions.heat_input_range(i["pqr_heat_input_kj_per_mm"])
    return verdict(i["wps_heat_input_kj_per_mm"] in limit or not i["toughness_required"])


def _pair(text: str) -> metals.Pair:
    first, second = (metals.metal("P" + part.replace("-", ".")) for part in text.split("+"))
    assert first
    assert second
    return first, second


def metal_pair(i: Any) -> Any:
    coupon, weld = _pair(i["pqr_pair"]), _pair(i["wps_pair"])
    inside = frozenset(member.p for member in weld) in metals.covered_pairs(coupon)
    grouped = not i["toughness_required"] or metals.covers_groups(coupon, weld)
    return verdict(inside and grouped)


def filler_change(i: Any) -> Any:
    """Essential filler variables of a procedure, asked of one SMAW test and one WPS line."""
    test = _pqr(passes=(_pqr_pass("SMAW", "fill", 10.0, filler=i["pqr_filler"]),))
    wps = _wps(passes=(_wps_pass("SMAW", "fill", 10.0, filler=i["wps_filler"]),))
    choices = {"ix toughness": "required" if i.get("toughness_required") else "not required"}
    reasons = edition_2019.supports([test], wps, choices)
    names = ("F-Number", "A-Number", "classification")
    return verdict(worst(r for r in reasons if r.variable.startswith(names)) is CLEAR)


def a_number_change(i: Any) -> Any:
    return verdict(i["wps_a_number"] in fillers.a_numbers_covered(i["pqr_a_number"]))


def form(i: Any) -> Any:
    return verdict(fillers.product_form(i["pqr_form"]) == fillers.product_form(i["wps_form"]))


def one_variable(
    name: str, test: PqrPass, line: ProcedurePass, *, edition: Any = edition_2019, **wps: Any
) -> Any:
    choices = {"ix toughness": "required" if wps.pop("tough", False) else "not required"}
    pqr = _pqr(passes=(test,), position=wps.pop("tested_in", ""))
    reasons = edition.supports([pqr], _wps(passes=(line,), **wps), choices)
    return verdict(worst(r for r in reasons if r.variable.startswith(name)) is CLEAR)


def gtaw_filler(i: Any) -> Any:
    name = i["process"]
    test = _pqr_pass(name, "root", 3.0, filler=i["pqr_filler"])
    return one_variable("filler metal", test, _wps_pass(name, "root", 3.0, filler=i["wps_filler"]))


MODES = {"short_circuiting": "short circuit"}


def transfer(i: Any) -> Any:
    tested, wanted = (MODES.get(t, t) for t in (i["pqr_transfer"], i["wps_transfer"]))
    test = _pqr_pass("GMAW", "fill", 10.0, transfer=tested)
    return one_variable("transfer", test, _wps_pass("GMAW", "fill", 10.0, transfer=wanted))


def gas(i: Any) -> Any:
    test = _pqr_pass(i["process"], "fill", 10.0, gas=i["pqr_gas"])
    return one_variable("shielding", test, _wps_pass(i["process"], "fill", 10.0, gas=i["wps_gas"]))


def position(i: Any) -> Any:
    name, _, way = i["wps_position"].partition(" ")
    process = i.get("process", "SMAW")
    return one_variable(
        "progression",
        _pqr_pass(process, "fill", 10.0),
        _wps_pass(process, "fill", 10.0, direction="up" if way == "uphill" else ""),
        edition=EDITIONS[str(i.get("edition", 2019))],
        tough=i["toughness_required"],
        positions=(name,),
        tested_in=i["pqr_position"],
    )


def backing(i: Any) -> Any:
    """Backing is judged only where a paragraph on it is essential for the process."""
    assert i["pqr_backing"] != i["wps_backing"]
    kind = variables.procedure_variables("SMAW", Edition("2019", False))["QW-402.4"]
    return verdict(kind == "nonessential")


def kinds(i: Any, entry: Any) -> Any:
    edition = Edition(str(entry["edition"]), int(entry["edition"]) < 2019)
    found = variables.procedure_variables(i["process"].split()[0], edition)
    many = {name: kind.split(", ") for name, kind in found.items()}
    return {"kinds": {n: k[0] if len(k) == 1 else k for n, k in many.items()}}


def _pqr_pass(name: str, kind: str, deposit_mm: float | None, **more: Any) -> PqrPass:
    more = {"filler": "E7018" if name == "SMAW" else "ER70S-6"} | more
    return PqrPass(number=1, kind=kind, process=ISO[name], deposit_mm=deposit_mm, **more)


def _wps_pass(name: str, kind: str, deposit_mm: float, **more: Any) -> ProcedurePass:
    more = {"filler": "E7018" if name == "SMAW" else "ER70S-6"} | more
    return ProcedurePass(kind=kind, process=ISO[name], deposit_mm=deposit_mm, **more)


def _pqr(**more: Any) -> Pqr:
    wall = more.get("wall_mm", 20.0)
    plain: dict[str, Any] = {
        "number": "PQR",
        "code": "ASME IX:2019",
        "welded_on": DAY,
        "weld_type": "butt",
        "material_groups": ("P1.1",),
        "wall_mm": wall,
        "preheat_c": 20.0,
        "passes": (_pqr_pass("SMAW", "fill", None),),
    }
    return Pqr(**plain | more)


def _wps(**more: Any) -> Procedure:
    plain: dict[str, Any] = {
        "number": "WPS",
        "revision": "0",
        "title": "",
        "code": "ASME IX:2019",
        "weld_type": "butt",
        "material_groups": ("P1.1",),
        "wall_mm": Span(low=20.0, high=20.0),
        "preheat_min_c": 20.0,
        "passes": (_wps_pass("SMAW", "fill", 20.0),),
    }
    return Procedure(**plain | more)


ADAPTERS = {
    "range_of_a_fillet_only_pqr": fillet_pqr,
    "fillets_covered_by_a_groove_pqr": groove_covers_fillet,
    "root_layers_from_another_pqr": lent_root,
    "qw_407_4_in_recent_editions": listed,
    "pwht_condition_change_p_no_1": pwht,
    "pwht_condition_change_p_no_8": pwht,
    "pwht_time_with_toughness_required": pwht_time,
    "preheat_change": preheat,
    "maximum_interpass_change": interpass,
    "heat_input_method_a": arc_energy,
    "heat_input_method_a_inch_units": arc_energy_inch,
    "heat_input_process_factor": arc_energy_of_process,
    "heat_input_method_b": bead,
    "heat_input_method_c_energy": energy,
    "heat_input_method_c_power": power,
    "method_a_under_waveform_control": waveform,
    "heat_input_change": heat_input,
    "base_metal_combination_allowed_by_the_pqr": metal_pair,
    "group_number_change_with_toughness": metal_pair,
    "group_number_change_without_toughness": metal_pair,
    "group_numbers_joined_in_one_coupon": metal_pair,
    "filler_change_across_f_numbers": filler_change,
    "filler_change_inside_an_f_number": filler_change,
    "a_number_1_and_2": a_number_change,
    "a_number_change": a_number_change,
    "a_number_change_inside_one_f_number": filler_change,
    "filler_product_form_gmaw_or_fcaw_or_gtaw": form,
    "gtaw_filler_added_or_deleted": gtaw_filler,
    "gmaw_transfer_mode": transfer,
    "shielding_gas_change": gas,
    "position_for_a_procedure": position,
    "vertical_uphill_with_toughness_2019_on": position,
    "vertical_uphill_with_toughness_to_2017": position,
    "backing_for_a_procedure": backing,
    "kinds_of_every_smaw_procedure_variable": kinds,
    "kinds_of_every_saw_procedure_variable": kinds,
    "kinds_of_every_gmaw_and_fcaw_procedure_variable": kinds,
    "kinds_of_every_gtaw_procedure_variable": kinds,
}
