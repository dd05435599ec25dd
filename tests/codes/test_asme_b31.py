"""ASME B31.3: what a criterion allows, acceptance of a weld, preheat, exemption, sampling."""

from __future__ import annotations

from math import inf
from typing import Any

import pytest

from dossier.codes import asme_b31_3
from dossier.codes.asme_b31_3 import acceptance, criteria, heat, sampling
from dossier.codes.editions import acceptance_code
from dossier.errors import InputError
from dossier.records.examinations import Indication
from dossier.records.verdicts import CLEAR, NONCONFORMITY

D, SEVERE = "category D", "severe cyclic"


@pytest.mark.parametrize(
    ("letter", "wall", "part", "high"),
    [
        ("A", 10.0, "depth", 0.0),
        ("A", 10.0, "length", 0.0),
        ("B", 4.9, "depth", 0.98),
        ("B", 5.0, "depth", 1.0),
        ("B", 5.1, "depth", 1.0),
        ("B", 10.0, "total", 38.0),
        ("C", 10.0, "depth", 2.0),
        ("C", 10.0, "total", 38.0),
        ("D", 12.0, "length", 3.0),
        ("D", 16.1, "length", 4.0),
        ("E", 6.0, "length", 1.5),
        ("E", 6.1, "length", 2.2875),
        ("E", 20.0, "length", 6.0),
        ("F", 7.5, "length", 2.5),
        ("F", 7.5, "width", 2.5),
        ("F", 7.2, "width", 2.4),
        ("F", 12.0, "total", 12.0),
        ("G", 10.0, "length", 20.0),
        ("G", 5.9, "width", 2.95),
        ("G", 6.1, "width", 3.0),
        ("G", 10.0, "total", 40.0),
        ("H", 3.9, "depth", 0.975),
        ("H", 4.1, "depth", 1.0),
        ("I", 3.9, "depth", 1.0),
        ("I", 4.1, "depth", 1.025),
        ("I", 6.1, "depth", 1.5),
        ("L", 6.0, "height", 1.5),
        ("L", 6.1, "height", 3.0),
        ("L", 13.0, "height", 3.0),
        ("L", 13.1, "height", 4.0),
        ("L", 25.0, "height", 4.0),
        ("L", 25.1, "height", 5.0),
        ("M", 6.0, "height", 3.0),
        ("M", 25.1, "height", 10.0),
    ],
)
def test_criterion_value(letter: str, wall: float, part: str, high: float) -> None:
    limit = getattr(criteria.limits(letter, wall), part)
    assert limit.high == pytest.approx(high)
    assert limit.low == 0
    assert letter in limit.basis.clause


@pytest.mark.parametrize(
    ("letter", "window"), [("B", 150.0), ("C", 150.0), ("F", 120.0), ("G", 150.0), ("A", 0.0)]
)
def test_window_of_sums(letter: str, window: float) -> None:
    assert criteria.limits(letter, 10.0).window_mm == window


@pytest.mark.parametrize("letter", ["J", "K"])
def test_letters_that_bind_no_size(letter: str) -> None:
    assert criteria.limits(letter, 10.0) == criteria.Limits(letter)


@pytest.mark.parametrize(("letter", "wall", "name"), [("N", 10.0, "letter"), ("A", 0.0, "tw_mm")])
def test_limits_refuse(letter: str, wall: float, name: str) -> None:
    with pytest.raises(InputError) as caught:
        criteria.limits(letter, wall)
    assert caught.value.name == name


def one(kind: str, **size: Any) -> Indication:
    return Indication(kind=kind, **size)


# wall 10 mm, pipe 273 mm, girth: 857.7 mm around. (indications, choices, what is not clear)
ACCEPT: list[tuple[str, list[Indication], dict[str, str], dict[str, str]]] = [
    ("nothing", [], {}, {}),
    ("crack", [one("C", length_mm=1.0)], {}, {"crack": "nonconformity"}),
    ("lack of fusion", [one("IF", length_mm=1.0)], {}, {"lack of fusion": "nonconformity"}),
    (
        "lack of fusion in D is judged by depth",
        [one("IFD", length_mm=38.0, depth_mm=2.0)],
        {"b31.3 service": D},
        {},
    ),
    ("penetration inside", [one("IP", length_mm=38.0, depth_mm=1.0)], {}, {}),
    (
        "penetration too deep",
        [one("IP", length_mm=38.0, depth_mm=1.1)],
        {},
        {"incomplete penetration, depth": "nonconformity"},
    ),
    (
        "penetration depth not recorded",
        [one("IPD", length_mm=38.0)],
        {},
        {"incomplete penetration, depth": "hold"},
    ),
    (
        "penetration too long",
        [one("IP", start_mm=0.0, length_mm=38.1, depth_mm=0.5)],
        {},
        {"incomplete penetration, sum in 150 mm": "nonconformity"},
    ),
    (
        "penetration too long in all, place unknown",
        [one("IP", length_mm=30.0, depth_mm=0.5), one("ICP", length_mm=30.0, depth_mm=0.5)],
        {},
        {"incomplete penetration, sum in 150 mm": "hold"},
    ),
    (
        "penetration far apart",
        [
            one("IP", start_mm=0.0, length_mm=30.0, depth_mm=0.5),
            one("IP", start_mm=400.0, length_mm=30.0, depth_mm=0.5),
        ],
        {},
        {},
    ),
    (
        "penetration near, across 12 o'clock",
        [
            one("IP", start_mm=5.0, length_mm=30.0, depth_mm=0.5),
            one("IP", start_mm=820.0, length_mm=30.0, depth_mm=0.5),
        ],
        {},
        {"incomplete penetration, sum in 150 mm": "nonconformity"},
    ),
    (
        "length not recorded",
        [one("IP", depth_mm=0.5)],
        {},
        {"incomplete penetration, sum in 150 mm": "hold"},
    ),
    (
        "penetration in severe service",
        [one("IP", length_mm=1.0, depth_mm=0.1)],
        {"b31.3 service": SEVERE},
        {"incomplete penetration": "nonconformity"},
    ),
    (
        "penetration in a longitudinal weld",
        [one("IP", length_mm=1.0, depth_mm=0.1)],
        {"b31.3 weld": "longitudinal"},
        {"incomplete penetration": "nonconformity"},
    ),
    ("slag inside", [one("ESI", length_mm=20.0, width_mm=3.0)], {}, {}),
    (
        "slag too long and wide",
        [one("ISI", length_mm=20.1, width_mm=3.1)],
        {},
        {
            "elongated indication, length": "nonconformity",
            "elongated indication, width": "nonconformity",
        },
    ),
    (
        "slag too much",
        [one("HB", start_mm=25.0 * n, length_mm=15.0, width_mm=1.0) for n in range(3)],
        {},
        {"elongated indication, sum in 150 mm": "nonconformity"},
    ),
    (
        "slag of no criterion in D",
        [one("ESI", length_mm=90.0, width_mm=9.0)],
        {"b31.3 service": D},
        {},
    ),
    ("pore inside", [one("P", length_mm=3.75)], {}, {}),
    (
        "pore too large",
        [one("P", length_mm=3.8)],
        {},
        {"rounded indications, length": "nonconformity"},
    ),
    (
        "pores need the chart",
        [one("CP", length_mm=1.0, count=4)],
        {},
        {"rounded indications, distribution": "hold"},
    ),
    (
        "two pores need the chart",
        [one("P", length_mm=1.0), one("P", length_mm=1.0)],
        {},
        {"rounded indications, distribution": "hold"},
    ),
    ("undercut inside", [one("EU", depth_mm=1.0)], {}, {}),
    ("undercut too deep", [one("IU", depth_mm=1.1)], {}, {"undercut, depth": "nonconformity"}),
    ("undercut unmeasured", [one("EU")], {}, {"undercut, depth": "hold"}),
    ("undercut in D", [one("EU", depth_mm=1.5)], {"b31.3 service": D}, {}),
    ("concave, light", [one("IC", density_exceeds_base=False)], {}, {}),
    (
        "concave, dark",
        [one("IC", density_exceeds_base=True)],
        {},
        {"concave root": "nonconformity"},
    ),
    ("concave, not compared", [one("IC")], {}, {"concave root": "hold"}),
    ("burn-through has no row", [one("BT", length_mm=2.0)], {}, {"BT": "hold"}),
]


@pytest.mark.parametrize(
    ("found", "choices", "expected"), [c[1:] for c in ACCEPT], ids=[c[0] for c in ACCEPT]
)
def test_accept(found: list[Indication], choices: dict[str, str], expected: dict[str, str]) -> None:
    reasons = asme_b31_3.accept("RT", found, od_mm=273.0, wall_mm=10.0, choices=choices)
    assert reasons
    got = {r.variable: str(r.verdict) for r in reasons if r.verdict is not CLEAR}
    assert got == expected


def test_unknown_service_is_refused() -> None:
    with pytest.raises(InputError):
        asme_b31_3.accept("RT", [], od_mm=1.0, wall_mm=1.0, choices={"b31.3 service": "mild"})


def test_registered() -> None:
    assert acceptance_code("ASME B31.3:2018").EDITION == "ASME B31.3:2018"


@pytest.mark.parametrize(
    ("places", "window", "around", "most"),
    [
        ([], 150.0, 800.0, 0.0),
        ([(0.0, 200.0)], 150.0, 800.0, 150.0),
        ([(0.0, 20.0), (130.0, 20.0)], 150.0, 800.0, 40.0),
        ([(0.0, 20.0), (140.0, 20.0)], 150.0, 800.0, 30.0),
        ([(790.0, 20.0), (100.0, 20.0)], 150.0, 800.0, 40.0),
        ([(0.0, 20.0), (50.0, 30.0)], 150.0, 100.0, 50.0),
        ([(0.0, 100.0), (140.0, 20.0), (140.0, 20.0)], 150.0, 800.0, 130.0),
    ],
)
def test_most_in_window(
    places: list[tuple[float, float]], window: float, around: float, most: float
) -> None:
    assert acceptance.most_in_window(places, window, around) == pytest.approx(most)


@pytest.mark.parametrize(
    ("p", "wall", "more", "least"),
    [
        ("1", 25.0, {"carbon_pct": 0.31}, 10),
        ("1", 25.1, {"carbon_pct": 0.30}, 10),
        ("1", 25.1, {"carbon_pct": 0.31}, 95),
        ("1", 25.1, {}, 95),
        ("3", 13.0, {"smts_mpa": 450}, 10),
        ("3", 13.1, {"smts_mpa": 450}, 95),
        ("3", 8.0, {"smts_mpa": 451}, 95),
        ("3", 8.0, {}, 95),
        ("4", 6.0, {}, 120),
        ("5A", 10.0, {"smts_mpa": 414}, 150),
        ("5A", 10.0, {"smts_mpa": 415}, 200),
        ("5A", 20.0, {"smts_mpa": 414, "cr_pct": 6.1}, 150),
        ("5B", 13.0, {"smts_mpa": 414, "cr_pct": 6.1}, 150),
        ("5B", 13.1, {"smts_mpa": 414, "cr_pct": 6.1}, 200),
        ("5B", 13.1, {"smts_mpa": 414, "cr_pct": 6.0}, 150),
        ("5B", 13.1, {"smts_mpa": 414}, 200),
        ("6", 10.0, {}, 200),
        ("8", 30.0, {}, 10),
        ("9A", 10.0, {}, 120),
        ("9B", 10.0, {}, 150),
        ("10I", 10.0, {}, 150),
        ("15E", 10.0, {}, 200),
    ],
)
def test_preheat(p: str, wall: float, more: dict[str, Any], least: int) -> None:
    limit = heat.preheat_range(heat.Joint(p_number=p, thickness_mm=wall, **more))
    assert (limit.low, limit.high) == (least, inf)
    assert limit.basis.known == ("memory" if p in ("9A", "10I") else "read")


@pytest.mark.parametrize(
    ("p", "wall", "name"), [("7", 5.0, "p_number"), ("1", 0.0, "thickness_mm")]
)
def test_preheat_refuses(p: str, wall: float, name: str) -> None:
    with pytest.raises(InputError) as caught:
        heat.preheat_range(heat.Joint(p_number=p, thickness_mm=wall))
    assert caught.value.name == name


THIN = {"multilayer": True, "preheat_c": 95.0, "carbon_pct": 0.15, "group": "1"}


@pytest.mark.parametrize(
    ("p", "wall", "more", "not_clear"),
    [
        ("1", 5.0, {"multilayer": False, "preheat_c": 10.0}, set()),
        ("1", 5.1, {"multilayer": False, "preheat_c": 10.0}, {"layers"}),
        ("1", 5.1, {"multilayer": None, "preheat_c": 10.0}, {"layers"}),
        ("1", 25.0, {"preheat_c": None}, set()),
        ("1", 25.1, {"preheat_c": 94.0}, {"preheat"}),
        ("1", 25.1, {"preheat_c": None}, {"preheat"}),
        ("1", 200.0, {}, set()),
        ("3", 16.0, {"carbon_pct": 0.25}, set()),
        ("3", 16.1, {"carbon_pct": 0.25}, {"thickness"}),
        ("3", 16.0, {"carbon_pct": 0.26}, {"carbon"}),
        ("3", 16.0, {"preheat_c": 94.0}, {"preheat"}),
        ("4", 16.0, {"preheat_c": 120.0}, set()),
        ("4", 16.0, {"preheat_c": 119.0}, {"preheat"}),
        ("4", 16.0, {"preheat_c": 120.0, "carbon_pct": 0.16}, {"carbon"}),
        ("4", 16.0, {"preheat_c": 120.0, "group": "2"}, {"group and weld"}),
        ("4", 16.0, {"preheat_c": 120.0, "weld": "fillet"}, {"group and weld"}),
        ("5A", 16.0, {"preheat_c": 150.0, "smts_mpa": 414}, set()),
        ("5A", 16.0, {"preheat_c": 150.0, "smts_mpa": 415}, {"preheat"}),
        ("5B", 5.0, {}, {"P-Number"}),
        ("15E", 5.0, {}, {"P-Number"}),
    ],
)
def test_exemption(p: str, wall: float, more: dict[str, Any], not_clear: set[str]) -> None:
    joint = heat.Joint(p_number=p, thickness_mm=wall, **{**THIN, **more})
    found = heat.exemption_reasons(joint)
    assert {r.variable for r in found if r.verdict is not CLEAR} == not_clear


def sample(joint: str, welder: str = "W07", *, bad: bool = False) -> sampling.Sample:
    return sampling.Sample(joint, welder, defective=bad)


@pytest.mark.parametrize(
    ("first", "second", "third", "state"),
    [
        ("B", "", "", ("examine more", 2)),
        ("B", "g", "", ("examine more", 1)),
        ("B", "b", "", ("examine more", 1)),
        ("B", "gg", "", ("accepted", 0)),
        ("BB", "gg", "", ("examine more", 2)),
        ("B", "bg", "", ("examine more", 2)),
        ("B", "bb", "ggg", ("examine more", 1)),
        ("B", "bg", "gg", ("accepted", 0)),
        ("B", "bg", "gb", ("all represented", 0)),
        ("B", "bb", "b", ("all represented", 0)),
    ],
)
def test_sampling_from_the_welds(
    first: str, second: str, third: str, state: tuple[str, int]
) -> None:
    tiers = [
        [sample(f"{name}{n}", bad=mark in "Bb") for n, mark in enumerate(marks)]
        for name, marks in (("F", first), ("S", second), ("T", third))
    ]
    other = [sample("X1", "W08", bad=False)]
    found = sampling.sampling_of(tiers[0] + other, tiers[1] + other, tiers[2], choices={})
    assert set(found) == {"W07"}
    assert (found["W07"].state, found["W07"].more) == state


def test_tracers() -> None:
    defect = sample("J1", bad=True)
    good, weld_itself = sample("J2"), sample("J1")
    other_kind = sampling.Sample("J3", "W07", "fillet")
    other_welder = sample("J4", "W08")
    offered = [good, weld_itself, other_kind, other_welder]
    found = [r.verdict for r in sampling.tracer_reasons(defect, offered)]
    assert found == [CLEAR, NONCONFORMITY, NONCONFORMITY, NONCONFORMITY]


@pytest.mark.parametrize(
    ("multilayer", "word"), [(True, "several"), (False, "one"), (None, "not recorded")]
)
def test_layers_are_told_in_words(multilayer: bool | None, word: str) -> None:
    joint = heat.Joint(p_number="1", thickness_mm=6.0, multilayer=multilayer)
    assert heat.exemption_reasons(joint)[0].found == word


@pytest.mark.parametrize(
    ("letter", "known"), [("B", "secondary"), ("C", "memory"), ("E", "memory"), ("H", "secondary")]
)
def test_how_a_criterion_is_known(letter: str, known: str) -> None:
    found = criteria.limits(letter, 10.0)
    limit = found.depth or found.length
    assert limit
    assert limit.basis.known == known


def test_limits_are_told_with_their_units() -> None:
    joint = heat.Joint(p_number="3", thickness_mm=16.1, carbon_pct=0.26, preheat_c=94.0)
    told = {r.variable: (r.found, r.permitted) for r in heat.exemption_reasons(joint)}
    assert told["thickness"] == ("16.1 mm", "up to 16 mm")
    assert told["carbon"] == ("0.26 %", "up to 0.25 %")
    assert told["preheat"] == ("94 °C", "from 95 °C")
