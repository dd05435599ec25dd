"""Coating: test voltage by every rule, dew point, peel force."""

from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dossier.calc import coating
from dossier.errors import InputError


@pytest.mark.parametrize(
    ("rule", "thickness_mm", "volts"),
    [
        ("sp0274", 2.54, 12500.0),
        ("sp0274-um", 2.5, 12500.0),
        ("sp0274-mm", 4.0, 15800.0),
        ("d5162", 1.0, 3294.0),
        ("d5162", 1.0001, 7843.392),
        ("d5162", 4.0, 15686.0),
        ("sp0490", 0.4064, 2100.0),
        ("iso-21809-3", 1.0, 10000.0),
        ("iso-21809-3", 4.0, 25000.0),
        ("iso-21809-3", 5.0, 25000.0),
    ],
)
def test_voltage(rule: str, thickness_mm: float, volts: float) -> None:
    assert coating.holiday_test_voltage_v(thickness_mm, rule) == pytest.approx(volts, abs=0.01)


@given(st.sampled_from(sorted(coating.VOLTAGE_RULES)), st.floats(0.05, 10.0), st.floats(0.0, 5.0))
def test_voltage_never_falls_with_thickness(rule: str, thickness: float, more: float) -> None:
    thin = coating.holiday_test_voltage_v(thickness, rule)
    assert 0 < thin <= coating.holiday_test_voltage_v(thickness + more, rule)


def test_the_three_forms_of_one_rule_agree_within_a_hundredth() -> None:
    volts = [
        coating.holiday_test_voltage_v(2.0, rule) for rule in ("sp0274", "sp0274-um", "sp0274-mm")
    ]
    assert max(volts) / min(volts) < 1.01


def test_every_rule_names_its_source() -> None:
    for rule in coating.VOLTAGE_RULES.values():
        assert rule.formula.startswith("V = ")
        assert rule.basis.standard
        assert rule.basis.edition


def test_voltage_by_the_mil_and_bounds() -> None:
    assert coating.holiday_voltage_per_mil_v(0.254) == pytest.approx(1250.0)
    assert coating.holiday_voltage_per_mil_v(0.254, 150.0) == pytest.approx(1500.0)
    assert coating.holiday_constant_per_root_mm(525.0) == pytest.approx(3294.15, abs=0.01)
    assert coating.holiday_upper_bound_v(0.5, 10.0) == 5000.0
    assert coating.peel_force_n(35.0, 20.0) == 70.0


@given(st.floats(-45.0, 60.0), st.floats(1.0, 100.0))
def test_dew_point_is_never_above_the_air(air: float, humidity: float) -> None:
    dew = coating.dew_point_c(air, humidity)
    assert dew <= air + 1e-9
    assert coating.dew_point_margin_c(air, humidity, air) == pytest.approx(air - dew)


@given(st.floats(-45.0, 60.0))
def test_saturated_air_is_at_its_dew_point(air: float) -> None:
    assert coating.dew_point_c(air, 100.0) == pytest.approx(air, abs=1e-9)


@pytest.mark.parametrize(
    ("air", "humidity", "dew"), [(20.0, 50.0, 9.26), (30.0, 80.0, 26.17), (0.0, 60.0, -6.85)]
)
def test_dew_point_figures(air: float, humidity: float, dew: float) -> None:
    assert coating.dew_point_c(air, humidity) == pytest.approx(dew, abs=0.05)


@pytest.mark.parametrize(
    ("name", "call"),
    [
        ("rule", lambda: coating.holiday_test_voltage_v(1.0, "none")),
        ("thickness_mm", lambda: coating.holiday_test_voltage_v(0.0, "d5162")),
        ("thickness_mm", lambda: coating.holiday_voltage_per_mil_v(0.0)),
        ("volts_per_mil", lambda: coating.holiday_voltage_per_mil_v(1.0, 0.0)),
        ("constant_per_root_mil", lambda: coating.holiday_constant_per_root_mm(0.0)),
        ("dielectric_kv_mm", lambda: coating.holiday_upper_bound_v(1.0, 0.0)),
        ("thickness_mm", lambda: coating.holiday_upper_bound_v(0.0, 1.0)),
        ("air_c", lambda: coating.dew_point_c(-45.1, 50.0)),
        ("air_c", lambda: coating.dew_point_c(60.1, 50.0)),
        ("humidity_pct", lambda: coating.dew_point_c(20.0, 0.0)),
        ("humidity_pct", lambda: coating.dew_point_c(20.0, 100.1)),
        ("required_n_per_cm", lambda: coating.peel_force_n(0.0, 1.0)),
        ("strip_mm", lambda: coating.peel_force_n(1.0, 0.0)),
    ],
)
def test_refused(name: str, call: Callable[[], object]) -> None:
    with pytest.raises(InputError) as refused:
        call()
    assert refused.value.name == name
