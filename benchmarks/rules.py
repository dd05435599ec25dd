"""The single rules that the checks put to the joints of `generate.py`, check by check.

A check answers a question of the trade, which is several comparisons: each variable that is held
against a limit is a rule here. Left out is what the invented project does not ask for (baking,
heat treatment, shares by day, pressure tests, ...) and what only a joint with repairs is asked.
"""

from __future__ import annotations

RULES: dict[str, tuple[str, ...]] = {
    "joint-line": ("line on record",),
    "procedure-in-force": (
        "revision known", "issued", "not withdrawn", "valid from", "valid until", "approved",
        "approved by the day",
    ),
    "joint-inside-procedure": (
        "member on record", "wall", "outside diameter", "grade or group", "weld type", "position",
        "process", "strength", "direction told",
    ),
    "fit-up": ("root gap", "hi-lo"),
    "pass-sequence": (
        "any on record", "numbers complete", "each kind laid", "kind planned",
        "process of the kind", "order",
    ),
    "side-record": ("both sides",),
    "welder-certificate": ("stamp known", "held that day", "certificate for the process"),
    "welder-range": (
        "position", "weld type or joint", "filler group", "product or branch", "wall",
        "outside diameter", "backing", "direction or covering",
    ),
    "welder-deposit": ("deposited thickness",),
    "welder-continuity": ("in force by confirmations or time since test",),
    "item-heat-certificate": (
        "item on record", "heat as in the log", "certificate on record", "heat listed",
        "kind of certificate", "grade", "yield strength",
    ),
    "consumable-batch": (
        "batch on record", "certificate", "classification", "shelf life", "receipt",
    ),
    "pass-parameters": ("current", "voltage", "travel speed", "direction"),
    "heat-input": ("heat input",),
    "pass-interval": ("root to hot", "hot to next"),
    "preheat-and-interpass": ("preheat", "interpass least", "interpass most"),
    "paper-dates": (
        "pass ends after it began", "completion after the passes", "report after examination",
        "examination after request", "day of welding", "passes in turn",
    ),
    "instrument-calibration": ("on record", "calibrated by the day", "not past due"),
    "visual-examination": ("accepted", "examiner no welder of it", "after welding", "extent"),
    "self-examination": ("examiner no welder of it",),
    "examination-technique": ("weld type", "density"),
    "circumference-closed": ("length of films",),
    "examination-complete": ("kind named by a rule", "method and extent accepted after welding"),
    "examination-delay": ("time after welding",),
    "examiner-certificate": ("on record", "certificate for the method", "near vision"),
    "repair-closed": ("no open rejection",),
    "sequence-of-work": (
        "coated after acceptance", "coated after welding", "lowered after holiday test",
        "holidays told", "holidays repaired", "holiday voltage", "tested after coating",
        "lowered after coating", "coating not rejected",
    ),
    "coating-conditions": ("steel above dew point", "relative humidity"),
    "cover-and-backfill": ("cover",),
    "late-certificate": ("of the item", "of the batch"),
    "joint-number-ledger": ("number used once", "none missing"),
    "pipe-end": ("end in one joint", "no item welded to itself"),
    "film-numbers": ("film of one joint",),
    "report-reuse": ("report of one examiner and day", "entered once"),
    "welder-whereabouts": ("one joint at a time", "way between joints"),
    "shift-pattern": ("joints a day",),
}  # fmt: skip
COUNT = sum(map(len, RULES.values()))
