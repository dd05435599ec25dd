"""ISO 9606-1, Table 2: filler group from the consumable standard."""

from __future__ import annotations

import re

from dossier.errors import InputError
from dossier.records.verdicts import Basis

BASIS = Basis("ISO 9606-1", "2012", "5.5.1, Table 2", "memory")

_BY_STANDARD = {
    "FM1": ("2560", "14341", "636", "14171", "17632"),
    "FM2": ("18275", "16834", "26304", "18276"),
    "Cr": ("3580", "21952", "24598", "17634"),
    "FM5": ("3581", "14343", "17633"),
    "FM6": ("14172", "18274"),
}


def group_of_standard(standard: str, cr_pct: float | None = None) -> str:
    """The filler group of a consumable that is classified to `standard` ("ISO 2560").

    `cr_pct` is the chromium content in per cent, needed for creep-resisting fillers: below 3.75
    it is FM3, from 3.75 to 12 FM4. Source: ISO 9606-1:2012, 5.5.1, Table 2 (memory).
    Raises InputError: unknown standard, chromium not given or over 12 %.

    >>> group_of_standard("ISO 14341-A"), group_of_standard("ISO 3580", 3.75)
    ('FM1', 'FM4')
    """
    number = re.search(r"\d{3,5}", standard)
    group = next((g for g, ns in _BY_STANDARD.items() if number and number[0] in ns), "")
    if not group:
        raise InputError("standard", found=repr(standard), expected="a standard of Table 2")
    if group != "Cr":
        return group
    if cr_pct is None or not 0 <= cr_pct <= 12:
        raise InputError("cr_pct", found=cr_pct, expected="chromium from 0 to 12 %")
    return "FM3" if cr_pct < 3.75 else "FM4"
