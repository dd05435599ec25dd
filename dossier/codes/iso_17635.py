"""ISO 17635:2016: from the quality level of ISO 5817 to examination and acceptance levels."""

from __future__ import annotations

from dataclasses import dataclass

from dossier.errors import InputError
from dossier.records.verdicts import Basis

EDITION = "ISO 17635:2016"
BASIS = Basis("ISO 17635", "2016", "Annex A", "memory")


@dataclass(frozen=True, slots=True)
class Levels:
    """Radiographic class, and acceptance levels by method, for one quality level."""

    radiographic_class: str
    radiographic: str
    ultrasonic: str
    magnetic: str
    penetrant: str


_LEVELS = {
    "B": Levels("B", "1", "2", "2X", "2X"),
    "C": Levels("B", "2", "3", "2X", "2X"),
    "D": Levels("A", "3", "3", "3X", "3X"),
}


def examination_levels(quality_level: str) -> Levels:
    """Examination class and acceptance levels beside a quality level of ISO 5817.

    Source: ISO 17635:2016, Annex A (memory; for level C class B is used, the stricter of the two
    that are remembered). Raises InputError: not B, C or D.

    >>> examination_levels("B").radiographic, examination_levels("C").ultrasonic
    ('1', '3')
    """
    if quality_level not in _LEVELS:
        raise InputError("quality level", found=repr(quality_level), expected="B, C or D")
    return _LEVELS[quality_level]
