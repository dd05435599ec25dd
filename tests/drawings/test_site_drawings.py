"""Strip map by stage, chain of joints, heats by joint: marks where they belong, nothing beyond."""

from __future__ import annotations

import re
from itertools import pairwise

from hypothesis import given, settings
from hypothesis import strategies as st

from dossier.drawings.fitted import fitted, text_width
from dossier.drawings.heat_rows import WIDTH as HEAT_WIDTH
from dossier.drawings.heat_rows import heat_rows
from dossier.drawings.joint_chain import WIDTH as CHAIN_WIDTH
from dossier.drawings.joint_chain import Link, joint_chain
from dossier.drawings.stage_strip import WIDTH, Cell, stage_strip

_BOX = re.compile(r'<rect x="([\d.]+)" y="([\d.]+)" width="([\d.]+)"')


def _boxes(svg: str) -> list[tuple[float, float, float]]:
    return [tuple(map(float, found)) for found in _BOX.findall(svg)]  # type: ignore[misc]


@given(st.text(max_size=60), st.floats(20, 400))
def test_a_fitted_text_never_is_wider_than_its_room(text: str, room: float) -> None:
    made = fitted(text, room, 9.0)
    assert text_width(made, 9.0) <= room
    assert made == text or made.endswith("…")


@settings(deadline=None)
@given(st.lists(st.floats(0, 1000), min_size=1, max_size=60))
def test_cells_of_a_stretch_never_overlap_nor_leave_it(places: list[float]) -> None:
    cells = [Cell(f"J-{n}", kp, (True,)) for n, kp in enumerate(sorted(places))]
    boxes = _boxes(stage_strip("L", ["welded"], cells, (0.0, 1000.0)))
    assert len(boxes) == len(cells)
    for (x, _, wide), (after, _, _) in pairwise(boxes):
        assert x + wide <= after + 0.02
    assert boxes[-1][0] + boxes[-1][2] <= WIDTH


def test_an_empty_cell_has_no_letter() -> None:
    svg = stage_strip("L", ["welded", "coated"], [Cell("J-1", 5.0, (True, False))], (0.0, 10.0))
    assert (svg.count(">W<"), svg.count(">C<")) == (1, 0)


def test_thousands_of_joints_still_fit() -> None:
    cells = [Cell(f"J-{n}", None, (True,)) for n in range(2000)]
    boxes = _boxes(stage_strip("L", ["welded"], cells))
    assert len(boxes) == 2000


def test_a_chain_breaks_where_the_items_differ() -> None:
    (svg,) = joint_chain("D", [Link("J-1", "A", "B"), Link("J-2", "B", "C"), Link("J-3", "X", "Y")])
    names = re.findall(r">([A-Z])<", svg)
    assert names == ["A", "B", "C", "X", "Y"]


def test_a_row_of_a_chain_stays_on_the_page_and_repeats_its_last_item() -> None:
    rows = list(joint_chain("D", [Link(f"J-{n}", f"P{n}", f"P{n + 1}") for n in range(40)]))
    assert all(x + wide <= CHAIN_WIDTH for svg in rows for x, _, wide in _boxes(svg))
    assert ">P7<" in rows[0]
    assert ">P7<" in rows[1]
    assert sum(svg.count("<circle") for svg in rows) == 40


def test_heats_are_marked_at_their_joints_in_stretches() -> None:
    svg = heat_rows("H", [("H-1", [0, 1, 2, 7])], [f"J-{n}" for n in range(10)])
    ground, first, last = _boxes(svg)
    step = ground[2] / 10
    assert abs(first[2] - 3 * step) < 0.02
    assert abs(last[0] - ground[0] - 7 * step) < 0.02
    assert ground[0] + ground[2] < HEAT_WIDTH
