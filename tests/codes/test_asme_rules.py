"""Rules of Section IX whose arguments are not plain data, at, under and over each step."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from importlib import import_module
from math import inf

import pytest

from dossier.codes import asme_b31_3, asme_b31_4, asme_b31_8
from dossier.codes.asme_ix import (
    common,
    conditions,
    edition_2017,
    edition_2019,
    edition_2023,
    metals,
    positions,
    pqr_limits,
    procedures,
    results,
    thickness,
    variables,
    welder_limits,
)
from dossier.codes.asme_ix.common import Edition
from dossier.codes.editions import procedure_code, welder_code
from dossier.errors import InputError
from dossier.records.procedures import HeatTreatment, Pqr, PqrPass, Procedure, ProcedurePass, Span
from dossier.records.verdicts import CLEAR, HOLD, NONCONFORMITY, Basis, Choice, worst
from dossier.records.weld import Weld
from dossier.records.welders import Certificate, Confirmation, Deposit

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


def certificate(**more: object) -> Certificate:
    plain: dict[str, object] = {
        "number": "W",
        "code": "ASME IX:2019",
        "welded_on": date(2024, 1, 8),
        "product": "pipe",
        "weld_type": "butt",
        "positions": ("6G",),
        "direction": "up",
        "material_group": "P1.1",
        "od_mm": 168.3,
        "wall_mm": 14.0,
        "sides": "single",
    }
    return Certificate(**{**plain, **more})  # type: ignore[arg-type]


SMAW = Deposit(process="111", filler_group="F4", deposit_mm=14.0, layers=5, root=True)
WELD = Weld(
    process="111",
    product="pipe",
    weld_type="butt",
    position="6G",
    direction="up",
    material_group="P1.1",
    filler_group="F4",
    backing="material",
    od_mm=168.3,
    deposit_mm=20.0,
)


def verdicts(paper: Certificate, weld: Weld) -> dict[str, object]:
    return {
        r.variable: r.verdict
        for r in edition_2019.covers(paper, weld, {})
        if r.verdict is not CLEAR
    }


def test_unrecorded_backing_of_the_test_proves_only_backing() -> None:
    paper = certificate(deposits=(SMAW,))
    assert verdicts(paper, WELD) == {}
    assert verdicts(paper, replace(WELD, backing="none")) == {"filler": HOLD}
    assert verdicts(paper, replace(WELD, backing="")) == {"filler": HOLD}


def test_unrecorded_layers_hold_where_they_would_decide() -> None:
    paper = certificate(deposits=(replace(SMAW, layers=None),))
    assert verdicts(paper, replace(WELD, deposit_mm=28.0)) == {}
    assert verdicts(paper, replace(WELD, deposit_mm=28.1)) == {"deposited thickness": HOLD}
    two = certificate(deposits=(replace(SMAW, layers=2),))
    assert verdicts(two, replace(WELD, deposit_mm=28.1)) == {"deposited thickness": NONCONFORMITY}
    thin = certificate(deposits=(replace(SMAW, deposit_mm=12.9, layers=None),))
    assert verdicts(thin, replace(WELD, deposit_mm=25.9)) == {"deposited thickness": NONCONFORMITY}


@pytest.mark.parametrize(
    ("blank", "held"),
    [
        ({"material_group": ""}, {"base metal"}),
        ({"od_mm": None}, {"outside diameter"}),
        ({"direction": ""}, {"progression"}),
        ({"wall_mm": None, "deposits": (replace(SMAW, deposit_mm=None),)}, {"deposited thickness"}),
        ({"deposits": (replace(SMAW, filler_group=""),)}, {"filler"}),
    ],
)
def test_a_blank_on_the_certificate_is_a_hold(blank: dict[str, object], held: set[str]) -> None:
    paper = certificate(**{"deposits": (SMAW,), **blank})
    assert verdicts(paper, WELD) == dict.fromkeys(held, HOLD)


@pytest.mark.parametrize(
    ("blank", "held"),
    [
        ({"material_group": ""}, {"base metal"}),
        ({"material_group": "1.2"}, {"base metal"}),
        ({"od_mm": None}, {"outside diameter", "position"}),
        ({"direction": ""}, {"progression"}),
        ({"deposit_mm": None}, {"deposited thickness"}),
        ({"filler_group": ""}, {"filler"}),
        ({"weld_type": ""}, {"weld type"}),
        ({"position": ""}, {"position"}),
    ],
)
def test_a_blank_in_the_joint_log_is_a_hold(blank: dict[str, object], held: set[str]) -> None:
    paper = certificate(deposits=(SMAW,))
    weld = replace(WELD, **blank)  # type: ignore[arg-type]
    assert verdicts(paper, weld) == dict.fromkeys(held, HOLD)


def test_wall_stands_for_the_deposit_of_a_single_process_only() -> None:
    alone = certificate(deposits=(replace(SMAW, deposit_mm=None, layers=2),))
    limits = edition_2019.qualified_range(alone, alone.deposits[0], {})
    assert str(limits["deposited thickness"]) == "up to 28 mm"
    both = certificate(deposits=(replace(SMAW, deposit_mm=None), Deposit(process="141")))
    limits = edition_2019.qualified_range(both, both.deposits[0], {})
    assert limits["deposited thickness"].nothing == "not recorded in the test"


def test_fillet_certificate_without_size_is_a_hold() -> None:
    paper = certificate(
        weld_type="fillet", positions=("5F",), od_mm=None, wall_mm=None, deposits=(SMAW,)
    )
    weld = replace(WELD, weld_type="fillet", position="2F", throat_mm=4.0, wall_mm=8.0)
    assert verdicts(paper, weld) == {"fillet": HOLD}
    groove = replace(WELD, position="1G")
    found = verdicts(paper, groove)
    assert found["weld type"] is NONCONFORMITY
    assert found["position"] is NONCONFORMITY


def test_purge_tested_both_ways() -> None:
    tig = Deposit(
        process="141", filler="ER308L", covering="solid", deposit_mm=4.0, root=True, current="DC-"
    )
    weld = replace(
        WELD, process="141", filler="ER308L", filler_group="F6", covering="solid",
        deposit_mm=4.0, backing="gas", root=True, current="DC-",
    )  # fmt: skip
    purged = certificate(deposits=(replace(tig, backing="gas"),))
    plain = certificate(deposits=(replace(tig, backing="none"),))
    assert verdicts(purged, weld) == {}
    assert verdicts(plain, weld) == {}
    assert verdicts(purged, replace(weld, backing="none")) == {"gas backing": NONCONFORMITY}
    assert verdicts(plain, replace(weld, backing="none")) == {}


def test_insert_matters_only_without_backing() -> None:
    tig = Deposit(
        process="141", filler="ER308L", covering="solid", deposit_mm=4.0, root=True,
        current="DC-", backing="consumable insert",
    )  # fmt: skip
    paper = certificate(deposits=(tig,))
    weld = replace(
        WELD, process="141", filler="ER308L", filler_group="F6", covering="solid",
        deposit_mm=4.0, backing="none", root=True, current="DC-",
    )  # fmt: skip
    assert verdicts(paper, weld) == {"insert": NONCONFORMITY}
    assert verdicts(paper, replace(weld, backing="consumable insert")) == {}
    assert verdicts(paper, replace(weld, backing="material")) == {}


def test_dissimilar_joint_asks_both_metals() -> None:
    paper = certificate(deposits=(SMAW,))
    assert verdicts(paper, replace(WELD, material_group="P1.1+P8.1")) == {}
    assert verdicts(paper, replace(WELD, material_group="P1.1+P22")) == {
        "base metal": NONCONFORMITY
    }


def test_renewal_restores_the_process_whatever_the_coupon() -> None:
    lapsed = certificate(deposits=(SMAW,))
    plate = certificate(product="plate", positions=("1G",), od_mm=None, deposits=(SMAW,))
    other = certificate(deposits=(Deposit(process="141"),))
    failed = replace(plate, result="failed")
    assert worst(edition_2019.renews(lapsed, plate)) is CLEAR
    assert worst(edition_2019.renews(lapsed, other)) is NONCONFORMITY
    assert worst(edition_2019.renews(lapsed, failed)) is NONCONFORMITY
    assert {r.basis.edition for r in edition_2023.renews(lapsed, plate)} == {"2023"}


def test_restoration_after_revocation_needs_a_coupon_that_suits() -> None:
    full = replace(SMAW, backing="none")
    revoked = certificate(deposits=(full,))
    assert worst(edition_2019.restores(revoked, revoked, {})) is CLEAR
    plate = certificate(product="plate", positions=("1G",), od_mm=None, deposits=(full,))
    assert worst(edition_2019.restores(revoked, plate, {})) is NONCONFORMITY
    failed = replace(revoked, result="failed")
    assert worst(edition_2019.restores(revoked, failed, {})) is NONCONFORMITY


def test_continuity_reads_the_last_use_and_the_limit() -> None:
    paper = certificate(deposits=(SMAW,))
    history = [Confirmation(signed_on=date(2024, 6, 1), by="")]
    (reason,) = (
        r
        for r in edition_2019.valid_on(paper, date(2024, 7, 1), history, {})
        if r.variable == "continuity of SMAW"
    )
    assert (reason.found, reason.permitted) == (
        "2024-07-01, last used 2024-06-01",
        "to 2024-11-30",
    )
    assert str(reason.basis) == "ASME BPVC Section IX, 2019, QW-322.1(a)"


def test_certificate_without_a_process_still_lapses() -> None:
    paper = certificate(deposits=())
    assert edition_2019.valid_until(paper, [], {}) == date(2024, 7, 7)
    reasons = edition_2019.valid_on(paper, date(2024, 7, 8), [], {})
    assert {r.variable: r.verdict for r in reasons}["continuity of"] is NONCONFORMITY


def pqr(**more: object) -> Pqr:
    plain: dict[str, object] = {
        "number": "Q",
        "code": "",
        "welded_on": date(2024, 1, 8),
        "weld_type": "butt",
        "material_groups": ("P1.1",),
        "wall_mm": 12.7,
        "preheat_c": 20.0,
        "passes": (PqrPass(number=1, kind="fill", process="111", filler="E7018"),),
    }
    return Pqr(**{**plain, **more})  # type: ignore[arg-type]


def test_what_a_procedure_test_qualifies() -> None:
    limits = edition_2019.procedure_range(pqr(), {})
    assert {name: str(limit) for name, limit in limits.items()} == {
        "process": "SMAW",
        "weld type": "branch, butt, fillet",
        "base metal": "P1 to P1",
        "base metal thickness": "5 to 25.4 mm",
        "preheat": "from -35 °C",
        "post-weld heat treatment": "none",
        "deposited thickness, SMAW F4": "up to 25.4 mm",
        "F-Number, SMAW": "F4",
        "A-Number, SMAW": "A1, A2",
    }


def test_what_an_impact_tested_procedure_qualifies() -> None:
    test = pqr(
        impact_tested=True,
        interpass_max_c=200.0,
        position="3G",
        pwht=HeatTreatment(temperature_c=Span(low=600, high=620), holding_min=480),
        passes=(
            PqrPass(
                number=1, kind="fill", process="111", filler="E7018", filler_mm=6.4,
                current="DC+", direction="up", voltage_v=24.0, current_a=120.0, travel_mm_min=100.0,
            ),
        ),
    )  # fmt: skip
    limits = edition_2017.procedure_range(test, {})
    shown = {name: str(limit) for name, limit in limits.items()}
    assert shown["group numbers"] == "P1.1"
    assert shown["base metal thickness"] == "12.7 to 25.4 mm"
    assert shown["interpass"] == "up to 255 °C"
    assert shown["heat treatment time"] == "up to 10 h"
    assert shown["post-weld heat treatment"] == "below lower"
    assert shown["classification, SMAW"] == "E7018"
    assert shown["electrode diameter, SMAW"] == "any"
    assert shown["progression, SMAW"] == "not uphill, uphill"
    assert shown["current, SMAW"] == "DC+"
    assert shown["heat input, SMAW"] == "up to 1.73 kJ/mm"
    assert {limit.basis.edition for limit in limits.values()} == {"2017"}
    assert "progression, SMAW" not in edition_2019.procedure_range(test, {})


@pytest.mark.parametrize(
    ("change", "name"),
    [
        ({"wall_mm": None}, "base metal thickness"),
        ({"material_groups": ()}, "base metal"),
        ({"material_groups": ("1.2",)}, "base metal"),
        ({"material_groups": ()}, "post-weld heat treatment"),
        ({"preheat_c": None}, "preheat"),
        ({"passes": ()}, "process"),
    ],
)
def test_a_blank_in_the_test_qualifies_nothing(change: dict[str, object], name: str) -> None:
    limit = edition_2019.procedure_range(pqr(**change), {})[name]
    assert limit.nothing == "not recorded in the test"


@pytest.mark.parametrize(
    ("high", "p_number", "condition"),
    [
        (725.0, "1", "below lower"),
        (725.1, "1", ""),
        (800.0, "5A", "below lower"),
        (806.0, "5A", ""),
        (730.0, "3", "below lower"),
        (730.1, "3", ""),
        (745.0, "4", "below lower"),
        (745.1, "4", ""),
        (810.0, "5B", "below lower"),
        (810.1, "5B", ""),
        (725.0, "9A", "below lower"),
        (725.1, "9B", ""),
        (800.0, "15E", "below lower"),
        (800.1, "15E", ""),
        (1050.0, "8", "heat treated"),
        (None, "1", ""),
    ],
)
def test_heat_treatment_condition(high: float | None, p_number: str, condition: str) -> None:
    treatment = HeatTreatment(temperature_c=Span(high=high))
    assert pqr_limits.heat_condition(treatment, p_number) == condition


def test_sheet_without_passes_is_a_hold() -> None:
    wps = Procedure(number="P", revision="0", title="", code="", passes=())
    reasons = procedures.supports(Edition("2019", False), [pqr()], wps, {})
    assert [r.verdict for r in reasons if r.variable == "process"] == [HOLD]


def test_arc_energy_takes_the_hottest_corner_of_the_ranges() -> None:
    one = ProcedurePass(
        kind="fill",
        process="111",
        filler="E7018",
        voltage_v=Span(low=20, high=24),
        current_a=Span(low=90, high=120),
        travel_mm_min=Span(low=100, high=200),
    )
    assert pqr_limits.arc_energy_of(one) == pytest.approx(1.728)
    assert pqr_limits.arc_energy_of(replace(one, travel_mm_min=Span(high=200))) is None
    assert pqr_limits.arc_energy_of(replace(one, voltage_v=None)) is None


def test_limits_are_choices_or_ranges_with_a_clause() -> None:
    paper = certificate(deposits=(SMAW,))
    for limit in edition_2019.qualified_range(paper, SMAW, {}).values():
        assert limit.basis.clause.startswith(("QW-", "Table QW-"))
        assert isinstance(limit, Choice) or limit.unit == "mm"


@pytest.mark.parametrize(
    ("od", "choices", "good"),
    [
        (73.0, {}, True),
        (72.9, {}, False),
        (73.0, {"ix units": US}, False),
        (73.025, {"ix units": US}, True),
    ],
)
def test_fillets_on_pipe_after_a_plate_groove_test(
    od: float, choices: dict[str, str], *, good: bool
) -> None:
    limits = welder_limits.fillets_after_groove("plate", choices)
    assert (od in limits.od_mm) is good
    assert str(limits.base_mm) == str(limits.leg_mm) == "any"


@pytest.mark.parametrize(
    ("diameter", "choices", "shown"),
    [
        (6.0, {}, "up to 6 mm"),
        (6.1, {}, "any"),
        (None, {}, "up to 6 mm"),
        (6.35, {"ix units": US}, "up to 6.35 mm"),
        (6.4, {"ix units": US}, "any"),
    ],
)
def test_electrode_diameter(diameter: float | None, choices: dict[str, str], shown: str) -> None:
    one = PqrPass(number=1, kind="fill", process="111", filler="E7018", filler_mm=diameter)
    limits = edition_2019.procedure_range(pqr(impact_tested=True, passes=(one,)), choices)
    assert str(limits["electrode diameter, SMAW"]) == shown


def test_rules_lead_to_functions() -> None:
    rules = [*edition_2019.RULES, *asme_b31_3.RULES, *asme_b31_4.RULES, *asme_b31_8.RULES]
    for rule in rules:
        module, _, name = rule.function.rpartition(".")
        assert callable(getattr(import_module(module), name)), rule.function
        assert rule.known in ("read", "secondary", "memory")
        assert rule.clause
    titles = [rule.title for rule in edition_2019.RULES]
    assert len(titles) == len(set(titles))
    assert (asme_b31_4.EDITION, asme_b31_8.EDITION) == ("ASME B31.4:2016", "ASME B31.8:2018")


def test_impact_tests_are_named_where_they_lack() -> None:
    wps = Procedure(number="P", revision="0", title="", code="", passes=())
    reasons = edition_2019.supports([pqr()], wps, {"ix toughness": "required"})
    (impact,) = (r for r in reasons if r.variable == "impact tests of Q")
    assert (impact.found, impact.permitted) == ("not impact tested", "impact tested")


@pytest.mark.parametrize(
    ("deposit", "at", "units", "bends"),
    [
        (9.9, {"1G"}, "SI", {"face_bend": 1, "root_bend": 1, "total": 2}),
        (10.0, {"2G"}, "SI", {"side_bend": 2, "total": 2}),
        (9.9, {"5G"}, "SI", {"face_bend": 2, "root_bend": 2, "total": 4}),
        (19.0, {"6G"}, "SI", {"side_bend": 4, "total": 4}),
        (9.9, {"2G", "5G"}, "SI", {"face_bend": 3, "root_bend": 3, "total": 6}),
        (9.525, {"1G"}, US, {"side_bend": 2, "total": 2}),
        (9.5, {"1G"}, US, {"face_bend": 1, "root_bend": 1, "total": 2}),
    ],
)
def test_bends_of_a_welder(deposit: float, at: set[str], units: str, bends: dict[str, int]) -> None:
    assert results.welder_bends(deposit, frozenset(at), units) == bends


def test_bends_refuse_no_deposit() -> None:
    with pytest.raises(InputError) as caught:
        results.welder_bends(0.0, frozenset({"1G"}))
    assert caught.value.name == "deposit_mm"


@pytest.mark.parametrize(
    ("filler", "shown"), [("ER70S-6", "with filler"), ("none", "without filler")]
)
def test_filler_of_a_tungsten_test(filler: str, shown: str) -> None:
    one = PqrPass(number=1, kind="root", process="141", filler=filler, covering="solid", gas="I1")
    limits = edition_2019.procedure_range(pqr(passes=(one,)), {})
    assert str(limits["filler metal, GTAW"]) == shown


@pytest.mark.parametrize(
    ("position", "direction", "shown"),
    [
        ("PB", "", "not uphill"),
        ("PF", "", "not uphill, uphill"),
        ("3F", "down", "not uphill"),
        ("3F", "", "nothing: not recorded in the test"),
        ("", "up", "nothing: not recorded in the test"),
    ],
)
def test_progression_of_a_fillet_test_in_2017(position: str, direction: str, shown: str) -> None:
    one = PqrPass(number=1, kind="fill", process="111", filler="E7018", direction=direction)
    test = pqr(weld_type="fillet", position=position, impact_tested=True, passes=(one,))
    assert str(edition_2017.procedure_range(test, {})["progression, SMAW"]) == shown


def test_what_is_blank_on_both_sides_says_so() -> None:
    line = ProcedurePass(kind="root", process="141", filler="ER70S-6", covering="solid")
    wps = Procedure(number="P", revision="0", title="", code="", passes=(line,))
    one = PqrPass(number=1, kind="root", process="141", filler="ER70S-6", covering="solid")
    reasons = edition_2019.supports([pqr(passes=(one,))], wps, {})
    (gas,) = (r for r in reasons if r.variable == "shielding gas, GTAW")
    assert (gas.found, gas.verdict) == ("not recorded", HOLD)
