"""Which test pieces could be welded: hypothetical certificates made from the values of the needs.

Every value of a coupon is one that a need has, or a step that codes give more for: the inclined
position, a thick deposit, a root without backing, a pipe for plate, the two test pieces of a
multiple qualification, a supplementary fillet. What a coupon qualifies is asked of the code.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from itertools import product

from dossier.coverage.plan.needs import Need
from dossier.records.weld import Weld
from dossier.records.welders import Certificate, Deposit

THICK_MM = 13.0  # a deposit that ISO 9606-1 (12 mm) and ASME IX (13 mm, 1/2 in) leave without end
WIDE_MM, BRANCH_MM = 323.9, 168.3  # diameters of the steps of a multiple qualification, API 1104
THICKEST = 0.25  # wall over diameter
_THICK_LAYERS = 4
_INCLINED: dict[str, dict[str, tuple[str, ...]]] = {
    "ISO 9606-1": {"up": ("H-L045",), "down": ("J-L045",), "": ("H-L045", "J-L045")},
    "API 1104": {"up": ("H-L045",), "down": ("J-L045",), "": ("H-L045", "J-L045")},
    "ASME IX": {"up": ("6G",), "down": ("6G",), "": ("6G",)},
}
_PLATE = {"ISO 9606-1": ("PC", "PE", "PF", "PG"), "ASME IX": ("2G", "3G", "4G")}
_FILLET = {"ISO 9606-1": ("PD", "PF", "PH"), "ASME IX": ("3F", "4F", "5F"), "API 1104": ("5F",)}


@dataclass(frozen=True, slots=True)
class Part:
    """What a need asks of the deposit of a coupon, sizes left aside."""

    process: str
    filler: str
    filler_group: str
    covering: str
    transfer: str
    current: str
    root: bool
    backing: str


@dataclass(frozen=True, slots=True)
class Setting:
    """The worded variables that all deposits of a coupon share."""

    code: str
    weld_type: str
    product: str
    position: str
    direction: str
    material_group: str
    smys_mpa: float | None
    branch: bool = False
    supplementary_fillet: bool = False


@dataclass(frozen=True, slots=True)
class Size:
    """The sizes of a coupon, in mm: diameter, wall, and one deposit for each part."""

    od_mm: float | None
    wall_mm: float | None
    deposits_mm: tuple[float | None, ...]


def standard_of(code: str) -> str:
    """The standard of a code edition.

    >>> standard_of("ISO 9606-1:2012")
    'ISO 9606-1'
    """
    return code.rpartition(":")[0]


def part_of(weld: Weld) -> Part:
    """The part of a coupon that a weld asks for."""
    return Part(weld.process, weld.filler, weld.filler_group, weld.covering, weld.transfer,
                weld.current, weld.root is not False, weld.backing)  # fmt: skip


def pieces(certificate: Certificate) -> int:
    """Test pieces: a multiple qualification and a supplementary fillet take a second one."""
    return 1 + certificate.branch + certificate.supplementary_fillet


def effort(certificate: Certificate) -> tuple[float, ...]:
    """What a test takes, to choose between tests that cover the same: pieces first, then size."""
    inclined = any(p in ("H-L045", "J-L045", "6G") for p in certificate.positions)
    branch = certificate.weld_type == "branch"
    return (pieces(certificate), len(certificate.deposits), branch, inclined,
            certificate.wall_mm or 0.0, certificate.od_mm or 0.0)  # fmt: skip


def recipes(needs: Sequence[Need], together: Iterable[Sequence[int]]) -> list[tuple[Part, ...]]:
    """The parts that a coupon may have: each alone, and those of one joint in one coupon."""
    found: dict[tuple[Part, ...], None] = {}
    for need in needs:
        open_root = replace(part_of(need.weld), root=True, backing="none")
        found[(open_root,)] = None
        if need.weld.root is not False:  # alone in a coupon, a process makes the root as well
            found[(part_of(need.weld),)] = None
    for places in together:
        parts = tuple(dict.fromkeys(part_of(needs[place].weld) for place in places))
        if len(parts) > 1 and len({needs[place].code for place in places}) == 1:
            found[parts] = None
    return list(found)


def settings(code: str, needs: Sequence[Need]) -> Iterator[Setting]:
    """The worded variables that a coupon for these needs may have."""
    welds = [need.weld for need in needs]
    metals = dict.fromkeys((w.material_group, w.smys_mpa) for w in welds)
    directions = dict.fromkeys(w.direction for w in welds)
    shapes = {(w.weld_type, w.product) for w in welds}
    shapes |= {("butt", product) for kind, product in shapes if kind == "branch"}
    shapes |= {(kind, "pipe") for kind, product in shapes if kind != "fillet"}
    if standard_of(code) == "ASME IX":  # its groove tests cover fillets as well
        shapes |= {("butt", form) for _, form in shapes}
    for (kind, form), direction, metal in product(sorted(shapes), directions, metals):
        for position in _positions(code, kind, form, direction, welds):
            plain = Setting(code, kind, form, position, direction, *metal)
            yield plain
            if kind == "butt" and form == "pipe" and standard_of(code) == "API 1104":
                yield replace(plain, branch=True)
            if kind == "butt" and standard_of(code) == "ISO 9606-1":
                yield replace(plain, supplementary_fillet=True)


def _positions(code: str, kind: str, form: str, direction: str, welds: Sequence[Weld]) -> list[str]:
    standard = standard_of(code)
    fillet = kind == "fillet"
    own = [w.position for w in welds if w.position and (w.weld_type == "fillet") == fillet]
    if fillet:
        own += _FILLET.get(standard, ())
    elif form == "pipe":
        own += _INCLINED.get(standard, {}).get(direction, ())
    else:
        own += _PLATE.get(standard, ())
    return list(dict.fromkeys(own))


def sizes(setting: Setting, parts: Sequence[Part], needs: Sequence[Need]) -> tuple[
    list[float | None], list[tuple[float | None, tuple[float | None, ...]]]
]:  # fmt: skip
    """The diameters, and the walls with the deposits in them, that a coupon may have."""
    welds = [need.weld for need in needs]
    ods: list[float | None] = [None]
    if setting.product == "pipe":
        known = {w.od_mm for w in welds if w.od_mm}
        ods = [*sorted(known | ({WIDE_MM, BRANCH_MM} if setting.branch else set()))]
    walls = {w.wall_mm for w in welds if w.wall_mm}
    deposits = {w.deposit_mm for w in welds if w.deposit_mm}
    if setting.weld_type == "fillet":
        return ods, [(wall, (None,) * len(parts)) for wall in sorted(walls)]
    if len(parts) == 1:
        found = walls | deposits | {THICK_MM}
        return ods, [(wall, (wall,)) for wall in sorted(found)]
    return ods, list(_shared_walls(parts, welds, walls))


def _shared_walls(
    parts: Sequence[Part], welds: Sequence[Weld], walls: set[float]
) -> Iterator[tuple[float, tuple[float, ...]]]:
    """Walls of a combined test: each part at a deposit of its needs, the last at what is left."""
    own = [
        sorted({w.deposit_mm for w in welds if w.deposit_mm and part_of(w) == part})
        for part in parts
    ]
    if any(not values for values in own):
        return
    for first in product(*own[:-1]):
        laid = sum(first)
        for wall in sorted(walls | {laid + THICK_MM, *(laid + last for last in own[-1])}):
            if wall > laid:
                yield round(wall, 6), (*first, round(wall - laid, 6))


def weldable(size: Size, needs: Sequence[Need]) -> bool:
    """Whether a pipe of that wall can be had: up to a quarter of its diameter, or as the needs.

    The quarter is common practice: hardly any pipe is made with a thicker wall.
    """
    if size.od_mm is None or size.wall_mm is None:
        return True
    shares = [n.weld.wall_mm / n.weld.od_mm for n in needs if n.weld.wall_mm and n.weld.od_mm]
    return size.wall_mm <= max(THICKEST, *shares) * size.od_mm + 1e-9


def coupon(setting: Setting, parts: Sequence[Part], size: Size) -> Certificate:
    """The certificate that a test on this coupon would give."""
    fillet = setting.weld_type == "fillet"
    deposits = tuple(
        Deposit(
            process=part.process,
            deposit_mm=mm,
            filler=part.filler,
            filler_group=part.filler_group,
            covering=part.covering,
            transfer=part.transfer,
            backing=part.backing,
            layers=_layers(mm, fillet=fillet),
            root=part.root,
            current=part.current,
        )
        for part, mm in zip(parts, size.deposits_mm, strict=True)
    )
    return Certificate(
        number="",
        code=setting.code,
        welded_on=date(2000, 1, 1),
        product=setting.product,
        weld_type=setting.weld_type,
        positions=(setting.position,),
        direction=setting.direction,
        material_group=setting.material_group,
        smys_mpa=setting.smys_mpa,
        wall_mm=size.wall_mm,
        od_mm=size.od_mm,
        throat_mm=round(0.6 * size.wall_mm, 1) if fillet and size.wall_mm else None,
        sides="single",
        branch=setting.branch,
        supplementary_fillet=setting.supplementary_fillet,
        deposits=deposits,
    )


def _layers(deposit_mm: float | None, *, fillet: bool) -> int:
    if fillet or deposit_mm is None:
        return 2
    return _THICK_LAYERS if deposit_mm >= 12 else 1 if deposit_mm <= 4 else 2
