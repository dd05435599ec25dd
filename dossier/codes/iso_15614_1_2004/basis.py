"""Edition, basis and named readings of ISO 15614-1:2004 with amendments 1 and 2."""

from __future__ import annotations

from typing import Final

from dossier.records.verdicts import Basis

EDITION: Final = "ISO 15614-1:2004"

CHOICES: Final = {
    "impact required": (
        "as tested",
        ("yes", "no"),
        (
            "as tested: a test with impact specimens is taken to answer a requirement, so its "
            "limits hold; yes, no: the project says so for every procedure"
        ),
    ),
    "hardness required": (
        "as tested",
        ("yes", "no"),
        "as tested: a test with hardness readings is taken to answer a requirement; yes, no",
    ),
    "heat input by": (
        "pass kind",
        ("process",),
        (
            "pass kind: root, hot, fill and cap are each held to the same kind of the test; "
            "process: to the least and the most of all passes of the process (8.4.8)"
        ),
    ),
    "shielding gas": (
        "relative",
        ("points",),
        (
            "relative: carbon dioxide may be 10 % of the tested content higher; points: 10 "
            "percentage points (8.5.2.1)"
        ),
    ),
}


def clause(number: str, known: str = "memory") -> Basis:
    """The basis of a clause of this edition.

    >>> str(clause("8.4.8", "read"))
    'ISO 15614-1:2004, 8.4.8'
    """
    return Basis("ISO 15614-1", "2004", number, known)
