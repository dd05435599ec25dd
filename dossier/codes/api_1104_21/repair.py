"""Repair and removal of defects: API 1104, 21st edition, section 10."""

from __future__ import annotations

from dataclasses import dataclass

from dossier.codes.api_1104_21.radiography import SHARE
from dossier.codes.api_1104_21.settings import STEP_MM, basis, mm
from dossier.errors import InputError
from dossier.records.verdicts import CLEAR, CUT_OUT, NONCONFORMITY, Reason, Verdict

AUTHORIZATION = basis("10.1, 10.2", "secondary")
NO_HEAT = basis("10.2", "secondary")


@dataclass(frozen=True, slots=True, kw_only=True)
class CrackRepair:
    """A crack that somebody wants to repair; lengths in mm."""

    weld_mm: float
    crack_mm: float
    company_authorized: bool
    qualified_procedure: bool = True
    second_crack: bool = False  # cracked again after a repair


def _answer(variable: str, met: bool, yes: str, no: str, worse: Verdict) -> Reason:
    return Reason(variable, yes if met else no, yes, AUTHORIZATION, CLEAR if met else worse)


def crack_repair(case: CrackRepair) -> tuple[Reason, ...]:
    """Reasons for repairing a crack: authorized, shorter than 8 % of the weld, by procedure.

    The law (49 CFR 192.245) removes welds only above 8 %; at exactly 8 % this is the stricter.

    Source: API 1104, 21st edition, 10.1, 10.2 (secondary). Raises InputError: weld_mm <= 0.
    """
    if not case.weld_mm > 0:
        raise InputError("weld_mm", found=case.weld_mm, expected="more than 0 mm")
    limit = SHARE * case.weld_mm
    short = CLEAR if case.crack_mm < limit - STEP_MM else CUT_OUT
    return (
        _answer(
            "authorization",
            case.company_authorized,
            "by the company",
            "not authorized",
            NONCONFORMITY,
        ),
        Reason(
            "crack length",
            mm(case.crack_mm),
            f"less than {mm(limit)} (8 % of the weld)",
            AUTHORIZATION,
            short,
        ),
        _answer("procedure", case.qualified_procedure, "qualified", "not qualified", NONCONFORMITY),
        _answer(
            "earlier repair",
            not case.second_crack,
            "no crack since a repair",
            "cracked again after a repair",
            CUT_OUT,
        ),
    )


def grinding_repair(with_heat_or_weld_metal: bool, company_authorized: bool = False) -> Reason:
    """Repair by grinding or filing needs no authorization while no heat or weld metal is used.

    Source: API 1104, 21st edition, 10.2 (secondary).
    """
    if not with_heat_or_weld_metal:
        return Reason("repair", "no heat or weld metal", "no authorization needed", NO_HEAT)
    found = "authorized" if company_authorized else "not authorized"
    verdict = CLEAR if company_authorized else NONCONFORMITY
    return Reason("repair", found, "authorized", NO_HEAT, verdict)
