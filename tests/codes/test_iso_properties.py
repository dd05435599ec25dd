"""Properties that hold for every certificate, weld and history, whatever the figures."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from dossier.codes import iso_9606_1_2012 as welder
from dossier.codes import iso_15614_1_2004, iso_15614_1_2017
from dossier.codes.iso_9606_1_2012 import detail, dimensions, filler, position
from dossier.codes.iso_9606_1_2012.designation import (
    certificate_of,
    designation_of,
    read_designation,
)
from dossier.codes.iso_15614_1_2004 import dimensions as procedure_dimensions
from dossier.codes.periods import months_later
from dossier.records.procedures import Groove, Pqr, PqrPass, Procedure, ProcedurePass, Span
from dossier.records.procedures import TestResult as Result
from dossier.records.verdicts import CLEAR, Qualified, Range, worst
from dossier.records.weld import Weld
from dossier.records.welders import Certificate, Confirmation, Deposit

settings.register_profile("codes", max_examples=150, deadline=None)
settings.load_profile("codes")

TENTHS = st.integers(10, 400).map(lambda n: n / 10)
DIAMETERS = st.integers(100, 12000).map(lambda n: n / 10)
POSITIONS = ("PA", "PC", "PE", "PF", "PG", "PH", "PJ", "H-L045", "J-L045")
DAYS = st.dates(date(2019, 1, 1), date(2027, 12, 31))


@st.composite
def certificates(draw: st.DrawFn) -> Certificate:
    """Butt and fillet tests of one process, complete, with layers enough for their thickness."""
    butt = draw(st.booleans())
    process = draw(st.sampled_from(["111", "135", "136", "141"]))
    covering = draw(
        st.sampled_from(
            {"111": ["B", "C", "RB"], "135": ["S", "M"], "136": ["B", "P"], "141": ["S"]}[process]
        )
    )
    product = draw(st.sampled_from(["pipe", "plate"]))
    thickness = draw(TENTHS)
    places = POSITIONS if butt else ("PA", "PB", "PC", "PD", "PE", "PF", "PG", "PH", "PJ")
    part = Deposit(
        process=process,
        deposit_mm=thickness,
        filler_group=draw(st.sampled_from(["FM1", "FM2", "FM3", "FM4", "FM5", "FM6"])),
        covering=filler.covering_of(covering, "", process) or "",
        transfer=draw(st.sampled_from(["short circuit", "globular", "spray", "pulsed"])),
        backing=draw(st.sampled_from(["none", "material", "gas"])),
        layers=draw(st.integers(3, 9)),
        root=True,
    )
    return Certificate(
        number="Q1",
        code=welder.EDITION,
        welded_on=date(2025, 3, 3),
        product=product,
        weld_type="butt" if butt else "fillet",
        positions=(draw(st.sampled_from(places)),),
        wall_mm=thickness,
        od_mm=draw(DIAMETERS) if product == "pipe" else None,
        sides=draw(st.sampled_from(["single", "both"])),
        deposits=(part,),
    )


@given(certificates())
def test_a_test_piece_lies_in_its_own_range(certificate: Certificate) -> None:
    for weld in certificate.test_welds():
        assert worst(welder.covers(certificate, weld, {})) == CLEAR


@given(certificates(), st.data())
def test_an_unrecorded_value_never_helps(certificate: Certificate, data: st.DataObject) -> None:
    """Blanking a field of the test piece gives at best a clear, never a clear out of a fault."""
    weld = certificate.test_welds()[0]
    name = data.draw(st.sampled_from(["position", "product", "weld_type", "deposit_mm", "wall_mm"]))
    blank = replace(weld, **{name: None if name.endswith("_mm") else ""})
    outside = replace(weld, filler_group="FM9")
    assert worst(welder.covers(certificate, outside, {})) > CLEAR
    assert worst(welder.covers(certificate, replace(blank, filler_group="FM9"), {})) > CLEAR


# Each key covers every value after it: a harder detail, position or group first.
DETAIL_ORDER = [("ss nb", "ss gb"), ("ss nb", "ss mb"), ("ss nb", "bs"), ("ss gb", "ss mb")]
POSITION_ORDER = [("H-L045", "PH"), ("H-L045", "PC"), ("PH", "PF"), ("PC", "PA"), ("PF", "PA"),
                  ("J-L045", "PJ"), ("PJ", "PG")]  # fmt: skip


@given(st.sampled_from(POSITIONS), st.sampled_from(POSITION_ORDER))
def test_harder_position_is_not_covered_when_the_easier_is_not(
    tested: str, pair: tuple[str, str]
) -> None:
    covered = position.qualified_butt_positions([tested])
    hard, easy = pair
    assert hard not in covered or easy in covered


@given(st.sampled_from(["ss nb", "ss mb", "bs", "ss gb", "ss fb", "ci"]))
def test_harder_detail_is_not_covered_when_the_easier_is_not(tested: str) -> None:
    covered = detail.qualified_details(tested)
    for hard, easy in DETAIL_ORDER:
        assert hard not in covered or easy in covered


@given(TENTHS, TENTHS)
def test_a_thicker_deposit_never_covers_less_at_the_top(first: float, second: float) -> None:
    assume(first <= second)
    low = dimensions.butt_deposit_range(first, 3, "111")
    high = dimensions.butt_deposit_range(second, 3, "111")
    assert low.high <= high.high
    assert low.low <= high.low


@given(DIAMETERS)
def test_a_diameter_lies_in_its_own_range(od_mm: float) -> None:
    assert od_mm in dimensions.diameter_range(od_mm)
    assert od_mm in procedure_dimensions.diameter_range(od_mm)


@given(certificates())
def test_designation_is_read_back_as_it_was_written(certificate: Certificate) -> None:
    assume(certificate.weld_type == "butt")
    written = str(designation_of(certificate))
    again = certificate_of(read_designation(written), "Q1", certificate.welded_on)
    assert str(designation_of(again)) == written
    assert again.od_mm == certificate.od_mm
    assert again.deposits[0].deposit_mm == certificate.deposits[0].deposit_mm


HISTORY = st.lists(
    st.tuples(st.integers(0, 1500), st.booleans()).map(
        lambda pair: Confirmation(
            signed_on=date(2021, 1, 1) + timedelta(days=pair[0]), by="coordinator", renewal=pair[1]
        )
    ),
    max_size=9,
)


@given(DAYS, HISTORY, st.sampled_from(["9.3 a", "9.3 b", ""]), st.integers(0, 1500))
def test_validity_never_comes_back_after_a_lapse_without_a_new_test(
    start: date, history: list[Confirmation], method: str, offset: int
) -> None:
    given_one = Certificate(number="Q1", code=welder.EDITION, welded_on=start, method=method)
    day = start + timedelta(days=offset)
    end = welder.valid_until(given_one, [c for c in history if c.signed_on <= day], {})
    new_test = method == "9.3 a" and any(c.renewal and c.signed_on > day for c in history)
    if end < day and not new_test:
        assert welder.valid_until(given_one, history, {}) == end


@given(DAYS, HISTORY, st.sampled_from(["9.3 a", "9.3 b"]), st.integers(0, 1500))
def test_last_day_agrees_with_every_day(
    start: date, history: list[Confirmation], method: str, offset: int
) -> None:
    given_one = Certificate(number="Q1", code=welder.EDITION, welded_on=start, method=method)
    day = start + timedelta(days=offset)
    known = [c for c in history if c.signed_on <= day]
    in_force = worst(welder.valid_on(given_one, day, known, {})) == CLEAR
    assert in_force == (day <= welder.valid_until(given_one, known, {}))


@given(DAYS, st.integers(0, 240))
def test_a_period_of_months_is_not_over_early(day: date, months: int) -> None:
    end = months_later(day, months)
    assert (end.year * 12 + end.month) - (day.year * 12 + day.month) == months
    assert end.day == day.day or (end + timedelta(days=1)).day == 1


@st.composite
def procedure_tests(draw: st.DrawFn) -> Pqr:
    measured = {
        "voltage_v": draw(st.integers(18, 30)) * 1.0,
        "current_a": draw(st.integers(80, 220)) * 1.0,
        "travel_mm_min": draw(st.integers(80, 300)) * 1.0,
    }
    passes = tuple(
        PqrPass(number=n, kind=kind, process="111", filler="E7018", current="DC+", **measured)
        for n, kind in enumerate(("root", "fill", "cap"), 1)
    )
    return Pqr(
        number="P1",
        code=iso_15614_1_2017.EDITION,
        level=draw(st.sampled_from(["", "1", "2"])),
        welded_on=date(2025, 2, 3),
        product=draw(st.sampled_from(["pipe", "plate"])),
        weld_type="butt",
        material_groups=("2.1", "2.1"),
        smys_mpa=450.0,
        wall_mm=draw(TENTHS),
        od_mm=draw(DIAMETERS),
        position=draw(st.sampled_from(POSITIONS)),
        groove=Groove(kind="V", sides=draw(st.sampled_from(["single", "both"]))),
        passes=passes,
        preheat_c=draw(st.integers(5, 150)) * 1.0,
        interpass_max_c=250.0,
        impact_tested=draw(st.booleans()),
        hardness_tested=draw(st.booleans()),
        tests=(Result(kind="visual"),),
    )


def own_procedure(pqr: Pqr) -> Procedure:
    """The procedure that asks for the test piece and nothing else."""

    def just(value: float | None) -> Span:
        return Span(low=value, high=value)

    passes = tuple(
        ProcedurePass(
            kind=one.kind,
            process=one.process,
            filler=one.filler,
            current=one.current,
            voltage_v=just(one.voltage_v),
            current_a=just(one.current_a),
            travel_mm_min=just(one.travel_mm_min),
        )
        for one in pqr.passes
    )
    return Procedure(
        number="W1",
        revision="0",
        title="as tested",
        code=pqr.code,
        level=pqr.level if pqr.level == "1" else "2",
        product=pqr.product,
        weld_type=pqr.weld_type,
        material_groups=pqr.material_groups,
        smys_mpa=just(pqr.smys_mpa),
        wall_mm=just(pqr.wall_mm),
        od_mm=just(pqr.od_mm),
        positions=(pqr.position,),
        groove=pqr.groove,
        passes=passes,
        preheat_min_c=pqr.preheat_c,
        interpass_max_c=pqr.interpass_max_c,
    )


@given(procedure_tests())
def test_a_procedure_that_repeats_its_test_is_supported(pqr: Pqr) -> None:
    wps = own_procedure(pqr)
    for code in (iso_15614_1_2004, iso_15614_1_2017):
        reasons = code.supports([pqr], wps, {})
        assert worst(reasons) == CLEAR, [str(r.variable) for r in reasons if r.verdict]


@given(procedure_tests(), procedure_tests())
def test_a_further_test_never_takes_support_away(first: Pqr, second: Pqr) -> None:
    wps = own_procedure(first)
    for code in (iso_15614_1_2004, iso_15614_1_2017):
        alone = worst(code.supports([first], wps, {}))
        assert worst(code.supports([first, second], wps, {})) <= alone
        assert worst(code.supports([second, first], wps, {})) <= alone


@given(procedure_tests(), TENTHS, TENTHS)
def test_a_wider_procedure_is_never_easier(pqr: Pqr, low: float, more: float) -> None:
    narrow = replace(own_procedure(pqr), wall_mm=Span(low=low, high=low + more))
    wide = replace(narrow, wall_mm=Span(low=low * 0.9, high=low + more + 1))
    code = iso_15614_1_2017
    assert worst(code.supports([pqr], narrow, {})) <= worst(code.supports([pqr], wide, {}))


@given(procedure_tests())
def test_a_level_2_range_is_never_empty_of_its_own_figures(pqr: Pqr) -> None:
    found: Qualified = iso_15614_1_2017.procedure_range(pqr, {})
    thickness = found["material thickness"]
    assert isinstance(thickness, Range)
    assert pqr.wall_mm is not None
    assert pqr.wall_mm in thickness


@given(st.text(max_size=40))
def test_a_designation_is_read_or_refused_never_broken(text: str) -> None:
    weld = Weld(process="111", filler=text)
    assert filler.group_of(weld.filler_group, weld.filler) in {
        None, "FM1", "FM2", "FM3", "FM4", "FM5", "FM6"
    }  # fmt: skip
