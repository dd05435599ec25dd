"""The catalogue finds every formula and answers as the function itself does."""

import inspect
from pathlib import Path

import pytest

from dossier.calc import catalogue, pipe
from dossier.errors import InputError
from dossier.units import UNITS

NOT_FORMULAS = {"__init__", "catalogue", "cautions", "guards"}


def test_every_module_of_the_folder_is_in_it() -> None:
    folder = Path(inspect.getfile(pipe)).parent
    there = {path.stem for path in folder.glob("*.py")} - NOT_FORMULAS
    assert there == {module.__name__.rpartition(".")[2] for module in catalogue.MODULES}


@pytest.mark.parametrize("entry", catalogue.list_formulas(), ids=lambda entry: entry.name)
def test_an_entry_tells_what_it_is(entry: catalogue.Formula) -> None:
    assert entry.title
    assert "\n" not in entry.title + entry.formula + entry.source
    assert entry.arguments
    assert catalogue.formula(entry.name) is entry
    for argument in entry.arguments:
        assert argument.unit in str(argument)


def test_names_are_unique_and_kept_in_order() -> None:
    names = [entry.name for entry in catalogue.list_formulas()]
    assert len(names) == len(set(names)) > 100
    assert names.index("arc_energy_kj_mm") < names.index("hoop_stress_mpa")


def test_source_formula_and_caution_are_read_from_the_function() -> None:
    entry = catalogue.formula("design_pressure_mpa")
    assert entry.title == "Design pressure of steel pipe for gas, in MPa"
    assert entry.formula == "P = (2 S t / D) F E T"
    assert entry.source == "49 CFR 192.105(a)"
    assert entry.caution == pipe.CAUTION
    assert [str(argument) for argument in entry.arguments[2:5]] == [
        "wall_mm [mm]",
        "design_factor",
        "joint_factor = 1.0",
    ]
    assert catalogue.formula("ce_iiw_pct").caution == ""
    assert catalogue.formula("content_pct").source == ""


def test_a_long_source_is_read_to_its_end() -> None:
    source = catalogue.formula("water_temperature_factor").source
    assert source.endswith("from memory, it reproduces the book's worked example")


def test_units_are_taken_along() -> None:
    given = {"pressure-mpa": "1000 psi", "outside_diameter_mm": "16 in", "wall_mm": "0.375in"}
    reply = catalogue.answer("hoop-stress-mpa", given)
    assert reply["result"] == pytest.approx(21333.33 * 0.006894757, rel=1e-6)
    assert (reply["unit"], reply["title"]) == (
        "MPa",
        "Hoop stress in a pipe by the outside diameter, in MPa",
    )
    assert reply["inputs"]["wall_mm"] == "9.525 mm"
    assert reply["caution"] == pipe.CAUTION
    assert set(reply) == {"title", "formula", "inputs", "result", "unit", "source", "caution"}


def test_defaults_are_shown_and_used() -> None:
    reply = catalogue.answer("film_count", {"outside_diameter_mm": "610", "film_length_mm": "400"})
    assert reply["inputs"]["overlap_mm"] == "25.4 mm"
    assert (reply["result"], reply["unit"]) == (6, "")


def test_an_analysis_is_given_element_by_element() -> None:
    reply = catalogue.answer("ce_iiw_pct", {"c": "0.06", "mn": "1.5 %"})
    assert reply["inputs"] == {"c": "0.06 %", "mn": "1.5 %"}
    assert (reply["result"], reply["unit"]) == (pytest.approx(0.31), "%")


def test_lists_words_and_several_results() -> None:
    reply = catalogue.answer("np_chart_limits", {"counts": "8, 7; 11 3", "sample_size": "200"})
    assert reply["inputs"] == {"counts": "8, 7, 11, 3", "sample_size": "200"}
    assert reply["result"]["centre"] == 7.25
    assert reply["unit"] == ""
    half_life = catalogue.answer("half_life_d", {"source": " Ir-192 "})
    assert (half_life["result"], half_life["inputs"]) == (73.827, {"source": "Ir-192"})
    preheat = catalogue.answer(
        "method_b",
        {
            "cet_pct": "0.30",
            "thickness_mm": "40",
            "hydrogen_ml_100g": "5",
            "heat_input_kj_mm": "1.0",
        },
    )
    assert preheat["result"]["cet_c"] == pytest.approx(209.1)


def test_a_unit_that_is_only_printed_may_be_written() -> None:
    given = {"activity_gbq": "1850", "limit_usv_h": "7.5"}
    for gamma in ("130", "130 µSv m2/(h GBq)"):
        reply = catalogue.answer("boundary_distance_m", given | {"gamma_usv_m2_h_gbq": gamma})
        assert reply["result"] == pytest.approx(179.07, abs=0.01)
        assert reply["inputs"]["gamma_usv_m2_h_gbq"] == "130 µSv m2/(h GBq)"


def test_yes_and_no() -> None:
    given = {"c_pct": "0.10", "grade": "X52", "thickness_mm": "10"}
    for word, shown in (("Yes", "yes"), ("true", "yes"), ("no", "no"), ("0", "no")):
        reply = catalogue.answer("psl2_limit", given | {"seamless": word})
        assert reply["inputs"]["seamless"] == shown
    with pytest.raises(InputError, match="yes or no"):
        catalogue.answer("psl2_limit", given | {"seamless": "maybe"})


@pytest.mark.parametrize(
    ("name", "values", "said"),
    [
        ("hoop_stress", {}, "hoop_stress_mpa"),
        ("zzzzzzzzzzz", {}, "a name from the list"),
        ("circumference_mm", {}, r"outside_diameter_mm \[mm\]: found nothing"),
        ("circumference_mm", {"od": "1"}, r"found od, expected one of outside_diameter_mm \[mm\]"),
        ("circumference_mm", {"outside_diameter_mm": "3 V"}, "a number in mm"),
        ("circumference_mm", {"outside_diameter_mm": "wide"}, "a number in mm"),
        ("circumference_mm", {"outside_diameter_mm": "-1"}, "more than 0"),
        ("light_transmission_pct", {"density": "2 mm"}, "a plain number"),
        ("poisson_at_most", {"count": "1.5", "mean": "2"}, "a whole number"),
    ],
)
def test_refused(name: str, values: dict[str, str], said: str) -> None:
    with pytest.raises(InputError, match=said):
        catalogue.answer(name, values)


@pytest.mark.parametrize(
    ("name", "unit"),
    [
        ("wall_mm", "mm"),
        ("travel_mm_min", "mm/min"),
        ("gamma_r_m2_h_ci", "R m2/(h Ci)"),
        ("repairs_per_100_m", "per 100 m"),
        ("minutes", "min"),
        ("joint_factor", ""),
    ],
)
def test_units_of_names(name: str, unit: str) -> None:
    assert catalogue.unit_of(name) == unit


def test_printed_only_units_are_few() -> None:
    own = {argument.unit for entry in catalogue.list_formulas() for argument in entry.arguments}
    assert {unit for unit in own if unit not in UNITS} <= {
        "", "R m2/(h Ci)", "µSv m2/(h GBq)", "min/h", "kV/mm", "N/cm", "V/mil", "V per root mil",
        "kg/m3",
    }  # fmt: skip
