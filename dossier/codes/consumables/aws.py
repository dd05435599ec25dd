"""Classifications of AWS A5 for steel fillers: covering, form and ISO filler group.

Filler groups beside AWS classifications are common practice: by yield strength (over 500 MPa is
FM2) and alloy suffix; the standards themselves pair none.
"""

from __future__ import annotations

import re

from dossier.codes.consumables.filler import Filler

MPA_PER_KSI = 6.894757

_COVERED = {
    "10": "cellulosic", "11": "cellulosic", "12": "rutile", "13": "rutile", "14": "rutile",
    "15": "basic", "16": "basic", "18": "basic", "18M": "basic", "19": "rutile-acid",
    "20": "acid", "24": "rutile", "27": "acid", "28": "basic", "45": "basic", "48": "basic",
}  # fmt: skip
_USABILITY = {
    "1": "rutile cored", "9": "rutile cored", "12": "rutile cored", "5": "basic cored",
    "15": "metal cored", "8": "fast-freezing basic-fluoride cored",
    "7": "slow-freezing basic-fluoride cored",
}  # fmt: skip
_ELECTRODE = re.compile(r"^E(\d{2,3})(\d\d)(M)?(?:-?([A-Z]\w*))?(?:-1)?(?: ?H(4|8|16)R?)?R?$")
_SOLID = re.compile(r"^ER(\d{2,3})S-(\w+)(?:H\d+)?$")
_METAL_CORED = re.compile(r"^E(\d{2,3})C-(\w+)$")
_FLUX_CORED = re.compile(r"^E(\d{1,2})([01])T-?(\d{1,2}|G|GS)([CM])?(?:J)?(?:-(\w+))?(?:J)?$")
_STAINLESS = re.compile(r"^E(R)?(2\d\d|3\d\d|4\d\d)\w*(?:-(\d\d))?$")
_NICKEL = re.compile(r"^E(R)?Ni\w+(?:-\w+)?$")


def _alloy_group(ksi: int, suffix: str) -> str:
    """FM3, FM4 by chromium suffix; FM2 over 500 MPa yield (from 90 ksi tensile); else FM1."""
    if chromium := re.match(r"B(\d+)", suffix):
        return "FM4" if int(chromium[1]) in (6, 8, 9, 91, 92) else "FM3"
    return "FM2" if ksi >= 90 else "FM1"


def _filler(text: str, standard: str, form: str, covering: str, ksi: int, suffix: str) -> Filler:
    return Filler(
        designation=text,
        standard=standard,
        form=form,
        covering=covering,
        filler_group=_alloy_group(ksi, suffix),
        tensile_min_mpa=round(ksi * MPA_PER_KSI, 1),
        alloy=suffix,
    )


def read_aws(designation: str) -> Filler | None:
    """The parts of a classification of AWS A5.1, 5.5, 5.18, 5.20, 5.28, 5.29, 5.4, 5.9, 5.11, 5.14.

    None when `designation` has another form. `tensile_min_mpa` is the strength figure of the
    classification in ksi, converted; the filler group is common practice. Not read: A5.36.

    >>> [read_aws(t).covering for t in ("E6010", "E8010-P1", "E71T-8", "ER70S-6", "E70C-6M")]
    ['cellulosic', 'cellulosic', 'fast-freezing basic-fluoride cored', 'solid', 'metal cored']
    """
    text = re.sub(r"^(AWS|SFA)[ -]?A?5\.\d+(M)?[:\s]*", "", designation.strip())
    if m := _STAINLESS.match(text):
        return _stainless(designation, bool(m[1]), basic=m[3] == "15")
    if m := _NICKEL.match(text):
        standard = "AWS A5.14" if m[1] else "AWS A5.11"
        form, covering = ("solid wire", "solid") if m[1] else ("covered electrode", "basic")
        return Filler(designation=designation, standard=standard, form=form, covering=covering,
                      filler_group="FM6")  # fmt: skip
    if m := _ELECTRODE.match(text):
        covering = _COVERED.get(m[2], "")
        standard = "AWS A5.5" if m[4] else "AWS A5.1"
        return _filler(designation, standard, "covered electrode", covering, int(m[1]), m[4] or "")
    if m := _SOLID.match(text):
        standard = "AWS A5.18" if m[2].isdigit() else "AWS A5.28"
        return _filler(designation, standard, "solid wire", "solid", int(m[1]), m[2])
    if m := _METAL_CORED.match(text):
        return _filler(designation, "AWS A5.18", "cored wire", "metal cored", int(m[1]), m[2])
    if m := _FLUX_CORED.match(text):
        return _flux_cored(designation, m)
    return None


def _stainless(designation: str, wire: bool, *, basic: bool) -> Filler:
    return Filler(
        designation=designation,
        standard="AWS A5.9" if wire else "AWS A5.4",
        form="solid wire" if wire else "covered electrode",
        covering="solid" if wire else "basic" if basic else "rutile",
        filler_group="FM5",
    )


def _flux_cored(designation: str, match: re.Match[str]) -> Filler:
    covering = _USABILITY.get(match[3], "other cored")
    if covering == "rutile cored" and match[2] == "1":  # all positions: the slag must freeze fast
        covering = "fast-freezing rutile cored"
    standard = "AWS A5.29" if match[5] else "AWS A5.20"
    ksi = int(match[1]) * 10
    return _filler(designation, standard, "cored wire", covering, ksi, match[5] or "")
