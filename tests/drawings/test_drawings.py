"""Drawings are well-formed, to scale, lettered with the recorded dimensions, and never guess."""

from __future__ import annotations

import re
from itertools import pairwise
from math import radians, tan
from xml.etree import ElementTree as ET

import pytest

from dossier.drawings import (
    Bar,
    Mark,
    RangeBar,
    bar_chart,
    groove_sketch,
    indication_map,
    range_chart,
    run_sketch,
    strip_map,
)
from dossier.drawings.around import clock
from dossier.drawings.runs import lay_runs, layer_heights
from dossier.drawings.shapes import shape
from dossier.errors import InputError
from dossier.records.examinations import Indication
from dossier.records.joints import Repair
from dossier.records.procedures import Groove, ProcedurePass, Span
from dossier.records.verdicts import CLEAR, CUT_OUT, HOLD

GAP, LAND = Span(low=1.0, high=3.0), Span(low=1.0, high=2.0)
GROOVES = {
    "V": (Groove(kind="V", angle_deg=60.0, gap_mm=GAP, root_face_mm=LAND), 12.7),
    "compound V": (
        Groove(kind="compound V", angle_deg=60.0, upper_angle_deg=20.0, knee_mm=6.0, gap_mm=GAP,
               root_face_mm=LAND),
        22.0,
    ),
    "X": (Groove(kind="X", angle_deg=60.0, gap_mm=GAP, root_face_mm=LAND, sides="both"), 20.0),
    "J": (Groove(kind="J", angle_deg=20.0, radius_mm=3.0, gap_mm=GAP, root_face_mm=LAND), 25.0),
    "U": (Groove(kind="U", angle_deg=14.0, radius_mm=4.0, gap_mm=GAP, root_face_mm=LAND), 25.0),
    "square": (Groove(kind="square", gap_mm=GAP), 4.0),
    "branch": (Groove(kind="branch", angle_deg=45.0, gap_mm=GAP, root_face_mm=LAND), 9.5),
    "fillet": (Groove(kind="fillet", throat_mm=Span(low=4.0, high=6.0)), 8.0),
}  # fmt: skip
SEQUENCE = [
    ProcedurePass(kind="root", process="141", filler="", deposit_mm=3.0),
    ProcedurePass(kind="hot", process="111", filler="", deposit_mm=2.5),
    ProcedurePass(kind="fill", process="111", filler=""),
    ProcedurePass(kind="cap", process="111", filler="", deposit_mm=2.0),
]


def _texts(svg: str) -> list[str]:
    root = ET.fromstring(svg)  # noqa: S314 - our own drawing
    return ["".join(node.itertext()) for node in root.iter() if node.tag.endswith("text")]


@pytest.mark.parametrize("kind", GROOVES)
def test_every_preparation_is_drawn_with_a_title(kind: str) -> None:
    groove, wall = GROOVES[kind]
    for svg in (groove_sketch(groove, wall), run_sketch(groove, SEQUENCE, wall)):
        root = ET.fromstring(svg)  # noqa: S314
        assert root[0].tag.endswith("title")
        assert root[0].text
        assert "nan" not in svg
        assert "inf" not in svg


@pytest.mark.parametrize("kind", GROOVES)
def test_nothing_is_drawn_outside_the_picture(kind: str) -> None:
    groove, wall = GROOVES[kind]
    for svg in (groove_sketch(groove, wall), run_sketch(groove, SEQUENCE, wall)):
        width, height = map(float, re.search(r'viewBox="0 0 (\S+) (\S+)"', svg).groups())
        for points in re.findall(r'points="([^"]+)"', svg):
            for pair in points.split():
                x, y = map(float, pair.split(","))
                assert -1 <= x <= width + 1
                assert -1 <= y <= height + 1


def test_dimensions_are_lettered_in_the_units_of_the_project() -> None:
    groove, wall = GROOVES["V"]
    assert {"60°", "gap 1 to 3 mm", "root face 1 to 2 mm", "t = 12.7 mm"} <= set(
        _texts(groove_sketch(groove, wall))
    )
    assert "t = 0.5 in" in _texts(groove_sketch(groove, wall, "US"))


def test_a_groove_opens_as_its_angles_say() -> None:
    left, right = shape(*GROOVES["V"]).edges(12.7)
    assert right - left == pytest.approx(2.0 + 2 * (12.7 - 1.5) * tan(radians(30)))
    compound = shape(*GROOVES["compound V"])
    at_knee = 1.0 + (6.0 - 1.5) * tan(radians(30))
    assert compound.edges(6.0)[1] == pytest.approx(at_knee)
    assert compound.edges(22.0)[1] == pytest.approx(at_knee + 16.0 * tan(radians(10)))
    double = shape(*GROOVES["X"])
    assert double.edges(0.0)[1] == pytest.approx(double.edges(20.0)[1])
    assert double.edges(10.0)[1] == pytest.approx(1.0)
    one_sided = shape(*GROOVES["J"])
    assert one_sided.edges(25.0)[0] == pytest.approx(-1.0)
    assert one_sided.edges(25.0)[1] > 4.0


@pytest.mark.parametrize(
    ("groove", "missing"),
    [
        (Groove(kind="V"), "angle_deg"),
        (Groove(kind="compound V", angle_deg=60.0), "knee_mm"),
        (Groove(kind="J", angle_deg=20.0), "radius_mm"),
        (Groove(kind="fillet"), "throat_mm"),
        (Groove(kind="U", angle_deg=14.0, radius_mm=40.0), "radius_mm"),
        (Groove(kind="oval"), "kind"),
    ],
)
def test_a_preparation_that_lacks_a_dimension_is_not_guessed(groove: Groove, missing: str) -> None:
    with pytest.raises(InputError) as caught:
        groove_sketch(groove, 12.0)
    assert caught.value.name == missing


def test_runs_fill_the_wall_in_order_without_holes() -> None:
    section = shape(*GROOVES["V"])
    runs = lay_runs(SEQUENCE, section)
    assert [run.number for run in runs] == list(range(1, len(runs) + 1))
    assert runs[0].low_mm == 0.0
    assert runs[-1].high_mm == pytest.approx(12.7)
    heights = sorted({(run.low_mm, run.high_mm) for run in runs})
    assert all(a[1] == pytest.approx(b[0]) for a, b in pairwise(heights))
    assert sum(layer_heights(SEQUENCE, 12.7)) == pytest.approx(12.7)


def test_back_runs_of_a_double_groove_lie_inside() -> None:
    back = ProcedurePass(kind="back", process="111", filler="")
    runs = lay_runs([*SEQUENCE, back], shape(*GROOVES["X"]))
    assert {run.inside for run in runs if run.kind == "back"} == {True}
    assert min(run.high_mm for run in runs if run.inside) == pytest.approx(0.0)


def test_a_recorded_value_outside_its_window_is_a_cross_not_only_a_colour() -> None:
    inside = range_chart("Q", "kJ/mm", [RangeBar("fill", 0.8, 1.6, (1.0,))])
    outside = range_chart("Q", "kJ/mm", [RangeBar("fill", 0.8, 1.6, (2.0,))])
    assert outside.count("#a32a20") == 2
    assert "#a32a20" not in inside


@pytest.mark.parametrize(
    ("start_mm", "expected"),
    [(0.0, "12:00"), (100.0, "3:00"), (200.0, "6:00"), (399.9, "12:00"), (500.0, "3:00")],
)
def test_clock_position_runs_from_twelve_along_the_numbers(start_mm: float, expected: str) -> None:
    assert clock(start_mm, 400.0 / 3.141592653589793) == expected


def test_indication_map_lists_what_has_no_place() -> None:
    found = [Indication(kind="IP", start_mm=10.0, length_mm=8.0), Indication(kind="P")]
    repair = Repair(number="R1", joint="J", examination="RT", clock="1:00")
    words = " ".join(_texts(indication_map("J & <1>", 323.9, found, [repair])))
    assert "J & <1>" in words
    assert "P no place" in words
    assert "repair R1 at 1:00" in words


def test_strip_marks_the_worst_with_letters() -> None:
    marks = [Mark("J-1", 0.0, CLEAR), Mark("J-2", 500.0, HOLD), Mark("J-3", 900.0, CUT_OUT)]
    words = _texts(strip_map("Line", marks, (0.0, 1000.0)))
    assert "H" in words
    assert "CUT" in words
    assert strip_map("Line", []).startswith("<svg")


def test_bars_print_their_counts() -> None:
    assert "2 of 50" in _texts(bar_chart("Rate", [Bar("W01", 4.0, 1.0, 9.0, "2 of 50")]))
