"""5.9: weld details (one or both sides, backing) and layers."""

from __future__ import annotations

from dossier.codes.iso_9606_1_2012.basis import clause
from dossier.errors import InputError
from dossier.records.verdicts import Choice

DETAIL = clause("5.9, Table 11", "memory")
LAYERS = clause("5.9, Table 12")

_DETAILS = {
    "ss nb": ("ss nb", "ss mb", "bs", "ss gb", "ss fb"),
    "ss mb": ("ss mb", "bs"),
    "bs": ("ss mb", "bs"),
    "ss gb": ("ss mb", "bs", "ss gb"),
    "ci": ("ss mb", "bs", "ci"),
    "ss fb": ("ss mb", "bs", "ss fb"),
}
_BACKINGS = {
    "none": "ss nb",
    "material": "ss mb",
    "weld metal": "ss mb",
    "gas": "ss gb",
    "flux": "ss fb",
    "consumable insert": "ci",
}


def weld_detail(sides: str, backing: str, root: bool | None) -> str | None:
    """The detail of one deposit: "ss nb", "ss mb", "ss gb", "ss fb", "ci" or "bs".

    A deposit that does not hold the root lies on weld metal and counts as backed (Table 1 of 5.2
    shows the second process of a test so). None where the record does not tell.
    Source: ISO 9606-1:2012, 4.3.2 and 5.2, Table 1 (memory). Raises InputError: unknown words.

    >>> weld_detail("single", "none", True), weld_detail("single", "none", False)
    ('ss nb', 'ss mb')
    """
    if root is False:
        return "ss mb"
    if sides not in ("single", "both", ""):
        raise InputError("sides", found=repr(sides), expected="single or both")
    if backing and backing not in _BACKINGS:
        raise InputError("backing", found=repr(backing), expected=", ".join(_BACKINGS))
    if sides == "both":
        return "bs"
    return _BACKINGS[backing] if sides and backing else None


def qualified_details(detail: str) -> Choice:
    """The weld details of butt welds that a test with `detail` qualifies.

    Source: ISO 9606-1:2012, 5.9, Table 11 (row ss nb secondary, the other rows memory).
    Raises InputError: unknown detail.

    >>> str(qualified_details("ss gb"))
    'bs, ss gb, ss mb'
    """
    if detail not in _DETAILS:
        raise InputError("detail", found=repr(detail), expected=", ".join(_DETAILS))
    return Choice.of(_DETAILS[detail], DETAIL)


def qualified_layers(layers: str) -> Choice:
    """The layer technique of fillet welds that a test qualifies: "single" and "multi".

    Source: ISO 9606-1:2012, 5.9, Table 12 (multi secondary, single memory).
    Raises InputError: neither.

    >>> str(qualified_layers("multi")), str(qualified_layers("single"))
    ('multi, single', 'single')
    """
    if layers not in ("single", "multi"):
        raise InputError("layers", found=repr(layers), expected="single or multi")
    return Choice.of(("single", "multi") if layers == "multi" else ("single",), LAYERS)


def layer_word(layers: int | None) -> str | None:
    """ "single" for one layer, "multi" for more, None where not recorded.

    >>> layer_word(1), layer_word(3)
    ('single', 'multi')
    """
    if layers is None:
        return None
    return "single" if layers == 1 else "multi"
