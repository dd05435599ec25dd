from __future__ import annotations

from math import inf, isclose, nan

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from dossier.errors import InputError
from dossier.units import UNITS, convert, parse_quantity, show, unit_name

REGISTRY = pint.UnitRegistry()
# Names that differ: pint reads mil as an angle and R as the gas constant, and knows no foot-candle.
PINT_NAMES = {
    "in": "inch", "in2": "inch**2", "in3": "inch**3", "mil": "thou", "US gal": "US_liquid_gallon",
    "US ton": "short_ton", "t": "metric_ton", "ft2": "foot**2", "ft3": "foot**3", "mm2": "mm**2",
    "m2": "m**2", "m3": "m**3", "cm3": "cm**3", "ft3/h": "foot**3/hour", "lb/in3": "lb/inch**3",
    "g/cm3": "g/cm**3", "kgf/cm2": "kgf/cm**2", "ksi": "kip/inch**2", "kip": "kip",
    "ft-lbf": "foot*lbf", "kJ/in": "kJ/inch", "J/in": "J/inch", "in/min": "inch/minute",
    "R": "roentgen", "fc": "lumen/foot**2", "°C/h": "delta_degC/hour", "°F/h": "delta_degF/hour",
    "°C difference": "delta_degC", "°F difference": "delta_degF", "rad": "rads", "oz": "oz",
    "°C": "degC", "°F": "degF", "K": "kelvin", "%": "percent", "deg": "degree", "h": "hour",
    "d": "day", "min": "minute", "mm/min": "mm/minute", "cm/min": "cm/minute", "l": "liter",
    "l/min": "liter/minute", "m/min": "m/minute", "ft/min": "foot/minute", "kg/h": "kg/hour",
    "lb/h": "lb/hour", "rem/h": "rem/hour", "mrem/h": "mrem/hour", "Sv/h": "Sv/hour",
    "mSv/h": "mSv/hour", "µSv/h": "µSv/hour",
}  # fmt: skip
PAIRS = [
    (a, b)
    for a in UNITS
    for b in UNITS
    if a < b and UNITS[a].kind == UNITS[b].kind and a not in ("HV", "ml/100 g")
]


@pytest.mark.parametrize(("a", "b"), PAIRS)
def test_an_independent_library_converts_alike(a: str, b: str) -> None:
    for value in (1.0, 12.7, 350.0):
        theirs = REGISTRY.Quantity(value, PINT_NAMES.get(a, a)).to(PINT_NAMES.get(b, b)).magnitude
        assert isclose(convert(value, a, b), theirs, rel_tol=1e-9)


def test_every_unit_with_a_partner_can_be_converted_to_it_and_the_partner_knows_its_system() -> (
    None
):
    for name, unit in UNITS.items():
        if unit.partner:
            assert UNITS[unit.partner].kind == unit.kind, name
            assert {unit.system, UNITS[unit.partner].system} == {"SI", "US"}, name


@given(st.sampled_from(PAIRS), st.floats(-1e9, 1e9, allow_subnormal=False))
def test_a_conversion_and_its_return_give_the_value_back(
    pair: tuple[str, str], value: float
) -> None:
    there = convert(value, *pair)
    back = convert(there, *reversed(pair))
    scale = max(abs(value), abs(convert(0.0, pair[1], pair[0])))  # offsets cancel digits
    assert isclose(back, value, rel_tol=1e-12, abs_tol=max(1e-300, 1e-12 * scale))


@pytest.mark.parametrize(
    ("value", "source", "target", "expected"),
    [
        (12.7, "mm", "in", 0.5),
        (0.1, "in", "mm", 2.54),
        (1.0, "kJ/mm", "kJ/in", 25.4),
        (32.0, "°F", "°C", 0.0),
        (-40.0, "°F", "°C", -40.0),
        (-459.67, "°F", "K", 0.0),
        (50.0, "Ci", "TBq", 1.85),
        (1.0, "rem", "mSv", 10.0),
        (231.0, "in3", "US gal", 1.0),
        (16.0, "mil", "µm", 406.4),
        (10.0, "°C difference", "°F difference", 18.0),
    ],
)
def test_exact_pairs(value: float, source: str, target: str, expected: float) -> None:
    assert convert(value, source, target) == expected


def test_no_limit_stays_no_limit_but_still_needs_like_units() -> None:
    assert convert(inf, "mm", "in") == inf
    with pytest.raises(InputError, match="a unit of pressure"):
        convert(inf, "mm", "psi")
    with pytest.raises(InputError, match="a number"):
        convert(nan, "mm", "in")


@pytest.mark.parametrize(
    ("text", "millimetres"),
    [
        ("0.5 in", 12.7), ("12,7 mm", 12.7), ("1/2 in", 12.7), ("1 1/16 in", 26.9875),
        ("1-1/16 in", 26.9875), ('1/2"', 12.7), ("1½ in", 38.1), ("½”", 12.7), ("3'", 914.4),
        ("12 700 mm", 12700.0), ("1 270,5 mm", 1270.5), ("1,270.5 mm", 1270.5),
        ("1.270,5 mm", 1270.5), ("1,234,567 mm", 1234567.0), ("1.234.567 mm", 1234567.0),
        ("0,127 mm", 0.127), ("1.270 mm", 1.27), ("-2 mm", -2.0), ("− 2 mm", -2.0), ("+2mm", 2.0),
        ("1.27e1 mm", 12.7), (" 12.7\u00a0MM ", 12.7), (".5 in", 12.7), ("5. mm", 5.0),
        ("16 mils", 0.4064), ("1/2-in", 12.7), ("2,5 cm", 25.0), ("1 / 2 in", 12.7),
    ],
)  # fmt: skip
def test_quantities_as_people_write_them(text: str, millimetres: float) -> None:
    assert parse_quantity(text) == millimetres


@pytest.mark.parametrize(
    "text",
    [
        "", "mm", "3-5 mm", "3 to 5 mm", "1/0 in", "1 2 mm", "12.7.1 mm", "12 furlongs",
        "1,27,0 mm", "10 psi", "1 2/ in",
    ],
)  # fmt: skip
def test_what_is_no_length_is_refused(text: str) -> None:
    with pytest.raises(InputError):
        parse_quantity(text)


@pytest.mark.parametrize("text", ["1,270", "12,700 mm", "999,999 in"])
def test_a_comma_that_may_mean_either_is_refused_with_both_ways_to_write_it(text: str) -> None:
    with pytest.raises(InputError) as refused:
        parse_quantity(text, default="mm")
    plain = text.split()[0]
    assert plain.replace(",", "") in str(refused.value)
    assert plain.replace(",", ".") in str(refused.value)


def test_a_bare_number_needs_a_declared_unit() -> None:
    with pytest.raises(InputError, match="a unit as well"):
        parse_quantity("12.7")
    assert parse_quantity("12.7", default="in") == parse_quantity("12.7 in")
    assert parse_quantity(12.7, default="mm") == 12.7


@given(st.floats(-1e6, 1e6, allow_subnormal=False), st.sampled_from(["mm", "in", "ft", "mil"]))
def test_what_is_written_plainly_is_read_back(value: float, unit: str) -> None:
    assert parse_quantity(f"{value!r} {unit}", to=unit) == value


@pytest.mark.parametrize(
    ("arguments", "text"),
    [
        ((12.7, "mm"), "12.7 mm"),
        ((12.7, "mm", "US"), "0.5 in"),
        ((12.7, "mm", "dual"), "12.7 mm (0.5 in)"),
        ((0.5, "in", "dual"), "0.5 in (12.7 mm)"),
        ((0.5, "in"), "12.7 mm"),
        ((250, "°F", "dual"), "250 °F (121.1 °C)"),
        ((1.2, "kJ/mm", "SI", 2), "1.20 kJ/mm"),
        ((-0.0, "mm"), "0 mm"),
        ((-0.001, "mm", "SI", 2), "0.00 mm"),
        ((0.00001, "mm"), "0.00001 mm"),
        ((-0.0004, "mm"), "-0.0004 mm"),
        ((1e22, "mm"), "10000000000000000000000 mm"),
        ((1.26e-11, "mm"), "0.000000000013 mm"),
        ((1e-15, "mm"), "0 mm"),
        ((2.675, "mm"), "2.68 mm"),
        ((100.0, "mm"), "100 mm"),
        ((45, "deg", "dual"), "45°"),
        ((0.12, "%", "dual"), "0.12 %"),
        ((24.5, "V", "US"), "24.5 V"),
        ((None, "mm", "dual"), "not recorded"),
        ((inf, "mm", "dual"), "unlimited"),
        ((inf, "mm", "US", 2), "unlimited"),
        ((55, "°C difference", "dual"), "55 °C (99 °F)"),
        ((450, "N/mm²", "dual"), "450 MPa (65267 psi)"),
    ],
)
def test_the_one_way_to_print(arguments: tuple[float, str], text: str) -> None:
    assert show(*arguments) == text


@given(
    st.floats(-1e12, 1e12), st.sampled_from(sorted(UNITS)), st.sampled_from(["SI", "US", "dual"])
)
def test_no_exponent_and_no_negative_zero_is_ever_printed(
    value: float, unit: str, system: str
) -> None:
    figure = show(value, unit, system).split(" ")[0].rstrip("°")  # type: ignore[arg-type]
    assert "e" not in figure.lower()
    assert not (figure.startswith("-") and float(figure) == 0)
    if "." in figure:
        assert not figure.endswith("0")


def test_what_cannot_be_printed_is_refused() -> None:
    for value in (nan, -inf):
        with pytest.raises(InputError):
            show(value, "mm")
    with pytest.raises(InputError, match="system"):
        show(1.0, "mm", "metric")  # type: ignore[arg-type]
    with pytest.raises(InputError, match="unit"):
        show(None, "cubit")


def test_units_are_found_by_the_spellings_of_the_trade() -> None:
    spelled = {
        "IPM": "in/min", "n/mm2": "MPa", "degF": "°F", "º C": None, "ºC": "°C", "μm": "µm",
        "um": "µm", "KJ/MM": "kJ/mm", "msv": "mSv", "inch.": "in", "L": "l", "℃": "°C",
    }  # fmt: skip
    for text, name in spelled.items():
        if name is None:
            with pytest.raises(InputError):
                unit_name(text)
        else:
            assert unit_name(text) == name


DECIMALS = {
    0: [
        "N",
        "lbf",
        "ft-lbf",
        "J/mm",
        "J/in",
        "°C/h",
        "°F/h",
        "°C difference",
        "°F difference",
        "Bq",
        "lx",
        "fc",
        "W",
        "HV",
    ],
    1: [
        "µm",
        "mil",
        "mm2",
        "l",
        "US gal",
        "ft3",
        "cm3",
        "l/min",
        "ft3/h",
        "g",
        "MPa",
        "psi",
        "bar",
        "kPa",
        "GPa",
        "ksi",
        "kN",
        "kip",
        "J",
        "kJ/in",
        "kJ/cm",
        "mm/min",
        "in/min",
        "cm/min",
        "ft/min",
        "GBq",
        "MBq",
        "µSv",
        "µSv/h",
        "°C",
        "°F",
        "s",
        "min",
        "d",
        "V",
        "A",
        "deg",
        "ml/100 g",
    ],
    2: [
        "mm",
        "cm",
        "ft",
        "m2",
        "ft2",
        "m3",
        "in3",
        "kg",
        "lb",
        "oz",
        "kg/h",
        "lb/h",
        "kgf/cm2",
        "kJ/mm",
        "mm/s",
        "m/min",
        "Ci",
        "mCi",
        "mSv",
        "mrem",
        "rem",
        "mrem/h",
        "rem/h",
        "rad",
        "K",
        "h",
        "kV",
        "kW",
        "kJ",
    ],
    3: [
        "in",
        "m",
        "km",
        "mile",
        "in2",
        "t",
        "US ton",
        "kg/m",
        "lb/ft",
        "g/cm3",
        "TBq",
        "Sv",
        "mSv/h",
        "Sv/h",
        "Gy",
        "R",
        "%",
    ],
    4: ["lb/in3"],
    6: ["C/kg"],
}


@pytest.mark.parametrize(
    ("mpa", "printed"),
    [(6.89, "6.9 MPa (999.3 psi)"), (6.9, "6.9 MPa (1001 psi)"), (290, "290 MPa (42061 psi)")],
)
def test_a_thousand_psi_and_more_are_whole(mpa: float, printed: str) -> None:
    assert show(mpa, "MPa", "dual") == printed


@pytest.mark.parametrize("decimals", DECIMALS)
def test_decimals_that_a_unit_prints_unasked(decimals: int) -> None:
    for unit in DECIMALS[decimals]:
        figure = show(111.1111111, unit, "US" if UNITS[unit].system == "US" else "SI")
        assert figure.split(" ")[0].rstrip("°") == f"{111.1111111:.{decimals}f}"
    assert sorted(unit for units in DECIMALS.values() for unit in units) == sorted(UNITS)
