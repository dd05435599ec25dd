"""49 CFR 195.304 to 195.308: pressure tests of hazardous liquid lines.

Pressurized lines can kill: test to the operator's procedure and local law, under people qualified
for it.
"""

from __future__ import annotations

from dataclasses import dataclass

from dossier.errors import InputError
from dossier.records.verdicts import CLEAR, NONCONFORMITY, Basis, Choice, Reason

STANDARD = "49 CFR 195"
PRESSURE = Basis(STANDARD, "", "195.304", "read")
MEDIUM = Basis(STANDARD, "2026", "195.306", "read")
TIE_IN = Basis(STANDARD, "2015", "195.308", "memory")


@dataclass(frozen=True, slots=True)
class LiquidTest:
    """Least pressures (kPa gauge) and hours of a test; the leak part is None where not asked."""

    strength_kpa: float
    strength_hours: int
    leak_kpa: float | None = None
    leak_hours: int | None = None


def liquid_test(mop_kpa: float, *, visually_inspected: bool) -> LiquidTest:
    """Test of a liquid line by its maximum operating pressure in kPa.

    125 % for 4 h without a break; where the line is not looked at for leaks, 110 % for 4 h more.

    Source: 49 CFR 195.304 (read). Raises InputError: mop_kpa <= 0.

    >>> liquid_test(1000.0, visually_inspected=True)
    LiquidTest(strength_kpa=1250.0, strength_hours=4, leak_kpa=None, leak_hours=None)
    """
    if not mop_kpa > 0:
        raise InputError("mop_kpa", found=mop_kpa, expected="more than 0 kPa")
    if visually_inspected:
        return LiquidTest(1.25 * mop_kpa, 4)
    return LiquidTest(1.25 * mop_kpa, 4, 1.10 * mop_kpa, 4)


def medium_allowed(medium: str, *, low_stress: bool, carbon_dioxide_line: bool = False) -> Reason:
    """Test medium: "water"; "inert gas" or "carbon dioxide" on CO2 lines; gas on low-stress lines.

    Liquid petroleum that does not vaporize is allowed onshore outside populated areas with
    patrols; it is judged case by case and not cleared here.

    Source: 49 CFR 195.306 (read).
    """
    allowed = {"water"}
    if carbon_dioxide_line:
        allowed |= {"inert gas", "carbon dioxide"}
    if low_stress:
        allowed |= {"air", "inert gas"}
    return Choice.of(allowed, MEDIUM).judge("test medium", medium)


def tie_in_pipe(tested: bool) -> Reason:
    """Pipe of a tie-in is tested with the section or apart; its weld is examined instead.

    Source: 49 CFR 195.308 (memory).
    """
    found = "tested" if tested else "not tested"
    verdict = CLEAR if tested else NONCONFORMITY
    return Reason("pipe of the tie-in", found, "tested", TIE_IN, verdict)
