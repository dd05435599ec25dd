"""Limits of imperfections by quality level, as far as the table is known.

A limit is offset + factor x dimension, no more than a cap, in mm. The dimension is the thickness
t, the width b of the weld or of the penetration, the thickness s of the weld, or the throat a.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import inf

from dossier.errors import InputError
from dossier.records.verdicts import Basis, Range

THICK_FROM_MM = 3.0  # rows of the table: 0.5 to 3 mm, over 3 mm


def clause(item: str, known: str = "read") -> Basis:
    """The basis of one line of the table.

    >>> str(clause("1.7"))
    'ISO 5817:2014, Table 1, 1.7'
    """
    return Basis("ISO 5817", "2014", f"Table 1, {item}", known)


@dataclass(frozen=True, slots=True)
class Row:
    """The limit of one imperfection at one level; `short`: only short ones are permitted."""

    offset_mm: float
    factor: float
    dimension: str  # "t", "b", "s", "a"
    cap_mm: float = inf
    short: bool = False


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the table: item, and the row of each level; None where not permitted."""

    item: str
    thick: Mapping[str, Row | None]
    thin: Mapping[str, Row | None] | None = None  # 0.5 to 3 mm; None: not known
    known: str = "read"


@dataclass(frozen=True, slots=True)
class Limit:
    """What is permitted: up to `high_mm`; 0 is not permitted at all."""

    high_mm: float
    short_only: bool
    basis: Basis

    @property
    def permitted(self) -> bool:
        """Whether any imperfection of the kind is permitted."""
        return self.high_mm > 0

    @property
    def range(self) -> Range:
        """The permitted sizes, in mm."""
        if not self.permitted:
            return Range.none(self.basis, "not permitted")
        return Range(0.0, self.high_mm, self.basis)


def _three(b: Row | None, c: Row | None, d: Row | None) -> dict[str, Row | None]:
    return {"B": b, "C": c, "D": d}


_NEVER = _three(None, None, None)
_CAP = _three(Row(1, 0.1, "b", 5), Row(1, 0.15, "b", 7), Row(1, 0.25, "b", 10))
_CONVEX = _three(Row(1, 0.1, "b", 3), Row(1, 0.15, "b", 4), Row(1, 0.25, "b", 5))
_ASYMMETRY = _three(Row(1.5, 0.15, "a"), Row(2, 0.15, "a"), Row(2, 0.2, "a"))

_LINES = {
    "100": Line("1.1", _NEVER, _NEVER),
    "2017": Line("1.3", _three(None, Row(0, 0.2, "s", 2), Row(0, 0.3, "s", 3))),
    "401": Line("1.5", _NEVER, _NEVER),
    "4021": Line("1.6", _three(None, None, Row(0, 0.2, "t", 2, short=True))),
    # Levels B of 5011 over 3 mm and of 502 are also given as memory elsewhere; the table was read.
    "5011": Line(
        "1.7",
        _three(Row(0, 0.05, "t", 0.5), Row(0, 0.1, "t", 0.5), Row(0, 0.2, "t", 1)),
        _three(None, Row(0, 0.1, "t", short=True), Row(0, 0.2, "t", short=True)),
    ),
    "502": Line("1.9", _CAP, _CAP),
    "503": Line("1.10", _CONVEX, _CONVEX),
    "504": Line(
        "1.11",
        _three(Row(1, 0.2, "b", 3), Row(1, 0.6, "b", 4), Row(1, 1.0, "b", 5)),
        _three(Row(1, 0.1, "b"), Row(1, 0.3, "b"), Row(1, 0.6, "b")),
    ),
    "512": Line("1.16", _ASYMMETRY, _ASYMMETRY),
    "515": Line(
        "1.17",
        _three(
            Row(0, 0.05, "t", 0.5, short=True),
            Row(0, 0.1, "t", 1, short=True),
            Row(0, 0.2, "t", 2, short=True),
        ),
    ),
    "5071": Line(
        "3.1",
        _three(Row(0, 0.1, "t", 3), Row(0, 0.15, "t", 4), Row(0, 0.25, "t", 5)),
        known="memory",
    ),
    "5072": Line(
        "3.1",
        _three(Row(0, 0.5, "t", 2), Row(0, 0.5, "t", 3), Row(0, 0.5, "t", 4)),
        known="memory",
    ),
    "617": Line(
        "3.2",
        _three(Row(0.5, 0.1, "a", 2), Row(0.5, 0.2, "a", 3), Row(1, 0.3, "a", 4)),
    ),
    "multiple": Line("4.1", _three(Row(0, 0.2, "t"), Row(0, 0.3, "t"), Row(0, 0.4, "t"))),
}  # fmt: skip
_SAME = {"5012": "5011", "5013": "515", "104": "100"}
# Cells of lines marked "read" that are from memory all the same: (number, level).
_FROM_MEMORY = frozenset({("512", "B"), ("512", "D"), ("515", "B"), ("515", "D")})

IMPERFECTIONS = tuple(_LINES)


def limit(number: str, level: str, dimensions_mm: Mapping[str, float]) -> Limit:
    """The limit of an imperfection (number of ISO 6520-1) at a quality level, in mm.

    `dimensions_mm` holds what the line needs: "t" thickness, "b" width, "s" weld thickness, "a"
    throat. Where the line does not need "t" it still picks the row where it is given.
    Source: ISO 5817:2014, Table 1 (read; 507, and levels B and D of 512 and 515, memory).
    Raises InputError: unknown imperfection or level, a dimension missing or 0 or less, a row for
    0.5 to 3 mm that is not known.

    >>> limit("5011", "B", {"t": 8.0}).high_mm, limit("100", "D", {"t": 8.0}).permitted
    (0.4, False)
    """
    line = _LINES.get(_SAME.get(number, number))
    if line is None or level not in ("B", "C", "D"):
        found = f"{number}, level {level}"
        raise InputError("imperfection", found=found, expected=f"{', '.join(_LINES)} at B, C, D")
    thickness = dimensions_mm.get("t", inf)
    rows = line.thick if thickness > THICK_FROM_MM else line.thin
    if rows is None or thickness < 0.5:
        raise InputError("t", found=f"{thickness} mm", expected=f"over 3 mm for {number}")
    known = "memory" if (_SAME.get(number, number), level) in _FROM_MEMORY else line.known
    basis = clause(line.item, known)
    row = rows[level]
    if row is None:
        return Limit(0.0, False, basis)
    size = dimensions_mm.get(row.dimension)
    if size is None or not size > 0:
        raise InputError(row.dimension, found=size, expected="more than 0 mm")
    high = min(row.cap_mm, round(row.offset_mm + row.factor * size, 9))
    return Limit(high, row.short, basis)
