from __future__ import annotations

from dataclasses import replace
from math import isclose, nan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dossier.calc import carbon_equivalent as ce
from dossier.errors import InputError
from dossier.records.procedures import Composition
from dossier.records.verdicts import CLEAR, HOLD, NONCONFORMITY

FORMULAS = {
    "CE_IIW": ce.ce_iiw_pct, "CE_AWS": ce.ce_aws_pct, "CE_Pcm": ce.pcm_pct, "CET": ce.cet_pct,
    "CEN": ce.cen_pct,
}  # fmt: skip
ELEMENTS = ("si", "mn", "cr", "mo", "ni", "cu", "v", "nb", "b")
STEELS = st.builds(
    Composition,
    c=st.floats(0.01, 0.5),
    **{element: st.none() | st.floats(0, 2) for element in ELEMENTS},
)
PLATE = Composition(c=0.17, si=0.45, mn=1.48, cu=0.15, ni=0.12, cr=0.08, mo=0.02, v=0.05,
                    nb=0.03, b=0.0003)  # fmt: skip


@given(STEELS, st.sampled_from(["c", *ELEMENTS]), st.floats(0.01, 1))
def test_no_element_lowers_a_carbon_equivalent(
    steel: Composition, element: str, more: float
) -> None:
    richer = replace(steel, **{element: (getattr(steel, element) or 0.0) + more})
    for name, formula in FORMULAS.items():
        rise = formula(richer) - formula(steel)
        counted = (
            element in {"c", *ce.CEN_DIVISORS} if name == "CEN" else element in ce.DIVISORS[name]
        )
        assert rise > 0 if counted else rise == 0


@given(STEELS)
def test_blank_counts_as_zero_and_is_named(steel: Composition) -> None:
    filled = replace(steel, **{e: getattr(steel, e) or 0.0 for e in ELEMENTS})
    for name, formula in FORMULAS.items():
        assert formula(steel) == formula(filled) >= 0.01
        blank = [e for e in ("c", *ELEMENTS) if getattr(steel, e) is None]
        assert set(ce.not_analysed(steel, name)) <= set(blank)
        assert ce.not_analysed(filled, name) == ()


@pytest.mark.parametrize(
    ("element", "iiw", "aws", "pcm", "cet"),
    [("mn", 1 / 6, 1 / 6, 1 / 20, 1 / 10), ("si", 0, 1 / 6, 1 / 30, 0),
     ("cr", 0.2, 0.2, 0.05, 0.05),
     ("mo", 0.2, 0.2, 1 / 15, 0.1), ("v", 0.2, 0.2, 0.1, 0), ("ni", 1 / 15, 1 / 15, 1 / 60, 1 / 40),
     ("cu", 1 / 15, 1 / 15, 0.05, 0.05), ("b", 0, 0, 5, 0), ("nb", 0, 0, 0, 0)],
)  # fmt: skip
def test_the_weight_of_each_element(
    element: str, iiw: float, aws: float, pcm: float, cet: float
) -> None:
    steel = Composition(**{"c": 0.0, element: 1.0})
    found = [ce.ce_iiw_pct(steel), ce.ce_aws_pct(steel), ce.pcm_pct(steel), ce.cet_pct(steel)]
    assert found == pytest.approx([iiw, aws, pcm, cet])


@pytest.mark.parametrize(
    ("element", "weight"),
    [("si", 1 / 24), ("mn", 1 / 6), ("cu", 1 / 15), ("ni", 1 / 20), ("cr", 0.2), ("mo", 0.2),
     ("v", 0.2), ("nb", 0.2), ("b", 5.0)],
)  # fmt: skip
def test_the_bracket_of_cen(element: str, weight: float) -> None:
    assert isclose(ce.cen_bracket_pct(Composition(**{"c": 0.1, element: 1.0})), weight)


def test_carbon_must_be_known() -> None:
    for formula in FORMULAS.values():
        with pytest.raises(InputError, match="carbon content"):
            formula(Composition(mn=1.2))


@pytest.mark.parametrize("bad", [-0.01, 100.5, nan])
def test_a_content_is_a_percentage(bad: float) -> None:
    for steel in (Composition(c=bad), Composition(c=0.1, mn=bad)):
        for formula in FORMULAS.values():
            with pytest.raises(InputError):
                formula(steel)
    for function in (ce.accommodation_factor, ce.tabulated_accommodation_factor):
        with pytest.raises(InputError, match="c_pct"):
            function(bad)


def test_a_formula_that_does_not_exist_is_refused() -> None:
    with pytest.raises(InputError, match="CE_IIW, CE_AWS"):
        ce.not_analysed(PLATE, "CEV")


@given(st.floats(0, 1), st.floats(0, 1))
def test_the_accommodation_factor_rises_from_half_to_one(one: float, other: float) -> None:
    low, high = sorted((one, other))
    for function in (ce.accommodation_factor, ce.tabulated_accommodation_factor):
        assert 0.5 <= function(low) <= function(high) <= 1.0


@pytest.mark.parametrize("hundredth", range(6, 22))
def test_table_and_curve_agree_within_the_tables_rounding(hundredth: int) -> None:
    carbon = hundredth / 100
    table, curve = ce.tabulated_accommodation_factor(carbon), ce.accommodation_factor(carbon)
    assert abs(table - curve) < 0.0056


FACTORS = (0.54, 0.56, 0.58, 0.62, 0.66, 0.70, 0.75, 0.80, 0.85, 0.88, 0.92, 0.94, 0.96, 0.97,
           0.98, 0.99)  # fmt: skip


@pytest.mark.parametrize(("row", "factor"), list(enumerate(FACTORS, start=6)))
def test_rows_of_the_accommodation_table(row: int, factor: float) -> None:
    assert ce.tabulated_accommodation_factor(row / 100) == factor
    assert ce.tabulated_accommodation_factor(row / 100 - 0.004) <= factor
    assert ce.tabulated_accommodation_factor(row / 100 + 0.001) > factor


@pytest.mark.parametrize(
    ("carbon", "factor"),
    [(0.0, 0.53), (0.0599, 0.53), (0.061, 0.56), (0.121, 0.80), (0.211, 1.0), (0.5, 1.0)],
)
def test_between_rows_the_stricter_one(carbon: float, factor: float) -> None:
    assert ce.tabulated_accommodation_factor(carbon) == factor


def test_cen_with_a_factor_of_its_own() -> None:
    bracket = ce.cen_bracket_pct(PLATE)
    assert isclose(ce.cen_pct(PLATE, 0.94), 0.17 + 0.94 * bracket)
    for end in (0.5, 1.0):
        assert isclose(ce.cen_pct(PLATE, end), 0.17 + end * bracket)
    for bad in (0.49, 1.01, nan):
        with pytest.raises(InputError, match="factor"):
            ce.cen_pct(PLATE, bad)


def test_boron_counts_unless_the_heat_analysis_is_under_the_floor() -> None:
    steel = Composition(c=0.06, b=0.0009)
    assert isclose(ce.pcm_pct(steel), 0.0645)
    assert isclose(ce.pcm_pct(steel, boron_floor_pct=0.001), 0.06)
    assert isclose(ce.pcm_pct(steel, boron_floor_pct=0.0009), 0.0645)
    assert isclose(ce.pcm_pct(steel, heat_boron_pct=0.0012, boron_floor_pct=0.001), 0.0645)
    assert isclose(ce.pcm_pct(steel, heat_boron_pct=0.0002, boron_floor_pct=0.0005), 0.06)
    with pytest.raises(InputError, match="heat_boron_pct"):
        ce.pcm_pct(steel, heat_boron_pct=-0.1)
    assert ce.BORON_FLOOR_PCT == {"43rd": 0.001, "44th": 0.0005, "45th": 0.0005, "46th": 0.0005}


def test_the_limits_of_cet() -> None:
    limits = {"c": (0.05, 0.32), "si": (0, 0.8), "mn": (0.5, 1.9), "cr": (0, 1.5), "cu": (0, 0.7),
              "mo": (0, 0.75), "nb": (0, 0.06), "ni": (0, 2.5), "ti": (0, 0.12), "v": (0, 0.18),
              "b": (0, 0.005)}  # fmt: skip
    assert limits == ce.CET_LIMITS_PCT


def test_compositions_outside_method_b_are_named() -> None:
    assert ce.cet_faults(PLATE) == ()
    assert ce.cet_faults(replace(PLATE, c=0.05, mn=0.5, b=0.005)) == ()
    assert ce.cet_faults(replace(PLATE, c=0.32, mn=1.9)) == ()
    assert [f.split()[0] for f in ce.cet_faults(replace(PLATE, c=0.33, mn=0.4, v=0.2))] == [
        "c", "mn", "v",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("carbon", "grade", "wall", "seamless", "formula", "limit"),
    [
        (0.12, "L450M", 25.0, False, "CE_Pcm", 0.25),
        (0.1201, "L450M", 25.0, False, "CE_IIW", 0.43),
        (0.12, "L450M", 25.1, False, "CE_Pcm", None),
        (0.12, "X65Q", 20.0, True, "CE_Pcm", 0.25),
        (0.12, "X65Q", 20.1, True, "CE_Pcm", None),
        (0.12, "X65Q", 20.1, False, "CE_Pcm", 0.25),
        (0.2, "BN", 10.0, False, "CE_IIW", 0.43),
        (0.2, "B", 10.0, False, "CE_IIW", 0.43),
        (0.2, "X56N", 10.0, False, "CE_IIW", 0.43),
        (0.2, "X60N", 10.0, False, "CE_IIW", None),
        (0.2, "L485Q", 10.0, False, "CE_IIW", 0.43),
        (0.2, "L555Q", 10.0, False, "CE_IIW", None),
        (0.1, "L555Q", 10.0, False, "CE_Pcm", None),
        (0.2, "x80m", 10.0, False, "CE_IIW", 0.43),
        (0.2, "L625M", 10.0, False, "CE_IIW", None),
        (0.1, "L625M", 10.0, False, "CE_Pcm", 0.25),
    ],
)
def test_which_carbon_equivalent_judges_psl_2_pipe(
    carbon: float, grade: str, wall: float, seamless: bool, formula: str, limit: float | None
) -> None:
    found = ce.psl2_limit(carbon, grade, wall, seamless=seamless)
    assert (found.formula, found.limit_pct) == (formula, limit)


def test_every_grade_has_its_two_names() -> None:
    names = {"B": "L245", "X42": "L290", "X46": "L320", "X52": "L360", "X56": "L390",
             "X60": "L415", "X65": "L450", "X70": "L485", "X80": "L555", "X90": "L625",
             "X100": "L690", "X120": "L830"}  # fmt: skip
    for short, metric in names.items():
        for carbon in (0.1, 0.2):
            one, other = (ce.psl2_limit(carbon, f"{g}M", 25.0) for g in (short, metric))
            assert one == other
            assert one.limit_pct == (
                0.25 if carbon < 0.12 else 0.43 if int(metric[1:]) < 600 else None
            )


def test_pipe_is_welded_unless_said_to_be_seamless() -> None:
    assert ce.psl2_limit(0.1, "L450M", 22.0).limit_pct == 0.25
    assert ce.psl2_verdict(LEAN, "L450M", 22.0).limit.limit_pct == 0.25
    assert ce.psl2_verdict(LEAN, "L450Q", 22.0, seamless=True).limit.limit_pct is None


@pytest.mark.parametrize("grade", ["", "S355", "L451M", "X63M", "X65MM", "L450X"])
def test_a_grade_that_is_none_is_refused(grade: str) -> None:
    with pytest.raises(InputError, match="grade"):
        ce.psl2_limit(0.1, grade, 10.0)


@pytest.mark.parametrize("wall", [0.0, -1.0, 501.0, nan])
def test_a_wall_that_is_none_is_refused(wall: float) -> None:
    with pytest.raises(InputError, match="thickness_mm"):
        ce.psl2_limit(0.1, "L450M", wall)


LEAN = Composition(c=0.06, si=0.25, mn=1.5, cu=0.02, ni=0.02, cr=0.03, mo=0.01, v=0.03, b=0.0)


def test_verdicts_on_psl_2_pipe() -> None:
    clear = ce.psl2_verdict(LEAN, "L450M", 19.1)
    assert (clear.reason.verdict, clear.limit.formula) == (CLEAR, "CE_Pcm")
    assert isclose(clear.value_pct, 0.149833, rel_tol=1e-5)
    assert "0.25 %" in clear.reason.permitted

    over = ce.psl2_verdict(replace(LEAN, mn=3.6), "L450M", 19.1)
    assert over.reason.verdict == NONCONFORMITY

    agreed = ce.psl2_verdict(LEAN, "L450M", 30.0)
    assert (agreed.reason.verdict, agreed.reason.permitted) == (HOLD, "as agreed")
    assert agreed.reason.found == "0.150 %"


def test_what_was_not_analysed_cannot_pass_but_can_fail() -> None:
    blank = ce.psl2_verdict(replace(LEAN, b=None, v=None), "L450M", 19.1)
    assert blank.reason.verdict == HOLD
    assert blank.reason.found.endswith("without v, b")
    over = ce.psl2_verdict(replace(LEAN, b=None, mn=3.6), "L450M", 19.1)
    assert over.reason.verdict == NONCONFORMITY


def test_the_limit_itself_is_permitted_and_nothing_over_it() -> None:
    steel = Composition(c=0.13, mn=1.8, cr=0.0, mo=0.0, v=0.0, ni=0.0, cu=0.0)
    assert ce.psl2_verdict(steel, "L450M", 10.0).reason.verdict == CLEAR
    over = ce.psl2_verdict(replace(steel, mn=1.824), "L450M", 10.0)
    assert over.reason.verdict == NONCONFORMITY
