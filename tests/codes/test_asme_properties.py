"""What must hold of the ASME rules whatever the record."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from dossier.codes import asme_b31_3
from dossier.codes.asme_b31_3 import acceptance, sampling
from dossier.codes.asme_ix import edition_2017, edition_2019, thickness
from dossier.codes.extents import welds_to_examine
from dossier.records.examinations import Indication
from dossier.records.procedures import Pqr, PqrPass, Procedure, ProcedurePass, Span
from dossier.records.verdicts import CLEAR, worst
from dossier.records.weld import Weld
from dossier.records.welders import Certificate, Confirmation, Deposit

UNITS = st.sampled_from(["SI", "US customary"])
MM = st.floats(0.8, 250.0).map(lambda mm: round(mm, 2))
OD = st.floats(10.0, 1500.0).map(lambda mm: round(mm, 1))
POSITIONS = {
    ("plate", "butt"): ["1G", "2G", "3G", "4G", "PA", "PC", "PF", "PE"],
    ("pipe", "butt"): ["1G", "2G", "5G", "6G", "PH", "H-L045"],
    ("plate", "fillet"): ["1F", "2F", "3F", "4F", "PB"],
    ("pipe", "fillet"): ["1F", "2F", "2FR", "4F", "5F"],
}
BACKINGS = ["none", "material", "weld metal", "gas", "consumable insert"]


@st.composite
def deposits(draw: st.DrawFn) -> Deposit:
    process = draw(st.sampled_from(["111", "121", "135", "136", "141", "15"]))
    steel = {"111": ["F1", "F2", "F3", "F4", "F5"]}
    return Deposit(
        process=process,
        deposit_mm=draw(MM),
        filler="any",
        filler_group=draw(st.sampled_from(steel.get(process, ["F6", "F43"]))),
        covering="flux cored" if process == "136" else "solid",
        transfer=draw(st.sampled_from(["short circuit", "spray"])) if process == "135" else "",
        backing=draw(st.sampled_from(BACKINGS)),
        layers=draw(st.integers(1, 9)),
        root=draw(st.booleans()),
        current=draw(st.sampled_from(["DC-", "AC"])),
    )


@st.composite
def certificates(draw: st.DrawFn) -> Certificate:
    product, weld_type = draw(st.sampled_from(sorted(POSITIONS)))
    wall = draw(MM)
    places = st.sampled_from(POSITIONS[product, weld_type])
    return Certificate(
        number="W",
        code="ASME IX:2019",
        welded_on=date(2024, 1, 8),
        product=product,
        weld_type=weld_type,
        positions=tuple(draw(st.lists(places, min_size=1, max_size=3, unique=True))),
        direction="up",
        material_group=draw(st.sampled_from(["P1.1", "P8.1", "P5B.1", "P22", "P51", "P31"])),
        od_mm=draw(OD) if product == "pipe" else None,
        wall_mm=wall,
        throat_mm=wall / 2 if weld_type == "fillet" else None,
        sides=draw(st.sampled_from(["single", "both"])),
        deposits=tuple(draw(st.lists(deposits(), min_size=1, max_size=3))),
    )


@given(certificates(), UNITS)
@settings(max_examples=200, deadline=None)
def test_a_test_piece_is_covered_by_its_own_range(paper: Certificate, units: str) -> None:
    for weld in paper.test_welds():
        reasons = edition_2019.covers(paper, weld, {"ix units": units})
        assert worst(reasons) is CLEAR, [r for r in reasons if r.verdict]


@st.composite
def welds(draw: st.DrawFn, paper: Certificate) -> Weld:
    """A weld in the neighbourhood of the certificate, so that many are covered."""
    weld = draw(st.sampled_from(paper.test_welds()))
    stretch = st.sampled_from([0.5, 1.0, 1.1, 1.5, 2.0, 2.5, 10.0])
    return replace(
        weld,
        product=draw(st.sampled_from(["pipe", "plate"])),
        weld_type=draw(st.sampled_from([weld.weld_type, "fillet"])),
        position=draw(st.sampled_from(["1G", "2G", "3G", "4G", "5G", "6G"])),
        od_mm=draw(OD),
        deposit_mm=(weld.deposit_mm or 1.0) * draw(stretch),
        backing=draw(st.sampled_from([weld.backing, "none"])),
        root=draw(st.sampled_from([weld.root, True])),
    )


EASIER_POSITIONS = {"6G": ["5G", "2G", "1G", "3G", "4G"], "5G": ["1G", "3G", "4G"]}


@given(st.data(), certificates(), UNITS)
@settings(max_examples=200, deadline=None)
def test_no_harder_weld_is_covered_where_an_easier_one_is_not(
    data: st.DataObject, paper: Certificate, units: str
) -> None:
    weld = data.draw(welds(paper))
    choices = {"ix units": units}
    easier = [
        replace(weld, deposit_mm=(weld.deposit_mm or 1.0) / 2),
        replace(weld, od_mm=(weld.od_mm or 1.0) * 2),
        replace(weld, backing="material"),
        replace(weld, sides="both"),
        *(replace(weld, position=p) for p in EASIER_POSITIONS.get(weld.position, [])),
    ]
    if worst(edition_2019.covers(paper, weld, choices)) is CLEAR:
        for one in easier:
            reasons = edition_2019.covers(paper, one, choices)
            assert worst(reasons) is CLEAR, (one, [r for r in reasons if r.verdict])


@given(certificates(), st.data())
@settings(max_examples=100, deadline=None)
def test_a_blank_never_turns_a_refusal_into_cover(paper: Certificate, data: st.DataObject) -> None:
    weld = data.draw(welds(paper))
    name = data.draw(st.sampled_from(["position", "material_group", "filler_group", "weld_type"]))
    blank = replace(weld, filler="") if name == "filler_group" else weld
    blank = replace(blank, **{name: ""})
    assert worst(edition_2019.covers(paper, blank, {})) is not CLEAR


DAYS = st.dates(date(2023, 6, 1), date(2026, 6, 1))


@given(st.lists(DAYS, max_size=8), DAYS, st.integers(1, 900))
@settings(deadline=None)
def test_what_lapsed_stays_lapsed_without_a_renewal_test(
    used: list[date], day: date, later: int
) -> None:
    paper = Certificate(
        number="W", code="", welded_on=date(2024, 1, 8), deposits=(Deposit(process="111"),)
    )
    history = [Confirmation(signed_on=one, by="") for one in used]
    first = edition_2019.valid_on(paper, day, history, {})
    then = edition_2019.valid_on(paper, day + timedelta(days=later), history, {})
    if day >= paper.welded_on and worst(first) is not CLEAR:
        assert worst(then) is not CLEAR


@given(st.lists(st.tuples(DAYS, st.booleans()), max_size=8))
@settings(deadline=None)
def test_the_last_day_in_force_is_the_last(entries: list[tuple[date, bool]]) -> None:
    paper = Certificate(
        number="W", code="", welded_on=date(2024, 1, 8), deposits=(Deposit(process="141"),)
    )
    history = [Confirmation(signed_on=d, by="", renewal=renewal) for d, renewal in entries]
    until = edition_2019.valid_until(paper, history, {})
    assert worst(edition_2019.valid_on(paper, until, history, {})) is CLEAR
    for days in (1, 30, 400):
        after = until + timedelta(days=days)
        assert worst(edition_2019.valid_on(paper, after, history, {})) is not CLEAR


@given(MM, UNITS)
@settings(deadline=None)
def test_a_coupon_lies_inside_the_thickness_it_qualifies(coupon: float, units: str) -> None:
    plain = thickness.base_metal_range(coupon, units=units)
    assert coupon in plain
    assert coupon in thickness.toughness_range(plain, coupon, units)
    assert coupon in thickness.thick_pass_range(plain, coupon, coupon, units)
    assert coupon in thickness.short_arc_range(plain, coupon, units)
    assert coupon in thickness.longitudinal_bend_range(coupon, units)
    assert thickness.toughness_range(plain, coupon, units).low >= plain.low


@given(MM, st.booleans(), st.sampled_from(["111", "121", "135", "141"]))
@settings(max_examples=100, deadline=None)
def test_a_procedure_supports_the_sheet_it_was_welded_to(
    wall: float, impact: bool, process: str
) -> None:
    shared = {
        "kind": "fill",
        "process": process,
        "filler": "E7018" if process == "111" else "ER70S-6",
        "covering": "solid",
        "filler_mm": 3.2,
        "gas": "M21",
        "transfer": "spray" if process == "135" else "",
        "current": "DC+",
        "direction": "up",
    }
    heat = {"voltage_v": 24.0, "current_a": 150.0, "travel_mm_min": 120.0}
    test = Pqr(
        number="Q",
        code="",
        welded_on=date(2024, 1, 8),
        weld_type="butt",
        material_groups=("P1.2",),
        wall_mm=wall,
        position="3G",
        preheat_c=100.0,
        interpass_max_c=200.0,
        impact_tested=impact,
        passes=(PqrPass(number=1, **shared, **heat),),  # type: ignore[arg-type]
    )
    spans = {name: Span(low=value, high=value) for name, value in heat.items()}
    wps = Procedure(
        number="P",
        revision="0",
        title="",
        code="",
        weld_type="butt",
        material_groups=("P1.2",),
        wall_mm=Span(low=wall, high=wall),
        positions=("3G",),
        preheat_min_c=100.0,
        interpass_max_c=200.0,
        passes=(ProcedurePass(**shared, **spans),),  # type: ignore[arg-type]
    )
    for edition in (edition_2017, edition_2019):
        reasons = edition.supports([test], wps, {})
        refused = [r for r in reasons if r.verdict and " of Q" not in r.variable]
        assert refused == []


PLACES = st.lists(st.tuples(st.floats(0, 799), st.floats(0.1, 60)), max_size=6)


@given(PLACES, st.floats(0, 800))
@settings(deadline=None)
def test_a_window_knows_no_twelve_o_clock(places: list[tuple[float, float]], turn: float) -> None:
    most = acceptance.most_in_window(places, 150.0, 800.0)
    turned = [((start + turn) % 800.0, length) for start, length in places]
    assert abs(acceptance.most_in_window(turned, 150.0, 800.0) - most) < 1e-6
    assert most <= sum(length for _, length in places) + 1e-9
    assert most >= max((length for _, length in places), default=0.0) - 1e-9


KINDS = st.sampled_from(["C", "IF", "IP", "ESI", "P", "EU", "IC", "BT"])
SIZES = st.one_of(st.none(), st.floats(0.1, 50))


@st.composite
def indications(draw: st.DrawFn) -> Indication:
    return Indication(
        kind=draw(KINDS),
        start_mm=draw(st.floats(0, 800)),
        length_mm=draw(SIZES),
        width_mm=draw(SIZES),
        depth_mm=draw(SIZES),
        density_exceeds_base=draw(st.one_of(st.none(), st.booleans())),
    )


SERVICES = st.sampled_from(["normal", "severe cyclic", "category D"])


@given(st.lists(indications(), max_size=4), indications(), SERVICES, st.floats(2, 40))
@settings(deadline=None)
def test_one_more_indication_never_helps(
    found: list[Indication], more: Indication, service: str, wall: float
) -> None:
    def judged(these: list[Indication]) -> int:
        choices = {"b31.3 service": service}
        return worst(asme_b31_3.accept("RT", these, od_mm=273.0, wall_mm=wall, choices=choices))

    assert judged([*found, more]) >= judged(found)


@given(st.integers(0, 500), st.integers(0, 100), st.integers(0, 30))
@settings(deadline=None)
def test_a_larger_lot_or_share_asks_no_fewer_welds(lot: int, percent: int, welders: int) -> None:
    asked = welds_to_examine(lot, percent, welders)
    assert 0 <= asked <= lot
    assert asked * 100 >= lot * percent
    assert welds_to_examine(lot + 1, percent, welders) >= asked
    assert welds_to_examine(lot, min(100, percent + 1), welders) >= asked


@given(st.integers(1, 9), st.integers(0, 9), st.integers(0, 9))
@settings(deadline=None)
def test_each_defect_in_a_tier_asks_two_more(first: int, second: int, third: int) -> None:
    opened = sampling.progressive(first, choices={})
    assert opened.more == 2 * first
    second = min(second, opened.more)
    further = sampling.progressive(first, second, choices={})
    assert further.more == 2 * second
    assert further.looked_at == first + 2 * first + 2 * second
    if second:
        end = sampling.progressive(first, second, min(third, 2 * second), choices={})
        assert end.more == 0
        assert end.state == ("all represented" if third else "accepted")
