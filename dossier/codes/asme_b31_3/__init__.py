"""ASME B31.3, 2018, process piping: acceptance, extent, sampling, heat, leak tests."""

from __future__ import annotations

from collections.abc import Sequence

from dossier.codes.asme_b31_3.acceptance import accept
from dossier.codes.asme_b31_3.common import CHOICES, EDITION
from dossier.codes.face import Rule

_HERE = "dossier.codes.asme_b31_3"

RULES: Sequence[Rule] = (
    Rule("Criterion of an imperfection", "Table 341.3.2", "read", f"{_HERE}.criteria.criterion"),
    Rule("What a criterion allows", "Table 341.3.2", "secondary", f"{_HERE}.criteria.limits"),
    Rule("Acceptance", "341.3.2", "secondary", f"{_HERE}.acceptance.accept"),
    Rule("Extent of examination", "341.4", "secondary", f"{_HERE}.sampling.extent_percent"),
    Rule("Welds to examine", "341.4.1(b)", "secondary", "dossier.codes.extents.welds_to_examine"),
    Rule("Progressive sampling", "341.3.4", "secondary", f"{_HERE}.sampling.progressive"),
    Rule("Welds offered for a defect", "341.3.4", "secondary", f"{_HERE}.sampling.tracer_reasons"),
    Rule("Preheat", "Table 330.1.1", "read", f"{_HERE}.heat.preheat_range"),
    Rule("Holding temperature", "Table 331.1.1", "read", f"{_HERE}.heat.holding_temperature_range"),
    Rule("Holding time", "Table 331.1.1", "read", f"{_HERE}.heat.holding_time_min"),
    Rule("Longer at lower temperature", "Table 331.1.2", "read",
         f"{_HERE}.heat.holding_time_below_minimum_h"),
    Rule("Exemption from heat treatment", "Table 331.1.3", "read",
         f"{_HERE}.heat.exemption_reasons"),
    Rule("Hydrostatic test", "345.4.2", "read", f"{_HERE}.leak_testing.hydrostatic_pressure_mpa"),
    Rule("Pneumatic test", "345.5.4", "memory", f"{_HERE}.leak_testing.pneumatic_pressure_range"),
    Rule("Relief device", "345.5.2", "read", f"{_HERE}.leak_testing.relief_setting_range"),
    Rule("Duration", "345.2.2", "secondary", f"{_HERE}.leak_testing.duration_range"),
    Rule("Initial service test", "345.1, 345.7", "secondary",
         f"{_HERE}.leak_testing.initial_service_test_allowed"),
    Rule("Impact-tested coupon", "Table 323.3.1, A-5(a)", "read",
         f"{_HERE}.toughness.impact_tested_range"),
)  # fmt: skip

NOT_COVERED: Sequence[str] = (
    "Charts of rounded indications (Section VIII Division 1, Appendix 4): size alone is judged.",
    "Surface finish (criterion J) and surface porosity: answered by visual examination.",
    "Acceptance by ultrasonic fracture mechanics (Appendix R), Chapters VII to X.",
    "Exemptions from heat treatment of fillet, seal and branch welds.",
    "Alternative and sensitive leak tests, combined hydrostatic-pneumatic tests.",
)

__all__ = ("CHOICES", "EDITION", "NOT_COVERED", "RULES", "accept")
