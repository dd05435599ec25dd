"""Edition, basis and named readings of ISO 15614-1:2017."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from dossier.codes.iso_15614_1_2004 import basis as older
from dossier.records.verdicts import Basis, Choice, Range

EDITION: Final = "ISO 15614-1:2017"

CHOICES: Final = older.CHOICES | {
    "temperature allowance": (
        "none",
        ("50 °C",),
        (
            "none: preheat not under and interpass not over the test; 50 °C: amendment 1 of 2019 "
            "is read to allow so much either way (8.4.8, 8.4.9; not confirmed for level 2)"
        ),
    ),
    "fillet thickness": (
        "narrow",
        ("wide",),
        (
            "narrow: the table of 2004, 0.5 t to 1.2 t over 3 mm; wide: 3 mm to 2 t, as Table 8 "
            "of this edition is recalled (not confirmed)"
        ),
    ),
}


def clause(number: str, known: str = "memory") -> Basis:
    """The basis of a clause of this edition.

    >>> str(clause("8.4.7"))
    'ISO 15614-1:2017, 8.4.7'
    """
    return Basis("ISO 15614-1", "2017", number, known)


def rebased(found: Range | Choice, number: str, known: str = "memory") -> Range | Choice:
    """The same range or choice under a clause of this edition: the rule did not change.

    >>> str(rebased(Range(3.0, 24.0, older.clause("8.3.2.1")), "8.3.2, Table 7").basis)
    'ISO 15614-1:2017, 8.3.2, Table 7'
    """
    return replace(found, basis=clause(number, known))
