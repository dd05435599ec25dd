"""Limits of a welder's test, variable by variable: diameter, deposit, fillets, backing."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf, sqrt

from dossier.calc.guards import positive
from dossier.codes.asme_ix.common import chosen, clause, reaches, size
from dossier.codes.asme_ix.thickness import short_arc_deposit
from dossier.codes.asme_ix.variables import process_name
from dossier.codes.face import Choices
from dossier.records.verdicts import Choice, Range

DIAMETER = clause("QW-403.16, QW-452.3")
PLATE_DIAMETER = clause("QW-403.16, Table QW-461.9, note 2")
FILLET_FROM_GROOVE = clause("QW-452.6")
FILLET_PIPE = clause("QW-452.4")
FILLET_PLATE = clause("QW-452.5", "memory")
DEPOSIT = clause("QW-404.30, Table QW-452.1(b)", "read")
TRANSFER = clause("QW-409.2", "memory")
JOINED = clause("Table QW-452.1(b), note 2")

SHORT = "short circuit"
FLUX_CORED = "flux-cored arc"
_OTHER_MODES = frozenset({"globular", "spray", "pulsed", FLUX_CORED})


def diameter_range(test_od_mm: float, units: str = "SI") -> Range:
    """Outside diameter of pipe grooves after a test on pipe of `test_od_mm`, in mm; no upper end.

    Under 25 mm the size welded; to 73 mm 25 mm; over 73 mm 73 mm. A test on exactly 73 mm is
    in the middle row (one study page reads it otherwise).

    Source: Section IX, QW-403.16, QW-452.3 (secondary). Raises InputError: test_od_mm <= 0.

    >>> str(diameter_range(60.3)), str(diameter_range(114.3))
    ('from 25 mm', 'from 73 mm')
    """
    small, large = size(25, 1, units), size(73, 2.875, units)
    if not reaches(positive("test_od_mm", test_od_mm), small):
        return Range(test_od_mm, inf, DIAMETER)
    return Range(large if test_od_mm > large + 1e-6 else small, inf, DIAMETER)


def deposit_range(
    deposit_mm: float, layers: int | None, *, short_arc: bool = False, units: str = "SI"
) -> Range:
    """Deposit that a groove test qualifies its welder for with one process, in mm.

    Twice t; from 13 mm (1/2 in) with three layers or more, no upper end; 1.1 t for less than
    13 mm in the short-circuiting mode.

    Source: Section IX, QW-404.30, Table QW-452.1(b) (read, 2011); QW-404.32 (memory).
    Raises InputError: deposit_mm <= 0.

    >>> str(deposit_range(12.7, 3)), str(deposit_range(12.7, 3, units="US customary"))
    ('up to 25.4 mm', 'any')
    """
    thick = reaches(positive("deposit_mm", deposit_mm), size(13, 1 / 2, units))
    unlimited = thick and layers is not None and layers >= 3
    plain = Range(0, inf if unlimited else 2 * deposit_mm, DEPOSIT)
    return short_arc_deposit(plain, deposit_mm, units) if short_arc else plain


@dataclass(frozen=True, slots=True)
class FilletLimits:
    """What binds a fillet weld: outside diameter, base metal thickness, leg, all in mm."""

    od_mm: Range
    base_mm: Range
    leg_mm: Range


def fillets_after_groove(product: str, choices: Choices) -> FilletLimits:
    """Fillets after a groove test: any size, any thickness; the diameter see below.

    After a plate test, note 2 of Table QW-461.9 holds pipe to 73 mm and over, while QW-452.6
    names no diameter: choice "ix fillets after a plate groove test".

    Source: Section IX, QW-452.6 (secondary).

    >>> str(fillets_after_groove("pipe", {}).od_mm), str(fillets_after_groove("plate", {}).od_mm)
    ('any', 'from 73 mm')
    """
    free = Range(0, inf, FILLET_FROM_GROOVE)
    noted = chosen(choices, "ix fillets after a plate groove test") == "73 mm and over"
    if product == "plate" and noted:
        least = size(73, 2.875, chosen(choices, "ix units"))
        return FilletLimits(Range(least, inf, PLATE_DIAMETER), free, free)
    return FilletLimits(free, free, free)


def fillets_after_pipe_fillet(test_od_mm: float, units: str = "SI") -> FilletLimits:
    """Fillets after a fillet test on pipe: diameter by the steps of grooves, any thickness.

    Source: Section IX, QW-452.4 (secondary). Raises InputError: test_od_mm <= 0.

    >>> str(fillets_after_pipe_fillet(48.3).od_mm)
    'from 25 mm'
    """
    free = Range(0, inf, FILLET_PIPE)
    low = diameter_range(test_od_mm, units).low
    return FilletLimits(Range(low, inf, FILLET_PIPE), free, free)


def fillets_after_plate_fillet(coupon_mm: float, units: str = "SI") -> FilletLimits:
    """Fillets after a fillet test on plate. Coupons over 10 mm are allowed (read, 2010).

    From 5 mm: all thicknesses and sizes, pipe from 73 mm; thinner: base metal T to 2T, leg to T.

    Source: Section IX, QW-452.5 (memory). Raises InputError: coupon_mm <= 0.

    >>> str(fillets_after_plate_fillet(4.9).base_mm)
    '4.9 to 9.8 mm'
    """
    od = Range(size(73, 2.875, units), inf, FILLET_PLATE)
    if reaches(positive("coupon_mm", coupon_mm), size(5, 3 / 16, units)):
        free = Range(0, inf, FILLET_PLATE)
        return FilletLimits(od, free, free)
    base = Range(coupon_mm, 2 * coupon_mm, FILLET_PLATE)
    return FilletLimits(od, base, Range(0, coupon_mm, FILLET_PLATE))


def leg_mm(throat_mm: float) -> float:
    """Leg of a flat fillet of equal legs, from its throat (geometry).

    >>> round(leg_mm(5.0), 2)
    7.07
    """
    return throat_mm * sqrt(2)


@dataclass(frozen=True, slots=True)
class Root:
    """What stands behind a deposit, of a test or of a production weld."""

    weld_type: str = "butt"
    backing: str = ""
    sides: str = ""
    holds_root: bool | None = None


def with_backing(root: Root, choices: Choices) -> bool | None:
    """Whether a deposit counts as welded with backing; None where it is not recorded.

    Fillets, double-welded grooves, and passes over a root that another process or welder put
    in count as with backing. A purge alone does not (choice "ix gas backing").

    Source: Section IX, QW-402.4, QW-310 (secondary).

    >>> with_backing(Root(backing="gas"), {}), with_backing(Root(holds_root=False), {})
    (False, True)
    """
    if root.weld_type == "fillet" or root.sides == "both" or root.holds_root is False:
        return True
    if not root.backing:
        return None
    if root.backing == "gas":
        return chosen(choices, "ix gas backing") == "backing"
    return root.backing not in ("none", "consumable insert")


def transfer_mode(process: str, transfer: str) -> str:
    """The mode as QW-409.2 tells it: of flux-cored arc its own name, else as recorded.

    >>> transfer_mode("136", ""), transfer_mode("135", "spray")
    ('flux-cored arc', 'spray')
    """
    return FLUX_CORED if process_name(process) == "FCAW" else transfer


def modes_covered(tested: str) -> Choice:
    """Transfer modes that a gas metal-arc test in mode `tested` covers, welder or procedure.

    Source: Section IX, QW-409.2 (memory): short-circuiting against all others.

    >>> "pulsed" in modes_covered("spray"), "spray" in modes_covered("short circuit")
    (True, False)
    """
    return Choice.of({SHORT} if tested == SHORT else _OTHER_MODES, TRANSFER)


def joined_deposit(
    tests: tuple[tuple[float, float, int | None], ...], od_mm: float, units: str = "SI"
) -> Range:
    """Deposit on pipe of `od_mm` after several pipe tests (diameter, deposit, layers), in mm.

    The thickness earned on one coupon holds down to the smallest diameter earned on another.

    Source: Section IX, Table QW-452.1(b), note 2 (secondary).

    >>> str(joined_deposit(((60.3, 5.54, 3), (168.3, 18.26, 5)), 60.3))
    'any'
    """
    if not any(od_mm in diameter_range(od, units) for od, _, _ in tests):
        return Range.none(JOINED, "no test covers the diameter")
    high = max(deposit_range(t, layers, units=units).high for _, t, layers in tests)
    return Range(0, high, JOINED)
