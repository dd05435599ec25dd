"""What must hold of API 1104 whatever the figures: coverage, windows, verdicts, validity."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dossier.codes import api_1104_20, api_1104_21, cfr_192_welders
from dossier.codes.api_1104_21.accept import merged
from dossier.codes.api_1104_21.extent import Mark, Measure, extent, worst_window
from dossier.codes.api_1104_21.settings import CHOICES
from dossier.records.examinations import Indication
from dossier.records.procedures import Groove, Pqr, PqrPass, Procedure, ProcedurePass, Span
from dossier.records.verdicts import CLEAR, NONCONFORMITY, worst
from dossier.records.weld import Weld
from dossier.records.welders import Certificate, Confirmation, Deposit

EDITIONS = (api_1104_20, api_1104_21)
OD = st.sampled_from((48.3, 60.3, 60.325, 88.9, 114.3, 168.3, 219.1, 323.8, 323.9, 406.4, 1219.0))
WALL = st.sampled_from((2.77, 4.7752, 4.8, 6.35, 9.53, 12.7, 19.05, 19.1, 25.4))
FILLERS = st.sampled_from(("E6010", "E8010-P1", "E7018", "ER70S-6", "E71T8-K6", "E308L-16"))
choice_sets = st.fixed_dictionaries(
    {}, optional={name: st.sampled_from((d, *o)) for name, (d, o, _) in CHOICES.items()}
)


@st.composite
def certificates(draw: st.DrawFn) -> Certificate:
    """Fully recorded certificates, of one deposit or of a root and a fill."""
    deposits = (
        Deposit(
            process=draw(st.sampled_from(("111", "135", "141"))),
            filler=draw(FILLERS),
            backing=draw(st.sampled_from(("none", "material"))),
            root=True,
        ),
    )
    if draw(st.booleans()):
        fill = Deposit(process="136", filler=draw(FILLERS), backing="none", root=False)
        deposits = (*deposits, fill)
    return Certificate(
        number="T-1",
        code="API 1104:21st",
        welded_on=date(2024, 2, 29),
        product="pipe",
        weld_type=draw(st.sampled_from(("butt", "fillet"))),
        positions=(draw(st.sampled_from(("1G", "2G", "5G", "6G", "PJ", "H-L045"))),),
        direction=draw(st.sampled_from(("up", "down"))),
        od_mm=draw(OD),
        wall_mm=draw(WALL),
        branch=draw(st.booleans()),
        deposits=deposits,
    )


@given(certificates(), choice_sets)
def test_test_piece_is_covered_by_its_own_range(
    paper: Certificate, choices: dict[str, str]
) -> None:
    for edition in EDITIONS:
        for weld in paper.test_welds():
            reasons = edition.covers(paper, weld, choices)
            assert worst(reasons) == CLEAR, reasons


@given(certificates(), OD, OD, WALL)
def test_larger_pipe_is_not_covered_by_a_multiple_test_that_misses_the_smaller(
    paper: Certificate, one: float, other: float, wall: float
) -> None:
    paper = replace(
        paper, branch=True, weld_type="butt", positions=("5G",), od_mm=one, wall_mm=wall
    )
    small, large = sorted((one, other))
    weld = replace(paper.test_welds()[0], root=None)
    multiple = str(api_1104_21.qualified_range(paper, paper.deposits[0], {})["joint"]) == "any"
    covered = [
        worst(api_1104_21.covers(paper, replace(weld, od_mm=od, root=True), {})) == CLEAR
        for od in (small, large)
    ]
    assert not multiple or covered[0] >= covered[1]


@given(certificates(), st.fixed_dictionaries({"od_mm": OD, "wall_mm": WALL, "filler": FILLERS}))
def test_single_qualification_never_covers_more_than_the_multiple_one(
    paper: Certificate, fields: dict[str, float]
) -> None:
    """The branch test only adds: a weld that the butt test covers stays covered."""
    butt = replace(paper, weld_type="butt", branch=False, od_mm=406.4)
    weld = replace(butt.test_welds()[0], **fields)
    if worst(api_1104_21.covers(butt, weld, {})) == CLEAR:
        assert worst(api_1104_21.covers(replace(butt, branch=True), weld, {})) == CLEAR


@pytest.mark.parametrize("field", ["filler", "position", "od_mm", "wall_mm", "weld_type"])
@given(paper=certificates(), choices=choice_sets)
def test_blank_never_does_better_than_what_was_recorded_right(
    field: str, paper: Certificate, choices: dict[str, str]
) -> None:
    right = paper.test_welds()[0]
    blank: str | float | None = None if field.endswith("_mm") else ""
    bare = replace(right, **{field: blank})
    assert worst(api_1104_21.covers(paper, bare, choices)) < NONCONFORMITY


MARKS = st.lists(st.tuples(st.integers(0, 199), st.integers(1, 60)), max_size=6)


@given(MARKS, st.integers(20, 200), st.integers(5, 220))
def test_sliding_window_against_counting_every_millimetre(
    marks: list[tuple[int, int]], weld: int, window: int
) -> None:
    cells = [0] * weld
    for start, length in marks:
        for step in range(min(length, weld)):
            cells[(start + step) % weld] += 1
    most = max(
        sum(cells[(begin + step) % weld] for step in range(min(window, weld)))
        for begin in range(weld)
    )
    assert worst_window(marks, weld, window) == pytest.approx(most)


@given(MARKS, st.integers(20, 200), st.integers(5, 220), st.integers(0, 500))
def test_window_does_not_depend_on_the_datum(
    marks: list[tuple[int, int]], weld: int, window: int, turn: int
) -> None:
    turned = [(start + turn, length) for start, length in marks]
    assert worst_window(turned, weld, window) == pytest.approx(worst_window(marks, weld, window))


@given(MARKS, st.integers(20, 200), st.integers(5, 220), st.integers(0, 63))
def test_unrecorded_place_bounds_the_true_extent(
    marks: list[tuple[int, int]], weld: int, window: int, hidden: int
) -> None:
    true = extent([Mark(s, Measure.exact(n)) for s, n in marks], weld, window)
    known = extent(
        [Mark(None if hidden >> i & 1 else s, Measure.exact(n)) for i, (s, n) in enumerate(marks)],
        weld,
        window,
    )
    assert known.in_window.least <= true.in_window.least + 1e-9
    assert known.in_window.most >= true.in_window.most - 1e-9


@given(MARKS, st.integers(20, 200))
def test_joined_stretches_cover_the_same_millimetres(
    marks: list[tuple[int, int]], weld: int
) -> None:
    def cells(rows: list[tuple[float, float]]) -> set[int]:
        return {int(s + step) % weld for s, n in rows for step in range(int(min(n, weld)))}

    joined = merged([Mark(s, Measure.exact(n)) for s, n in marks], weld)
    rows = [(mark.start_mm or 0.0, mark.length.least) for mark in joined]
    assert cells(rows) == cells([(float(s), float(n)) for s, n in marks])


KINDS = st.sampled_from(
    ("IP", "IPD", "ICP", "IF", "IFD", "IC", "BT", "ESI", "ISI", "P", "CP", "HB", "C", "C crater",
     "EU", "IU", "LS", "LB", "VC", "VI", "VR", "linear", "rounded", "XX")
)  # fmt: skip
LENGTH = st.none() | st.integers(0, 600).map(lambda tenth: tenth / 10)


@st.composite
def indications(draw: st.DrawFn) -> Indication:
    return Indication(
        kind=draw(KINDS),
        start_mm=draw(st.none() | st.integers(0, 1100).map(float)),
        length_mm=draw(LENGTH),
        width_mm=draw(st.none() | st.integers(0, 50).map(lambda tenth: tenth / 10)),
        depth_mm=draw(st.none() | st.integers(0, 100).map(lambda part: part / 100)),
        count=draw(st.none() | st.integers(1, 6)),
        density_exceeds_base=draw(st.none() | st.booleans()),
    )


METHODS = st.sampled_from(("RT", "UT", "MT", "PT", "VT"))


@settings(max_examples=150)
@given(METHODS, st.lists(indications(), max_size=5), indications(), OD, WALL, choice_sets)
def test_another_indication_never_makes_a_weld_better(
    method: str,
    found: list[Indication],
    more: Indication,
    od: float,
    wall: float,
    choices: dict[str, str],
) -> None:
    def verdict(those: list[Indication]) -> int:
        return worst(api_1104_21.accept(method, those, od_mm=od, wall_mm=wall, choices=choices))

    assert verdict([*found, more]) >= verdict(found)


@settings(max_examples=100)
@given(METHODS, st.lists(indications(), max_size=5), OD, WALL)
def test_order_of_indications_does_not_matter(
    method: str, found: list[Indication], od: float, wall: float
) -> None:
    turned = list(reversed(found))
    first, second = (
        worst(api_1104_21.accept(method, those, od_mm=od, wall_mm=wall, choices={}))
        for those in (found, turned)
    )
    assert first == second


@settings(max_examples=100)
@given(st.lists(indications(), min_size=1, max_size=5), OD, WALL, st.integers(0, 4))
def test_longer_indication_is_never_accepted_where_the_shorter_is_not(
    found: list[Indication], od: float, wall: float, which: int
) -> None:
    where = which % len(found)
    one = found[where]
    if one.length_mm is None:
        return
    longer = [*found]
    longer[where] = replace(one, length_mm=one.length_mm + 3)
    first, second = (
        worst(api_1104_21.accept("RT", those, od_mm=od, wall_mm=wall, choices={}))
        for those in (found, longer)
    )
    assert second >= first


PQR = Pqr(
    number="PQR-1",
    code="API 1104:21st",
    welded_on=date(2024, 2, 29),
    smys_mpa=360.0,
    wall_mm=9.53,
    position="5G",
    groove=Groove(kind="V"),
    preheat_c=80.0,
    passes=(
        PqrPass(number=1, kind="root", process="111", filler="E6010", current="DC+",
                direction="down"),
        PqrPass(number=2, kind="hot", process="111", filler="E8010", current="DC+",
                direction="down", since_last_min=7.0),
    ),
)  # fmt: skip


def sheet(preheat: float, minutes: float, low: float, high: float) -> Procedure:
    return Procedure(
        number="WPS-1",
        revision="0",
        title="girth welds",
        code="API 1104:21st",
        smys_mpa=Span(low=360, high=360),
        wall_mm=Span(low=low, high=high),
        positions=("5G",),
        groove=Groove(kind="V"),
        preheat_min_c=preheat,
        passes=(
            ProcedurePass(kind="root", process="111", filler="E6010", current="DC+",
                          direction="down"),
            ProcedurePass(kind="hot", process="111", filler="E8010", current="DC+",
                          direction="down", within_min=minutes),
        ),
    )  # fmt: skip


@given(st.integers(0, 150), st.integers(0, 150), st.integers(0, 15), st.integers(0, 15), WALL, WALL)
def test_milder_procedure_line_is_supported_where_the_stricter_is(
    cold: int, warm: int, soon: int, late: int, wall: float, other: float
) -> None:
    cold, warm = sorted((cold, warm))
    soon, late = sorted((soon, late))
    low, high = sorted((wall, other))
    strict = worst(api_1104_21.supports([PQR], sheet(cold, late, low, high), {}))
    mild = worst(api_1104_21.supports([PQR], sheet(warm, soon, low, low), {}))
    assert mild <= strict


@settings(max_examples=60)
@given(st.lists(st.integers(-100, 900), max_size=6), st.sampled_from(("none", "6", "12")),
       st.none() | st.integers(0, 900))  # fmt: skip
def test_validity_never_comes_back(offsets: list[int], months: str, ended: int | None) -> None:
    start = date(2024, 2, 29)
    paper = Certificate(
        number="T-1",
        code="API 1104:21st",
        welded_on=start,
        ended_on=None if ended is None else start + timedelta(days=ended),
    )
    history = [Confirmation(signed_on=start + timedelta(days=n), by="A. Nyman") for n in offsets]
    choices = {"confirmation months": months}
    for edition in EDITIONS:
        until = edition.valid_until(paper, history, choices)
        for n in range(0, 1400, 9):
            day = start + timedelta(days=n)
            signed = [entry for entry in history if entry.signed_on <= day]
            valid = worst(edition.valid_on(paper, day, signed, choices)) == CLEAR
            assert valid == (day <= until)


@settings(max_examples=60)
@given(st.lists(st.integers(0, 900), max_size=6, unique=True))
def test_tested_weld_currency_returns_only_with_another_tested_weld(offsets: list[int]) -> None:
    start = date(2024, 1, 1)
    tests = [start + timedelta(days=n) for n in offsets]
    lapsed = False
    for n in range(0, 1300, 3):
        day = start + timedelta(days=n)
        fresh = any(day - timedelta(days=3) < test <= day for test in tests)
        clear = worst(cfr_192_welders.weld_test_currency(tests, day, 72, {})) == CLEAR
        assert not (clear and lapsed and not fresh)
        lapsed = not clear


def test_weld_without_any_variable_is_held_not_cleared() -> None:
    paper = Certificate(
        number="T-1",
        code="API 1104:21st",
        welded_on=date(2024, 2, 29),
        weld_type="butt",
        positions=("5G",),
        direction="down",
        od_mm=219.1,
        wall_mm=8.18,
        deposits=(Deposit(process="111", filler="E6010", backing="none"),),
    )
    reasons = api_1104_21.covers(paper, Weld(process="111"), {})
    assert {r.variable for r in reasons if r.verdict == CLEAR} == {"test result", "process"}
