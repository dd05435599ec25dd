"""Answers of ISO 9606-1:2012 (and, for changes of edition, EN 287-1:2011) to check values."""

from __future__ import annotations

from datetime import date
from typing import Any

from dossier.codes import en_287_1_2011 as older
from dossier.codes.consumables.filler import covering_symbol
from dossier.codes.consumables.groups import group_of_standard
from dossier.codes.iso_9606_1_2012 import (
    designation,
    detail,
    dimensions,
    filler,
    position,
    process,
    qualified_range,
    valid_on,
    validity,
)
from dossier.codes.periods import months_later
from dossier.records.verdicts import CLEAR, Choice, Range, worst
from dossier.records.welders import Certificate, Confirmation

Inputs = Any

MODES = {"D": "short circuit", "G": "globular", "S": "spray", "P": "pulsed"}
LETTERS = {word: letter for letter, word in MODES.items()}
PRODUCTS = {"P": "plate", "T": "pipe"}
WELDS = {"BW": "butt", "FW": "fillet"}
LAYERS = {"sl": "single", "ml": "multi"}


def verdict(ok: bool) -> dict[str, Any]:
    return {"verdict": "permitted" if ok else "not_permitted"}


def both(found: Choice, asked: str | None, word: Any = str) -> dict[str, Any]:
    """All that a choice holds and, where a production value is given, whether it is in."""
    held = {word(value) for value in found.values or ()}
    answer: dict[str, Any] = {"qualified": held}
    return answer | verdict(asked in held) if asked is not None else answer


def ends(found: Range, name: str, asked: float | None = None) -> dict[str, Any]:
    low, high = f"{name}_min_mm", f"{name}_max_mm"
    answer: dict[str, Any] = {"nothing": found.nothing}
    if not found.nothing:
        answer |= {low: found.low, high: found.high}
    return answer | verdict(asked in found) if asked is not None else answer


def welder_process(i: Inputs) -> dict[str, Any]:
    return both(process.qualified_processes(i["test_process"]), i.get("prod_process"))


def welder_transfer_mode(i: Inputs) -> dict[str, Any]:
    found = process.qualified_transfers(i["test_process"], MODES[i["test_transfer"]])
    return both(found, i.get("prod_transfer"), LETTERS.__getitem__)


def welder_product(i: Inputs) -> dict[str, Any]:
    now = verdict(_product(i, process.plate_diameter_range))["verdict"]
    then = verdict(_product(i, older.plate_diameter_range))["verdict"]
    return {"verdict": now, "under_iso_9606_1": now, "under_en_287_1": then}


def _product(i: Inputs, plate_range: Any) -> bool:
    tested, asked = PRODUCTS[i["test_product"]], PRODUCTS[i["prod_product"]]
    if asked not in process.qualified_products(tested, i.get("test_od_mm")):
        return False
    if asked == "pipe" and i.get("prod_od_mm") is not None:
        turned = bool(i.get("prod_rotated"))
        rotating = process.counts_as_rotating(i.get("prod_position", ""), turned=turned)
        found = (
            plate_range(rotating=rotating)
            if tested == "plate"
            else dimensions.diameter_range(i["test_od_mm"])
        )
        if i["prod_od_mm"] not in found:
            return False
    if i.get("test_position") and i.get("prod_position"):
        rule = _positions_rule(i.get("test_weld", "BW"))
        return i["prod_position"] in rule([i["test_position"]])
    return True


def _positions_rule(weld: str) -> Any:
    if weld == "FW":
        return position.qualified_fillet_positions
    return position.qualified_butt_positions


def welder_weld_type(i: Inputs) -> dict[str, Any]:
    if i.get("suppl_t_mm") is not None:
        layers = 1 if i.get("suppl_layers", "sl") == "sl" else 2
        place = i.get("suppl_position", "PB")
        return verdict(
            process.supplementary_fillet_piece(
                i["butt_test_t_mm"], i["suppl_t_mm"], position=place, layers=layers
            )
        )
    tested, extra = WELDS[i["test_weld"]], bool(i.get("supplementary_fillet"))
    product = PRODUCTS[i.get("test_product", "P")]
    types = process.qualified_weld_types(tested, product, supplementary_fillet=extra)
    answer: dict[str, Any] = {}
    if extra:
        place = i.get("suppl_position", "PB")
        answer["fillet_positions"] = set(position.qualified_fillet_positions([place]).values or ())
    if i.get("prod_joint") == "branch":
        angle = i["branch_angle_deg"]
        return answer | verdict("branch" in types and angle in process.branch_angle_range())
    asked = i.get("prod_weld")
    if asked is None:
        return answer
    ok = WELDS[asked] in types
    if ok and extra and asked == "FW" and i.get("prod_position"):
        ok = i["prod_position"] in answer["fillet_positions"]
    now = verdict(ok)["verdict"]
    then = verdict(WELDS[asked] in older.qualified_weld_types(tested))["verdict"]
    return answer | {"verdict": now, "under_iso_9606_1": now, "under_en_287_1": then}


def welder_filler_group(i: Inputs) -> dict[str, Any]:
    if i.get("consumable_standard"):
        return {"fm": group_of_standard(i["consumable_standard"], i.get("cr_pct"))}
    return both(filler.qualified_groups(i["test_fm"]), i.get("prod_fm"))


def _covering(i: Inputs, tested: str, asked: str | None, number: str) -> dict[str, Any]:
    bare_root = (
        i.get("prod_run") == "root"
        and i.get("test_detail", "ss nb") == "ss nb"
        and i.get("prod_detail", "ss nb") == "ss nb"
    )
    rule = filler.qualified_root_coverings if bare_root else filler.qualified_coverings
    return both(rule(tested, number), asked, lambda word: covering_symbol(word, number))


def welder_covering(i: Inputs) -> dict[str, Any]:
    return _covering(i, i["test_covering"], i.get("prod_covering"), i.get("test_process", "111"))


def welder_wire(i: Inputs) -> dict[str, Any]:
    return _covering(i, i["test_wire"], i.get("prod_wire"), i.get("test_process", "136"))


def welder_butt_thickness(i: Inputs) -> dict[str, Any]:
    tested = i.get("test_s_mm")
    tested = i["test_mm"] if tested is None else tested
    found = dimensions.butt_deposit_range(tested, i.get("layers"), i.get("test_process", "111"))
    then = older.butt_thickness_range(tested)
    return ends(found, "s", i.get("prod_s_mm")) | {
        "en_287_1_min_mm": then.low,
        "en_287_1_max_mm": then.high,
        "iso_9606_1_min_mm": found.low,
        "iso_9606_1_max_mm": found.high,
    }


def welder_multi_process(i: Inputs) -> dict[str, Any]:
    deposits = {i["proc_1"]: i["s_1_mm"], i["proc_2"]: i["s_2_mm"]}
    layers = i.get("layers")
    if i.get("prod_run") == "root":
        held = detail.weld_detail("single", "none", i["prod_process"] == i["proc_1"])
        return verdict(i["prod_detail"] in detail.qualified_details(str(held)))
    asked = i["of_process"].split("+")
    if len(asked) == 1:
        found = dimensions.butt_deposit_range(deposits[asked[0]], layers, asked[0])
    else:
        found = dimensions.joined_deposit_range([deposits[p] for p in asked], layers, asked)
    return ends(found, "s", i.get("prod_s_mm"))


def welder_pipe_diameter(i: Inputs) -> dict[str, Any]:
    od_mm = i.get("test_od_mm")
    if od_mm is None:
        od_mm = dimensions.controlling_diameter_mm(i["side_a_mm"], i["side_b_mm"])
    return ends(dimensions.diameter_range(od_mm), "od", i.get("prod_od_mm"))


def welder_fillet_thickness(i: Inputs) -> dict[str, Any]:
    return ends(dimensions.fillet_thickness_range(i["test_t_mm"]), "t", i.get("prod_t_mm"))


def welder_fillet_test_throat(i: Inputs) -> dict[str, Any]:
    return ends(dimensions.fillet_test_throat_range(i["test_t_mm"]), "a", i.get("test_a_mm"))


def welder_butt_position(i: Inputs) -> dict[str, Any]:
    if i.get("arrangement"):
        return verdict(position.one_piece_allowed(i["test_od_mm"]))
    tested = i.get("test_positions") or [i["test_position"]]
    inclined = bool(i.get("same_od", True))
    found = position.qualified_butt_positions(tested, inclined=inclined)
    return both(found, i.get("prod_position"))


def welder_fillet_position(i: Inputs) -> dict[str, Any]:
    tested = i.get("test_positions") or [i["test_position"]]
    return both(position.qualified_fillet_positions(tested), i.get("prod_position"))


def welder_detail(i: Inputs) -> dict[str, Any]:
    return both(detail.qualified_details(i["test_detail"]), i.get("prod_detail"))


def welder_layers(i: Inputs) -> dict[str, Any]:
    words = {word: letter for letter, word in LAYERS.items()}
    found = detail.qualified_layers(LAYERS[i["test_layers"]])
    return both(found, i.get("prod_layers"), words.__getitem__)


def _confirmations(start: date, until: date) -> list[Confirmation]:
    days = []
    day = months_later(start, 6)
    while day <= until:
        days.append(day)
        day = months_later(day, 6)
    return [Confirmation(signed_on=day, by="coordinator") for day in days]


def _certificate(start: date, method: str = "") -> Certificate:
    return Certificate(number="Q", code="ISO 9606-1:2012", welded_on=start, method=method)


def welder_validity(i: Inputs) -> dict[str, Any]:
    if i.get("revoked_process"):
        concerned = validity.revocation_concerns(i["revoked_process"], i["prod_process"])
        return verdict(not concerned)
    option = i.get("option")
    if option == "c":
        return _open_ended(i)
    if option == "b":
        return _two_welds(i)
    start = date.fromisoformat(i["weld_date"])
    if not i.get("work_date"):
        return {"valid_from": validity.valid_from(_certificate(start))}
    day = date.fromisoformat(i["work_date"])
    last = i.get("last_confirmation", "none")
    history = _confirmations(start, day) if i.get("confirmations") else []
    if last not in (None, "none"):
        history = [Confirmation(signed_on=date.fromisoformat(last), by="coordinator")]
    method = f"9.3 {option}" if option else "9.3 a"
    return verdict(worst(valid_on(_certificate(start, method), day, history, {})) == CLEAR)


def _open_ended(i: Inputs) -> dict[str, Any]:
    met = i.get("all_conditions_met")
    return verdict(
        validity.open_ended_accepted(
            same_manufacturer=i.get("same_manufacturer", met),
            iso_3834_part=i.get("iso_3834_part", 2 if met else None),
            documented=i.get("documented_quality", met),
            category=i.get("ped_category", "none"),
        )
        and i.get("confirmations", "none missing") == "none missing"
    )


def _two_welds(i: Inputs) -> dict[str, Any]:
    if i.get("test"):
        certificate = designation.certificate_of(
            designation.read_designation(f"ISO 9606-1 {i['test']}"), "Q", date(2024, 1, 1)
        )
        found = qualified_range(certificate, certificate.deposits[0], {})
        inside = (
            i["weld_od_mm"] in found["outside diameter"]
            and i["weld_s_mm"] in found["deposited thickness"]
        )
        differing = ["outside diameter", "deposited thickness"]
        return verdict(validity.repeats_test_conditions(differing, inside_range=inside))
    if i.get("test_position"):
        differs = ["position"] if i["weld_position"] != i["test_position"] else []
        return verdict(validity.repeats_test_conditions(differs, inside_range=True))
    due = date.fromisoformat(i["revalidation_due"])
    days = [i.get(f"weld_{n}_date") for n in (1, 2)]
    welds = [
        (date.fromisoformat(day), method)
        for day, method in zip(days, [*i["methods"], ""], strict=False)
        if day
    ]
    accepted = validity.revalidation_welds_accepted(due, welds)
    answer = verdict(accepted)
    if accepted and i.get("weld_date"):
        certificate = _certificate(date.fromisoformat(i["weld_date"]), "9.3 b")
        signed = Confirmation(signed_on=due, by="examiner", renewal=True)
        answer["extended_to"] = validity.revalidated_until(certificate, [signed])
    return answer


def welder_retest(i: Inputs) -> dict[str, Any]:
    training = bool(i["further_training"])
    return verdict(validity.retest_allowed(i["failed_tests"], further_training=training))


def welder_designation(i: Inputs, entry: Inputs) -> dict[str, Any]:
    found = designation.read_designation(i["designation"])
    if "range" not in entry["rule"]:  # the entry asks for the parts, not for what they qualify
        return _parts(found)
    certificate = designation.certificate_of(
        found,
        "Q",
        date(2024, 1, 1),
        [MODES[i["transfer"]]] if i.get("transfer") else [],
        [i.get("layers")],
    )
    ranges: dict[str, Any] = qualified_range(certificate, certificate.deposits[0], {})
    types = {covering_symbol(w, found.processes[0]) for w in ranges["covering"].values or ()}
    root = ranges.get("covering, root without backing", ranges["covering"])
    return {
        "processes": ranges["process"].values,
        "transfers": {LETTERS[w] for w in ranges["transfer"].values or process.TRANSFERS},
        "welds": {short for short, word in WELDS.items() if word in ranges["weld type"]},
        "fm": ranges["filler group"].values,
        "wires": types,
        "wires_fill": types,
        "wires_root": {covering_symbol(w, found.processes[0]) for w in root.values},
        "coverings": types,
        "coverings_root": {covering_symbol(w, found.processes[0]) for w in root.values},
        "plate": "plate" in ranges["product"],
        **_dimensions(ranges, found),
    }


def _parts(found: designation.Designation) -> dict[str, Any]:
    return {
        "standard": found.standard,
        "process": "/".join(found.processes),
        "product": found.product,
        "weld": found.weld,
        "fm": "/".join(found.filler_groups),
        "filler_type": "/".join(found.filler_types),
        "s_mm": found.thickness_mm,
        "t_mm": found.thickness_mm,
        "od_mm": found.od_mm,
        "position": "/".join(found.positions),
        "details": list(found.details),
    }


def _dimensions(ranges: dict[str, Any], found: designation.Designation) -> dict[str, Any]:
    answer: dict[str, Any] = {}
    letter = "s" if found.weld == "BW" else "t"
    size = ranges["deposited thickness" if letter == "s" else "material thickness, fillet"]
    if not size.nothing:
        answer |= {f"{letter}_min_mm": size.low, f"{letter}_max_mm": size.high}
    place = ranges["position" if letter == "s" else "position, fillet"]
    answer["positions"] = place.values
    if letter == "s":
        answer["details"] = ranges["weld detail"].values
    else:
        words = {word: short for short, word in LAYERS.items()}
        answer["layers"] = {words[w] for w in ranges["layers, fillet"].values}
    od = ranges["outside diameter"]
    if found.product == "T":
        return answer | {"od_min_mm": od.low, "od_max_mm": od.high}
    turned = ranges["outside diameter, rotating pipe"]
    return answer | {"fixed_pipe_od_min_mm": od.low, "rotating_pipe_od_min_mm": turned.low}


ADAPTERS = {
    "welder_process": welder_process,
    "welder_transfer_mode": welder_transfer_mode,
    "welder_product": welder_product,
    "welder_weld_type": welder_weld_type,
    "welder_filler_group": welder_filler_group,
    "welder_covering": welder_covering,
    "welder_covering_root": welder_covering,
    "welder_wire": welder_wire,
    "welder_butt_thickness": welder_butt_thickness,
    "welder_multi_process": welder_multi_process,
    "welder_pipe_diameter": welder_pipe_diameter,
    "welder_fillet_thickness": welder_fillet_thickness,
    "welder_fillet_test_throat": welder_fillet_test_throat,
    "welder_butt_position": welder_butt_position,
    "welder_fillet_position": welder_fillet_position,
    "welder_detail": welder_detail,
    "welder_layers": welder_layers,
    "welder_validity": welder_validity,
    "welder_retest": welder_retest,
    "welder_designation": welder_designation,
}
