"""The rules of Section IX that are carried out here, and those that are not."""

from __future__ import annotations

from collections.abc import Sequence

from dossier.codes.face import Rule

_HERE = "dossier.codes.asme_ix"

RULES: Sequence[Rule] = (
    Rule("Process", "QW-351", "read", f"{_HERE}.welder_range.processes_of_one_table"),
    Rule(
        "Variables of a welder", "QW-353 to QW-357", "memory", f"{_HERE}.variables.welder_variables"
    ),
    Rule(
        "Variables of a procedure",
        "QW-253 to QW-256",
        "secondary",
        f"{_HERE}.variables.procedure_variables",
    ),
    Rule(
        "Welder: what a deposit qualifies",
        "QW-303, QW-350, QW-452",
        "secondary",
        f"{_HERE}.welder_range.qualified_range",
    ),
    Rule("Welder: covered or not", "QW-350", "secondary", f"{_HERE}.welders.covers"),
    Rule(
        "Welder: two pipe coupons joined",
        "Table QW-452.1(b), note 2",
        "secondary",
        f"{_HERE}.welders.covers_together",
    ),
    Rule(
        "Welder: outside diameter", "QW-452.3", "secondary", f"{_HERE}.welder_limits.diameter_range"
    ),
    Rule(
        "Welder: deposited thickness",
        "Table QW-452.1(b)",
        "read",
        f"{_HERE}.welder_limits.deposit_range",
    ),
    Rule(
        "Welder: fillets after a groove test",
        "QW-452.6",
        "secondary",
        f"{_HERE}.welder_limits.fillets_after_groove",
    ),
    Rule(
        "Welder: fillets after a fillet test on pipe",
        "QW-452.4",
        "secondary",
        f"{_HERE}.welder_limits.fillets_after_pipe_fillet",
    ),
    Rule(
        "Welder: fillets after a fillet test on plate",
        "QW-452.5",
        "memory",
        f"{_HERE}.welder_limits.fillets_after_plate_fillet",
    ),
    Rule("Welder: backing", "QW-402.4, QW-310", "secondary", f"{_HERE}.welder_limits.with_backing"),
    Rule("Welder: position", "Table QW-461.9", "secondary", f"{_HERE}.positions.places_qualified"),
    Rule("Welder: base metal", "QW-423.1", "read", f"{_HERE}.metals.welder_metals"),
    Rule("Welder: F-Number", "Table QW-433", "memory", f"{_HERE}.fillers.fillers_covered"),
    Rule("Transfer mode", "QW-409.2", "memory", f"{_HERE}.welder_limits.modes_covered"),
    Rule("Continuity", "QW-322.1(a)", "secondary", f"{_HERE}.validity.last_day"),
    Rule("Renewal after a lapse", "QW-322.2(a)", "secondary", f"{_HERE}.validity.renews"),
    Rule(
        "Revocation and restoration",
        "QW-322.1(b), QW-322.2(b)",
        "read",
        f"{_HERE}.validity.restores",
    ),
    Rule("Base metal thickness", "QW-451.1", "read", f"{_HERE}.thickness.base_metal_range"),
    Rule("Longitudinal bends", "QW-451.2", "read", f"{_HERE}.thickness.longitudinal_bend_range"),
    Rule(
        "Thickness where toughness counts",
        "QW-403.6",
        "secondary",
        f"{_HERE}.thickness.toughness_range",
    ),
    Rule("A pass over 13 mm", "QW-403.9", "memory", f"{_HERE}.thickness.thick_pass_range"),
    Rule("Short-circuiting mode", "QW-403.10", "memory", f"{_HERE}.thickness.short_arc_range"),
    Rule(
        "Deposited thickness of a procedure", "QW-451.1", "read", f"{_HERE}.thickness.deposit_range"
    ),
    Rule(
        "Deposit in the short-circuiting mode",
        "QW-404.32",
        "memory",
        f"{_HERE}.thickness.short_arc_deposit",
    ),
    Rule(
        "Root layers of another test",
        "QW-200.4(b)",
        "memory",
        f"{_HERE}.thickness.root_may_be_lent",
    ),
    Rule("Unequal members", "QW-202.4", "secondary", f"{_HERE}.thickness.thick_member_range"),
    Rule("Pairs of base metals", "QW-424.1", "read", f"{_HERE}.metals.covered_pairs"),
    Rule("Group Numbers", "QW-403.5", "secondary", f"{_HERE}.metals.covers_groups"),
    Rule("P-Number of a specification", "Table QW/QB-422", "memory", f"{_HERE}.metals.metal_of"),
    Rule("F-Number of a filler", "Table QW-432", "memory", f"{_HERE}.fillers.f_number"),
    Rule("A-Number of a deposit", "Table QW-442", "memory", f"{_HERE}.fillers.a_number"),
    Rule("A-Numbers covered", "QW-404.5", "secondary", f"{_HERE}.fillers.a_numbers_covered"),
    Rule("Product form", "QW-404.23", "secondary", f"{_HERE}.fillers.product_form"),
    Rule("Preheat", "QW-406.1", "secondary", f"{_HERE}.conditions.preheat_range"),
    Rule("Interpass temperature", "QW-406.3", "secondary", f"{_HERE}.conditions.interpass_range"),
    Rule("Heat treatment", "QW-407.1", "read", f"{_HERE}.conditions.pwht_conditions"),
    Rule("Heat treatment time", "QW-407.2", "secondary", f"{_HERE}.conditions.pwht_time_range"),
    Rule("Heat input", "QW-409.1", "memory", f"{_HERE}.conditions.heat_input_range"),
    Rule(
        "Procedure test: what it qualifies",
        "QW-250",
        "secondary",
        f"{_HERE}.pqr_limits.procedure_range",
    ),
    Rule("WPS against its tests", "QW-200.4", "secondary", f"{_HERE}.procedures.supports"),
    Rule("Tension", "QW-153.1", "secondary", f"{_HERE}.results.tension_range"),
    Rule("Bends", "QW-163", "memory", f"{_HERE}.results.bend_opening_range"),
    Rule(
        "Specimens of a procedure test", "QW-451.1", "read", f"{_HERE}.results.procedure_specimens"
    ),
    Rule("Bends of a welder's test", "Table QW-452.1(a)", "read", f"{_HERE}.results.welder_bends"),
    Rule(
        "Radiographs in place of bends",
        "QW-304",
        "secondary",
        f"{_HERE}.results.radiography_may_replace_bends",
    ),
    Rule("Length to examine", "QW-302.2", "secondary", f"{_HERE}.results.volumetric_length"),
    Rule("Small pipe coupons", "QW-302.2", "secondary", f"{_HERE}.results.small_pipe_coupons"),
    Rule(
        "Several welders in one coupon",
        "Table QW-452.1(b), note 3",
        "secondary",
        f"{_HERE}.results.coupon_for_welders",
    ),
    Rule(
        "Slag in a welder's radiograph",
        "QW-191.1.2.2(a)",
        "read",
        f"{_HERE}.results.slag_length_range",
    ),
    Rule(
        "Rounded indications in a welder's radiograph",
        "QW-191.1.2.2(b)",
        "secondary",
        f"{_HERE}.results.rounded_range",
    ),
)

NOT_COVERED: Sequence[str] = (
    "Welding operators (QW-360) and their machine variables.",
    "Overlay, hard-facing, temper bead, brazing and plastic fusing.",
    "Special processes (QW-420 strip, LLBW, EBW, LBW, stud and resistance welding).",
    "Nonessential variables: the WPS is amended, no verdict is drawn.",
    "Fluxes and supplemental filler of submerged arc welding (QW-404.9, 10, 24, 27, 34 to 36).",
    (
        "Trailing and backing gas of procedures (QW-408.9, 408.10), single or multiple passes and "
        "electrodes (QW-410.9, 410.10), thermal cutting (QW-410.11, 410.64)."
    ),
    "Cover passes and back-gouged roots, which QW-405.3 lets run against the tested progression.",
    (
        "Heat-treatment conditions over the lower transformation temperature, which the record "
        "does not tell apart: answered with a hold."
    ),
    "Rounded-indication charts of QW-191 (Appendix I): size is judged, distribution is not.",
    "QW-403.9 where the test does not record the thickness of its passes.",
    "QW-202.4 in a WPS: the record holds one thickness for both members.",
    "Impact results themselves: the construction code sets them.",
)
