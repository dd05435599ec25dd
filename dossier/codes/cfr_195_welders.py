"""49 CFR 195.214, 195.222: procedures and welders on hazardous liquid lines."""

from __future__ import annotations

from datetime import date

from dossier.codes.cfr_clocks import CHOICES, through
from dossier.codes.face import Choices
from dossier.records.verdicts import CLEAR, NONCONFORMITY, Basis, Choice, Reason

STANDARD = "49 CFR 195"
PROCEDURE = Basis(STANDARD, "2015", "195.214(a)", "memory")
CURRENCY = Basis(STANDARD, "2015", "195.222(b)", "memory")

__all__ = ["CHOICES"]


def procedure_test(judged_by: str) -> Reason:
    """Test welds of a procedure are judged by "destructive testing".

    Source: 49 CFR 195.214(a) (memory).
    """
    return Choice.of({"destructive testing"}, PROCEDURE).judge("test welds judged by", judged_by)


def currency(
    last_used: date | None, last_tested: date | None, day: date, choices: Choices
) -> tuple[Reason, ...]:
    """Both within 6 calendar months: the process used, and one weld tested and accepted.

    The longer alternative of Part 192 is not given here.

    Source: 49 CFR 195.222(b) (memory).
    """
    reasons = []
    for variable, last in (("process used", last_used), ("weld tested", last_tested)):
        if last is None:
            one = Reason(variable, "none shown", "within 6 months", CURRENCY, NONCONFORMITY)
        else:
            until = through(last, 6, choices)
            verdict = CLEAR if last <= day <= until else NONCONFORMITY
            found = f"{last}, welding on {day}"
            one = Reason(variable, found, f"through {until}", CURRENCY, verdict)
        reasons.append(one)
    return tuple(reasons)
