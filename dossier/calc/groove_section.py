"""Section of weld metal of a recorded joint preparation, by the area formulae of its kind."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import cos, radians, sin, sqrt, tan

from dossier.calc.groove_area import (
    cap_mm2,
    compound_v_mm2,
    double_v_mm2,
    fillet_mm2,
    j_groove_mm2,
    single_bevel_mm2,
    single_v_mm2,
    square_groove_mm2,
    u_groove_mm2,
)
from dossier.calc.guards import positive
from dossier.errors import InputError
from dossier.records.procedures import Groove, Span

CAP_OVERLAP_MM = 1.6  # of a cap beyond each edge of the preparation; common practice


@dataclass(frozen=True, slots=True)
class Section:
    """Weld metal of one joint in section: the preparation itself and the cap or caps on it."""

    groove_mm2: float
    cap_mm2: float

    @property
    def whole_mm2(self) -> float:
        """Both together, in mm2."""
        return self.groove_mm2 + self.cap_mm2


@dataclass(frozen=True, slots=True)
class _Cut:
    """The dimensions of a preparation at one wall; ranges at their middle."""

    groove: Groove
    wall: float
    gap: float
    land: float

    def angle(self, value: float | None, name: str = "angle_deg") -> float:
        """A dimension that this kind of preparation needs."""
        if value is None:
            raise InputError(name, found="not recorded", expected="a dimension of the preparation")
        return value


def _middle(span: Span | None) -> float:
    ends = [end for end in (span.low, span.high) if end is not None] if span else []
    return sum(ends) / len(ends) if ends else 0.0


def _square(cut: _Cut) -> tuple[float, float]:
    return square_groove_mm2(cut.wall, cut.gap), cut.gap


def _v(cut: _Cut) -> tuple[float, float]:
    angle = cut.angle(cut.groove.angle_deg)
    opening = cut.gap + 2 * (cut.wall - cut.land) * tan(radians(angle / 2))
    return single_v_mm2(cut.wall, cut.gap, angle, cut.land), opening


def _compound(cut: _Cut) -> tuple[float, float]:
    lower = cut.angle(cut.groove.knee_mm, "knee_mm") - cut.land
    angles = (
        cut.angle(cut.groove.angle_deg) / 2,
        cut.angle(cut.groove.upper_angle_deg, "upper_angle_deg") / 2,
    )
    upper = cut.wall - cut.land - lower
    opening = cut.gap + 2 * (lower * tan(radians(angles[0])) + upper * tan(radians(angles[1])))
    return compound_v_mm2(cut.wall, cut.gap, cut.land, lower, angles), opening


def _double(cut: _Cut) -> tuple[float, float]:
    angle, depth = cut.angle(cut.groove.angle_deg), (cut.wall - cut.land) / 2
    opening = cut.gap + 2 * depth * tan(radians(angle / 2))
    return double_v_mm2(cut.wall, cut.gap, cut.land, depth, (angle, angle)), opening


def _rounded(cut: _Cut) -> tuple[float, float]:
    radius = cut.angle(cut.groove.radius_mm, "radius_mm")
    sides = 1 if cut.groove.kind == "J" else 2
    side = cut.angle(cut.groove.angle_deg) / sides
    straight = cut.wall - cut.land - radius * (1 - sin(radians(side)))
    reach = radius * cos(radians(side)) + straight * tan(radians(side))
    area = j_groove_mm2 if sides == 1 else u_groove_mm2
    return area(cut.wall, cut.gap, cut.land, radius, side), cut.gap + sides * reach


def _branch(cut: _Cut) -> tuple[float, float]:
    angle = cut.angle(cut.groove.angle_deg)
    opening = cut.gap + (cut.wall - cut.land) * tan(radians(angle))
    return single_bevel_mm2(cut.wall, cut.gap, angle, cut.land), opening


_KINDS: dict[str, Callable[[_Cut], tuple[float, float]]] = {
    "square": _square, "V": _v, "compound V": _compound, "X": _double, "J": _rounded,
    "U": _rounded, "branch": _branch,
}  # fmt: skip


def groove_section(groove: Groove, wall_mm: float) -> Section:
    """Section of weld metal of a joint preparation at one wall, in mm2.

    Gap and root face at the middle of their ranges; the cap is a parabola of the greatest height
    permitted, 1.6 mm wider than the opening on each side, on both sides of an X groove. Root
    penetration is not counted. A fillet has equal legs and the middle throat of its range.
    Source: plane geometry; the overlap of the cap is common practice.
    Raises InputError: a kind of preparation or a dimension that is not recorded or does not fit.

    >>> groove = Groove(kind="V", angle_deg=60.0, gap_mm=Span(low=1.6, high=1.6),
    ...     root_face_mm=Span(low=1.6, high=1.6), cap_height_max_mm=1.6)
    >>> round(groove_section(groove, 15.9).groove_mm2, 2)
    143.5
    """
    wall = positive("wall_mm", wall_mm)
    if groove.kind == "fillet":
        throat = positive("throat_mm", _middle(groove.throat_mm))
        return Section(fillet_mm2(throat * sqrt(2)), 0.0)
    if groove.kind not in _KINDS:
        raise InputError("kind", found=repr(groove.kind), expected=", ".join(_KINDS))
    land = min(_middle(groove.root_face_mm), wall)
    area, opening = _KINDS[groove.kind](_Cut(groove, wall, _middle(groove.gap_mm), land))
    caps = 2 if groove.kind == "X" else 1
    height = groove.cap_height_max_mm or 0.0
    return Section(area, caps * cap_mm2(opening + 2 * CAP_OVERLAP_MM, height))
