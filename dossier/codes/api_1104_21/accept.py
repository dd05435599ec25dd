"""Acceptance of the indications of one weld: API 1104, 21st edition, section 9.

How the fields of an indication are read: `length_mm` is the stretch along the weld (of a pore, a
cluster or a burn-through its greatest dimension there); `width_mm` is the width of slag, and of
porosity (P, CP) the largest single pore; `count` is the number of pores, isolated inclusions or
parallel slag lines; "C crater" is a shallow crater or star crack.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from dossier.codes.api_1104_21 import radiography, surface, ultrasonic
from dossier.codes.api_1104_21.extent import Extent, Mark, Measure, extent
from dossier.codes.api_1104_21.radiography import Pipe, Slag
from dossier.codes.api_1104_21.settings import (
    STEP_MM,
    Sizes,
    basis,
    choose,
    sizes,
    weld_length_mm,
)
from dossier.codes.face import Choices
from dossier.errors import InputError
from dossier.records.examinations import Indication
from dossier.records.verdicts import (
    CLEAR,
    CUT_OUT,
    HOLD,
    NONCONFORMITY,
    NOTE,
    Reason,
    Verdict,
)

CRACKS = ("C", "C crater")
CRACK_REPAIR = basis("10.1", "secondary")


@dataclass(frozen=True, slots=True)
class _Weld:
    """One weld under one method: what was found, and what the limits depend on."""

    found: Mapping[str, Sequence[Indication]]
    pipe: Pipe
    size: Sizes
    choices: Choices

    @property
    def length_mm(self) -> float:
        return weld_length_mm(self.pipe.od_mm)

    def of(self, *kinds: str) -> list[Indication]:
        return [one for kind in kinds for one in self.found.get(kind, ())]

    def extent(self, marks: Sequence[Mark]) -> Extent:
        return extent(marks, self.length_mm, self.size.window)


def _marks(indications: Sequence[Indication]) -> list[Mark]:
    return [Mark.of(one) for one in indications]


def _greatest(indications: Sequence[Indication], field: str) -> Measure:
    """The greatest of one recorded dimension; open where one is not recorded."""
    sides = [Measure.of(getattr(one, field)) for one in indications]
    return Measure(max(side.least for side in sides), max(side.most for side in sides))


def _linear(weld: _Weld) -> list[Reason]:
    reasons: list[Reason] = []
    for kind in radiography.LINEAR:
        if found := weld.of(kind):
            stretch = weld.extent(_marks(found))
            reasons += radiography.linear(kind, stretch, weld.length_mm, weld.size)
    return reasons


def _dark_marks(indications: Sequence[Indication]) -> list[Mark]:
    """Concavity and burn-through that count: the darker ones, and at most the unrecorded ones."""
    marks = []
    for one in indications:
        length = Measure.of(one.length_mm)
        if one.density_exceeds_base is None:
            length = Measure(0.0, length.most)
        if one.density_exceeds_base is not False:
            marks.append(Mark(one.start_mm, length))
    return marks


def _burn_through(weld: _Weld) -> list[Reason]:
    """Burn-through, and concavity that is darker than the base metal beside it."""
    reasons = [radiography.concavity(one.density_exceeds_base) for one in weld.of("IC")]
    both = weld.of("IC", "BT")
    marks = _dark_marks(both)
    if not marks:
        light = "not darker than the thinner base metal"
        clause = radiography.BURN_THROUGH
        return reasons + [
            Reason("BT, density of the image", light, f"any length {light}", clause)
            for _ in weld.of("BT")[:1]
        ]
    sure = sum(one.density_exceeds_base is True for one in both)
    stretch = weld.extent(marks)
    judged = radiography.burn_through(stretch, sure, weld.pipe, weld.size)
    if weld.pipe.small(weld.size) and len(marks) > 1 >= sure:
        clause = radiography.BURN_THROUGH_SMALL
        judged = (*judged[:2], Reason("BT, number", f"{sure} to {len(marks)}", "up to 1",
                                      clause, HOLD))  # fmt: skip
    return reasons + list(judged)


def _overlap(one: Mark, other: Mark, weld_mm: float) -> Mark | None:
    """The stretch that two marks make together when the second begins inside the first."""
    if one.start_mm is None or other.start_mm is None:
        return None
    ahead = (other.start_mm - one.start_mm) % weld_mm
    if ahead >= one.length.least - STEP_MM:
        return None
    return Mark(one.start_mm, Measure.exact(max(one.length.least, ahead + other.length.least)))


def merged(marks: Sequence[Mark], weld_mm: float) -> list[Mark]:
    """Marks of known place and length, those that lie beside one another joined into one stretch.

    >>> joined = merged([Mark(10, Measure.exact(20)), Mark(25, Measure.exact(20))], 1000)
    >>> [(mark.start_mm, mark.length.least) for mark in joined]
    [(10, 35)]
    """
    left = list(marks)
    for i, one in enumerate(left):
        for j, other in enumerate(left):
            joined = _overlap(one, other, weld_mm) if i != j else None
            if joined is not None:
                rest = [m for k, m in enumerate(left) if k not in (i, j)]
                return merged([joined, *rest], weld_mm)
    return left


def _elongated_marks(weld: _Weld) -> list[Mark]:
    """Elongated slag as it counts: narrow parallel lines once, wide or unmeasured ones each."""
    limit = weld.size.thirty_second + STEP_MM
    narrow: list[Mark] = []
    each: list[Mark] = []
    for one in weld.of("ESI"):
        known = one.start_mm is not None and one.length_mm is not None
        slender = one.width_mm is not None and one.width_mm <= limit
        lines = 1 if slender else max(one.count or 1, 1)
        (narrow if known and slender else each).extend([Mark.of(one)] * lines)
    return merged(narrow, weld.length_mm) + each


def _full_width(weld: _Weld) -> int:
    """Isolated inclusions of the full 1/8 in width in the worst 12 in; unplaced ones all count."""
    wide = [i for i in weld.of("ISI") if (i.width_mm or 0.0) >= weld.size.eighth - STEP_MM]
    placed = [(one.start_mm, one.count or 1) for one in wide if one.start_mm is not None]
    loose = sum(one.count or 1 for one in wide if one.start_mm is None)
    most = 0
    for begin, _ in placed:
        inside = sum(
            n for s, n in placed if (s - begin) % weld.length_mm <= weld.size.window + STEP_MM
        )
        most = max(most, inside)
    return most + loose


def _slag(weld: _Weld) -> list[Reason]:
    long, isolated = weld.of("ESI"), weld.of("ISI")
    reasons: list[Reason] = []
    marks = _elongated_marks(weld)
    if long:
        slag = Slag(weld.extent(marks), _greatest(long, "width_mm"))
        reasons += radiography.elongated_slag(slag, weld.pipe, weld.size)
    if isolated:
        stretch = weld.extent(_marks(isolated))
        slag = Slag(stretch, _greatest(isolated, "width_mm"), _full_width(weld))
        reasons += radiography.isolated_slag(slag, weld.pipe, weld.size)
    if long or isolated:
        together = weld.extent([*marks, *_marks(isolated)])
        reasons.append(radiography.slag_share(together, weld.length_mm, weld.pipe, weld.size))
    return reasons


def _pore(one: Indication) -> Measure:
    return Measure.of(one.width_mm if one.width_mm is not None else one.length_mm)


def _porosity(weld: _Weld) -> list[Reason]:
    reasons: list[Reason] = []
    if scattered := weld.of("P"):
        pores = [_pore(one) for one in scattered]
        largest = Measure(max(p.least for p in pores), max(p.most for p in pores))
        reasons += radiography.porosity(largest, weld.pipe, weld.size)
        if sum(one.count or 1 for one in scattered) > 1:
            trust = choose(weld.choices, "porosity distribution") == "interpreter"
            reasons.append(radiography.porosity_distribution(None, NOTE if trust else HOLD))
    if clusters := weld.of("CP"):
        pore = _greatest(clusters, "width_mm")
        stretch = weld.extent(_marks(clusters))
        reasons += radiography.cluster_porosity(stretch, pore, weld.size)
    if beads := weld.of("HB"):
        stretch = weld.extent(_marks(beads))
        pairs = _close_pairs(beads, weld)
        reasons += radiography.hollow_bead(stretch, pairs, weld.length_mm, weld.size)
    return reasons


def _close_pairs(beads: Sequence[Indication], weld: _Weld) -> int | None:
    """Pairs of hollow beads over 1/4 in long that lie less than 2 in apart; None: not recorded."""
    long = [b for b in beads if b.length_mm is None or b.length_mm > weld.size.quarter + STEP_MM]
    places = [
        (b.start_mm % weld.length_mm, b.length_mm)
        for b in long
        if b.start_mm is not None and b.length_mm is not None
    ]
    pairs = 0
    for i, (start, length) in enumerate(places):
        for other, reach in places[i + 1 :]:
            gaps = (
                (other - start) % weld.length_mm - length,
                (start - other) % weld.length_mm - reach,
            )
            pairs += min(gaps) < weld.size.two - STEP_MM
    if pairs or len(places) == len(long) or len(long) < 2:
        return pairs
    return None


def _cracks(weld: _Weld) -> list[Reason]:
    found = weld.of(*CRACKS)
    if not found:
        return []
    total = weld.extent(_marks(found)).total
    limit = radiography.SHARE * weld.length_mm
    repair = choose(weld.choices, "cracks") == "repair" and total.most < limit - STEP_MM
    worse: Verdict = NONCONFORMITY if repair else CUT_OUT
    return [
        radiography.crack(one.kind == "C crater", Measure.of(one.length_mm), weld.size, worse)
        for one in found
    ]


def _undercut(weld: _Weld) -> list[Reason]:
    found = weld.of("EU", "IU")
    if not found:
        return []
    return list(radiography.undercut(weld.extent(_marks(found)), weld.length_mm, weld.size))


_ACCUMULATES = ("IP", "ICP", "IF", "IFD", "ISI", "P", "CP", "HB", *CRACKS)


def _accumulation(weld: _Weld) -> list[Reason]:
    """All imperfections but inadequate penetration by high-low and undercut."""
    shallow = weld.of("IC", "BT")
    counted = choose(weld.choices, "concavity in accumulation") == "counted"
    marks = [
        *_marks(weld.of(*_ACCUMULATES)),
        *_elongated_marks(weld),
        *(_marks(shallow) if counted else _dark_marks(shallow)),
    ]
    if not marks:
        return []
    return list(radiography.accumulation(weld.extent(marks), weld.length_mm, weld.size))


def _film(weld: _Weld) -> list[Reason]:
    parts = (_linear, _burn_through, _slag, _porosity, _cracks, _undercut, _accumulation)
    return [reason for part in parts for reason in part(weld)]


def _seen(weld: _Weld) -> list[Reason]:
    """Visual examination: cracks, and undercut by its depth and length."""
    found = weld.of("EU", "IU")
    reasons = _cracks(weld)
    if not found:
        return reasons
    any_length, _ = surface.undercut_bands(weld.pipe.wall_mm, weld.size)
    middle = []
    for one in found:
        depth = Measure.of(one.depth_mm)
        if depth.most > any_length + STEP_MM:
            length = Measure.of(one.length_mm)
            sure = one.depth_mm is not None
            middle.append(Mark(one.start_mm, length if sure else Measure(0.0, length.most)))
    deepest = _greatest(found, "depth_mm")
    return [
        *reasons,
        surface.undercut_depth(deepest, weld.pipe.wall_mm, weld.size),
        surface.undercut_length(weld.extent(middle), weld.length_mm, weld.size),
    ]


def _surface(weld: _Weld) -> list[Reason]:
    """Magnetic particle and penetrant testing."""
    reasons = [*_cracks(weld), *_relevance(weld), *_porosity(weld)]
    if fusion := weld.of("IF"):
        stretch = weld.extent(_marks(fusion))
        reasons += surface.surface_fusion(stretch, weld.length_mm, weld.size)
    return reasons


def _relevance(weld: _Weld) -> list[Reason]:
    """Indications that nobody has evaluated: small ones do not count, others must be named."""
    reasons = []
    for one in weld.of("linear", "rounded"):
        largest = max((one.length_mm or 0.0, one.width_mm or 0.0))
        counts = one.length_mm is None or surface.relevant(largest, weld.size)
        reasons.append(
            Reason(
                f"{one.kind} indication",
                "relevant, not evaluated" if counts else "not relevant",
                "not relevant, or evaluated as C, IF, P or CP",
                surface.RELEVANT,
                HOLD if counts else CLEAR,
            )
        )
    return reasons


def _sound(weld: _Weld) -> list[Reason]:
    """Ultrasonic testing."""
    size, length = weld.size, weld.length_mm
    reasons = _cracks(weld)
    if found := weld.of("LS"):
        reasons += ultrasonic.linear_surface(weld.extent(_marks(found)), length, size)
    if found := weld.of("LB"):
        reasons += ultrasonic.linear_buried(weld.extent(_marks(found)), length, size)
    if found := weld.of("VC"):
        reasons.append(ultrasonic.volumetric_cluster(weld.extent(_marks(found)).longest, size))
    reasons += [
        ultrasonic.volumetric_individual(Measure.of(v.length_mm), Measure.of(v.width_mm), size)
        for v in weld.of("VI")
    ]
    if found := weld.of("VR"):
        reasons += ultrasonic.volumetric_root(weld.extent(_marks(found)), size)
    if found := weld.of("LS", "LB", "VC", "VI", "VR", *CRACKS):
        reasons += ultrasonic.accumulation(weld.extent(_marks(found)), length, size)
    return reasons


_Judge = Callable[[_Weld], list[Reason]]
_METHODS: dict[str, tuple[_Judge, frozenset[str]]] = {
    "RT": (_film, frozenset(radiography.SYMBOLS) - {"AI"} | {"C crater"}),
    "VT": (_seen, frozenset({"C", "C crater", "EU", "IU"})),
    "MT": (_surface, frozenset({"C", "C crater", "IF", "P", "CP", "linear", "rounded"})),
    "PT": (_surface, frozenset({"C", "C crater", "IF", "P", "CP", "linear", "rounded"})),
    "UT": (_sound, frozenset({"C", "C crater", "LS", "LB", "VC", "VI", "VR"})),
}


def _unknown(found: Mapping[str, Sequence[Indication]], kinds: frozenset[str]) -> list[Reason]:
    """A kind that the clause of this method has no limit for cannot be judged."""
    clause = basis("9.3 to 9.7")
    return [
        Reason("kind of indication", kind or "not recorded", ", ".join(sorted(kinds)), clause, HOLD)
        for kind in found
        if kind not in kinds
    ]


def accept(
    method: str,
    indications: Sequence[Indication],
    *,
    od_mm: float,
    wall_mm: float,
    choices: Choices,
) -> tuple[Reason, ...]:
    """Reasons for the indications of one weld, one for each kind and limit.

    `od_mm` is the specified outside diameter, `wall_mm` the thinner wall. Clear: accepted;
    nonconformity: rejected; cut-out: a crack that the project does not repair; hold: a place, a
    dimension or a density that the limit needs is not recorded. A crack found by any method is
    judged alike.

    Source: API 1104, 21st edition, 9.3 to 9.7. Raises InputError: od_mm or wall_mm not more than
    0, a method other than RT, UT, MT, PT or VT, a reading not known.
    """
    if not od_mm > 0:
        raise InputError("od_mm", found=od_mm, expected="more than 0 mm")
    if not wall_mm > 0:
        raise InputError("wall_mm", found=wall_mm, expected="more than 0 mm")
    if method not in _METHODS:
        raise InputError("method", found=method, expected=", ".join(_METHODS))
    judge, kinds = _METHODS[method]
    found: dict[str, list[Indication]] = {}
    for one in indications:
        found.setdefault(one.kind, []).append(one)
    weld = _Weld(found, Pipe(od_mm, wall_mm), sizes(choices), choices)
    reasons = (*_unknown(found, kinds), *judge(weld))
    return reasons or (Reason("indications", "none", "none to judge", basis("9.1"), CLEAR),)
