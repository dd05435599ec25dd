"""ISO 9606-1:2012, qualification testing of welders for fusion welding of steels.

Named readings (`CHOICES`, in `basis`): "multi-process join", "plate to pipe", "deposit below
range", "combined positions", "supplementary fillet layers", "six months run from", "conditions
of 9.3 c", "pressure equipment category". Each lists its strict default and the alternatives.
"""

from __future__ import annotations

from dossier.codes.face import Rule
from dossier.codes.iso_9606_1_2012.basis import CHOICES, EDITION
from dossier.codes.iso_9606_1_2012.covering import covers
from dossier.codes.iso_9606_1_2012.ranges import qualified_range
from dossier.codes.iso_9606_1_2012.validity import valid_on, valid_until

_HERE = "dossier.codes.iso_9606_1_2012"

RULES = (
    Rule("Process", "5.2", "secondary", f"{_HERE}.process.qualified_processes"),
    Rule("Transfer mode", "5.2", "secondary", f"{_HERE}.process.qualified_transfers"),
    Rule("Processes together", "5.2, Table 1", "memory",
         f"{_HERE}.dimensions.joined_deposit_range"),
    Rule("Product", "5.3", "secondary", f"{_HERE}.process.qualified_products"),
    Rule("Plate for pipe", "5.3 b), c)", "secondary", f"{_HERE}.process.plate_diameter_range"),
    Rule("Weld type", "5.4", "secondary", f"{_HERE}.process.qualified_weld_types"),
    Rule("Supplementary fillet", "5.4 d)", "secondary",
         f"{_HERE}.process.supplementary_fillet_piece"),
    Rule("Branch angle", "5.4 e)", "memory", f"{_HERE}.process.branch_angle_range"),
    Rule("Filler group", "5.5.2, Table 3", "memory", f"{_HERE}.filler.qualified_groups"),
    Rule("Filler group of a consumable", "5.5.1, Table 2", "memory",
         "dossier.codes.consumables.groups.group_of_standard"),
    Rule("Covering and wire type", "5.6, Tables 4 and 5", "secondary",
         f"{_HERE}.filler.qualified_coverings"),
    Rule("Type tied to the bare root", "5.6, footnotes of Tables 4 and 5", "secondary",
         f"{_HERE}.filler.qualified_root_coverings"),
    Rule("Deposited thickness", "5.7, Table 6", "memory", f"{_HERE}.dimensions.butt_deposit_range"),
    Rule("Outside diameter", "5.7, Table 7", "secondary", f"{_HERE}.dimensions.diameter_range"),
    Rule("Hollow section", "5.7, Table 7 footnote", "secondary",
         f"{_HERE}.dimensions.controlling_diameter_mm"),
    Rule("Fillet thickness", "5.7, Table 8", "secondary",
         f"{_HERE}.dimensions.fillet_thickness_range"),
    Rule("Butt position", "5.8, Table 9", "secondary",
         f"{_HERE}.position.qualified_butt_positions"),
    Rule("Fillet position", "5.8, Table 10", "secondary",
         f"{_HERE}.position.qualified_fillet_positions"),
    Rule("One pipe for two positions", "5.8", "memory", f"{_HERE}.position.one_piece_allowed"),
    Rule("Weld detail", "5.9, Table 11", "memory", f"{_HERE}.detail.qualified_details"),
    Rule("Layers of fillets", "5.9, Table 12", "secondary", f"{_HERE}.detail.qualified_layers"),
    Rule("Throat of the fillet piece", "6.2", "secondary",
         f"{_HERE}.dimensions.fillet_test_throat_range"),
    Rule("Retest", "8", "secondary", f"{_HERE}.validity.retest_allowed"),
    Rule("First day", "9.1", "secondary", f"{_HERE}.validity.valid_from"),
    Rule("Six-monthly confirmation", "9.2", "secondary", f"{_HERE}.validity.confirmed_until"),
    Rule("Revalidation", "9.3", "secondary", f"{_HERE}.validity.revalidated_until"),
    Rule("Open-ended certificate", "9.3 c)", "secondary", f"{_HERE}.validity.open_ended_accepted"),
    Rule("Designation", "11", "secondary", f"{_HERE}.designation.read_designation"),
)  # fmt: skip

NOT_COVERED = (
    "Job knowledge test (Annex B).",
    (
        "Extent and acceptance of the examinations of the test piece (clauses 6 and 7) beyond the "
        "throat of the fillet piece."
    ),
    "Two layers or fewer at 12 mm and over: the table names no range, none is claimed.",
    "Parent metal that stands for the filler group in welding without filler.",
    "Fillet tests in pipe for rotating pipe, and branch tests of special geometry.",
    "Tests to ISO 14732 (operators of mechanised welding).",
)

__all__ = [
    "CHOICES",
    "EDITION",
    "NOT_COVERED",
    "RULES",
    "covers",
    "qualified_range",
    "valid_on",
    "valid_until",
]
