"""Indications of whole welds against ISO 5817:2014 and ISO 10675-1:2016, by level.

Limits: ISO 5817 Table 1 (read); ISO 10675-1 Table 1 (memory). Verdicts worked out by hand.
"""

from __future__ import annotations

import pytest

from dossier.codes.editions import acceptance_code
from dossier.records.examinations import Indication
from dossier.records.verdicts import worst


def verdicts(
    edition: str, indications: list[Indication], *, wall_mm: float = 12.0, method: str = "VT"
) -> list[str]:
    code = acceptance_code(edition)
    reasons = code.accept(method, indications, od_mm=323.9, wall_mm=wall_mm, choices={})
    return [str(reason.verdict) for reason in reasons]


@pytest.mark.parametrize(
    ("level", "indication", "expected"),
    [
        ("B", Indication(kind="EU", depth_mm=0.5), "clear"),
        ("B", Indication(kind="EU", depth_mm=0.51), "nonconformity"),
        ("C", Indication(kind="IU", depth_mm=0.5), "clear"),
        ("D", Indication(kind="IU", depth_mm=1.0), "clear"),
        ("D", Indication(kind="IU", depth_mm=1.1), "nonconformity"),
        ("B", Indication(kind="EU"), "hold"),
        ("D", Indication(kind="C", length_mm=1.0), "nonconformity"),
        ("D", Indication(kind="C"), "nonconformity"),
        ("D", Indication(kind="IF"), "nonconformity"),
        ("C", Indication(kind="IP", depth_mm=0.1), "nonconformity"),
        ("D", Indication(kind="IP", depth_mm=2.0), "hold"),  # only if short, which is not told
        ("D", Indication(kind="IP", depth_mm=2.1), "nonconformity"),
        ("B", Indication(kind="P", length_mm=0.1), "nonconformity"),
        ("C", Indication(kind="P", length_mm=2.0), "clear"),
        ("C", Indication(kind="P", length_mm=2.1), "nonconformity"),
        ("C", Indication(kind="BT", length_mm=2.0), "hold"),  # not in the list of lines
    ],
)
def test_surface_indication(level: str, indication: Indication, expected: str) -> None:
    assert verdicts(f"ISO 5817:2014 {level}", [indication]) == [expected]


def test_surface_indications_are_judged_one_by_one() -> None:
    both = [Indication(kind="EU", depth_mm=0.2), Indication(kind="C")]
    assert verdicts("ISO 5817:2014 C", both) == ["clear", "nonconformity"]
    assert verdicts("ISO 5817:2014 C", []) == ["clear"]


def test_thin_wall_without_a_known_row_is_a_hold() -> None:
    assert verdicts("ISO 5817:2014 C", [Indication(kind="ICP", depth_mm=0.1)], wall_mm=3) == [
        "hold"
    ]


@pytest.mark.parametrize(
    ("level", "indication", "expected"),
    [
        (1, Indication(kind="P", length_mm=2.4), "clear"),
        (1, Indication(kind="P", length_mm=2.5), "nonconformity"),
        (1, Indication(kind="P", width_mm=2.5, length_mm=1.0), "nonconformity"),
        (2, Indication(kind="P", length_mm=3.6), "clear"),
        (2, Indication(kind="P", length_mm=3.7), "nonconformity"),
        (3, Indication(kind="P", length_mm=4.8), "clear"),
        (2, Indication(kind="P"), "hold"),
        (3, Indication(kind="C"), "nonconformity"),
        (2, Indication(kind="IF", length_mm=1.0), "nonconformity"),
        (1, Indication(kind="IP", length_mm=1.0), "nonconformity"),
        (2, Indication(kind="ICP", depth_mm=1.0), "hold"),
    ],
)
def test_film_indication(level: int, indication: Indication, expected: str) -> None:
    assert verdicts(f"ISO 10675-1:2016 {level}", [indication], method="RT") == [expected]


def slag(start: float | None, length: float | None, width: float | None = 1.0) -> Indication:
    return Indication(kind="ESI", start_mm=start, length_mm=length, width_mm=width)


@pytest.mark.parametrize(
    ("indications", "expected"),
    [
        ([slag(0, 12)], ["clear", "clear"]),  # s = 12: 12 mm in 100 mm
        ([slag(0, 12.1)], ["clear", "nonconformity"]),
        ([slag(0, 6), slag(90, 6)], ["clear", "clear", "clear"]),  # 0 to 96: 12 mm
        ([slag(0, 6), slag(94, 7)], ["clear", "clear", "clear"]),  # 0 to 100 holds 6 and 6
        ([slag(0, 7), slag(93, 7)], ["clear", "clear", "nonconformity"]),
        ([slag(0, 7), slag(200, 7)], ["clear", "clear", "clear"]),
        ([slag(0, 7), slag(None, 7)], ["clear", "clear", "nonconformity"]),  # place unknown
        ([slag(50, 12, 3.1)], ["nonconformity", "clear"]),  # height: 0.3 s up to 3
        ([slag(50, 12, None)], ["hold", "clear"]),
        ([slag(50, None)], ["clear", "hold"]),
    ],
)
def test_slag_is_summed_in_any_100_mm(indications: list[Indication], expected: list[str]) -> None:
    assert verdicts("ISO 10675-1:2016 2", indications, method="RT") == expected


def test_lack_of_fusion_at_level_3_is_summed() -> None:
    def open_joint(start: float, length: float) -> Indication:
        return Indication(kind="IF", start_mm=start, length_mm=length)

    level = "ISO 10675-1:2016 3"
    assert verdicts(level, [open_joint(0, 25)], method="RT") == ["clear", "clear"]
    assert verdicts(level, [open_joint(0, 25.1)], method="RT") == ["clear", "nonconformity"]
    two = [open_joint(0, 13), open_joint(80, 13)]
    assert verdicts(level, two, method="RT") == ["clear", "clear", "nonconformity"]


def test_films_only() -> None:
    assert verdicts("ISO 10675-1:2016 1", [slag(0, 1)], method="UT") == ["hold"]
    assert verdicts("ISO 10675-1:2016 1", [], method="UT") == ["clear"]


def test_every_basis_names_its_standard() -> None:
    for edition in ("ISO 5817:2014 B", "ISO 10675-1:2016 1"):
        reasons = acceptance_code(edition).accept(
            "RT", [Indication(kind="P", length_mm=9.0)], od_mm=323.9, wall_mm=12.0, choices={}
        )
        assert {one.basis.title for one in reasons} == {edition.rpartition(" ")[0]}
        assert str(worst(reasons)) == "nonconformity"
