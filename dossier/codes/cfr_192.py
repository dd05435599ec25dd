"""49 CFR 192 (gas lines): which of its rules on welds and tests are carried out, and where.

The rules stand by subject in the modules `cfr_192_*`; `CHOICES` of `cfr_clocks` are their named
readings. Each basis names the year of the text that the rule was taken from.
"""

from __future__ import annotations

from collections.abc import Sequence

from dossier.codes.cfr_clocks import CHOICES
from dossier.codes.face import Rule

EDITION = "49 CFR 192"
__all__ = ["CHOICES", "EDITION", "NOT_COVERED", "RULES"]

# title, clause, how it is known, function
_TABLE = (
    ("Procedure followed", "192.225(a)", "read", "joints.procedure_followed"),
    ("Procedure recorded", "192.225(b)", "read", "joints.procedure_record"),
    ("Qualification by stress", "192.227", "read", "welders.qualification_for_stress"),
    ("Earlier edition of a qualification", "192.227(a)", "read", "welders.earlier_edition"),
    ("Records of welders", "192.227(c)", "memory", "records.welder_record_years"),
    ("Compressor stations", "192.229(a)", "memory", "welders.compressor_station"),
    ("Use of a process", "192.229(b)", "memory", "welders.process_currency"),
    ("Tested welds", "192.229(c)(1)", "secondary", "welders.weld_test_currency"),
    ("Two tested welds a year", "192.229(c)(1)", "memory", "welders.twice_a_year"),
    ("Credit for a shared joint", "192.229(c)", "read", "welders.credit_for_joint"),
    ("Appendix C, again", "192.229(d)(1)", "memory", "welders.appendix_c_requalification"),
    ("Appendix C, bends", "Appendix C, I", "read", "welders.appendix_c_bend"),
    ("Appendix C, diameters", "Appendix C, I", "read", "welders.appendix_c_diameter"),
    ("Weather", "192.231", "memory", "joints.weather"),
    ("Miter joints", "192.233", "memory", "joints.miter"),
    ("Alignment", "192.235", "read", "joints.alignment"),
    ("Need of examination", "192.241(b)", "read", "examination.examination_needed"),
    ("Cracks and Appendix A", "192.241(c)", "read", "examination.accepted_by_appendix_a"),
    ("Methods", "192.243(a)", "read", "examination.method_allowed"),
    ("Share of a day's welds", "192.243(d)", "read", "examination.day_examined"),
    ("Each welder each day", "192.243(e)", "read", "examination.each_welder"),
    ("Record of examination", "192.243(f)", "read", "examination.missing_of_record"),
    ("Cracks over 8 %", "192.245(a)", "read", "repair.crack_removal"),
    ("Repaired segment", "192.245(b)", "read", "repair.repair_inspected"),
    ("Repair procedure", "192.245(c)", "read", "repair.repair_procedure"),
    ("Test with gas", "192.503(c)", "read", "test.greatest_hoop_stress_percent"),
    ("Test near a building", "192.505(a)", "read", "test.near_building"),
    ("Hours of a test", "192.505, 192.507", "read", "test.least_hours"),
    ("Record of a pressure test", "192.517(a)", "read", "records.missing_of_test_record"),
    ("Operating pressure by test", "192.619(a)(2)(ii)", "memory", "test.maop_by_test_kpa"),
    ("Repair of a weld in service", "192.715(b)", "read", "repair.in_service_repair"),
)
RULES: Sequence[Rule] = tuple(
    Rule(title, clause, known, f"dossier.codes.cfr_192_{name}")
    for title, clause, known, name in _TABLE
)
NOT_COVERED: Sequence[str] = (
    "192.229(d)(2): keeping an Appendix C qualification by tested production welds",
    "192.506: spike tests",
    "192.509 to 192.513: tests below 100 psi, of service lines and of plastic pipe",
    "192.619(a)(1), (3), (4): operating pressure by design, history and judgement",
)
