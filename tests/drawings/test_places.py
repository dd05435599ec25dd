"""What is drawn lies where its number says, on the scale that is printed beside it."""

from __future__ import annotations

import re
from itertools import pairwise
from math import hypot, sqrt

import pytest

from dossier.drawings.around import SIZE, indication_map
from dossier.drawings.charts import Bar, bar_chart
from dossier.drawings.control_chart import Sample, control_chart
from dossier.drawings.fillet import fillet_runs
from dossier.drawings.heat_rows import heat_rows
from dossier.drawings.stage_strip import Cell, stage_strip
from dossier.drawings.strip import WIDTH as STRIP
from dossier.drawings.strip import Mark, strip_map
from dossier.drawings.svg import dimension
from dossier.records.examinations import Indication
from dossier.records.procedures import Groove, Span
from dossier.records.verdicts import CLEAR, HOLD
from tests.drawings.test_figure_charts import SVG, root, words


def _numbers(svg: str, kind: str, *names: str) -> list[tuple[float, ...]]:
    """Attributes of all elements of a kind, in the order of the drawing."""
    return [tuple(float(one.get(name, "nan")) for name in names)
            for one in root(svg).iter(f"{SVG}{kind}")]  # fmt: skip


def _label(svg: str, text: str) -> tuple[float, float]:
    (found,) = [one for one in root(svg).iter(f"{SVG}text") if one.text == text]
    return float(found.get("x", "nan")), float(found.get("y", "nan"))


@pytest.mark.parametrize("kp_m", [0.0, 200.0, 600.0, 1000.0])
def test_a_joint_of_a_strip_by_stage_stands_at_its_chainage(kp_m: float) -> None:
    svg = stage_strip("L", ["welded"], [Cell("J-1", kp_m, (True,))], (0.0, 1000.0))
    ((x, wide),) = _numbers(svg, "rect", "x", "width")
    assert x - 0.01 <= _label(svg, f"KP {kp_m / 1000:g}")[0] <= x + wide + 0.01
    assert [text for text in words(svg) if text.startswith("KP")] == [
        "KP 0", "KP 0.2", "KP 0.4", "KP 0.6", "KP 0.8", "KP 1",
    ]  # fmt: skip


def test_a_joint_of_a_strip_map_stands_at_its_chainage() -> None:
    svg = strip_map("L", [Mark("J-1", 400.0, HOLD), Mark("J-2", 1000.0, CLEAR)], (0.0, 1000.0))
    upright = [x for x, y, x2, y2 in _numbers(svg, "line", "x1", "y1", "x2", "y2") if y2 < y]
    assert upright == [_label(svg, "KP 1")[0], _label(svg, "KP 0.4")[0]]


def test_a_joint_alone_on_a_strip_map_stands_in_its_middle() -> None:
    svg = strip_map("L", [Mark("J-1", 730.0, CLEAR)])
    (at,) = [x for x, y, y2 in _numbers(svg, "line", "x1", "y1", "y2") if y2 < y]
    assert at == STRIP / 2


def test_rows_of_heats_lie_one_below_the_other_beside_their_names() -> None:
    rows = [(f"H-{n}", [n]) for n in range(4)]
    svg = heat_rows("H", rows, [f"J-{n}" for n in range(4)])
    grounds = _numbers(svg, "rect", "y", "height")[::2]
    assert all(y + height < below for (y, height), (below, _) in pairwise(grounds))
    for (name, _), (y, height) in zip(rows, grounds, strict=True):
        assert y < _label(svg, name)[1] < y + height


def test_points_of_a_control_chart_stand_at_the_rate_that_its_scale_shows() -> None:
    svg = control_chart("Rate", [Sample(f"W{n}", float(n), 5.0, 0.0, 10.0, 5.0) for n in range(11)])
    points = _numbers(svg, "circle", "cy")
    for rate in (0, 5, 10):
        assert points[rate][0] == pytest.approx(_label(svg, f"{rate} %")[1] - 3, abs=0.01)
    sides = [x for (x,) in _numbers(svg, "circle", "cx")]
    gaps = [after - x for x, after in pairwise(sides)]
    assert max(gaps) - min(gaps) < 0.02


def test_a_bar_and_its_interval_end_at_the_rate_that_the_scale_shows() -> None:
    svg = bar_chart("Rate", [Bar("W1", 4.0, 2.0, 8.0, "2 of 50")])
    ((x, wide),) = _numbers(svg, "rect", "x", "width")
    assert x + wide == pytest.approx(_label(svg, "4 %")[0], abs=0.01)
    (whisker,) = [pair for *pair, y, y2 in _numbers(svg, "line", "x1", "x2", "y1", "y2")
                  if y == y2]  # fmt: skip
    assert whisker == pytest.approx([_label(svg, "2 %")[0], _label(svg, "8 %")[0]], abs=0.01)
    assert whisker[1] < _label(svg, "2 of 50")[0]


def _ends(svg: str) -> list[tuple[float, float, float, float, str]]:
    found = re.findall(r"M([\d.]+) ([\d.]+) A\S+ \S+ 0 ([01]) 1 ([\d.]+) ([\d.]+)", svg)
    return [(float(x), float(y), float(x2), float(y2), large) for x, y, large, x2, y2 in found]


def test_an_indication_lies_on_its_side_of_the_dial() -> None:
    quarter = 3.141593 * 400 / 4
    svg = indication_map("J", 400.0, [Indication(kind="P", start_mm=quarter, length_mm=quarter)])
    ((x, y, x2, y2, large),) = _ends(svg)
    middle = SIZE / 2
    assert (x > middle + 30, abs(y - middle) < 0.1) == (True, True)  # from three o'clock
    assert (abs(x2 - middle) < 0.1, y2 > middle + 30, large) == (True, True, "0")  # to six
    assert "no indication recorded" not in words(svg)


@pytest.mark.parametrize("length_mm", [1256.6, 1300.0])
def test_an_indication_all_around_is_drawn_all_around(length_mm: float) -> None:
    svg = indication_map("J", 400.0, [Indication(kind="IU", start_mm=0.0, length_mm=length_mm)])
    ((x, y, x2, y2, large),) = _ends(svg)
    assert large == "1"
    assert 0.1 < hypot(x2 - x, y2 - y) < 2.0  # a hair's breadth open, or nothing would be drawn


def test_a_joint_without_an_indication_says_so() -> None:
    assert "no indication recorded" in words(indication_map("J", 400.0, []))
    assert "no indication recorded" not in words(indication_map("J", 400.0, [], listed=False))


@pytest.mark.parametrize("count", [1, 3, 5])
def test_runs_of_a_fillet_weld_fill_its_triangle_and_no_more(count: int) -> None:
    drawn, middles = fillet_runs(Groove(kind="fillet", throat_mm=Span(low=6, high=8)), 10.0, count)
    runs = [
        [tuple(map(float, pair.split(","))) for pair in text.split()]
        for text in re.findall(r'points="([^"]+)"', drawn)[2:]
    ]
    corner_x, corner_y = runs[0][0]
    legs = [(x - corner_x) + (corner_y - y) for run in runs for x, y in run]
    assert min(legs) > -0.05
    areas = [abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in pairwise([*run, run[0]]))) / 2
             for run in runs]  # fmt: skip
    assert sum(areas) == pytest.approx(max(legs) ** 2 / 2, rel=0.01)
    assert len(middles) == len(runs) == count


@pytest.mark.parametrize("end", [(90.0, 0.0), (0.0, 120.0), (60.0, 80.0), (6.0, 8.0)])
def test_arrows_of_a_dimension_are_of_one_size_whatever_its_length(
    end: tuple[float, float],
) -> None:
    svg = f'<svg xmlns="{SVG[1:-1]}">{dimension((0.0, 0.0), end)}</svg>'
    for one in root(svg).iter(f"{SVG}polygon"):
        tip, left, right = (tuple(map(float, p.split(","))) for p in one.get("points", "").split())
        assert hypot(left[0] - right[0], left[1] - right[1]) == pytest.approx(3.2, abs=0.05)
        assert hypot(tip[0] - left[0], tip[1] - left[1]) == pytest.approx(
            sqrt(25 + 1.6**2), abs=0.05
        )
