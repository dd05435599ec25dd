"""EN 10204:2004: inspection documents for metallic products, and their older names."""

from __future__ import annotations

from dataclasses import dataclass

from dossier.errors import InputError
from dossier.records.verdicts import CLEAR, HOLD, NONCONFORMITY, Basis, Reason

EDITION = "EN 10204:2004"
BASIS = Basis("EN 10204", "2004", "3 and 4")
RANK = Basis("EN 10204", "2004", "3 and 4", "practice")


@dataclass(frozen=True, slots=True)
class DocumentType:
    """What a type of inspection document holds and who validates it."""

    name: str
    test_results: bool
    inspection: str  # "none stated", "non-specific" or "specific"
    validated_by: str


_REPRESENTATIVE = "manufacturer authorised inspection representative independent of manufacturing"
TYPES = {
    "2.1": DocumentType("2.1", False, "none stated", "manufacturer"),
    "2.2": DocumentType("2.2", True, "non-specific", "manufacturer"),
    "3.1": DocumentType("3.1", True, "specific", _REPRESENTATIVE),
    "3.2": DocumentType(
        "3.2",
        True,
        "specific",
        "that representative and the purchaser representative or the inspector named by regulation",
    ),
}
# 2.3 was dropped without successor.
_OLDER = {"3.1.B": "3.1", "3.1.A": "3.2", "3.1.C": "3.2"}


def document_type(name: str) -> DocumentType:
    """The type of this name; the names of the older edition are translated.

    ISO 10474:2013 uses the same names (memory).
    Source: EN 10204:2004, 3, 4 and foreword (secondary). Raises InputError: unknown, or 2.3.

    >>> document_type("3.1.B").name, document_type("2.2").inspection
    ('3.1', 'non-specific')
    """
    current = _OLDER.get(name, name)
    if current not in TYPES:
        raise InputError("document type", found=repr(name), expected=", ".join(TYPES))
    return TYPES[current]


def serves(supplied: str, required: str) -> Reason:
    """The reason for a document supplied where another type is required.

    A higher type serves where a lower one is asked. "" supplied is a hold.
    Source: EN 10204:2004, 3 and 4 (the ranking is common practice). Raises InputError: unknown.

    >>> str(serves("2.2", "3.1").verdict), str(serves("3.2", "3.1").verdict)
    ('nonconformity', 'clear')
    """
    order = list(TYPES)
    wanted = document_type(required).name
    permitted = " or ".join(order[order.index(wanted) :])
    if not supplied:
        return Reason("inspection document", "not recorded", permitted, RANK, HOLD)
    held = document_type(supplied).name
    good = order.index(held) >= order.index(wanted)
    verdict = CLEAR if good else NONCONFORMITY
    return Reason("inspection document", supplied, permitted, RANK, verdict)
