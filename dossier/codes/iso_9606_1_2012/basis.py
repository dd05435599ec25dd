"""Edition, basis and named readings of ISO 9606-1:2012."""

from __future__ import annotations

from typing import Final

from dossier.records.verdicts import Basis

EDITION: Final = "ISO 9606-1:2012"

CHOICES: Final = {
    "multi-process join": (
        "strict",
        ("sum",),
        (
            "strict: each process is held to its own deposit; sum: in a joint that holds more than "
            "this deposit the sum of the test's deposits counts as well (5.2, Table 1)"
        ),
    ),
    "plate to pipe": (
        "strict",
        ("position",),
        (
            "strict: only PA shows that the pipe rotates; position: PB, PC and PD are taken to "
            "rotate too (5.3)"
        ),
    ),
    "deposit below range": (
        "strict",
        ("joint",),
        (
            "strict: the lower limit holds for the deposit; joint: it holds for the thickness of "
            "the joint where the deposit is only a part of it (5.7)"
        ),
    ),
    "combined positions": (
        "one piece",
        ("two pieces",),
        (
            "one piece: PC with PH or PJ gives the inclined position only from 150 mm diameter; "
            "two pieces: the certificate stands for two test pieces, which may be smaller (5.8)"
        ),
    ),
    "supplementary fillet layers": (
        "single",
        ("any",),
        (
            "single: the single-layer supplementary fillet covers single-layer fillets; any: all "
            "(5.4 d and 5.9)"
        ),
    ),
    "six months run from": (
        "confirmation",
        ("old end",),
        (
            "confirmation: the next six months start on the day of the signature; old end: on the "
            "day on which the last six months would have ended (9.2)"
        ),
    ),
    "conditions of 9.3 c": (
        "unproved",
        ("shown",),
        (
            "unproved: manufacturer, quality programme and documented welds still to be shown, so "
            "an open-ended certificate is a hold; shown: the project vouches for them"
        ),
    ),
    "pressure equipment category": (
        "none",
        ("I", "II", "III", "IV"),
        "II, III and IV exclude 9.3 c (EN edition of 2017, Annex ZA)",
    ),
}


def clause(number: str, known: str = "secondary") -> Basis:
    """The basis of a clause of this edition.

    >>> str(clause("5.7, Table 6"))
    'ISO 9606-1:2012, 5.7, Table 6'
    """
    return Basis("ISO 9606-1", "2012", number, known)
