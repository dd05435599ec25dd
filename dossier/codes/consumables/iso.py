"""Classifications of ISO, system A (by yield strength and 47 J), for steel fillers.

Strengths, impact temperatures and covering symbols are secondary; the high-strength grades
(55 and over) and the ISO 636 form are from memory.
"""

from __future__ import annotations

import re

from dossier.codes.consumables.filler import COVERINGS, WIRES, Filler
from dossier.codes.consumables.groups import group_of_standard
from dossier.errors import InputError

# symbol: yield at least, tensile from, to (MPa), elongation at least (%)
_STRENGTH = {
    "35": (355.0, 440.0, 570.0, 22.0),
    "38": (380.0, 470.0, 600.0, 20.0),
    "42": (420.0, 500.0, 640.0, 20.0),
    "46": (460.0, 530.0, 680.0, 20.0),
    "50": (500.0, 560.0, 720.0, 18.0),
    "55": (550.0, 610.0, 780.0, 18.0),
    "62": (620.0, 690.0, 890.0, 18.0),
    "69": (690.0, 760.0, 960.0, 17.0),
    "79": (790.0, 880.0, 1080.0, 16.0),
    "89": (890.0, 980.0, 1180.0, 15.0),
}
_IMPACT_C = {"A": 20.0, "0": 0.0} | {str(n): -10.0 * n for n in range(2, 9)}
_RECOVERY = ("under 105 %", "over 105 to 125 %", "over 125 to 160 %", "over 160 %")
_POSITIONS = {
    "1": "all",
    "2": "all but vertical down",
    "3": "flat butt, flat and horizontal fillet",
    "4": "flat butt and flat fillet",
    "5": "vertical down and as symbol 3",
}
_HEAD = re.compile(r"^(?:(?:DIN )?(?:EN )?ISO ?(?P<number>\d{3,5})(?:-A)?)?[ :\-]*(?P<rest>.*)$")
_STRENGTH_FORM = r"(?P<strength>\d\d) (?P<impact>[ZA0-8])"
_TAIL = r"(?: H(?P<hydrogen>5|10|15))?(?: T)?$"
_FORMS = {
    "E": rf"E {_STRENGTH_FORM}(?: (?P<alloy>\w*?(?:Ni|Mo|Mn|Z)\w*))? (?P<core>RA|RB|RC|RR|R|A|B|C)"
    rf"(?: (?P<recovery>[1-8]) ?(?P<position>[1-5]))?{_TAIL}",
    "G": rf"G {_STRENGTH_FORM} (?P<gas>[MCI]\d*|NO) (?P<wire>[\w.]+){_TAIL}",
    "T": rf"T {_STRENGTH_FORM}(?: (?P<alloy>\w*(?:Ni|Mo|Mn)\w*|Z))? (?P<core>[RPBMVWYZ])"
    rf"(?: (?P<gas>[MC]\d*|NO|N))?(?: (?P<position>[1-5]))?{_TAIL}",
    "W": rf"W {_STRENGTH_FORM}(?: (?P<gas>I\d))? (?P<wire>[\w.]+){_TAIL}",
    "S": rf"S {_STRENGTH_FORM} (?P<core>AB|AR|AF|FB|CS|MS|RS|BA|Z) (?P<wire>S[\w.]+){_TAIL}",
}
# first letter: form, standard up to 500 MPa, standard above
_KINDS = {
    "E": ("covered electrode", "2560", "18275"),
    "G": ("solid wire", "14341", "16834"),
    "T": ("cored wire", "17632", "18276"),
    "W": ("rod", "636", "16834"),
    "S": ("wire and flux", "14171", "26304"),
}


def read_iso(designation: str) -> Filler | None:
    """The parts of a classification of ISO 2560, 14341, 17632, 636, 14171 or their strong sisters.

    System A only. None when `designation` has another form. Yield and tensile strength in MPa,
    elongation in per cent, impact energy in J at `impact_c` in °C, hydrogen in ml/100 g.
    Source: ISO 2560:2009, 14341:2010, 17632:2008, clause 4 (secondary); the others memory.
    Raises InputError: the form is right but the strength symbol is unknown.

    >>> wire = read_iso("G 46 5 M G3Si1")
    >>> wire.standard, wire.yield_min_mpa, wire.impact_c, wire.filler_group
    ('ISO 14341-A', 460.0, -50.0, 'FM1')
    """
    head = _HEAD.match(" ".join(designation.replace("-A-", "-A ").split()))
    rest = head["rest"] if head else ""
    form = _FORMS.get(rest[:1])
    match = re.match(form, rest) if form else None
    if head is None or match is None:
        return None
    parts = match.groupdict()
    strength = _STRENGTH.get(parts["strength"])
    if strength is None:
        raise InputError("strength", found=parts["strength"], expected=", ".join(_STRENGTH))
    kind, usual, strong = _KINDS[rest[0]]
    number = head["number"] or (usual if strength[0] <= 500 else strong)
    impact_c = _IMPACT_C.get(parts["impact"])
    return Filler(
        designation=designation,
        standard=f"ISO {number}-A",
        form=kind,
        covering=_covering(rest[0], parts.get("core") or ""),
        filler_group=group_of_standard(f"ISO {number}"),
        yield_min_mpa=strength[0],
        tensile_min_mpa=strength[1],
        tensile_max_mpa=strength[2],
        elongation_min_percent=strength[3],
        impact_j=None if impact_c is None else 47.0,
        impact_c=impact_c,
        alloy=parts.get("alloy") or "",
        gas=parts.get("gas") or "",
        wire=parts.get("wire") or "",
        current=_current(parts.get("recovery")),
        recovery=_recovery(parts.get("recovery")),
        positions=_POSITIONS.get(parts.get("position") or "", ""),
        hydrogen_ml_100g=float(parts["hydrogen"]) if parts["hydrogen"] else None,
    )


def _covering(letter: str, core: str) -> str:
    if letter == "E":
        return COVERINGS[core]
    return WIRES[core] if letter == "T" else "solid"


def _current(symbol: str | None) -> str:
    if not symbol:
        return ""
    return "AC and DC" if int(symbol) % 2 else "DC"


def _recovery(symbol: str | None) -> str:
    return _RECOVERY[(int(symbol) - 1) // 2] if symbol else ""
