"""49 CFR 192.245, 192.715: removal and repair of weld defects on gas lines."""

from __future__ import annotations

from dataclasses import dataclass

from dossier.errors import InputError
from dossier.records.verdicts import CLEAR, CUT_OUT, HOLD, NONCONFORMITY, Basis, Range, Reason

STANDARD = "49 CFR 192"
REMOVED = Basis(STANDARD, "2015", "192.245(a)", "read")
INSPECTED = Basis(STANDARD, "2015", "192.245(b)", "read")
PROCEDURE = Basis(STANDARD, "2015", "192.245(c)", "read")
IN_SERVICE = Basis(STANDARD, "2026", "192.715(b)", "read")
CRACK_SHARE_PERCENT = 8


def crack_removal(weld_mm: float, crack_mm: float, *, from_pipelay_vessel: bool = False) -> Reason:
    """A crack against 8 % of the weld length (mm): over it the weld comes out.

    Cut-out, unless offshore and installed from a pipelay vessel; else a nonconformity that a
    qualified repair procedure cures. API 1104, 10.1 asks for less than 8 %.

    Source: 49 CFR 192.245(a), (c) (read). Raises InputError: weld_mm <= 0.

    >>> str(crack_removal(1000, 80).verdict), str(crack_removal(1000, 80.3).verdict)
    ('nonconformity', 'cut-out')
    """
    if not weld_mm > 0:
        raise InputError("weld_mm", found=weld_mm, expected="more than 0 mm")
    percent = 100 * crack_mm / weld_mm
    over = percent > CRACK_SHARE_PERCENT + 1e-9 and not from_pipelay_vessel
    return Reason(
        "crack, share of the weld",
        f"{percent:.4g} %" + (", from a pipelay vessel" if from_pipelay_vessel else ""),
        f"repair by qualified procedure up to {CRACK_SHARE_PERCENT} %",
        REMOVED,
        CUT_OUT if over else NONCONFORMITY,
    )


def repair_procedure(
    defect_is_crack: bool, repaired_before: bool, qualified_repair_procedure: bool
) -> Reason:
    """A crack, or any defect where the weld was repaired before, needs a qualified procedure.

    Source: 49 CFR 192.245(c) (read).
    """
    needed = defect_is_crack or repaired_before
    found = "qualified" if qualified_repair_procedure else "not qualified"
    verdict = CLEAR if qualified_repair_procedure or not needed else NONCONFORMITY
    permitted = "qualified" if needed else "not needed"
    return Reason("repair procedure", found, permitted, PROCEDURE, verdict)


def repair_inspected(inspected: bool) -> Reason:
    """The repaired segment is inspected after the repair; until then the weld is held.

    Source: 49 CFR 192.245(b) (read).
    """
    found = "inspected" if inspected else "not inspected"
    verdict = CLEAR if inspected else HOLD
    return Reason("repaired segment", found, "inspected", INSPECTED, verdict)


@dataclass(frozen=True, slots=True, kw_only=True)
class InServiceWeld:
    """A weld to be repaired while the line is in service."""

    leaking: bool
    hoop_stress_percent: float
    remaining_mm: float  # thickness left after grinding


def in_service_repair(weld: InServiceWeld) -> tuple[Reason, ...]:
    """Reasons for repairing a weld in service: no leak, 20 % SMYS at most, 1/8 in left.

    Work on a line under pressure endangers life: follow the operator's procedure and local law,
    by licensed people.

    Source: 49 CFR 192.715(b) (read).
    """
    leak = NONCONFORMITY if weld.leaking else CLEAR
    return (
        Reason("leak", "yes" if weld.leaking else "no", "no", IN_SERVICE, leak),
        Range(0, 20, IN_SERVICE, "% SMYS").judge("hoop stress", weld.hoop_stress_percent),
        Range(3.175, float("inf"), IN_SERVICE).judge("remaining thickness", weld.remaining_mm),
    )
