"""Basis and named readings of ASME B31.3."""

from __future__ import annotations

from types import MappingProxyType

from dossier.codes.readings import Readings
from dossier.records.verdicts import Basis

EDITION = "ASME B31.3:2018"
NORMAL, SEVERE, CATEGORY_D = "normal", "severe cyclic", "category D"
CATEGORY_M, HIGH_PRESSURE = "category M", "high pressure"

# name -> (default, alternatives, meaning)
CHOICES: Readings = MappingProxyType(
    {
        "b31.3 service": (
            NORMAL,
            (SEVERE, CATEGORY_D),
            "Fluid service that the acceptance criteria are taken for.",
        ),
        "b31.3 weld": (
            "girth",
            ("longitudinal", "fillet", "branch"),
            "Kind of weld that the acceptance criteria are taken for.",
        ),
        "b31.3 first tier": (
            "two for each defect",
            ("two in all",),
            (
                "How many more welds the defects of the first sample ask for (341.3.4): the "
                "sentence on the first tier does not say for each, the one on the second does."
            ),
        ),
    }
)


def clause(name: str, known: str = "secondary") -> Basis:
    """The basis of a rule of this edition.

    >>> str(clause("341.3.4"))
    'ASME B31.3, 2018, 341.3.4'
    """
    return Basis("ASME B31.3", "2018", name, known)
