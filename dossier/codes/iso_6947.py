"""ISO 6947:2011: welding positions, how they are written, and the ASME names beside them.

The pairing with ASME test positions is common practice: 5G and 6G say nothing of the direction,
so a position of ISO 6947 follows from them only together with "up" or "down".
"""

from __future__ import annotations

import re

from dossier.errors import InputError
from dossier.records.verdicts import Basis

EDITION = "ISO 6947:2011"
BASIS = Basis("ISO 6947", "2011", "Table 1", "memory")

POSITIONS = {
    "PA": "flat",
    "PB": "horizontal vertical",
    "PC": "horizontal",
    "PD": "horizontal overhead",
    "PE": "overhead",
    "PF": "vertical up, plate",
    "PG": "vertical down, plate",
    "PH": "pipe, welded upwards",
    "PJ": "pipe, welded downwards",
    "PK": "pipe, orbital",
    "H-L045": "pipe inclined 45 degrees, welded upwards",
    "J-L045": "pipe inclined 45 degrees, welded downwards",
    "K-L045": "pipe inclined 45 degrees, orbital",
}
DOWNWARD = frozenset({"PG", "PJ", "J-L045"})
_DIRECTIONLESS = {
    "1G": "PA", "2G": "PC", "4G": "PE", "1F": "PA", "2F": "PB", "4F": "PD",
    "1GR": "PA", "1FR": "PA", "2FR": "PB",
}  # fmt: skip
_DIRECTED = {
    "3G": {"up": "PF", "down": "PG"},
    "5G": {"up": "PH", "down": "PJ"},
    "6G": {"up": "H-L045", "down": "J-L045"},
    "3F": {"up": "PF", "down": "PG"},
    "5F": {"up": "PH", "down": "PJ"},
    "6F": {"up": "H-L045", "down": "J-L045"},
}
_FILLET_ASME = {"PA": "1F", "PB": "2F", "PD": "4F", "PF": "3F", "PG": "3F", "PH": "5F",
                "PJ": "5F", "H-L045": "6F", "J-L045": "6F"}  # fmt: skip
_BUTT_ASME = {"PA": "1G", "PC": "2G", "PE": "4G", "PF": "3G", "PG": "3G", "PH": "5G",
              "PJ": "5G", "H-L045": "6G", "J-L045": "6G"}  # fmt: skip


def position(text: str, direction: str = "") -> str:
    """The position of ISO 6947 that `text` names, an ASME test position included.

    `direction` ("up" or "down") is needed for 3G, 5G and 6G; "" is returned where it is missing,
    because the position then cannot be told.
    Source: ISO 6947:2011, Table 1; the pairing with ASME positions is common practice.
    Raises InputError: not a position.

    >>> position("hl045"), position("5G", "down"), position("6G"), position("2F")
    ('H-L045', 'PJ', '', 'PB')
    """
    plain = re.sub(r"[^A-Z0-9]", "", text.upper())
    named = {re.sub(r"\W", "", name): name for name in POSITIONS}
    if plain in named:
        return named[plain]
    if plain in _DIRECTIONLESS:
        return _DIRECTIONLESS[plain]
    if plain in _DIRECTED:
        return _DIRECTED[plain].get(direction, "")
    raise InputError("position", found=repr(text), expected="a position of ISO 6947 or ASME IX")


def position_or_blank(text: str, direction: str = "") -> str:
    """As `position`, but "" for text that names no position: registers hold free text.

    >>> position_or_blank("PA"), position_or_blank("as shown"), position_or_blank("")
    ('PA', '', '')
    """
    try:
        return position(text, direction)
    except InputError:
        return ""


def asme_position(iso: str, weld_type: str = "butt") -> str:
    """The ASME test position beside a position of ISO 6947; "" where there is none.

    Source: common practice. `iso` as `position` returns it.

    >>> asme_position("PJ"), asme_position("PB", "fillet"), asme_position("PK")
    ('5G', '2F', '')
    """
    return (_FILLET_ASME if weld_type == "fillet" else _BUTT_ASME).get(iso, "")


def inside_main_position(slope_deg: float, rotation_deg: float) -> bool:
    """Whether a test piece still counts as welded in a main position.

    Arguments: deviation of slope and of rotation from the main position, in degrees, sign free.
    Source: ISO 6947:2011, 3.3 (read).

    >>> inside_main_position(5, 10), inside_main_position(6, 0)
    (True, False)
    """
    return abs(slope_deg) <= 5 and abs(rotation_deg) <= 10
