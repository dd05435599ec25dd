"""ASME B31.8, 2018: extent of examination of field butt welds of gas pipelines."""

from __future__ import annotations

from collections.abc import Sequence

from dossier.codes.face import Rule
from dossier.errors import InputError

EDITION = "ASME B31.8:2018"

RULES: Sequence[Rule] = (
    Rule("Share of a day's welds", "826.3(b)", "secondary",
         "dossier.codes.asme_b31_8.extent_percent"),
    Rule("Major crossings and compressor stations", "826.3(b)", "memory",
         "dossier.codes.asme_b31_8.crossing_percent"),
)  # fmt: skip
NOT_COVERED: Sequence[str] = (
    "Acceptance: API 1104 governs.",
    "Pipe operating under 20 % of SMYS, where visual examination may do.",
)
_BY_CLASS = {1: 10, 2: 15, 3: 40, 4: 75}


def extent_percent(location_class: int, hoop_stress_pct_smys: float) -> int:
    """Least share of the field butt welds of each day, chosen at random, in per cent.

    For hoop stress of 20 % of SMYS or more. A government rule may ask more (49 CFR 192.243 asks
    all welds of Class 3 and 4): local law comes first.

    Source: ASME B31.8, 826.3(b) (secondary, 2010). Raises InputError: a class that is not 1 to
    4, a stress under 20 % or over 100 %.

    >>> [extent_percent(n, 50.0) for n in (1, 2, 3, 4)]
    [10, 15, 40, 75]
    """
    if not 20 <= hoop_stress_pct_smys <= 100:
        raise InputError("hoop_stress_pct_smys", found=hoop_stress_pct_smys, expected="20 to 100")
    if location_class not in _BY_CLASS:
        raise InputError("location_class", found=location_class, expected="1 to 4")
    return _BY_CLASS[location_class]


def crossing_percent(*, impractical: bool = False) -> int:
    """Share at compressor stations and at major river, railroad or highway crossings.

    Source: ASME B31.8, 826.3(b) (memory).

    >>> crossing_percent(), crossing_percent(impractical=True)
    (100, 90)
    """
    return 90 if impractical else 100
