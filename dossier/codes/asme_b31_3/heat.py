"""Preheat and post-weld heat treatment.

Heating and handling hot pipe burns and starts fires: local hot-work rules and permits come first.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import inf

from dossier.calc.guards import positive
from dossier.codes.asme_b31_3.common import clause
from dossier.errors import InputError
from dossier.records.verdicts import CLEAR, NONCONFORMITY, Range, Reason

PWHT = clause("Table 331.1.1", "read")
EXEMPT = clause("Table 331.1.3", "read")

_FIXED_PREHEAT_C = {"4": 120, "6": 200, "8": 10, "9A": 120, "9B": 150, "10I": 150, "15E": 200}
_HOLDING_C = {
    "1": (595, 650), "3": (595, 650), "4": (650, 705), "5A": (675, 760), "5B": (675, 760),
    "6": (760, 800), "9A": (595, 650), "9B": (595, 650), "15E": (705, 775),
}  # fmt: skip
_LONGER_H = {30: 2.0, 55: 4.0, 85: 10.0, 110: 20.0}


@dataclass(frozen=True, slots=True, kw_only=True)
class Joint:
    """What preheat and heat treatment depend on; the greater thickness in mm, content in %."""

    p_number: str
    thickness_mm: float
    carbon_pct: float | None = None
    smts_mpa: float | None = None  # specified minimum tensile strength
    cr_pct: float | None = None
    group: str = ""
    weld: str = "groove"
    preheat_c: float | None = None
    multilayer: bool | None = None


def preheat_range(joint: Joint) -> Range:
    """Minimum preheat in °C. A carbon content or strength not recorded counts as the higher.

    Source: ASME B31.3, Table 330.1.1 (read, 2014; 9A, 10I and the 5B row over 6 % chromium and
    13 mm memory). Raises InputError: thickness not more than 0; a P-Number not in the table.

    >>> str(preheat_range(Joint(p_number="1", thickness_mm=25.1, carbon_pct=0.31)))
    'from 95 °C'
    """
    t = positive("thickness_mm", joint.thickness_mm)
    strength = inf if joint.smts_mpa is None else joint.smts_mpa
    if joint.p_number == "1":
        carbon = inf if joint.carbon_pct is None else joint.carbon_pct
        least = 95 if carbon > 0.30 and t > 25 else 10
    elif joint.p_number == "3":
        least = 95 if t > 13 or strength > 450 else 10
    elif joint.p_number in ("5A", "5B"):
        chromium = inf if joint.cr_pct is None else joint.cr_pct
        high_alloy = joint.p_number == "5B" and chromium > 6 and t > 13
        least = 200 if strength > 414 or high_alloy else 150
    elif joint.p_number in _FIXED_PREHEAT_C:
        least = _FIXED_PREHEAT_C[joint.p_number]
    else:
        raise InputError("p_number", found=joint.p_number, expected="a row of Table 330.1.1")
    known = "memory" if joint.p_number in ("9A", "10I") else "read"
    return Range(least, inf, clause("Table 330.1.1", known), "°C")


def pwht_required_at_all(p_number: str) -> bool:
    """Heat treatment is asked by the code, exemptions apart; P-No. 8 only where the WPS asks.

    Source: ASME B31.3, Table 331.1.1 (read, 2016).

    >>> pwht_required_at_all("8"), pwht_required_at_all("5A")
    (False, True)
    """
    return p_number != "8"


def holding_temperature_range(p_number: str) -> Range:
    """Holding temperature in °C.

    Source: ASME B31.3, Table 331.1.1 (read, 2016; 9A memory). Raises InputError: no row.

    >>> str(holding_temperature_range("15E"))
    '705 to 775 °C'
    """
    if p_number not in _HOLDING_C:
        raise InputError("p_number", found=p_number, expected="a row of Table 331.1.1")
    low, high = _HOLDING_C[p_number]
    return Range(low, high, PWHT, "°C")


def holding_time_min(p_number: str, control_mm: float) -> float:
    """Least time at temperature, in minutes, for the control thickness in mm.

    1 h per 25 mm, then 15 min per further 25 mm: from 50 mm, and 15 min least; for P-No. 15E
    from 125 mm, and 30 min least.

    Source: ASME B31.3, Table 331.1.1 (read, 2016). Raises InputError: control_mm <= 0.

    >>> holding_time_min("1", 75.0), holding_time_min("15E", 10.0)
    (135.0, 30.0)
    """
    t = positive("control_mm", control_mm)
    full, least = (125.0, 30.0) if p_number == "15E" else (50.0, 15.0)
    return max(least, 60 * min(t, full) / 25 + 15 * max(0.0, t - full) / 25)


def holding_time_below_minimum_h(p_number: str, group: str, decrease_c: int) -> float:
    """Time in hours at so many °C below the minimum temperature, for 25 mm of thickness or less.

    P-No. 1 and 3; over 55 °C only P-No. 1 Groups 1 and 2.

    Source: ASME B31.3, Table 331.1.2 with note 2 (read, 2016). Raises InputError: another
    P-Number, group or step; steps are 30, 55, 85 and 110 °C.

    >>> holding_time_below_minimum_h("3", "1", 55)
    4.0
    """
    if p_number not in ("1", "3") or decrease_c not in _LONGER_H:
        raise InputError("decrease_c", found=decrease_c, expected="P-No. 1 or 3; 30, 55, 85, 110")
    if decrease_c > 55 and not (p_number == "1" and group in ("1", "2")):
        raise InputError("decrease_c", found=decrease_c, expected="at most 55 for this metal")
    return _LONGER_H[decrease_c]


def exemption_reasons(joint: Joint) -> tuple[Reason, ...]:
    """Conditions that lift the mandatory heat treatment; exempt where the worst is clear.

    P-No. 1: multilayer over 5 mm, preheat 95 °C over 25 mm. P-No. 3: to 16 mm, carbon to 0.25 %,
    preheat 95 °C. P-No. 4 and 5A, Group 1, groove: to 16 mm, carbon to 0.15 %, the preheat of
    Table 330.1.1 applied. Other metals have no exemption here.

    Source: ASME B31.3, Table 331.1.3 (read, 2018; P-No. 5A, and layers of P-No. 3 to 5A, memory).

    >>> from dossier.records.verdicts import worst
    >>> thin = Joint(p_number="1", thickness_mm=5.0, multilayer=False, preheat_c=10)
    >>> str(worst(exemption_reasons(thin)))
    'clear'
    """
    reasons: list[Reason] = []
    p = joint.p_number
    if p not in ("1", "3", "4", "5A"):
        reasons.append(Reason("P-Number", p, "1, 3, 4 or 5A", EXEMPT, NONCONFORMITY))
        return tuple(reasons)
    if joint.thickness_mm > 5:
        word = {True: "several", False: "one", None: "not recorded"}[joint.multilayer]
        verdict = CLEAR if joint.multilayer else NONCONFORMITY
        reasons.append(Reason("layers", word, "several over 5 mm", EXEMPT, verdict))
    if p == "1":
        least = 95 if joint.thickness_mm > 25 else 0
    else:
        least = 95 if p == "3" else int(preheat_range(joint).low)
        reasons.append(Range(0, 16, EXEMPT).judge("thickness", joint.thickness_mm))
        carbon = Range(0, 0.25 if p == "3" else 0.15, EXEMPT, "%")
        reasons.append(carbon.judge("carbon", joint.carbon_pct))
    if least:
        reasons.append(Range(least, inf, EXEMPT, "°C").judge("preheat", joint.preheat_c))
    if p in ("4", "5A"):
        inside = joint.group == "1" and joint.weld == "groove"
        found = f"Group {joint.group}, {joint.weld}"
        verdict = CLEAR if inside else NONCONFORMITY
        reasons.append(Reason("group and weld", found, "Group 1, groove", EXEMPT, verdict))
    return tuple(reasons)
