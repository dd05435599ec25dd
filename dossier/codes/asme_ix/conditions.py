"""Heat: preheat, interpass temperature, post-weld heat treatment and heat input of a procedure."""

from __future__ import annotations

from math import inf

from dossier.calc.heat_input import bead_section_mm2
from dossier.codes.asme_ix.common import clause
from dossier.errors import InputError
from dossier.records.verdicts import Choice, Range

PREHEAT = clause("QW-406.1")
INTERPASS = clause("QW-406.3")
PWHT = clause("QW-407.1", "read")
PWHT_TIME = clause("QW-407.2")
HEAT_INPUT = clause("QW-409.1", "memory")

FALL_C = 55.0  # 100 degrees Fahrenheit in the other column; both are differences
CONDITIONS = (
    "none",
    "below lower",
    "above upper",
    "above upper, then below lower",
    "between lower and upper",
)


def preheat_range(tested_c: float) -> Range:
    """Preheat that a WPS may state as its minimum, in °C: no more than 55 °C below the test.

    Source: Section IX, QW-406.1 (secondary).

    >>> str(preheat_range(150.0))
    'from 95 °C'
    """
    return Range(tested_c - FALL_C, inf, PREHEAT, "°C")


def interpass_range(tested_max_c: float) -> Range:
    """Maximum interpass temperature that a WPS may state where toughness counts, in °C.

    Source: Section IX, QW-406.3 (secondary).

    >>> 205.0 in interpass_range(150.0)
    True
    """
    return Range(-inf, tested_max_c + FALL_C, INTERPASS, "°C")


def _five_conditions(p_number: str) -> bool:
    return p_number in _FERRITIC or p_number.rstrip("ABCDEFGHIJK") in _HIGH


_FERRITIC = frozenset({"1", "2", "3", "4", "5A", "5B", "5C", "6"})
_HIGH = frozenset({"9", "10", "11", "12", "13", "14", "15"})


def pwht_conditions(p_number: str, tested: str) -> Choice:
    """Heat-treatment conditions that a test in condition `tested` covers.

    P-No. 1 to 6 and 9 to 15E know five conditions (CONDITIONS), each with a test of its own;
    other metals know two: none, or within a stated range of temperature.
    Raises InputError: for the first metals, a condition that is not one of the five.

    Source: Section IX, QW-407.1 (read, 2019).

    >>> "none" in pwht_conditions("1", "below lower"), "none" in pwht_conditions("8", "none")
    (False, True)
    """
    if _five_conditions(p_number) and tested not in CONDITIONS:
        raise InputError("tested", found=tested, expected="one of " + "; ".join(CONDITIONS))
    return Choice.of({tested}, PWHT)


def pwht_time_range(tested_h: float) -> Range:
    """Total production time at temperature, in hours, where toughness counts.

    The test must have had at least 80 % of it. Source: Section IX, QW-407.2 (secondary).

    >>> str(pwht_time_range(8.0))
    'up to 10 h'
    """
    return Range(0, tested_h / 0.8, PWHT_TIME, "h")


def heat_input_range(tested_kj_mm: float) -> Range:
    """Arc energy without efficiency factor, in kJ/mm, where toughness counts: no increase.

    Source: Section IX, QW-409.1 (memory for its kind).

    >>> 1.51 in heat_input_range(1.5)
    False
    """
    return Range(0, tested_kj_mm, HEAT_INPUT, "kJ/mm")


def bead_section_range(width_mm: float, thickness_mm: float) -> Range:
    """Method (b): bead section (width x thickness) of the WPS, in mm2, no larger than tested.

    Source: Section IX, QW-409.1(b) (memory). Raises InputError unless both are more than 0.

    >>> 14.0 * 3.0 in bead_section_range(12.0, 3.0)
    False
    """
    return Range(0, bead_section_mm2(width_mm, thickness_mm), HEAT_INPUT, "mm2")


def heat_input_methods(*, waveform_controlled: bool) -> frozenset[str]:
    """Methods of QW-409.1 that may be used; (a) is barred under waveform control.

    Source: Section IX, 2010, QW-409.1 (secondary).

    >>> sorted(heat_input_methods(waveform_controlled=True))
    ['b', 'c']
    """
    return frozenset("bc" if waveform_controlled else "abc")
