"""5.2 to 5.4: process, transfer mode, product, weld type."""

from __future__ import annotations

from math import inf

from dossier.codes.iso_4063 import process_name
from dossier.codes.iso_9606_1_2012.basis import clause
from dossier.errors import InputError
from dossier.records.verdicts import Choice, Range

PROCESS = clause("5.2")
TRANSFER = clause("5.2")
PRODUCT = clause("5.3")
WELD_TYPE = clause("5.4")
BRANCH = clause("5.4 e)", "memory")

TRANSFERS = ("short circuit", "globular", "spray", "pulsed")
_TOGETHER = (frozenset({"135", "138"}), frozenset({"121", "125"}))
_TUNGSTEN = frozenset({"141", "142", "143", "145"})


def qualified_processes(process: str) -> Choice:
    """The processes that a test with `process` (ISO 4063 number) qualifies.

    Source: ISO 9606-1:2012, 5.2 (secondary; 121 with 125, and 142 alone, memory).
    Raises InputError: not a process number.

    >>> str(qualified_processes("141")), str(qualified_processes("111"))
    ('141, 142, 143, 145', '111')
    """
    process_name(process)
    if process in ("141", "143", "145"):
        return Choice(_TUNGSTEN, PROCESS)
    pair = next((pair for pair in _TOGETHER if process in pair), frozenset({process}))
    return Choice(pair, PROCESS)


def qualified_transfers(process: str, transfer: str) -> Choice:
    """The transfer modes that a test in one mode qualifies; the clause names 131, 135 and 138.

    Short circuit covers the other modes, not the reverse.
    Source: ISO 9606-1:2012, 5.2 (secondary). Raises InputError: unknown mode with one of these.

    >>> str(qualified_transfers("135", "spray"))
    'globular, pulsed, spray'
    """
    if process not in ("131", "135", "138"):
        return Choice(None, TRANSFER)
    if not transfer:
        return Choice(frozenset(), TRANSFER, "test mode not recorded")
    if transfer not in TRANSFERS:
        raise InputError("transfer", found=repr(transfer), expected=", ".join(TRANSFERS))
    start = 0 if transfer == "short circuit" else 1
    return Choice.of(TRANSFERS[start:], TRANSFER)


def qualified_products(product: str, od_mm: float | None) -> Choice:
    """The products that a test in pipe or plate qualifies; the diameter limits are separate.

    A pipe over 25 mm covers plate; plate covers pipe within `plate_diameter_range`.
    Source: ISO 9606-1:2012, 5.3 (secondary). Raises InputError: neither pipe nor plate, or a
    pipe without diameter.

    >>> str(qualified_products("pipe", 25.0)), str(qualified_products("pipe", 25.1))
    ('pipe', 'pipe, plate')
    """
    if product == "plate":
        return Choice.of(("plate", "pipe"), PRODUCT)
    if product != "pipe":
        raise InputError("product", found=repr(product), expected="pipe or plate")
    if od_mm is None or not od_mm > 0:
        raise InputError("od_mm", found=od_mm, expected="more than 0 mm for a pipe")
    return Choice.of(("pipe", "plate") if od_mm > 25 else ("pipe",), PRODUCT)


def plate_diameter_range(*, rotating: bool) -> Range:
    """Outside diameters of pipe that a test in plate covers, in mm.

    From 500 mm fixed; from 75 mm rotating in PA, PB, PC or PD.
    Source: ISO 9606-1:2012, 5.3 b) and c) (secondary).

    >>> str(plate_diameter_range(rotating=True)), str(plate_diameter_range(rotating=False))
    ('from 75 mm', 'from 500 mm')
    """
    return Range(75 if rotating else 500, inf, PRODUCT)


def counts_as_rotating(position: str, *, turned: bool) -> bool:
    """Whether a pipe is one for the smaller limit of `plate_diameter_range`: turned in PA to PD.

    Source: ISO 9606-1:2012, 5.3 c) (secondary).

    >>> counts_as_rotating("PC", turned=True), counts_as_rotating("PF", turned=True)
    (True, False)
    """
    return turned and position in ("PA", "PB", "PC", "PD")


def qualified_weld_types(weld_type: str, product: str, *, supplementary_fillet: bool) -> Choice:
    """The weld types that a test qualifies.

    Butt and fillet do not cover each other; a butt test with a supplementary fillet piece covers
    fillets in PA and PB; a butt test in pipe covers branches from 60 degrees.
    Source: ISO 9606-1:2012, 5.4 (secondary; branch memory). Raises InputError: unknown type.

    >>> str(qualified_weld_types("butt", "pipe", supplementary_fillet=False))
    'branch, butt'
    """
    if weld_type not in ("butt", "fillet", "branch"):
        raise InputError("weld_type", found=repr(weld_type), expected="butt, fillet or branch")
    if weld_type != "butt":
        return Choice.of((weld_type,), WELD_TYPE)
    branch = ("branch",) if product == "pipe" else ()
    fillet = ("fillet",) if supplementary_fillet else ()
    return Choice.of(("butt", *branch, *fillet), WELD_TYPE)


def supplementary_fillet_piece(
    butt_t_mm: float, piece_t_mm: float, *, position: str = "PB", layers: int = 1
) -> bool:
    """Whether a fillet piece serves as the supplementary test of a butt test.

    At least 10 mm thick, or as thick as the butt piece where that is thinner, welded in PB in a
    single layer. Source: ISO 9606-1:2012, 5.4 d) (secondary).
    Raises InputError: a thickness of 0 or less.

    >>> supplementary_fillet_piece(15, 10), supplementary_fillet_piece(15, 9.9)
    (True, False)
    """
    for name, value in (("butt_t_mm", butt_t_mm), ("piece_t_mm", piece_t_mm)):
        if not value > 0:
            raise InputError(name, found=value, expected="more than 0 mm")
    return piece_t_mm >= min(10.0, butt_t_mm) and position == "PB" and layers == 1


def branch_angle_range() -> Range:
    """Angles between branch and main pipe that a butt test in pipe covers, in degrees.

    The diameter to compare is that of the branch.
    Source: ISO 9606-1:2012, 5.4 e) (memory).

    >>> 60.0 in branch_angle_range(), 59.0 in branch_angle_range()
    (True, False)
    """
    return Range(60, 90, BRANCH, "deg")
