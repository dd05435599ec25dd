"""The fewest welder tests: against trying everything, and by the rules of the codes themselves."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from dossier.codes.editions import welder_code
from dossier.coverage.plan import Plan, plan, solve
from dossier.coverage.plan.dominance import Limits, inside
from dossier.coverage.plan.hypothetical import with_records
from dossier.coverage.plan.needs import Need, Needs
from dossier.coverage.plan.solve import Choice, fewest
from dossier.coverage.plan.staff import Staff
from dossier.coverage.plan.welder_tests import (
    WelderTests,
    candidates,
    cannot_be_judged,
    welder_tests,
)
from dossier.coverage.view import View, view
from dossier.intake import load_project
from dossier.records.verdicts import CLEAR, Basis, Range, worst
from dossier.records.weld import Weld
from dossier.records.welders import Certificate, Welder
from tests.coverage.plan.cases import case, every_cover, fewest_by_trying

SAMPLE = Path(__file__).parents[3] / "sample_project"
ISO = "ISO 9606-1:2012"
NOBODY = Staff(date(2026, 7, 1), (), {}, Choice((), 0, ""))


@pytest.fixture(scope="module")
def seen() -> View:
    return view(load_project(SAMPLE))


@pytest.fixture(scope="module")
def made(seen: View) -> Plan:
    return plan(seen)


@pytest.mark.parametrize("number", range(200))
def test_no_choice_of_all_coupons_is_smaller(number: int) -> None:
    given = case(number)
    least, whole = fewest_by_trying(every_cover(given))
    found = candidates(given.needs, given.together, {})
    assert frozenset[int]().union(*(c.covers for c in found)) == whole
    ways = {str(n): [frozenset({c.name}) for c in found if n in c.covers] for n in sorted(whole)}
    choice = fewest(ways)
    assert (len(choice.names), choice.proven) == (least, True)


def _wall(low: float, high: float, **more: bool) -> Limits:
    return ((True, {"wall": Range(low, high, Basis("a code", "", ""), **more)}),)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("own", "wide", "inside_it"),
    [
        (_wall(3, 8), _wall(3, 8), True),
        (_wall(3, 8), _wall(2, 9), True),
        (_wall(2, 8), _wall(3, 8), False),
        (_wall(3, 9), _wall(3, 8), False),
        (_wall(3, 8), _wall(3, 8, low_open=True), False),
        (_wall(3, 8), _wall(3, 8, high_open=True), False),
        (_wall(3, 8, low_open=True, high_open=True), _wall(3, 8), True),
        (
            _wall(3, 8, low_open=True, high_open=True),
            _wall(3, 8, low_open=True, high_open=True),
            True,
        ),
    ],
)
def test_an_end_that_is_open_leaves_its_own_value_out(
    own: Limits, wide: Limits, *, inside_it: bool
) -> None:
    assert inside(own, wide) is inside_it


@pytest.mark.parametrize("number", range(0, 200, 10))
def test_however_they_are_chosen_the_number_is_the_same(
    number: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    given = case(number)
    asked = Needs(given.needs, {f"J-{n}": group for n, group in enumerate(given.together)}, ())
    tried = welder_tests(asked, NOBODY, {})
    monkeypatch.setattr(solve, "_FEW", 0)
    programmed = welder_tests(asked, NOBODY, {})
    monkeypatch.setattr(solve, "find_spec", lambda _: None)
    searched = welder_tests(asked, NOBODY, {})
    assert tried.choice.solver == solve.TRIED
    assert "HiGHS" in programmed.choice.solver
    assert "without scipy" in searched.choice.solver
    assert len(searched.tests) == len(programmed.tests) == len(tried.tests)
    assert searched.choice.proven


def _answers(found: WelderTests, needs: tuple[Need, ...]) -> Iterator[tuple[str, str, bool]]:
    """What the code says of every proposed test and every open need."""
    for test in found.tests:
        for place in found.open:
            need = needs[place]
            if need.code == test.certificate.code:
                reasons = welder_code(need.code).covers(test.certificate, need.weld, {})
                yield test.name, need.name, worst(reasons) == CLEAR


def test_the_codes_agree_with_every_cover_of_the_plan(made: Plan) -> None:
    by_plan = {(t.name, made.asked.needs[n].name) for t in made.welders.tests for n in t.covers}
    by_code = {(t, n) for t, n, clear in _answers(made.welders, made.asked.needs) if clear}
    assert by_plan == by_code
    assert {made.asked.needs[n].name for n in made.welders.open} == {n for _, n in by_code}


def test_the_sample_lacks_two_tests(made: Plan) -> None:
    heavy, small = sorted(made.welders.tests, key=lambda test: test.joints, reverse=True)
    assert (heavy.joints, small.joints) == (("TI-7", "TI-8"), ("PT-29", "PT-30"))
    assert heavy.certificate.wall_mm == pytest.approx(20.6)
    assert [part.process for part in small.certificate.deposits] == ["141", "111"]
    assert (heavy.pieces, small.pieces) == (1, 1)
    assert made.welders.choice.proof.startswith("2, proven the fewest: no choice of 1 answers all")
    assert [(offer.stamp, offer.lacks) for offer in small.offers] == [
        ("W12", ("outside diameter",)),
        ("W13", ("outside diameter",)),
    ]


def test_with_the_proposed_certificates_nothing_is_open(seen: View, made: Plan) -> None:
    held = [
        Welder(stamp=test.offers[0].stamp, name="", certificates=(replace(
            test.certificate, welded_on=seen.as_of, method="9.3 a"),))
        for test in made.welders.tests
    ]  # fmt: skip
    tried = plan(view(with_records(seen.project, held, seen.as_of), seen.as_of))
    assert (tried.welders.open, tried.welders.tests) == ((), ())
    assert tried.welders.choice.proof == "0: nothing is lacking"


def test_who_may_weld_a_joint_tomorrow(made: Plan) -> None:
    may = {need.name: made.staff.may(place) for place, need in enumerate(made.asked.needs)}
    joints = {need.joints: may[need.name] for need in made.asked.needs}
    assert joints["TI-4", "TI-5", "TI-6"] == ["W09", "W10", "W11"]
    assert joints["PT-32",] == ["W12"]
    # W14 holds the range of the station butts, but nobody confirmed it in time.
    (butts,) = {n for n, need in enumerate(made.asked.needs) if need.joints == ("PT-25", "PT-26")
                and need.weld.process == "141"}  # fmt: skip
    assert [h.stamp for h in made.staff.lapsed(butts)] == ["W14"]


def _need(**changed: object) -> Need:
    weld = Weld(
        process="111", product="pipe", weld_type="butt", position="PH", filler_group="FM1",
        covering="basic", deposit_mm=7.1, wall_mm=7.1, od_mm=168.3, sides="single",
        backing="none", layers=3, root=True,
    )  # fmt: skip
    return Need("N1", ISO, replace(weld, **changed), ("WPS-1",), ("root",), ("J-1",))  # type: ignore[arg-type]


def _planned(need: Need) -> WelderTests:
    return welder_tests(Needs((need,), {"J-1": (0,)}, ()), NOBODY, {})


def test_a_position_that_no_test_shows_is_explained() -> None:
    found = _planned(_need(position="K-L045"))
    ((place, reasons),) = found.impossible
    assert (place, found.tests) == (0, ())
    assert {reason.variable for reason in reasons} == {"position"}
    assert reasons[0].basis.clause == "5.8, Table 9"
    assert not cannot_be_judged(reasons)


def test_a_value_that_is_not_recorded_is_told_apart_from_one_that_no_test_covers() -> None:
    ((_, reasons),) = _planned(_need(od_mm=None)).impossible
    assert cannot_be_judged(reasons)
    assert "outside diameter" in {reason.variable for reason in reasons}


def test_a_branch_below_sixty_degrees_takes_a_branch_test() -> None:
    (test,) = _planned(_need(weld_type="branch", branch_angle_deg=45.0)).tests
    assert test.certificate.weld_type == "branch"
    (butt,) = _planned(_need(weld_type="branch", branch_angle_deg=75.0)).tests
    assert butt.certificate.weld_type == "butt"


def test_a_multiple_qualification_is_proposed_only_where_it_saves_a_test() -> None:
    thin = Weld(
        process="111", product="pipe", weld_type="butt", position="PH", direction="down",
        filler="E6010", wall_mm=4.0, od_mm=60.3, deposit_mm=4.0, sides="single", backing="none",
        root=True,
    )  # fmt: skip
    thick = replace(thin, wall_mm=20.6, deposit_mm=20.6, od_mm=610.0)
    needs = tuple(
        Need(f"N{n}", "API 1104:21st", weld, ("W",), ("root",), (f"J-{n}",))
        for n, weld in enumerate((thin, thick), 1)
    )
    both = welder_tests(Needs(needs, {"J-1": (0,), "J-2": (1,)}, ()), NOBODY, {})
    assert [(t.certificate.branch, t.pieces, t.covers) for t in both.tests] == [(True, 2, (0, 1))]
    alone = welder_tests(Needs(needs[:1], {"J-1": (0,)}, ()), NOBODY, {})
    assert [(t.certificate.branch, t.pieces) for t in alone.tests] == [(False, 1)]


def test_a_certificate_from_elsewhere_is_no_part_of_the_plan(made: Plan) -> None:
    tested: Certificate = made.welders.tests[0].certificate
    assert (tested.number, tested.result) == ("T1", "passed")
