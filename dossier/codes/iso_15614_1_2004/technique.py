"""8.4 and 8.5 without heat: process, runs, joint, position, filler, current, gas, flux."""

from __future__ import annotations

from collections.abc import Iterable

from dossier.codes.consumables import read_filler
from dossier.codes.iso_4063 import process_name
from dossier.codes.iso_6947 import DOWNWARD, POSITIONS
from dossier.codes.iso_15614_1_2004.basis import clause
from dossier.errors import InputError
from dossier.records.verdicts import Choice, Range

PROCESS = clause("8.4.1")
SUBMERGED = clause("8.5.1.1", "read")
FLUX = clause("8.5.1.2", "read")
POSITION = clause("8.4.2", "secondary")
JOINT = clause("8.4.3")
FILLER = clause("8.4.4")
MAKE = clause("8.4.5")
CURRENT = clause("8.4.7")
TRANSFER = clause("8.5.2")
GAS = clause("8.5.2.1", "read")

UPWARD = frozenset(POSITIONS) - DOWNWARD
# Where the specimens come from when all positions are wanted (8.4.2).
SPECIMEN_POSITIONS = {
    "impact_from": "highest heat input position",
    "hardness_from": "lowest heat input position",
}
_FIXED_PIPE = ("PH", "H-L045")  # one piece holds the positions of most and of least heat input


def qualified_processes(process: str) -> Choice:
    """The processes that a test with `process` covers: itself, each variant of 12 on its own.

    Source: ISO 15614-1:2004, 8.4.1 (memory) and 8.5.1.1 (read). Raises InputError: unknown.

    >>> str(qualified_processes("121"))
    '121'
    """
    process_name(process)
    return Choice.of((process,), SUBMERGED if process.startswith("12") else PROCESS)


def qualified_runs(runs: str) -> Choice:
    """The run technique that a test covers: single or multi, each itself only.

    Source: ISO 15614-1:2004, 8.4.1 (memory). Raises InputError: neither.

    >>> str(qualified_runs("multi"))
    'multi'
    """
    if runs not in ("single", "multi"):
        raise InputError("runs", found=repr(runs), expected="single or multi")
    return Choice.of((runs,), PROCESS)


def qualified_weld_types(weld_type: str) -> Choice:
    """The weld types that a test covers: a butt or branch test also covers fillets.

    Source: ISO 15614-1:2004, 8.4.3 (memory). Raises InputError: unknown type.

    >>> str(qualified_weld_types("butt")), str(qualified_weld_types("fillet"))
    ('butt, fillet', 'fillet')
    """
    if weld_type not in ("butt", "fillet", "branch"):
        raise InputError("weld_type", found=repr(weld_type), expected="butt, fillet or branch")
    return Choice.of({weld_type, "fillet"}, JOINT)


def qualified_sides(sides: str, backing: str) -> Choice:
    """The joint details that a butt test covers: "single, none", "single, backed", "both".

    One side without backing covers one side with backing and both sides; with backing it covers
    both sides; welding from both sides covers itself.
    Source: ISO 15614-1:2004, 8.4.3 (memory). Raises InputError: unknown words.

    >>> str(qualified_sides("single", "material"))
    'both, single backed'
    """
    detail = side_word(sides, backing)
    order = ("single without backing", "single backed", "both")
    return Choice.of(order[order.index(detail) :], JOINT)


def side_word(sides: str, backing: str) -> str:
    """The joint detail in the words of `qualified_sides`. Raises InputError: unknown words.

    >>> side_word("single", "none"), side_word("both", "none")
    ('single without backing', 'both')
    """
    if sides not in ("single", "both"):
        raise InputError("sides", found=repr(sides), expected="single or both")
    if sides == "both":
        return "both"
    return "single without backing" if backing == "none" else "single backed"


def qualified_positions(positions: Iterable[str], *, bound: bool) -> Choice:
    """The positions (ISO 6947) that tests in `positions` cover together.

    Downward welding (PG, PJ, J-L045) always needs its own test. `bound`: impact or hardness is
    required. If not, any position covers all others. If so, the positions of most and of least
    heat input must have been tested: a fixed pipe holds both, and PF or PH with PC is taken for
    both (common practice); else a test covers its own position.
    Source: ISO 15614-1:2004 with amendment 1, 8.4.2 (secondary). Raises InputError: unknown.

    >>> "PF" in qualified_positions(["PA"], bound=False)
    True
    >>> str(qualified_positions(["PF"], bound=True))
    'PF'
    """
    tested = set(positions)
    if unknown := tested - set(POSITIONS):
        raise InputError("position", found=sorted(unknown), expected="positions of ISO 6947")
    extremes = bool(tested & {"PF", "PH"}) and "PC" in tested
    if tested and (not bound or extremes or tested & set(_FIXED_PIPE)):
        return Choice.of(UPWARD | tested, POSITION)
    return Choice.of(tested, POSITION)


def pieces_needed(*, product: str, impact: bool, hardness: bool) -> int:
    """The fewest test pieces that cover all positions but the downward ones.

    Two in plate where impact and hardness are both required: impact from the position of most
    heat input, hardness from that of least; a fixed pipe can serve with one.
    Source: ISO 15614-1:2004 with amendment 1, 8.4.2 (secondary).

    >>> pieces_needed(product="plate", impact=True, hardness=True)
    2
    """
    return 2 if product == "plate" and impact and hardness else 1


def filler_covered(test: str, production: str) -> bool | None:
    """Whether a filler classification may replace that of the test.

    The same classification, or one that differs only in a lower hydrogen mark: strength, impact
    temperature, alloy and covering are the same. None where one of the two cannot be read and
    they are not written alike. Source: ISO 15614-1:2004, 8.4.4 (memory).

    >>> filler_covered("E 46 3 1Ni B 42 H10", "E 46 3 1Ni B 42 H5")
    True
    >>> filler_covered("E7018", "E6010"), filler_covered("house blend", "E7018")
    (False, None)
    """
    if " ".join(test.split()) == " ".join(production.split()) and test.strip():
        return True
    try:
        first, second = read_filler(test), read_filler(production)
    except InputError:
        return None
    same = all(
        getattr(first, name) == getattr(second, name)
        for name in ("form", "covering", "filler_group", "yield_min_mpa", "tensile_min_mpa",
                     "impact_c", "alloy", "wire", "gas")
    )  # fmt: skip
    tested, asked = first.hydrogen_ml_100g, second.hydrogen_ml_100g
    return same and (tested is None or (asked is not None and asked <= tested))


def make_is_fixed(process: str, *, impact_required: bool) -> bool:
    """Whether the make of the filler must be that of the test.

    For 111, 114, 12, 136 and 137 when impact is required; solid wires and rods of the same
    designation are free. Source: ISO 15614-1:2004, 8.4.5 (memory).

    >>> make_is_fixed("136", impact_required=True), make_is_fixed("135", impact_required=True)
    (True, False)
    """
    bound = process in ("111", "114", "136", "137") or process.startswith("12")
    return impact_required and bound


def qualified_currents(process: str, current: str, *, impact_required: bool) -> Choice:
    """Current and polarity that a test covers: as tested.

    111 on alternating current also covers direct current of both polarities where impact is not
    required. Source: ISO 15614-1:2004, 8.4.7 (memory). Raises InputError: unknown current.

    >>> str(qualified_currents("111", "AC", impact_required=False))
    'AC, DC+, DC-'
    """
    if current not in ("AC", "DC+", "DC-"):
        raise InputError("current", found=repr(current), expected="AC, DC+ or DC-")
    if process == "111" and current == "AC" and not impact_required:
        return Choice.of(("AC", "DC+", "DC-"), CURRENT)
    return Choice.of((current,), CURRENT)


def qualified_transfers(transfer: str) -> Choice:
    """Transfer modes that a test covers: short circuit itself; spray and globular each other.

    Pulsed is held to itself. The reverse of the welder rule, where short circuit covers the rest.
    Source: ISO 15614-1:2004, 8.5.2 (memory). Raises InputError: unknown mode.

    >>> str(qualified_transfers("spray")), str(qualified_transfers("short circuit"))
    ('globular, spray', 'short circuit')
    """
    if transfer not in ("short circuit", "globular", "spray", "pulsed"):
        raise InputError("transfer", found=repr(transfer), expected="a transfer mode")
    both = ("spray", "globular")
    return Choice.of(both if transfer in both else (transfer,), TRANSFER)


def carbon_dioxide_range(co2_pct: float, *, points: bool = False) -> Range:
    """Carbon dioxide in the shielding gas that a test covers, in per cent by volume.

    Up to 10 % of the tested content over it (or, read as `points`, 10 percentage points); the
    symbol of the gas stays the same. Source: ISO 15614-1:2004, 8.5.2.1 (read).
    Raises InputError: outside 0 to 100.

    >>> str(carbon_dioxide_range(18.0))
    'up to 19.8 %'
    """
    if not 0 <= co2_pct <= 100:
        raise InputError("co2_pct", found=co2_pct, expected="0 to 100 %")
    high = co2_pct + 10 if points else 1.1 * co2_pct
    return Range(0.0, min(100.0, high), GAS, "%")


def qualified_fluxes(flux: str) -> Choice:
    """Fluxes that a test covers: make and designation as tested.

    Source: ISO 15614-1:2004, 8.5.1.2 (read).

    >>> str(qualified_fluxes("make X grade 1"))
    'make X grade 1'
    """
    return Choice.of((flux,), FLUX)
