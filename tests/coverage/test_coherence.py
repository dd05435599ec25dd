"""Grades of steel as registers and certificates write them."""

from __future__ import annotations

import pytest

from dossier.coverage.coherence import is_line_pipe, same_grade

SAME = [
    ("L360", "l 360"), ("L415ME", "L-415-ME"), ("L360N", "X52"), ("L360", "5LX52"),
    ("API 5L-X65", "L450MB"), ("X60M", "L415ME"), ("L360", "L360 / X 52"), ("L245", "Grade B"),
    ("L245NB", "B"), ("L245", "API 5L Gr. B PSL 1"), ("S355J2", "S355 J2+N"),
    ("A106 Gr.B", "SA-106 Grade B"), ("A 106 Gr B", "ASTM A-106 / API 5L Gr. B"),
    ("A516 Gr 70", "SA-516 Gr.70N"), ("TP316L", "A312 TP316/316L"), ("316L", "1.4404 (316L)"),
    ("P235GH", "P235GH TC1"), ("16Mo3", "1.5415"), ("S31803", "1.4462 / S31803"),
    ("17Г1С", "17г1с-У"),
]  # fmt: skip
OTHER = [
    ("L360", "L245"), ("X42", "X52"), ("L415ME", "X65M"), ("L290", "API 5L X52 PSL 2"),
    ("L360NB", "L360NE"), ("S355J2", "S235J2"), ("A516 Gr 60", "SA-516 Gr.70"),
    ("1.4404", "1.4301"), ("X120", "X100"), ("X12CrNi", "L830"), ("17Г1С", "09Г2С"),
]  # fmt: skip


@pytest.mark.parametrize(("one", "other"), SAME)
def test_one_steel_in_two_ways_of_writing(one: str, other: str) -> None:
    assert same_grade(one, other)
    assert same_grade(other, one)


@pytest.mark.parametrize(("one", "other"), OTHER)
def test_two_steels(one: str, other: str) -> None:
    assert not same_grade(one, other)
    assert not same_grade(other, one)


@pytest.mark.parametrize(
    ("grade", "wanted"),
    [("L245NB", True), ("API 5L Gr. B", True), ("x-52", True), ("L360/X52", True), ("L36", False),
     ("X10CrMoVNb9-1", False), ("A106 Gr. B", False), ("", False)],
)  # fmt: skip
def test_the_grades_of_line_pipe(grade: str, wanted: bool) -> None:
    assert is_line_pipe(grade) is wanted
