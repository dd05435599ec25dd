"""ISO 2553:2019: welding symbols, as far as a procedure sheet needs them."""

from __future__ import annotations

from typing import Final

from dossier.errors import InputError

EDITION = "ISO 2553:2019"


def leg_length_mm(throat_mm: float) -> float:
    """Leg z of an isosceles fillet weld of throat a, in mm: a times the square root of two.

    Source: geometry; ISO 2553:2019 prefixes a and z. Raises InputError: throat of 0 or less.

    >>> round(leg_length_mm(5.0), 2)
    7.07
    """
    if not throat_mm > 0:
        raise InputError("throat_mm", found=throat_mm, expected="more than 0 mm")
    return throat_mm * 2**0.5


SYMBOL_TAIL: Final = ("process", "quality_level", "position", "filler")
SITE_WELD_SYMBOL: Final = "flag"


def symbol_tail(process: str, quality_level: str, position: str, filler: str) -> str:
    """The tail of a welding symbol: its entries in order, parted by slashes, empty ones left out.

    Source: ISO 2553, symbol tail (secondary, as taught).

    >>> symbol_tail("111", "C", "PA", "")
    '111/C/PA'
    """
    return "/".join(part for part in (process, quality_level, position, filler) if part)
