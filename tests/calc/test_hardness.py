from __future__ import annotations

from itertools import pairwise
from math import nan

import pytest

from dossier.calc import hardness as h
from dossier.errors import InputError


def test_the_tables_fall_steadily_and_have_no_gap() -> None:
    for table in (h.ROCKWELL_C, h.ROCKWELL_B):
        figures = list(table)
        assert figures == list(range(figures[0], figures[-1] - 1, -1))
    vickers = [hv for hv, _ in h.ROCKWELL_C.values()]
    brinell = [hb for _, hb in h.ROCKWELL_C.values() if hb is not None]
    for column in (vickers, brinell, list(h.ROCKWELL_B.values())):
        assert column == sorted(set(column), reverse=True)
    steps = [a - b for a, b in pairwise(vickers)]
    assert all(late <= early + 2 for early, late in pairwise(steps))


def test_every_row_is_found_from_each_of_its_figures() -> None:
    for scale, table in (("HRC", h.ROCKWELL_C), ("HRB", h.ROCKWELL_B)):
        for figure in table:
            row = h.converted_hardness(scale, figure)
            assert row.rockwell == figure
            assert h.converted_hardness("HV", row.hv) == row
            if row.hb is not None:
                assert h.converted_hardness("HB", row.hb) == row


@pytest.mark.parametrize(
    ("scale", "value", "hv", "hb"),
    [("HRC", 68, 940, None), ("HRC", 59, 674, None), ("HRC", 58, 653, 615), ("HRC", 22, 248, 237),
     ("HRC", 20, 238, 226), ("HRB", 100, 240, 240), ("HRB", 70, 125, 125)],
)  # fmt: skip
def test_ends_and_corners(scale: str, value: float, hv: int, hb: int | None) -> None:
    row = h.converted_hardness(scale, value)
    assert (row.hv, row.hb) == (hv, hb)


@pytest.mark.parametrize(
    ("scale", "value", "near"),
    [("HRC", 19, "20"), ("HRC", 69, "68"), ("HRC", 40.5, "4"), ("HRB", 101, "100"),
     ("HRB", 69, "70"), ("HV", 250, "248"), ("HV", 1000, "940"), ("HB", 700, "615")],
)  # fmt: skip
def test_outside_or_between_rows_is_refused_with_the_nearest(
    scale: str, value: float, near: str
) -> None:
    with pytest.raises(InputError, match=f"such as {near}"):
        h.converted_hardness(scale, value)


def test_other_scales_and_no_figure() -> None:
    with pytest.raises(InputError, match="HRC, HRB, HV or HB"):
        h.converted_hardness("HRA", 60)
    with pytest.raises(InputError):
        h.converted_hardness("HRC", nan)
