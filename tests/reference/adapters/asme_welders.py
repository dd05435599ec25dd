"""ASME Section IX, welders: check values -> public rules. No figure of the standard here."""

from __future__ import annotations

import re
from datetime import date
from typing import Any

from dossier.codes.asme_ix import edition_2019, fillers, variables, welder_limits
from dossier.codes.asme_ix.metals import welder_metals
from dossier.codes.asme_ix.positions import COLUMNS, places_qualified
from dossier.records.verdicts import CLEAR, Range, worst
from dossier.records.weld import Weld
from dossier.records.welders import Certificate, Confirmation, Deposit

DAY = date(2024, 1, 1)
ISO = {"SMAW": "111", "SAW": "121", "GMAW": "135", "FCAW": "136", "GTAW": "141", "PAW": "15"}
MODES = {"short_circuiting": "short circuit"}
WAYS = {"uphill": "up", "downhill": "down"}
PLACES = {"F": "1G", "H": "2G", "V": "3G", "O": "4G"}


def verdict(good: bool) -> dict[str, str]:
    return {"verdict": "permitted" if good else "not_permitted"}


def span(limit: Range, unit: str = "mm", *, no_floor: bool = False) -> dict[str, Any]:
    return {"range": {"min": None if no_floor else limit.low, "max": limit.high, "unit": unit}}


def certificate(process: str = "SMAW", **more: Any) -> Certificate:
    part = {k: more.pop(k) for k in tuple(more) if k in Deposit.__dataclass_fields__}
    plain: dict[str, Any] = {"product": "pipe", "weld_type": "butt", "wall_mm": 10.0}
    return Certificate(
        number="W",
        code="ASME IX:2019",
        welded_on=more.pop("welded_on", DAY),
        deposits=(Deposit(process=ISO[process], **part),),
        **plain | more,
    )


def answers(test: Certificate, weld: Weld, *names: str) -> bool:
    """The variables whose names start so are clear; all of them where none is named."""
    reasons = edition_2019.covers(test, weld, {})
    asked = [r for r in reasons if not names or r.variable.startswith(names)]
    assert asked
    return worst(asked) is CLEAR


def deposit_range(i: Any) -> Any:
    units = "US customary" if i["unit_system"].startswith("US") else "SI"
    limit = welder_limits.deposit_range(i["deposit_thickness_mm"], i["layers"], units=units)
    return span(limit, no_floor=True)


def diameters(i: Any) -> Any:
    assert i["product_form"] == "pipe"
    return span(welder_limits.diameter_range(i["test_od_mm"]))


def other_diameter(i: Any) -> Any:
    """Groove on pipe after a pipe groove test, the diameter alone in question."""
    weld = Weld(process="111", product="pipe", weld_type="butt", od_mm=i["production_od_mm"])
    return verdict(answers(certificate(od_mm=i["test_od_mm"]), weld, "outside diameter"))


def fillet_after_groove(i: Any) -> Any:
    test = certificate(od_mm=i["test_od_mm"], deposit_mm=i["deposit_thickness_mm"])
    weld = Weld(
        process="111", product="pipe", weld_type=i["production_weld"], od_mm=i["production_od_mm"]
    )
    reasons = edition_2019.covers(test, weld, {})
    sizes = [r for r in reasons if r.variable in ("weld type", "outside diameter", "leg")]
    return verdict(worst(sizes) is CLEAR)


def small_fillet(i: Any) -> Any:
    assert i["test"] == "fillet"
    return span(welder_limits.fillets_after_pipe_fillet(i["test_od_mm"]).od_mm)


def plate_fillet(i: Any) -> Any:
    limits = welder_limits.fillets_after_plate_fillet(i["coupon_thickness_mm"])
    words = {"any": "all"}
    return span(limits.od_mm, "mm OD") | {
        "base_thickness": words.get(str(limits.base_mm), str(limits.base_mm)),
        "fillet_size": words.get(str(limits.leg_mm), str(limits.leg_mm)),
    }


def thin_plate_fillet(i: Any) -> Any:
    limits = welder_limits.fillets_after_plate_fillet(i["coupon_thickness_mm"])
    return span(limits.base_mm, "mm base") | {
        "max_fillet_size_mm": limits.leg_mm.high,
        "min_od_mm": limits.od_mm.low,
    }


def thick_fillet_coupon(i: Any) -> Any:
    """A thick coupon must still earn a range."""
    limits = welder_limits.fillets_after_plate_fillet(i["coupon_thickness_mm"])
    return verdict(i["coupon_thickness_mm"] in limits.base_mm)


COLUMN_NAMES = ("groove_plate_and_pipe_over_610_mm", "groove_pipe_610_mm_and_under", "fillet")


def places(i: Any) -> Any:
    fillet = i["test_weld"] == "fillet"
    found = places_qualified(i["product_form"], i["test_position"].split("+"), fillet=fillet)
    named = zip(COLUMN_NAMES, COLUMNS, strict=True)
    return {"set": {name: set(found[column]) for name, column in named}}


def pipe_after_plate(i: Any) -> Any:
    test = certificate(product=i["product_form"], positions=(i["test_position"],))
    weld = Weld(
        process="111",
        product="pipe",
        weld_type="butt" if i["production_weld"] == "groove" else i["production_weld"],
        position=PLACES[i["production_position"]],
        od_mm=i["production_od_mm"],
    )
    return verdict(answers(test, weld, "position", "outside diameter"))


def progression(i: Any) -> Any:
    test = certificate(positions=("6G",), direction=WAYS[i["test_progression"]])
    weld = Weld(
        process="111",
        product="pipe",
        weld_type="butt",
        position="5G",
        od_mm=100.0,
        direction=WAYS[i["production_progression"]],
    )
    return verdict(answers(test, weld, "progression"))


def f_exchange(i: Any) -> Any:
    limit = fillers.fillers_covered(i["test_f_number"], backing=i.get("test_backing", False))
    word = "with" if i.get("production_backing", True) else "without"
    return verdict(f"F{i['production_f_number']} {word} backing" in limit)


def metals(i: Any) -> Any:
    return verdict(i["production_p_number"] in welder_metals(i["test_p_number"]))


def backing(i: Any) -> Any:
    """The filler stays F-No. 4, so that only the backing decides."""
    filler = "F4"
    tested = "material" if i["test_backing"] else "none"
    second_side = i["production_backing"] == "second side"
    weld = Weld(
        process=ISO[i["process"]],
        product="pipe",
        weld_type="butt" if i["production_weld"] == "groove" else i["production_weld"],
        backing="material" if i["production_backing"] is True else "none",
        sides="both" if second_side else "single",
        filler_group=filler,
    )
    test = certificate(i["process"], backing=tested, sides="single", filler_group=filler)
    return verdict(answers(test, weld, "filler"))


def fill_passes(i: Any) -> Any:
    sides = "single" if i["single_sided"] else "both"
    found = set()
    for process, root in ((i["root_process"], True), (i["fill_process"], False)):
        state = welder_limits.Root("butt", "none", sides, root)
        word = "with" if welder_limits.with_backing(state, {}) else "without"
        found.add(f"{process} {word} backing")
    return {"set": found}


def variables_of(i: Any) -> Any:
    return {"set": variables.welder_variables(i["process"].split()[0])}


def process_change(i: Any) -> Any:
    weld = Weld(process=ISO[i["production_process"]])
    return verdict(answers(certificate(i["test_process"]), weld, "process"))


def other_variable(i: Any) -> Any:
    """Only what stands in the welder's table may requalify; preheat is QW-406."""
    assert i["change"].startswith("preheat")
    listed = variables.welder_variables(i["process"])
    return verdict(not any(name.startswith("QW-406") for name in listed))


def in_force(test: Certificate, day: str, uses: Any = (), *, process: str = "") -> bool:
    history = [
        Confirmation(signed_on=date.fromisoformat(on), by="", process=name) for name, on in uses
    ]
    asked = edition_2019.for_process(test, ISO[process]) if process else test
    return worst(edition_2019.valid_on(asked, date.fromisoformat(day), history, {})) is CLEAR


def continuity(i: Any) -> Any:
    test = certificate(i["process"], welded_on=date.fromisoformat(i["last_use_date"]))
    return verdict(in_force(test, i["production_date"]))


def continuity_by_process(i: Any) -> Any:
    uses = [(ISO[name], on) for name, on in i["last_use"].items()]
    test = Certificate(
        number="W",
        code="",
        welded_on=date.fromisoformat(min(i["last_use"].values())),
        deposits=tuple(Deposit(process=ISO[name]) for name in i["qualified"]),
    )
    return verdict(in_force(test, i["production_date"], uses, process=i["production_process"]))


def continuity_any_variable(i: Any) -> Any:
    """Welded in the last half year before its use; the use has other variables."""
    use = i["last_use"]["date"]
    test = certificate(i["process"], positions=("6G",), welded_on=date.fromisoformat(use))
    return verdict(in_force(test, i["production_date"], [(ISO[i["process"]], use)]))


def start(i: Any) -> Any:
    done, accepted = (date.fromisoformat(i[k]) for k in ("test_weld_completed", "results_accepted"))
    test = certificate(welded_on=done, issued_on=accepted)
    days = (done, accepted)
    first = next(d for d in days if worst(edition_2019.valid_on(test, d, [], {})) is CLEAR)
    return {"value": first.isoformat(), "unit": "date"}


def _written(text: str) -> Certificate:
    """A qualification in words: "SMAW 6G 60.3 mm", "GTAW 1G plate P-No. 1 10 mm"."""
    process, position, *rest = text.split()
    product = "plate" if "plate" in rest else "pipe"
    size = re.search(r"([\d.]+) mm", text)
    mm = float(size.group(1)) if size else None
    metal = re.search(r"P-No\. (\w+)", text)
    return certificate(
        process,
        product=product,
        positions=(position,),
        od_mm=mm if product == "pipe" else None,
        material_group=f"P{metal.group(1)}" if metal else "",
    )


def renewal(i: Any) -> Any:
    reasons = edition_2019.renews(_written(i["lapsed"]), _written(i["renewal_test"]))
    return verdict(worst(reasons) is CLEAR)


def restoration(i: Any) -> Any:
    reasons = edition_2019.restores(_written(i["revoked"]), _written(i["restoring_test"]), {})
    return verdict(worst(reasons) is CLEAR)


def others_stand(i: Any) -> Any:
    """The revoked certificate ends; another one, in use, is asked."""
    ended = certificate(i["revoked"], ended_on=DAY)
    other = certificate(i["other"].split(",")[0])
    assert worst(edition_2019.valid_on(ended, DAY, [], {})) is not CLEAR
    return verdict(worst(edition_2019.valid_on(other, DAY, [], {})) is CLEAR)


def failed_combination(i: Any) -> Any:
    """The certificate of the coupon carries one result for all its parts."""
    names = re.findall(r"[A-Z]{4}", i["coupon"])
    assert i["failed_part"] in names
    test = Certificate(
        number="W",
        code="",
        welded_on=DAY,
        deposits=tuple(Deposit(process=ISO[name]) for name in names),
        result="failed",
    )
    clear = [
        worst(edition_2019.valid_on(edition_2019.for_process(test, ISO[n]), DAY, [], {})) is CLEAR
        for n in names
    ]
    return verdict(any(clear))


def used_alone(i: Any) -> Any:
    deposits = {key.removesuffix("_mm"): mm for key, mm in i["test"].items()}
    test = Certificate(
        number="W",
        code="",
        welded_on=DAY,
        product="pipe",
        weld_type="butt",
        deposits=tuple(Deposit(process=ISO[n], deposit_mm=mm) for n, mm in deposits.items()),
    )
    ((key, mm),) = i["production"].items()
    weld = Weld(process=ISO[key.removesuffix("_mm")], weld_type="butt", deposit_mm=mm)
    return verdict(answers(test, weld, "process", "deposited"))


def two_coupons(i: Any) -> Any:
    made = i["production"]
    tests = tuple((t["od_mm"], t["deposit_mm"], t["layers"]) for t in i["tests"])
    return verdict(made["deposit_mm"] in welder_limits.joined_deposit(tests, made["od_mm"]))


_POSITION_ROWS = [
    f"positions_qualified_{product}_{weld}_test_in_{row}"
    for product, weld, rows in (
        ("plate", "groove", "1g 2g 3g 4g 3g_4g 2g_3g_4g special"),
        ("pipe", "groove", "1g 2g 5g 6g 2g_5g special"),
        ("plate", "fillet", "1f 2f 3f 4f 3f_4f"),
        ("pipe", "fillet", "1f 2f 2fr 4f 5f"),
    )
    for row in rows.split()
]

ADAPTERS = dict.fromkeys(_POSITION_ROWS, places) | {
    "deposit_thickness_a_welder_is_qualified_for": deposit_range,
    "groove_weld_diameter_range_for_a_welder": diameters,
    "small_pipe_from_a_large_test": other_diameter,
    "partial_penetration_on_small_pipe": other_diameter,
    "fillets_from_a_groove_test": fillet_after_groove,
    "small_diameter_fillet_test": small_fillet,
    "plate_fillet_test_at_5_mm": plate_fillet,
    "plate_fillet_test_under_5_mm": thin_plate_fillet,
    "fillet_coupon_over_10_mm": thick_fillet_coupon,
    "vertical_groove_on_pipe_from_a_plate_3g_test": pipe_after_plate,
    "flat_groove_on_pipe_from_a_plate_1g_test": pipe_after_plate,
    "vertical_progression": progression,
    "f_number_exchange_for_a_welder": f_exchange,
    "base_metal_exchange_for_a_welder": metals,
    "backing_for_a_welder": backing,
    "backing_of_fill_passes": fill_passes,
    "welder_variables_smaw": variables_of,
    "welder_variables_semiautomatic_saw": variables_of,
    "welder_variables_semiautomatic_gmaw_and_fcaw": variables_of,
    "welder_variables_manual_gtaw": variables_of,
    "welder_variables_manual_paw": variables_of,
    "process_change": process_change,
    "wps_variable_outside_the_welder_table": other_variable,
    "continuity_of_a_welder_by_process": continuity,
    "continuity_of_one_process": continuity_by_process,
    "continuity_across_variables": continuity_any_variable,
    "start_of_the_six_months": start,
    "renewal_after_lapse": renewal,
    "revoked_qualification": restoration,
    "other_qualifications_after_revocation": others_stand,
    "failure_of_a_combination_coupon": failed_combination,
    "process_used_alone_after_a_combination_test": used_alone,
    "thickness_from_one_pipe_diameter_from_another": two_coupons,
}
