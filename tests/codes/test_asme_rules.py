"""Rules of Section IX whose arguments are not plain data, at, under and over each step."""

from __future__ import annotations

from math import inf

import pytest

from dossier.codes.asme_ix import (
    common,
    conditions,
    metals,
    positions,
    thickness,
    variables,
    welder_limits,
)
from dossier.codes.asme_ix.common import Edition
from dossier.codes.editions import procedure_code, welder_code
from dossier.errors import InputError
from dossier.records.verdicts import Basis

US = "US customary"
PLAIN = thickness.base_metal_range(30.0)


@pytest.mark.parametrize(
    ("coupon", "units", "low"),
    [
        (1.0, "SI", 1.0),  # half T would be 0.5, the floor is T itself under 1.5 mm
        (2.0, "SI", 1.5),
        (3.76, "SI", 1.88),
        (6.0, "SI", 3.0),
        (6.01, "SI", 6.01),
        (12.7, "SI", 12.7),
        (16.0, "SI", 16.0),
        (16.01, "SI", 16.0),
        (6.35, US, 3.175),
        (6.36, US, 6.36),
        (15.875, US, 15.875),
        (20.0, US, 15.875),
    ],
)
def test_toughness_minimum(coupon: float, units: str, low: float) -> None:
    plain = thickness.base_metal_range(coupon, units=units)
    found = thickness.toughness_range(plain, coupon, units)
    assert found.low == pytest.approx(low)
    assert found.high == plain.high
    assert found.basis.clause == "QW-403.6, QW-451.1"


@pytest.mark.parametrize(
    ("thickest", "units", "high"),
    [(13.0, "SI", 60.0), (13.01, "SI", 33.0), (12.7, US, 60.0), (12.8, US, 33.0)],
)
def test_thick_pass(thickest: float, units: str, high: float) -> None:
    assert thickness.thick_pass_range(PLAIN, 30.0, thickest, units).high == pytest.approx(high)


@pytest.mark.parametrize(
    ("coupon", "units", "high"),
    [(12.99, "SI", 14.289), (13.0, "SI", 26.0), (12.69, US, 13.959), (12.7, US, 25.4)],
)
def test_short_arc_base_metal(coupon: float, units: str, high: float) -> None:
    plain = thickness.base_metal_range(coupon, "135", units)
    assert thickness.short_arc_range(plain, coupon, units).high == pytest.approx(high)


@pytest.mark.parametrize(
    ("p_number", "high"), [("1", 33.0), ("5A", 33.0), ("7", 60.0), ("8", 60.0), ("45", 60.0)]
)
def test_upper_transformation(p_number: str, high: float) -> None:
    found = thickness.upper_transformation_range(PLAIN, 30.0, p_number)
    assert found.high == pytest.approx(high)


@pytest.mark.parametrize(
    ("coupon", "p_number", "units", "unlimited"),
    [
        (37.99, "1", "SI", False),
        (38.0, "1", "SI", True),
        (38.0, "1", US, False),
        (38.1, "1", US, True),
        (5.99, "8", "SI", False),
        (6.0, "8", "SI", True),
        (6.0, "43", "SI", True),
        (6.0, "51", "SI", True),
        (6.0, "62", "SI", True),
        (6.0, "8", US, False),
        (6.35, "8", US, True),
        (20.0, "5A", "SI", False),
    ],
)
def test_thicker_member(coupon: float, p_number: str, units: str, *, unlimited: bool) -> None:
    plain = thickness.base_metal_range(coupon, units=units)
    found = thickness.thick_member_range(plain, coupon, p_number, units)
    assert (found.high == inf) is unlimited
    assert found.low == plain.low


def pair(first: str, second: str) -> metals.Pair:
    a, b = metals.metal(first), metals.metal(second)
    assert a
    assert b
    return a, b


@pytest.mark.parametrize(
    ("coupon", "covered"),
    [
        (("P1", "P1"), ["1"]),
        (("P3", "P3"), ["1 3", "3"]),
        (("P4", "P4"), ["1 4", "3 4", "4"]),
        (("P5A", "P5A"), ["1 5A", "3 5A", "4 5A", "5A"]),
        (("P5B", "P5B"), ["5B"]),
        (("P15E", "P15E"), ["15E", "15E 5B", "5B"]),
        (("P5A", "P1"), ["1 5A", "3 5A", "4 5A"]),
        (("P3", "P5A"), ["1 5A", "3 5A", "4 5A"]),
        (("P5A", "P8"), ["5A 8"]),
        (("P4", "P1"), ["1 4"]),
        (("P8", "P1"), ["1 8"]),
        (("P10H", "P10H"), ["10H"]),
    ],
)
def test_pairs_of_metals(coupon: tuple[str, str], covered: list[str]) -> None:
    found = metals.covered_pairs(pair(*coupon))
    assert sorted(" ".join(sorted(one)) for one in found) == covered


@pytest.mark.parametrize(
    ("coupon", "weld", "tested"),
    [
        (("P1.1", "P1.1"), ("P1.1", "P1.1"), True),
        (("P1.1", "P1.1"), ("P1.1", "P1.2"), False),
        (("P1.1", "P1.2"), ("P1.2", "P1.2"), True),
        (("P1.1", "P1.2"), ("P1.2", "P1.1"), True),
        (("P1.1", "P1.2"), ("P1.3", "P1.1"), False),
    ],
)
def test_groups(coupon: tuple[str, str], weld: tuple[str, str], *, tested: bool) -> None:
    assert metals.covers_groups(pair(*coupon), pair(*weld)) is tested


@pytest.mark.parametrize("text", ["1.2", "15E", "X60", "", "P", "P123", "PA", "FM1"])
def test_what_is_no_p_number(text: str) -> None:
    assert metals.metal(text) is None


@pytest.mark.parametrize(
    ("text", "p", "group"),
    [("P1", "1", ""), ("P1.2", "1", "2"), ("p-no. 5b", "5B", ""), ("P10H.1", "10H", "1"),
     ("P1-3", "1", "3"), ("P-15E", "15E", ""), ("P No. 8", "8", "")],
)  # fmt: skip
def test_written_p_numbers(text: str, p: str, group: str) -> None:
    assert metals.metal(text) == metals.Metal(p, group)


FILLET_LIMITS = [
    (21.3, "SI", 21.3),
    (25.0, "SI", 25.0),
    (73.0, "SI", 25.0),
    (73.1, "SI", 73.0),
    (48.3, US, 25.4),
]


@pytest.mark.parametrize(("od", "units", "low"), FILLET_LIMITS)
def test_fillets_after_a_pipe_fillet_test(od: float, units: str, low: float) -> None:
    found = welder_limits.fillets_after_pipe_fillet(od, units)
    assert (found.od_mm.low, found.od_mm.high) == (pytest.approx(low), inf)
    assert str(found.base_mm) == str(found.leg_mm) == "any"


@pytest.mark.parametrize(
    ("coupon", "units", "base", "leg"),
    [
        (4.99, "SI", "4.99 to 9.98 mm", "up to 4.99 mm"),
        (5.0, "SI", "any", "any"),
        (16.0, "SI", "any", "any"),
        (4.76, US, "4.76 to 9.52 mm", "up to 4.76 mm"),
        (4.7625, US, "any", "any"),
    ],
)
def test_fillets_after_a_plate_fillet_test(coupon: float, units: str, base: str, leg: str) -> None:
    found = welder_limits.fillets_after_plate_fillet(coupon, units)
    assert (str(found.base_mm), str(found.leg_mm)) == (base, leg)
    assert found.od_mm.low == (73 if units == "SI" else 73.025)


@pytest.mark.parametrize(
    ("root", "choices", "backed"),
    [
        (welder_limits.Root(backing="none"), {}, False),
        (welder_limits.Root(backing="consumable insert"), {}, False),
        (welder_limits.Root(backing="material"), {}, True),
        (welder_limits.Root(backing="weld metal"), {}, True),
        (welder_limits.Root(backing="flux"), {}, True),
        (welder_limits.Root(backing="gas"), {}, False),
        (welder_limits.Root(backing="gas"), {"ix gas backing": "backing"}, True),
        (welder_limits.Root(), {}, None),
        (welder_limits.Root(holds_root=True), {}, None),
        (welder_limits.Root(holds_root=False), {}, True),
        (welder_limits.Root(backing="none", sides="both"), {}, True),
        (welder_limits.Root(backing="none", sides="single"), {}, False),
        (welder_limits.Root("fillet", "none"), {}, True),
    ],
)
def test_backing(root: welder_limits.Root, choices: dict[str, str], *, backed: bool | None) -> None:
    assert welder_limits.with_backing(root, choices) is backed


@pytest.mark.parametrize(
    ("position", "fillet", "places"),
    [
        ("1G", False, "F"),
        ("2G", False, "H"),
        ("PF", False, "V"),
        ("PE", False, "O"),
        ("PJ", False, "FOV"),
        ("6G", False, "FHOV"),
        ("J-L045", False, "FHOV"),
        ("PB", True, "H"),
        ("2FR", True, "H"),
        ("3F", True, "V"),
        ("PD", True, "O"),
        ("5F", True, "HOV"),
        ("6F", True, "FHOV"),
        ("v", False, "V"),
    ],
)
def test_places_of_a_production_weld(position: str, *, fillet: bool, places: str) -> None:
    found = positions.places_needed(position, fillet=fillet)
    assert found == frozenset(places)


def test_position_that_is_none_is_unknown() -> None:
    assert positions.places_needed("somewhere", fillet=False) is None


ROWS = [
    ("plate", ["1G"], "F", "F", "F"),
    ("plate", ["2G"], "FH", "FH", "FH"),
    ("plate", ["3G"], "FV", "F", "FHV"),
    ("plate", ["4G"], "FO", "F", "FHO"),
    ("plate", ["3G", "4G"], "FOV", "F", "FHOV"),
    ("plate", ["2G", "3G", "4G"], "FHOV", "FH", "FHOV"),
    ("plate", ["5G"], "", "", ""),
    ("pipe", ["1G"], "F", "F", "F"),
    ("pipe", ["2G"], "FH", "FH", "FH"),
    ("pipe", ["5G"], "FOV", "FOV", "FHOV"),
    ("pipe", ["6G"], "FHOV", "FHOV", "FHOV"),
    ("pipe", ["2G", "5G"], "FHOV", "FHOV", "FHOV"),
    ("pipe", ["3G"], "", "", ""),
]


@pytest.mark.parametrize(("product", "tested", "large", "small", "fillet"), ROWS)
def test_groove_rows(product: str, tested: list[str], large: str, small: str, fillet: str) -> None:
    found = positions.places_qualified(product, tested, fillet=False)
    assert ["".join(sorted(found[c])) for c in positions.COLUMNS] == [large, small, fillet]


@pytest.mark.parametrize(
    ("tested", "places"),
    [("1F", "F"), ("2F", "FH"), ("2FR", "FH"), ("3F", "FHV"), ("4F", "FHO"), ("5F", "FHOV"),
     ("6F", "FHOV"), ("1G", "")],
)  # fmt: skip
def test_fillet_rows(tested: str, places: str) -> None:
    found = positions.places_qualified("plate", [tested], fillet=True)
    assert found["fillet"] == frozenset(places)
    assert found["pipe to 610 mm"] == found["plate and pipe over 610 mm"] == frozenset()


def test_special_position_covers_itself_and_flat() -> None:
    groove = positions.places_qualified("plate", ["SP"], fillet=False)
    assert set(groove.values()) == {frozenset({"SP", "F"})}
    fillet = positions.places_qualified("plate", ["SP"], fillet=True)
    assert fillet["fillet"] == frozenset({"SP", "F"})
    assert fillet["pipe to 610 mm"] == frozenset()


def test_bead_section() -> None:
    limit = conditions.bead_section_range(12.0, 3.0)
    assert str(limit) == "up to 36 mm2"
    assert 36.0 in limit
    assert 36.1 not in limit
    with pytest.raises(InputError):
        conditions.bead_section_range(0.0, 3.0)


def test_variables_of_each_edition() -> None:
    assert "QW-405.2" in variables.procedure_variables("135", Edition("2017", True))
    assert "QW-405.2" not in variables.procedure_variables("121", Edition("2017", True))
    assert "QW-405.2" not in variables.procedure_variables("135", Edition("2019", False))
    for unknown in ("72", "OFW"):
        with pytest.raises(InputError) as caught:
            variables.procedure_variables(unknown, Edition("2019", False))
        assert caught.value.name == "process"
        with pytest.raises(InputError):
            variables.welder_variables(unknown)


def test_unknown_choice_is_refused() -> None:
    with pytest.raises(InputError) as caught:
        common.chosen({"ix units": "furlongs"}, "ix units")
    assert caught.value.name == "ix units"


def test_every_choice_names_default_alternatives_and_meaning() -> None:
    for name, (default, others, meaning) in common.CHOICES.items():
        assert default not in others, name
        assert others, name
        assert meaning.endswith("."), name


def test_another_standards_basis_keeps_its_year() -> None:
    other = Basis("ASME B31.3", "2018", "341")
    assert common.dated(other, Edition("2023", False)) == other
    own = common.clause("QW-451.1")
    assert common.dated(own, Edition("2023", False)).edition == "2023"


@pytest.mark.parametrize("year", ["2017", "2019", "2021", "2023"])
def test_registered_under_its_name(year: str) -> None:
    name = f"ASME IX:{year}"
    assert welder_code(name).EDITION == procedure_code(name).EDITION == name
    assert {rule.known for rule in welder_code(name).RULES} <= {"read", "secondary", "memory"}
