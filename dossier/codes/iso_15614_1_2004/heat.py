"""8.4.8 to 8.4.12 and 7.4.6: heat input, preheat, interpass, post-heating, PWHT, hardness."""

from __future__ import annotations

from collections.abc import Sequence
from math import inf

from dossier.codes.iso_15614_1_2004.basis import clause
from dossier.errors import InputError
from dossier.records.verdicts import Choice, Range

HEAT_INPUT = clause("8.4.8", "read")
PREHEAT = clause("8.4.9", "read")
INTERPASS = clause("8.4.10", "read")
POSTHEAT = clause("8.4.11", "read")
PWHT = clause("8.4.12", "read")
HARDNESS = clause("7.4.6, Table 2")

# Largest HV10 as welded and heat-treated; None: no value from memory that could be trusted.
_HARDNESS = {
    "1": (380, 320),
    "2": (380, 320),
    "3": (450, 380),
    "9.1": (350, 300),
    "9.2": (450, 350),
    "9.3": (450, 350),
}


def heat_input_range(tested_kj_mm: Sequence[float], *, impact: bool, hardness: bool) -> Range:
    """Heat input that tests at these levels cover, in kJ/mm (thermal efficiency included).

    Upper end 25 % over the highest where impact is required, lower end 25 % under the lowest
    where hardness is; two tested levels cover all between.
    Source: ISO 15614-1:2004, 8.4.8 (read). Raises InputError: no level, or one of 0 or less.

    >>> str(heat_input_range([0.8], impact=True, hardness=True))
    '0.6 to 1 kJ/mm'
    """
    if not tested_kj_mm or not all(value > 0 for value in tested_kj_mm):
        raise InputError("tested_kj_mm", found=list(tested_kj_mm), expected="more than 0 kJ/mm")
    low = 0.75 * min(tested_kj_mm) if hardness else 0.0
    high = 1.25 * max(tested_kj_mm) if impact else inf
    return Range(low, high, HEAT_INPUT, "kJ/mm")


def preheat_range(tested_c: float) -> Range:
    """Preheat that a test covers, in °C: from the nominal preheat at the start of the test.

    Source: ISO 15614-1:2004, 8.4.9 (read).

    >>> 95.0 in preheat_range(100.0)
    False
    """
    return Range(tested_c, inf, PREHEAT, "°C")


def interpass_range(highest_c: float) -> Range:
    """Interpass temperature that a test covers, in °C: up to the highest reached.

    Source: ISO 15614-1:2004, 8.4.10 (read).

    >>> 231.0 in interpass_range(230.0)
    False
    """
    return Range(-inf, highest_c, INTERPASS, "°C")


def postheat_allowed(
    tested: tuple[float, float] | None, production: tuple[float, float] | None
) -> bool:
    """Whether post-heating for hydrogen release may differ from the test so.

    Each is temperature in °C and time in hours, None for none: it may be added, not reduced and
    not left out. Source: ISO 15614-1:2004, 8.4.11 (read).

    >>> postheat_allowed((250, 2), None), postheat_allowed(None, (250, 2))
    (False, True)
    """
    if tested is None:
        return True
    return production is not None and production[0] >= tested[0] and production[1] >= tested[1]


def pwht_range(tested_c: float | None) -> Range:
    """Holding temperature of post-weld heat treatment that a test covers, in °C: 20 either way.

    None: the test had none, and none may be added. Source: ISO 15614-1:2004, 8.4.12 (read).

    >>> str(pwht_range(600.0)), 600.0 in pwht_range(None)
    ('580 to 620 °C', False)
    """
    if tested_c is None:
        return Range.none(PWHT, "tested without heat treatment", "°C")
    return Range(tested_c - 20, tested_c + 20, PWHT, "°C")


def hydrogen_range(tested_ml_100g: float) -> Range:
    """Diffusible hydrogen of the weld metal that a test covers, in ml/100 g: no more than tested.

    Source: ISO 15614-1:2004, 8.4.4 (memory).

    >>> str(hydrogen_range(5.0))
    'up to 5 ml/100 g'
    """
    return Range(0.0, tested_ml_100g, clause("8.4.4"), "ml/100 g")


def hardness_limit(group: str, *, heat_treated: bool) -> Range:
    """Largest permitted hardness, HV10, for a group of ISO/TR 15608.

    Groups 1, 2, 3 and 9; for the others the value is not known well enough and the range is empty.
    Source: ISO 15614-1:2004, 7.4.6, Table 2 (memory).

    >>> str(hardness_limit("1.2", heat_treated=False))
    'up to 380 HV10'
    """
    row = _HARDNESS.get(group) or _HARDNESS.get(group.split(".")[0])
    if row is None:
        return Range.none(HARDNESS, f"limit of group {group} not recorded", "HV10")
    return Range(0.0, row[1] if heat_treated else row[0], HARDNESS, "HV10")


def hardness_exempt(group: str) -> Choice:
    """Whether hardness testing is needed for a group: "required" or "exempt".

    Sub-group 1.1 and group 8 are exempt. Source: ISO 15614-1:2004, 7.1, Table 1 (memory).

    >>> str(hardness_exempt("1.1")), str(hardness_exempt("1.2"))
    ('exempt', 'required')
    """
    exempt = group == "1.1" or group.split(".")[0] == "8"
    return Choice.of(("exempt" if exempt else "required",), clause("7.1, Table 1"))
