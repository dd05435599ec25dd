"""Diffusible hydrogen: the classes that consumables and preheat rules sort it into.

All figures in ml per 100 g of deposited metal, measured to ISO 3690 or AWS A4.3. The series do
not map one to one: a weld metal of 4.6 ml is H5 to ISO and H8 to AWS. An upper limit belongs to
its class.
"""

from __future__ import annotations

from dossier.calc.guards import not_negative
from dossier.errors import InputError
from dossier.records.verdicts import Basis

SCALE_BASIS = Basis("EN 1011-2", "2001", "Annex C, hydrogen scales", "read")
SCALES = ((3.0, "E"), (5.0, "D"), (10.0, "C"), (15.0, "B"))

ISO_BASIS = Basis("ISO 2560", "2020", "hydrogen symbol table", "memory")
ISO_CLASSES = ((5.0, "H5"), (10.0, "H10"), (15.0, "H15"))

AWS_BASIS = Basis("AWS A5.1", "2012", "diffusible hydrogen limits", "read")
AWS_CLASSES = ((4.0, "H4"), (8.0, "H8"), (16.0, "H16"))

# H1 and H2 read; the figure that stands for "not controlled" is from memory.
LEVEL_BASIS = Basis("AWS D1.1", "2020", "Annex B, hydrogen control", "secondary")
LEVELS = {"H1": 5.0, "H2": 10.0, "H3": 30.0}


def _class(hydrogen_ml_100g: float, classes: tuple[tuple[float, str], ...]) -> str | None:
    content = not_negative("hydrogen_ml_100g", hydrogen_ml_100g)
    return next((name for limit, name in classes if content <= limit), None)


def hydrogen_scale(hydrogen_ml_100g: float) -> str:
    """Hydrogen scale of EN 1011-2 method A: A (most) to E (least).

    Source: EN 1011-2:2001, Annex C (ranges read; letters from memory).
    Raises InputError: less than 0.

    >>> [hydrogen_scale(h) for h in (16, 15, 10, 4, 3)]
    ['A', 'B', 'C', 'D', 'E']
    """
    return _class(hydrogen_ml_100g, SCALES) or "A"


def iso_hydrogen_class(hydrogen_ml_100g: float) -> str | None:
    """Hydrogen symbol of the ISO consumable standards; None above the highest class.

    Source: ISO 2560:2020, hydrogen symbol table (memory).
    Raises InputError: less than 0.

    >>> iso_hydrogen_class(4.6), iso_hydrogen_class(15.1)
    ('H5', None)
    """
    return _class(hydrogen_ml_100g, ISO_CLASSES)


def aws_hydrogen_class(hydrogen_ml_100g: float) -> str | None:
    """Hydrogen designator of the AWS filler metal specifications; None above the highest.

    Source: AWS A5.1:2012, diffusible hydrogen limits (read).
    Raises InputError: less than 0.

    >>> aws_hydrogen_class(4.6), aws_hydrogen_class(16.1)
    ('H8', None)
    """
    return _class(hydrogen_ml_100g, AWS_CLASSES)


def aws_level_ml_100g(level: str) -> float:
    """Hydrogen content that AWS hydrogen control sets for level "H1", "H2" or "H3".

    Source: AWS D1.1:2020, Annex B (H1 and H2 read; H3, not controlled, from memory).
    Raises InputError: another level.

    >>> aws_level_ml_100g("H2")
    10.0
    """
    if level not in LEVELS:
        raise InputError("level", found=repr(level), expected="H1, H2 or H3")
    return LEVELS[level]
