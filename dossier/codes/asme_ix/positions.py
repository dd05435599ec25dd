"""Welding positions: what a test position qualifies a welder for (Table QW-461.9)."""

from __future__ import annotations

from collections.abc import Iterable

from dossier.codes.asme_ix.common import clause, passes_over, size
from dossier.codes.iso_6947 import asme_position

POSITIONS = clause("QW-405.1, Table QW-461.9")

LARGE, SMALL, FILLET = "plate and pipe over 610 mm", "pipe to 610 mm", "fillet"
COLUMNS = (LARGE, SMALL, FILLET)

# (groove on plate and large pipe, groove on pipe to 610 mm, fillet). 3G+4G follows from its rows.
# Groove rows secondary except 6G and 2G+5G; fillet rows memory.
_PLATE = {
    "1G": ("F", "F", "F"),
    "2G": ("FH", "FH", "FH"),
    "3G": ("FV", "F", "FHV"),
    "4G": ("FO", "F", "FHO"),
}
_PIPE = {
    "1G": ("F", "F", "F"),
    "2G": ("FH", "FH", "FH"),
    "5G": ("FVO", "FVO", "FHVO"),
    "6G": ("FHVO", "FHVO", "FHVO"),
}
_FILLETS = {
    "1F": "F",
    "2F": "FH",
    "2FR": "FH",
    "3F": "FHV",
    "4F": "FHO",
    "5F": "FHVO",
    "6F": "FHVO",
}
_DOWN, _UP = frozenset({"PG", "PJ", "J-L045"}), frozenset({"PF", "PH", "H-L045"})

# Places that lie in a joint welded in this position: all of them must be qualified.
_NEEDED = {
    "1G": "F", "2G": "H", "3G": "V", "4G": "O", "5G": "FVO", "6G": "FHVO",
    "1F": "F", "2F": "H", "2FR": "H", "3F": "V", "4F": "O", "5F": "HVO", "6F": "FHVO",
    "F": "F", "H": "H", "V": "V", "O": "O",
}  # fmt: skip


def section_ix_position(position: str, *, fillet: bool) -> str:
    """The position in the letters of Section IX; ISO 6947 letters are translated.

    >>> section_ix_position("PJ", fillet=False), section_ix_position("6G", fillet=False)
    ('5G', '6G')
    """
    return asme_position(position, "fillet" if fillet else "butt") or position.upper()


def progression(position: str, direction: str) -> str:
    """ "up" or "down": as recorded, else as the ISO 6947 letters tell; "" where neither does.

    >>> progression("PJ", ""), progression("6G", "up")
    ('down', 'up')
    """
    if direction:
        return direction
    return "down" if position in _DOWN else "up" if position in _UP else ""


def places_needed(position: str, *, fillet: bool) -> frozenset[str] | None:
    """Flat, horizontal, vertical, overhead: all that a joint in `position` asks; None unknown.

    >>> sorted(places_needed("5G", fillet=False))
    ['F', 'O', 'V']
    """
    name = section_ix_position(position, fillet=fillet)
    return frozenset(_NEEDED[name]) if name in _NEEDED else None


def places_qualified(
    product: str, positions: Iterable[str], *, fillet: bool
) -> dict[str, frozenset[str]]:
    """Column of the table -> places that a test in all of `positions` qualifies.

    `product` is "plate" or "pipe"; "SP" stands for a special position, which also covers flat.
    A position that the product's rows do not hold qualifies nothing.

    Source: Section IX, QW-405.1, Table QW-461.9 (groove rows secondary, 6G, 2G+5G and fillet
    rows memory).

    >>> sorted(places_qualified("plate", ["3G"], fillet=False)["pipe to 610 mm"])
    ['F']
    """
    got: dict[str, set[str]] = {column: set() for column in COLUMNS}
    for position in positions:
        for column, places in zip(COLUMNS, _row(product, position, fillet), strict=True):
            got[column].update(places)
    return {column: frozenset(places) for column, places in got.items()}


def _row(product: str, position: str, fillet: bool) -> tuple[Iterable[str], ...]:
    name = section_ix_position(position, fillet=fillet)
    special: Iterable[str] = ("SP", "F")
    if name in ("SP", "SPECIAL"):
        return ("", "", special) if fillet else (special,) * 3
    if fillet:
        return ("", "", _FILLETS.get(name, ""))
    return (_PLATE if product == "plate" else _PIPE).get(name, ("", "", ""))


def column_of(weld_type: str, product: str, od_mm: float | None, units: str = "SI") -> str | None:
    """The column that judges a production weld; None where a pipe has no diameter recorded.

    >>> column_of("butt", "pipe", 610.0), column_of("butt", "pipe", 610.1)
    ('pipe to 610 mm', 'plate and pipe over 610 mm')
    """
    if weld_type == "fillet":
        return FILLET
    if product == "plate":
        return LARGE
    if od_mm is None:
        return None
    return LARGE if passes_over(od_mm, size(610, 24, units)) else SMALL
