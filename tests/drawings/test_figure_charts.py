"""Control chart, ages and share grid: well-formed, to scale, lettered, bounded by the drawing."""

from __future__ import annotations

from itertools import pairwise
from xml.etree import ElementTree as ET

import pytest

from dossier.drawings.age_chart import Age, age_chart
from dossier.drawings.control_chart import HEIGHT, WIDTH, Sample, control_chart
from dossier.drawings.share_grid import Cell, share_grid

SVG = "{http://www.w3.org/2000/svg}"
WEEKS = [
    Sample("W1", 4.0, 5.0, 0.0, 12.0, 4.0, "2 of 50"),
    Sample("W2", 30.0, 5.0, 0.0, 11.0, 12.0, "15 of 50"),
    Sample("W3", 2.0, 5.0, 0.0, 12.0, 8.0, "1 of 50"),
]


def root(svg: str) -> ET.Element:
    return ET.fromstring(svg)  # noqa: S314 - our own drawing


def words(svg: str) -> list[str]:
    return [text.text or "" for text in root(svg).iter(f"{SVG}text")]


def test_a_point_outside_its_limits_is_a_square_with_its_rate() -> None:
    svg = control_chart("Rate", WEEKS)
    assert [sample.outside for sample in WEEKS] == [False, True, False]
    assert len(list(root(svg).iter(f"{SVG}rect"))) == 1
    assert len(list(root(svg).iter(f"{SVG}circle"))) == 2
    assert "30.0 %" in words(svg)


def test_higher_rates_stand_higher_and_all_inside_the_drawing() -> None:
    svg = root(control_chart("Rate", WEEKS))
    lines = [one.get("points", "") for one in svg.iter(f"{SVG}polyline")]
    points = [tuple(map(float, pair.split(","))) for pair in lines[1].split()]
    heights = [y for _, y in points]
    assert heights[1] < heights[0] < heights[2]
    assert all(0 < x < WIDTH and 0 < y < HEIGHT for x, y in points)


def test_names_at_the_line_ends_do_not_cover_one_another() -> None:
    svg = root(control_chart("Rate", WEEKS))
    named = {t.text: float(t.get("y", "0")) for t in svg.iter(f"{SVG}text")}
    ends = sorted(named[n] for n in ("all weeks", "to date", "upper limit", "lower limit"))
    assert all(later - earlier >= 9.9 for earlier, later in pairwise(ends))


def test_many_weeks_leave_their_names_legible() -> None:
    many = [Sample(f"2026-W{n:02d}", 1.0, 1.0, 0.0, 5.0, 1.0, "1 of 9") for n in range(1, 53)]
    assert sum(text.startswith("2026-W") for text in words(control_chart("Rate", many))) <= 14


def test_ages_reach_from_median_to_oldest() -> None:
    svg = root(age_chart("Age", [Age("welded", 10.0, 40.0, "3 waiting"), Age("coated", 5.0, 5.0)]))
    long, short = (float(box.get("width", "0")) for box in svg.iter(f"{SVG}rect"))
    assert long == pytest.approx(2 * short, rel=0.01)
    assert "3 waiting, oldest 40 d" in words(ET.tostring(svg, encoding="unicode"))


def test_the_grid_fills_cells_by_share_and_tells_counts() -> None:
    svg = share_grid("Complete", [Cell("L1", "reports", 3, 4), Cell("L2", "reports", 4, 4)])
    widths = [float(box.get("width", "0")) for box in root(svg).iter(f"{SVG}rect")]
    assert widths[1] == pytest.approx(0.75 * widths[0])
    assert widths[3] == pytest.approx(widths[2])
    weights = {t.text: t.get("font-weight") for t in root(svg).iter(f"{SVG}text")}
    assert (weights["3 of 4"], weights["4 of 4"]) == ("bold", "normal")
