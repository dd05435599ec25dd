from __future__ import annotations

from math import isclose, nan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dossier.calc import stainless as s
from dossier.errors import InputError
from dossier.records.procedures import Composition

STEELS = st.builds(
    Composition,
    c=st.floats(0, 0.3),
    **{e: st.floats(0, 30) for e in ("si", "mn", "cr", "ni", "mo", "nb", "n", "cu")},
)


@pytest.mark.parametrize(
    ("element", "schaeffler", "wrc"),
    [("cr", (1, 0), (1, 0)), ("mo", (1, 0), (1, 0)), ("si", (1.5, 0), (0, 0)),
     ("nb", (0.5, 0), (0.7, 0)), ("ni", (0, 1), (0, 1)), ("mn", (0, 0.5), (0, 0)),
     ("n", (0, 0), (0, 20)), ("cu", (0, 0), (0, 0.25)), ("c", (0, 30), (0, 35))],
)  # fmt: skip
def test_the_weight_of_each_element(
    element: str, schaeffler: tuple[float, float], wrc: tuple[float, float]
) -> None:
    steel = Composition(**{"c": 0.0, element: 1.0})
    for function, expected in ((s.schaeffler, schaeffler), (s.wrc_1992, wrc)):
        point = function(steel)
        assert (point.cr_eq, point.ni_eq) == pytest.approx(expected)


@given(STEELS, STEELS, st.floats(0, 1))
def test_equivalents_mix_as_the_metals_do(
    filler: Composition, base: Composition, dilution: float
) -> None:
    mixed = s.diluted(filler, base, dilution)
    for function in (s.schaeffler, s.wrc_1992):
        one, two, both = function(filler), function(base), function(mixed)
        for axis in ("cr_eq", "ni_eq"):
            line = (1 - dilution) * getattr(one, axis) + dilution * getattr(two, axis)
            assert isclose(getattr(both, axis), line, abs_tol=1e-9)


def test_the_ends_of_dilution() -> None:
    filler, base = Composition(c=0.02, cr=23.5, ni=13.0), Composition(c=0.18, mn=1.4)
    assert s.diluted(filler, base, 0.0) == Composition(c=0.02, cr=23.5, ni=13.0, mn=0.0)
    assert s.diluted(filler, base, 1.0) == Composition(c=0.18, cr=0.0, ni=0.0, mn=1.4)
    for bad in (-0.01, 1.01, nan):
        with pytest.raises(InputError, match="dilution"):
            s.diluted(filler, base, bad)
    with pytest.raises(InputError, match="carbon"):
        s.diluted(Composition(cr=20.0), base, 0.3)


@pytest.mark.parametrize(
    ("cr_eq", "ni_eq", "inside"),
    [(17.0, 9.0, True), (31.0, 18.0, True), (16.99, 12.0, False), (31.01, 12.0, False),
     (20.0, 8.99, False), (20.0, 18.01, False)],
)  # fmt: skip
def test_the_axes_of_the_diagram(cr_eq: float, ni_eq: float, inside: bool) -> None:
    assert s.Equivalents(cr_eq, ni_eq).on_wrc_diagram is inside


def test_pitting_resistance() -> None:
    assert s.pren(1.0, 0.0, 0.0) == 1.0
    assert s.pren(0.0, 1.0, 0.0) == 3.3
    assert s.pren(0.0, 0.0, 1.0) == 16.0
    assert s.pren(0.0, 0.0, 0.0, 2.0) == 3.3
    for position in range(4):
        for bad in (-0.1, 100.1, nan):
            contents = [20.0, 3.0, 0.1, 0.5]
            contents[position] = bad
            with pytest.raises(InputError, match=("cr_pct", "mo_pct", "n_pct", "w_pct")[position]):
                s.pren(*contents)
