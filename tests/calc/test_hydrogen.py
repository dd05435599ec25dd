from __future__ import annotations

from math import inf, nan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dossier.calc import hydrogen as h
from dossier.errors import InputError


@pytest.mark.parametrize(
    ("content", "scale"),
    [(0, "E"), (3, "E"), (3.01, "D"), (5, "D"), (5.01, "C"), (10, "C"), (10.01, "B"), (15, "B"),
     (15.01, "A"), (80, "A")],
)  # fmt: skip
def test_upper_limits_belong_to_their_scale(content: float, scale: str) -> None:
    assert h.hydrogen_scale(content) == scale


@pytest.mark.parametrize(
    ("content", "iso", "aws"),
    [(4, "H5", "H4"), (4.01, "H5", "H8"), (5, "H5", "H8"), (5.01, "H10", "H8"), (8, "H10", "H8"),
     (8.01, "H10", "H16"), (10, "H10", "H16"), (10.01, "H15", "H16"), (15, "H15", "H16"),
     (15.01, None, "H16"), (16, None, "H16"), (16.01, None, None)],
)  # fmt: skip
def test_the_two_series_of_classes(content: float, iso: str | None, aws: str | None) -> None:
    assert (h.iso_hydrogen_class(content), h.aws_hydrogen_class(content)) == (iso, aws)


@given(st.floats(0, 100), st.floats(0, 100))
def test_more_hydrogen_is_never_a_better_scale(one: float, other: float) -> None:
    low, high = sorted((one, other))
    assert h.hydrogen_scale(high) <= h.hydrogen_scale(low)


def test_levels() -> None:
    assert [h.aws_level_ml_100g(level) for level in ("H1", "H2", "H3")] == [5.0, 10.0, 30.0]
    with pytest.raises(InputError, match="H1, H2 or H3"):
        h.aws_level_ml_100g("H4")


@pytest.mark.parametrize("bad", [-0.1, nan, inf])
def test_no_measurement_no_class(bad: float) -> None:
    for function in (h.hydrogen_scale, h.iso_hydrogen_class, h.aws_hydrogen_class):
        with pytest.raises(InputError, match="hydrogen_ml_100g"):
            function(bad)
