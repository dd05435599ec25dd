"""The section of every preparation against its outline, measured independently as a polygon."""

from __future__ import annotations

import pytest

from dossier.calc.groove_area import cap_mm2
from dossier.calc.groove_section import groove_section
from dossier.drawings.shapes import shape
from dossier.errors import InputError
from dossier.records.procedures import Groove, Span

GAP, LAND = Span(low=2.0, high=3.0), Span(low=1.0, high=2.0)
KINDS = {
    "square": Groove(kind="square", gap_mm=GAP),
    "V": Groove(kind="V", angle_deg=60.0, gap_mm=GAP, root_face_mm=LAND),
    "compound V": Groove(kind="compound V", angle_deg=60.0, upper_angle_deg=20.0, knee_mm=9.0,
                         gap_mm=GAP, root_face_mm=LAND),
    "X": Groove(kind="X", angle_deg=60.0, gap_mm=GAP, root_face_mm=LAND),
    "J": Groove(kind="J", angle_deg=20.0, radius_mm=4.0, gap_mm=GAP, root_face_mm=LAND),
    "U": Groove(kind="U", angle_deg=16.0, radius_mm=4.0, gap_mm=GAP, root_face_mm=LAND),
    "branch": Groove(kind="branch", angle_deg=45.0, gap_mm=GAP, root_face_mm=LAND),
}  # fmt: skip


def _measured(groove: Groove, wall: float) -> float:
    """Area between both faces by the shoelace rule."""
    section = shape(groove, wall)
    outline = [*section.left, *reversed(section.right)]
    pairs = zip(outline, [*outline[1:], outline[0]], strict=True)
    return abs(sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in pairs)) / 2


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("wall", [14.0, 25.4])
def test_section_is_that_of_the_drawn_outline(kind: str, wall: float) -> None:
    found = groove_section(KINDS[kind], wall).groove_mm2
    # The outline of a rounded root is drawn with eight chords, a little outside the arc.
    assert found == pytest.approx(_measured(KINDS[kind], wall), rel=0.01 if kind in "JU" else 1e-9)


@pytest.mark.parametrize("kind", [k for k in KINDS if k != "X"])
def test_cap_spans_the_opening_and_its_overlap(kind: str) -> None:
    groove = Groove(**{n: getattr(KINDS[kind], n) for n in Groove.__dataclass_fields__
                       if n != "cap_height_max_mm"}, cap_height_max_mm=2.0)  # fmt: skip
    left, right = shape(groove, 14.0).edges(14.0)
    expected = cap_mm2(right - left + 3.2, 2.0)
    assert groove_section(groove, 14.0).cap_mm2 == pytest.approx(expected, rel=1e-6)


def test_a_double_groove_has_two_caps() -> None:
    one = groove_section(Groove(kind="V", angle_deg=60.0, cap_height_max_mm=2.0), 10.0)
    two = groove_section(Groove(kind="X", angle_deg=60.0, cap_height_max_mm=2.0), 20.0)
    assert two.cap_mm2 == pytest.approx(2 * one.cap_mm2)
    assert two.groove_mm2 == pytest.approx(2 * one.groove_mm2)


def test_a_fillet_is_told_by_its_throat() -> None:
    found = groove_section(Groove(kind="fillet", throat_mm=Span(low=5.0, high=5.0)), 10.0)
    assert found.whole_mm2 == pytest.approx(25.0)


@pytest.mark.parametrize(
    ("groove", "named"),
    [
        (Groove(kind="V"), "angle_deg"),
        (Groove(kind="U", angle_deg=16.0), "radius_mm"),
        (Groove(kind="compound V", angle_deg=60.0, upper_angle_deg=20.0), "knee_mm"),
        (Groove(kind="fillet"), "throat_mm"),
        (Groove(kind="spiral"), "kind"),
    ],
)
def test_a_missing_dimension_is_named(groove: Groove, named: str) -> None:
    with pytest.raises(InputError, match=named):
        groove_section(groove, 12.0)
