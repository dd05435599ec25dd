"""Approximate hardness conversion of non-austenitic steel, by table only.

A converted figure is an estimate, good for the steels the table was made from. It never replaces
a Vickers test that a specification asks for, and austenitic steels have tables of their own.
"""

from __future__ import annotations

from dataclasses import dataclass

from dossier.errors import InputError
from dossier.records.verdicts import Basis

# 40 and 50 HRC and 95 HRB are reported by a page that quotes the table; the other rows are from
# memory. Brinell with a 3000 kgf load ends at 58 HRC, above which the ball itself deforms.
BASIS = Basis("ASTM A370", "2003a", "Tables 2 and 3 (as ASTM E140, Tables 1 and 2)", "memory")

# HRC -> (HV, HB or None)
ROCKWELL_C: dict[int, tuple[int, int | None]] = {
    68: (940, None), 67: (900, None), 66: (865, None), 65: (832, None), 64: (800, None),
    63: (772, None), 62: (746, None), 61: (720, None), 60: (697, None), 59: (674, None),
    58: (653, 615), 57: (633, 595), 56: (613, 577), 55: (595, 560), 54: (577, 543),
    53: (560, 525), 52: (544, 512), 51: (528, 496), 50: (513, 482), 49: (498, 468),
    48: (484, 455), 47: (471, 442), 46: (458, 432), 45: (446, 421), 44: (434, 409),
    43: (423, 400), 42: (412, 390), 41: (402, 381), 40: (392, 371), 39: (382, 362),
    38: (372, 353), 37: (363, 344), 36: (354, 336), 35: (345, 327), 34: (336, 319),
    33: (327, 311), 32: (318, 301), 31: (310, 294), 30: (302, 286), 29: (294, 279),
    28: (286, 271), 27: (279, 264), 26: (272, 258), 25: (266, 253), 24: (260, 247),
    23: (254, 243), 22: (248, 237), 21: (243, 231), 20: (238, 226),
}  # fmt: skip

# HRB -> HV, which in this range is also HB.
ROCKWELL_B: dict[int, int] = {
    100: 240, 99: 234, 98: 228, 97: 222, 96: 216, 95: 210, 94: 205, 93: 200, 92: 195, 91: 190,
    90: 185, 89: 180, 88: 176, 87: 172, 86: 169, 85: 165, 84: 162, 83: 159, 82: 156, 81: 153,
    80: 150, 79: 147, 78: 144, 77: 141, 76: 139, 75: 137, 74: 135, 73: 132, 72: 130, 71: 127,
    70: 125,
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Hardness:
    """One row of the table: its Rockwell figure, Vickers, and Brinell where it has one."""

    scale: str
    rockwell: int
    hv: int
    hb: int | None


def _rows() -> list[Hardness]:
    hard = [Hardness("HRC", hrc, hv, hb) for hrc, (hv, hb) in ROCKWELL_C.items()]
    return hard + [Hardness("HRB", hrb, hv, hv) for hrb, hv in ROCKWELL_B.items()]


def converted_hardness(scale: str, value: float) -> Hardness:
    """The table row of a hardness on one of the scales "HRC", "HRB", "HV" or "HB".

    Look-up only: a figure between two rows is refused, not interpolated.
    Limits: HRC 20 to 68, HRB 70 to 100, and the HV and HB of those rows.
    Source: ASTM A370-03a, Tables 2 and 3 (three rows secondary, the rest from memory).
    Raises InputError: another scale, or a figure that has no row, naming the nearest ones.

    >>> converted_hardness("HRC", 40), converted_hardness("HV", 248).rockwell
    (Hardness(scale='HRC', rockwell=40, hv=392, hb=371), 22)
    """
    figures = [(_figure(row, scale), row) for row in _rows()]
    known = [(figure, row) for figure, row in figures if figure is not None]
    if not known:
        raise InputError("scale", found=repr(scale), expected="HRC, HRB, HV or HB")
    for figure, row in known:
        if figure == value:
            return row
    nearest = min((figure for figure, _ in known), key=lambda figure: abs(figure - value))
    raise InputError(
        "value", found=f"{value:g} {scale}", expected=f"a row of the table, such as {nearest}"
    )


def _figure(row: Hardness, scale: str) -> int | None:
    if scale == row.scale:
        return row.rockwell
    return {"HV": row.hv, "HB": row.hb}.get(scale)
