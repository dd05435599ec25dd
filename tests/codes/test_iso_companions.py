"""What the companions of the ISO codes list: grades, lines of the imperfection table, levels."""

from __future__ import annotations

import pytest

from dossier.codes import iso_tr_15608
from dossier.codes.iso_4063 import PROCESSES, process_name
from dossier.codes.iso_5817_2014.limits import IMPERFECTIONS, limit
from dossier.codes.iso_10675_1_2016.limits import QUALITY_LEVELS
from dossier.errors import InputError
from dossier.records.procedures import Composition

CONDITIONS = {"N": "normalised", "M": "thermomechanical", "Q": "quenched and tempered"}
GRADES = [
    "S235JR",
    "S235J0",
    "S235J2",
    "S275JR",
    "S275J0",
    "S275J2",
    "S355JR",
    "S355J0",
    "S355J2",
    "S355K2",
    "S355N",
    "S355NL",
    "S355M",
    "S355ML",
    "S420N",
    "S420NL",
    "S460N",
    "S460NL",
    "S420M",
    "S420ML",
    "S460M",
    "S460ML",
    "S500M",
    "S550Q",
    "S690Q",
    "S690QL",
    "S890Q",
    "S890QL",
    "P235GH",
    "P265GH",
    "P295GH",
    "P355GH",
    "P355N",
    "L245N",
    "L290N",
    "L360N",
    "L415N",
    "L245M",
    "L290M",
    "L360M",
    "L415M",
    "L450M",
    "L485M",
    "L555M",
    "L555Q",
]


@pytest.mark.parametrize("grade", GRADES)
def test_grade_agrees_with_the_rule_by_yield_strength(grade: str) -> None:
    """The group of a carbon-manganese grade is that of its condition and figure (15608, read)."""
    figure = int(grade[1:4])
    condition = next((CONDITIONS[c] for c in grade[4:] if c in CONDITIONS), "as rolled")
    assert iso_tr_15608.grade_yield_mpa(grade) == figure
    expected = iso_tr_15608.carbon_steel_group(condition, figure)
    assert iso_tr_15608.grade_group(grade) == expected


@pytest.mark.parametrize(
    ("grade", "group", "yield_mpa"),
    [("16Mo3", "1.2", 275), ("13CrMo4-5", "5.1", 300), ("10CrMo9-10", "5.2", 310)],
)
def test_warm_grade(grade: str, group: str, yield_mpa: int) -> None:
    """Named by composition; from memory."""
    assert iso_tr_15608.grade_group(grade) == group
    assert iso_tr_15608.grade_yield_mpa(grade) == yield_mpa


def test_group_from_an_analysis() -> None:
    assert iso_tr_15608.composition_group(Composition(cr=1.1, mo=0.5, v=0.1)) == "5.1"
    for gap in (Composition(cr=2.2), Composition(mo=1.0), Composition(cr=2.2, mo=1.0, v=0.11)):
        with pytest.raises(InputError):
            iso_tr_15608.composition_group(gap)


# Line of ISO 5817 Table 1 and how it is known (507, and two levels of 512 and 515, memory).
LINES = {
    "100": ("1.1", "read"),
    "2017": ("1.3", "read"),
    "401": ("1.5", "read"),
    "4021": ("1.6", "read"),
    "5011": ("1.7", "read"),
    "502": ("1.9", "read"),
    "503": ("1.10", "read"),
    "504": ("1.11", "read"),
    "512": ("1.16", "read"),
    "515": ("1.17", "read"),
    "5071": ("3.1", "memory"),
    "5072": ("3.1", "memory"),
    "617": ("3.2", "read"),
    "multiple": ("4.1", "read"),
}


@pytest.mark.parametrize("number", IMPERFECTIONS)
def test_line_of_the_imperfection_table(number: str) -> None:
    found = limit(number, "C", {"t": 8.0, "b": 8.0, "s": 8.0, "a": 5.0}).basis
    assert (found.clause, found.known) == (f"Table 1, {LINES[number][0]}", LINES[number][1])


@pytest.mark.parametrize(("number", "level"), [("512", "B"), ("512", "D"), ("515", "B")])
def test_cell_from_memory_says_so(number: str, level: str) -> None:
    assert limit(number, level, {"t": 8.0, "a": 5.0}).basis.known == "memory"


def test_levels_pair_with_quality_levels() -> None:
    assert QUALITY_LEVELS == {1: "B", 2: "C", 3: "D"}


def test_processes_have_names_and_nothing_else_has() -> None:
    assert all(process_name(number) for number in PROCESSES)
    for text in ("", "TIG", "13x", "999"):
        with pytest.raises(InputError):
            process_name(text)
