"""Preheat and cooling windows of a sheet: the formula's figures, or the reason for none."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from dossier.calc.carbon_equivalent import cet_pct
from dossier.calc.cooling_time import SHAPES, cooling_time
from dossier.calc.preheat import MethodB, method_b
from dossier.coverage.view import View, view
from dossier.documents import procedure
from dossier.documents.answers import Answers
from dossier.documents.cooling_window import cooling_window
from dossier.documents.pages import page
from dossier.documents.pdf import render
from dossier.documents.preheat_window import Steel, governing_steel, preheat_window
from dossier.records.materials import Heat
from dossier.records.procedures import Composition, Procedure, Span
from dossier.units import show
from tests.documents import example
from tests.documents.reading import flat, pdf_text
from tests.documents.rows import column

# A thick wall and a lean heat input, so that the method asks for a real preheat.
BASIC = replace(
    example.WPS,
    hydrogen_ml_100g=5.0,
    wall_mm=Span(low=12.0, high=60.0),
    passes=tuple(replace(p, covering="basic") for p in example.WPS.passes),
)


def _asked_c() -> float:
    """Preheat of method B at the thickest wall and the lowest heat input of the hot pass, °C."""
    composition = example.PQR.composition
    assert composition is not None
    return method_b(
        MethodB(
            cet_pct=round(cet_pct(composition), 4), thickness_mm=60.0, hydrogen_ml_100g=5.0,
            heat_input_kj_mm=0.5,
        )
    ).preheat_c  # fmt: skip


def test_preheat_is_that_of_method_b_at_the_thickest_wall_and_lowest_heat_input(
    seen: View,
) -> None:
    window = preheat_window(seen, BASIC, [example.PQR], "SI")
    found = column(window["rows"], "Method B asks for")
    assert found[1] == show(round(_asked_c()), "°C")  # the hot pass, lowest heat input 0.5
    assert "test piece of PQR-01" in window["rows"]["note"]
    assert window["chart"]["svg"].startswith("<svg")


def test_a_prescribed_preheat_below_the_figure_is_short(seen: View) -> None:
    low = preheat_window(seen, replace(BASIC, preheat_min_c=20.0), [example.PQR], "SI")
    high = preheat_window(seen, replace(BASIC, preheat_min_c=200.0), [example.PQR], "SI")
    assert column(low["rows"], "Judged")[1] == "short"
    assert column(high["rows"], "Judged")[1] == "enough"
    assert [line["marks"][4] for line in low["rows"]["rows"]] == ["soft", "soon", "soon", "soon"]
    assert [line["marks"][4] for line in high["rows"]["rows"]] == ["soft", "good", "good", "good"]


@pytest.mark.parametrize(("below", "judged"), [(0.4, "enough"), (0.6, "short")])
def test_a_prescribed_preheat_may_fall_short_by_half_a_degree(
    seen: View, below: float, judged: str
) -> None:
    wps = replace(BASIC, preheat_min_c=_asked_c() - below)
    window = preheat_window(seen, wps, [example.PQR], "SI")
    assert column(window["rows"], "Judged")[1] == judged


def test_a_heat_input_outside_the_limits_gives_no_figure_but_its_reason(seen: View) -> None:
    window = preheat_window(seen, BASIC, [example.PQR], "SI")
    root = column(window["rows"], "Method B asks for")[0]  # lowest heat input 0.4 kJ/mm
    assert root == "no figure: heat input 0.4 kJ/mm lies outside 0.5 kJ/mm to 4 kJ/mm"
    assert column(window["rows"], "Judged")[0] == "not judged"


def test_without_a_closed_heat_input_no_window_is_drawn(seen: View) -> None:
    open_ended = tuple(
        replace(p, heat_input_kj_mm=Span(low=0.6), travel_mm_min=None) for p in BASIC.passes
    )
    window = preheat_window(seen, replace(BASIC, passes=open_ended), [example.PQR], "SI")
    told = "No preheat window is drawn: no heat input range is closed."
    assert (window["chart"]["svg"], window["chart"]["note"]) == ("", told)


@pytest.mark.parametrize(("thinnest", "curves"), [(12.0, 2), (5.0, 1)])
def test_a_wall_outside_the_method_has_no_curve(seen: View, thinnest: float, curves: int) -> None:
    wps = replace(BASIC, wall_mm=Span(low=thinnest, high=60.0))
    svg = preheat_window(seen, wps, [example.PQR], "SI")["chart"]["svg"]
    named = [wall for wall in ("5 mm", "12 mm", "60 mm") if f"least at t = {wall}" in svg]
    assert (len(named), named[-1]) == (curves, "60 mm")


def test_the_shaded_window_spans_the_heat_inputs_of_all_passes(seen: View) -> None:
    svg = preheat_window(seen, BASIC, [example.PQR], "SI")["chart"]["svg"]
    (shaded,) = re.findall(r'<polygon points="([^"]*)"', svg)
    across = sorted({float(point.split(",")[0]) for point in shaded.split()})
    bars = re.findall(r'<rect x="([\d.]+)" y="[\d.]+" width="([\d.]+)" height="5"', svg)
    assert len(bars) == len(BASIC.passes)
    assert across == [
        min(float(x) for x, _ in bars),
        pytest.approx(max(float(x) + float(width) for x, width in bars), abs=0.02),
    ]


@pytest.mark.parametrize("lacking", ["preheat_min_c", "interpass_max_c"])
def test_without_both_temperatures_nothing_is_shaded(seen: View, lacking: str) -> None:
    bare = replace(BASIC, **{lacking: None})  # type: ignore[arg-type]
    window = preheat_window(seen, bare, [example.PQR], "SI")
    assert window["chart"]["svg"].startswith("<svg")
    assert "<polygon" not in window["chart"]["svg"]


@pytest.mark.parametrize(
    ("wps", "told"),
    [
        (example.WPS, "cellulosic electrodes lie above what the method takes"),
        (replace(BASIC, hydrogen_ml_100g=None), "the diffusible hydrogen is not recorded"),
        (replace(BASIC, wall_mm=Span(low=5.0)), "the sheet sets no thickest wall"),
    ],
)
def test_a_missing_value_is_named_in_table_and_chart(seen: View, wps: Procedure, told: str) -> None:
    window = preheat_window(seen, wps, [example.PQR], "SI")
    assert told in window["rows"]["note"]
    assert told in window["chart"]["note"]
    assert window["chart"]["svg"] == ""


def test_the_richest_heat_that_was_welded_governs() -> None:
    rich = Heat(number="H100", composition=Composition(c=0.16, mn=1.6))
    project = example.project(1)
    paper = replace(project.material_certificates[0], heats=(rich,))
    seen = view(replace(project, material_certificates=(paper,)), example.AS_OF)
    note = preheat_window(seen, BASIC, [example.PQR], "SI")["rows"]["note"]
    assert "heat H100, CET 0.320 %" in note


def test_a_steel_outside_the_method_and_none_at_all_are_refused_in_words() -> None:
    odd = governing_steel([("heat A", Composition(c=0.40, mn=1.2))])
    assert isinstance(odd, str)
    assert "heat A" in odd
    assert "c 0.4 %" in odd
    assert governing_steel([("heat A", Composition(c=0.08))]) == (
        "no analysis of a test piece or of a heat is on record"
    )
    assert governing_steel(
        [("a", Composition(c=0.08, mn=1.0)), ("b", Composition(c=0.1, mn=1.0))]
    ) == (Steel("b", 0.2))


def test_cooling_is_fastest_cold_and_thick_and_slowest_hot_and_thin() -> None:
    window = cooling_window(BASIC, [example.PQR], "SI")
    fast, slow = SHAPES["butt, between runs"]
    heat = BASIC.passes[2].heat_input_kj_mm
    assert heat is not None
    expected = (
        cooling_time(heat.low or 0, 80.0, 60.0, fast).t85_s,
        cooling_time(heat.high or 0, 250.0, 12.0, slow).t85_s,
    )
    assert column(window["rows"], "Fastest")[2] == show(round(expected[0], 1), "s")
    assert column(window["rows"], "Slowest")[2] == show(round(expected[1], 1), "s")
    assert "Rings: the tests" in window["chart"]["note"]


@pytest.mark.parametrize(("thickest", "told"), [(60.0, "wall 60 mm"), (None, "wall any thicker")])
def test_cooling_names_the_walls_that_it_was_computed_for(
    thickest: float | None, told: str
) -> None:
    wps = replace(BASIC, wall_mm=Span(low=12.0, high=thickest))
    note = cooling_window(wps, [example.PQR], "SI")["rows"]["note"]
    assert f"preheat 80 °C, {told}. Slowest" in note
    assert "interpass 250 °C, wall 12 mm." in note


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ({"weld_type": "branch"}, "no shape factor is stated for a branch"),
        ({"preheat_min_c": None}, "does not set both preheat and highest interpass"),
        ({"wall_mm": Span(high=20.0)}, "the sheet sets no thinnest wall"),
    ],
)
def test_cooling_that_cannot_be_computed_says_why(change: dict[str, object], told: str) -> None:
    window = cooling_window(replace(BASIC, **change), [example.PQR], "SI")  # type: ignore[arg-type]
    assert told in window["rows"]["note"]
    assert told in window["chart"]["note"]
    assert all(told in cell for cell in column(window["rows"], "Fastest"))


def test_windows_stand_on_paper_and_are_lettered_in_the_units_of_the_project(
    seen: View, answers: Answers
) -> None:
    data = procedure.context(seen, BASIC, answers, "N")
    text = flat(pdf_text(render([page("procedure.html", data)]).data))
    for part in ("Preheat window", "Cooling time t8/5", "EN 1011-2:2001, Annex C.3"):
        assert part in text
    us = preheat_window(seen, BASIC, [example.PQR], "US")
    assert "°F" in us["chart"]["svg"]
    assert "°F" in column(us["rows"], "Sheet prescribes")[0]


def test_a_draft_is_a_preliminary_sheet_that_claims_no_approval(
    seen: View, answers: Answers
) -> None:
    draft = replace(example.WPS, status="draft")
    data = procedure.context(seen, draft, answers, "N")
    assert data["head"]["title"] == "Preliminary welding procedure specification (pWPS) WPS-01"
    assert "approved" not in {box["role"] for box in data["head"]["signatures"]}
    assert all(box["on"] == "" for box in data["head"]["signatures"])
    text = flat(pdf_text(render([page("procedure.html", data)]).data))
    assert "releases no production weld" in text
    assert "R. Marsh" not in text
