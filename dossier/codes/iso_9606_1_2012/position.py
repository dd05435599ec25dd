"""5.8: welding positions of butt and fillet welds."""

from __future__ import annotations

from collections.abc import Sequence

from dossier.codes.iso_9606_1_2012.basis import clause
from dossier.errors import InputError
from dossier.records.verdicts import Choice

BUTT = clause("5.8, Table 9")
FILLET = clause("5.8, Table 10")
ONE_PIECE = clause("5.8", "memory")

_BUTT = {
    "PA": ("PA",),
    "PC": ("PA", "PC"),
    "PE": ("PA", "PC", "PE"),
    "PF": ("PA", "PF"),
    "PG": ("PG",),
    "PH": ("PA", "PE", "PF", "PH"),
    "PJ": ("PA", "PE", "PG", "PJ"),
    "H-L045": ("PA", "PC", "PE", "PF", "PH", "H-L045"),
    "J-L045": ("PA", "PC", "PE", "PG", "PJ", "J-L045"),
}
# The PC column of PD, PE and PH, and the whole PC row, are from memory.
_FILLET = {
    "PA": ("PA",),
    "PB": ("PA", "PB"),
    "PC": ("PA", "PB", "PC"),
    "PD": ("PA", "PB", "PC", "PD", "PE"),
    "PE": ("PA", "PB", "PC", "PD", "PE"),
    "PF": ("PA", "PB", "PF"),
    "PG": ("PG",),
    "PH": ("PA", "PB", "PC", "PD", "PE", "PF", "PH"),
    "PJ": ("PA", "PB", "PD", "PE", "PG", "PJ"),
}
_TOGETHER = {frozenset({"PC", "PH"}): "H-L045", frozenset({"PC", "PJ"}): "J-L045"}


def _row(table: dict[str, tuple[str, ...]], position: str) -> tuple[str, ...]:
    if position not in table:
        raise InputError("position", found=repr(position), expected=", ".join(table))
    return table[position]


def qualified_butt_positions(positions: Sequence[str], *, inclined: bool = True) -> Choice:
    """The positions that butt tests in `positions` (ISO 6947) qualify together.

    PC with PH gives H-L045, PC with PJ gives J-L045, where `inclined` grants it (pipes of one
    diameter; see `one_piece_allowed`).
    Source: ISO 9606-1:2012, 5.8, Table 9 (secondary). Raises InputError: no row for a position.

    >>> str(qualified_butt_positions(["PH"])), str(qualified_butt_positions(["PC", "PJ"]))
    ('PA, PE, PF, PH', 'J-L045, PA, PC, PE, PG, PJ')
    """
    found = {covered for position in positions for covered in _row(_BUTT, position)}
    if inclined:
        found |= {gained for pair, gained in _TOGETHER.items() if pair <= set(positions)}
    return Choice.of(found, BUTT)


def qualified_fillet_positions(positions: Sequence[str]) -> Choice:
    """The positions that fillet tests in `positions` (ISO 6947) qualify.

    Source: ISO 9606-1:2012, 5.8, Table 10 (secondary; PC memory). Raises InputError: no row.

    >>> str(qualified_fillet_positions(["PF"]))
    'PA, PB, PF'
    """
    found = {covered for position in positions for covered in _row(_FILLET, position)}
    return Choice.of(found, FILLET)


def one_piece_allowed(od_mm: float) -> bool:
    """Whether one pipe may be welded two thirds in PH or PJ and one third in PC.

    From 150 mm outside diameter; below it two pieces are needed.
    Source: ISO 9606-1:2012, 5.8 (memory). Raises InputError: od_mm of 0 or less.

    >>> one_piece_allowed(150.0), one_piece_allowed(149.9)
    (True, False)
    """
    if not od_mm > 0:
        raise InputError("od_mm", found=od_mm, expected="more than 0 mm")
    return od_mm >= 150
