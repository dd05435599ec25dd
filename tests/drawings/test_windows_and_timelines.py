"""Plots, range diagrams and timelines: inside the picture, right side of the limit, right units."""

from __future__ import annotations

import re
from datetime import date
from xml.etree import ElementTree as ET

import pytest

from dossier.drawings.plot import Curve, Plot, curve_plot
from dossier.drawings.range_diagram import Track, range_diagram
from dossier.drawings.timeline import Lane, timeline_chart
from dossier.errors import InputError

PLOT = Plot(
    title="Preheat window", x_unit="kJ/mm", y_unit="°C",
    curves=(Curve("thin", ((0.5, -40.0), (1.8, -60.0)), "4 2"), Curve("thick", ((0.5, 120.0),
            (1.8, 90.0)))),
    window=((0.4, 100.0), (1.8, 100.0), (1.8, 250.0), (0.4, 250.0)),
    limits=(("preheat", 100.0), ("interpass", 250.0)), bars=(("root", 0.4, 0.9),),
    dots=((0.7, 140.0),),
)  # fmt: skip
TRACK = Track("PQR-1", (4.8, 19.1), (9.5, 14.3), (12.7,), (12.7, 12.7, 15.9))
LANE = Lane(
    "W01, Q-1", "111", ((date(2025, 6, 1), date(2025, 12, 1)), (date(2026, 2, 1), None)),
    ((date(2025, 12, 2), date(2026, 1, 31)),), (date(2026, 2, 1),),
    (date(2025, 7, 1), date(2026, 1, 5)), date(2025, 6, 1),
)  # fmt: skip
DRAWN = {
    "plot": curve_plot(PLOT),
    "ranges": range_diagram("Wall", "mm", [TRACK]),
    "timeline": timeline_chart("W01", [LANE], date(2026, 6, 30)),
}


def _places(svg: str) -> list[tuple[float, float]]:
    found = []
    for node in ET.fromstring(svg).iter():  # noqa: S314 - our own drawing
        for across, down in (("x", "y"), ("x1", "y1"), ("x2", "y2"), ("cx", "cy")):
            if across in node.attrib and down in node.attrib:
                found.append((float(node.attrib[across]), float(node.attrib[down])))
        numbers = re.findall(r"-?[\d.]+", node.attrib.get("points", "") + node.attrib.get("d", ""))
        found += list(zip(map(float, numbers[::2]), map(float, numbers[1::2]), strict=True))
    return found


@pytest.mark.parametrize("name", DRAWN)
def test_nothing_is_drawn_outside_the_picture(name: str) -> None:
    svg = ET.fromstring(DRAWN[name])  # noqa: S314 - our own drawing
    _, _, width, height = map(float, svg.attrib["viewBox"].split())
    places = _places(DRAWN[name])
    assert len(places) > 10
    assert all(0 <= x <= width and 0 <= y <= height for x, y in places)


def test_names_of_curves_do_not_lie_over_one_another() -> None:
    curves = (Curve("one", ((0.5, 4.0), (1.5, 5.0))), Curve("two", ((0.5, 4.0), (1.5, 5.1))))
    close = Plot(title="", x_unit="kJ/mm", y_unit="s", curves=curves)
    nodes = {n.text: float(n.attrib["y"]) for n in ET.fromstring(curve_plot(close)).iter()  # noqa: S314
             if n.text in ("one", "two")}  # fmt: skip
    assert abs(nodes["one"] - nodes["two"]) >= 9


def test_plot_without_anything_is_refused() -> None:
    with pytest.raises(InputError, match="plot"):
        curve_plot(Plot(title="", x_unit="kJ/mm", y_unit="s"))


def test_plot_is_lettered_in_the_units_of_the_project() -> None:
    svg = curve_plot(PLOT, "US")
    assert ">kJ/in<" in svg
    assert ">°F<" in svg
    assert ">400<" in svg


def test_production_outside_the_window_is_a_cross_and_inside_a_dot() -> None:
    svg = range_diagram("Wall", "mm", [TRACK])
    assert svg.count("<circle") == 1
    assert svg.count('stroke="#a32a20"') == 2
    assert ">3 welded<" in svg
    assert ">none welded<" in range_diagram("Wall", "mm", [Track("P", (1.0, 2.0))])


def test_many_joints_of_one_wall_make_a_larger_dot() -> None:
    few, many = (
        float(re.findall(r'r="([\d.]+)"', range_diagram("Wall", "mm", [Track("P", None, None, (),
              (12.7,) * n)]))[0]) for n in (1, 100)
    )  # fmt: skip
    assert many > few


def test_range_diagram_in_american_units() -> None:
    svg = range_diagram("Wall", "mm", [TRACK], "US")
    assert ">in<" in svg
    assert ">0.4<" in svg
    assert ">10<" not in svg


def test_an_open_end_has_no_closing_mark() -> None:
    closed = timeline_chart("W", [Lane("W", "", ((date(2026, 1, 1), date(2026, 3, 1)),))],
                            date(2026, 6, 30))  # fmt: skip
    opened = timeline_chart("W", [Lane("W", "", ((date(2026, 1, 1), None),))], date(2026, 6, 30))
    mark = 'stroke-width="1.2"'
    assert closed.count(mark) == opened.count(mark) + 1


def test_work_outside_a_time_in_force_is_a_cross() -> None:
    svg = timeline_chart("W01", [LANE], date(2026, 6, 30))
    assert svg.count("<circle") == 1
    assert svg.count('stroke-dasharray="3 2"') == 2  # the break and the day of the view
    assert ">T<" in svg
