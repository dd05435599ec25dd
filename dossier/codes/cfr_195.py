"""49 CFR 195 (liquid lines): which of its rules on welds and tests are carried out, and where.

The rules stand by subject in the modules `cfr_195_*`; `CHOICES` of `cfr_clocks` are their named
readings. Each basis names the year of the text that the rule was taken from.
"""

from __future__ import annotations

from collections.abc import Sequence

from dossier.codes.cfr_clocks import CHOICES
from dossier.codes.face import Rule

EDITION = "49 CFR 195"
__all__ = ["CHOICES", "EDITION", "NOT_COVERED", "RULES"]

# title, clause, how it is known, function
_TABLE = (
    ("Test welds of a procedure", "195.214(a)", "memory", "welders.procedure_test"),
    ("Miter joints", "195.216", "memory", "construction.miter"),
    ("Use of a process and tested weld", "195.222(b)", "memory", "welders.currency"),
    ("Arc burns", "195.226", "secondary", "construction.arc_burn"),
    ("Inspection", "195.228", "memory", "construction.inspection"),
    ("Cracks over 8 %", "195.230(a)", "secondary", "construction.crack_removal"),
    ("Each welder each day", "195.234(d)", "memory", "construction.least_tests_of_welder"),
    ("Places where all are examined", "195.234(e)", "memory", "construction.listed_place"),
    ("Used pipe and tie-ins", "195.234(f), (g)", "memory", "construction.least_tests_of_all"),
    ("Construction record", "195.266", "read", "construction.missing_of_record"),
    ("Pressure test", "195.304", "read", "test.liquid_test"),
    ("Test medium", "195.306", "read", "test.medium_allowed"),
    ("Pipe of a tie-in", "195.308", "memory", "test.tie_in_pipe"),
)
RULES: Sequence[Rule] = tuple(
    Rule(title, clause, known, f"dossier.codes.cfr_195_{name}")
    for title, clause, known, name in _TABLE
)
NOT_COVERED: Sequence[str] = (
    "195.230(b), (c): repair of other defects and of repaired areas",
    "195.306(b): tests with liquid petroleum, judged case by case",
    "195.310: the record of a pressure test",
)
